"""Verdicts: the rule at and just past each limit, leaves, feel, plan, who overruled.

Limits are those of the invented F-230: gap 0.25-0.45, used 0.70; clearance 0.050-0.080, used 0.110;
bore 65.060; squish 1.00-1.40; big end up and down 0.050.
"""

import pytest

from ringland.job.case import Case
from ringland.job.log.entries import (
    Condition,
    FigureTakenOver,
    PartRenewed,
    ReadingTaken,
    ValuePlanned,
    VerdictOverruled,
)
from ringland.job.verdicts.verdict import Verdict
from ringland.measure.conformance import probability_within
from ringland.quantity import Estimate
from tests.job.making import (
    AT,
    BORE_GAUGE,
    DIAL,
    MICROMETER,
    SOLDER,
    bore,
    case,
    felt,
    opened,
    read,
    value,
)


def verdict(job: Case, check: str, condition: Condition = "as found") -> Verdict:
    return job.verdicts[check, condition]


def clearance(skirt: str, condition: Condition = "as fitted") -> Verdict:
    grid = bore(H1X="65.016", H1Y="65.021", H3X="65.010", H3Y="65.012")
    job = case(*grid, read("piston skirt", skirt, condition=condition, gauge=MICROMETER))
    return verdict(job, "piston to barrel", condition)


def squish(text: str) -> list[ReadingTaken]:
    return [
        read("squish", text, place=side, condition="as fitted", gauge=SOLDER)
        for side in ("EX", "IN", "IGN", "CL")
    ]


@pytest.mark.parametrize(
    ("skirt", "word"),
    [
        ("64.953 mm", "within"),  # 0.057 to 0.068
        ("64.944 mm", "undecided"),  # 0.077 + 0.006 > 0.080
        ("64.930 mm", "beyond"),  # 0.091 - 0.006 > 0.080
        ("64.957 mm", "undecided"),  # 0.053 - 0.006 < 0.050
        ("64.968 mm", "beyond"),  # 0.042 + 0.006 < 0.050
    ],
)
def test_a_new_clearance_is_held_at_both_ends_with_its_doubt(skirt: str, word: str) -> None:
    assert clearance(skirt).word == word


def test_wear_is_judged_by_the_largest_bore_and_seizure_by_the_smallest() -> None:
    found = clearance("64.918 mm", "as found")
    assert found.value is not None
    assert found.value.estimate is not None
    assert found.value.least is not None
    assert found.value.estimate.value == pytest.approx(0.103e-3)
    assert found.value.least.value == pytest.approx(0.092e-3)
    # 0.103 lies in the last third of 0.080 to 0.110
    assert found.word == "within, worn"


def test_the_probability_is_that_of_the_normal_distribution() -> None:
    found = clearance("64.944 mm")
    # bore gauge and micrometer of 2.5 and 1.5 µm: sqrt(2.5^2 + 1.5^2) = 2.92; upper end 0.077 of 0.080
    by_hand = probability_within(Estimate(0.077e-3, 2.915e-6), lower=None, upper=0.080e-3)
    assert found.p == pytest.approx(by_hand, abs=0.005)
    assert found.todo, "an undecided never stands alone"


@pytest.mark.parametrize(
    ("mm", "word"), [("65.050", "within, worn"), ("65.058", "undecided"), ("65.068", "beyond")]
)
def test_one_limit_is_proven_met_or_passed_or_neither(mm: str, word: str) -> None:
    assert verdict(case(*bore(H1X=mm)), "bore").word == word


@pytest.mark.parametrize(
    ("leaves", "word"),
    [
        (["0.45 mm goes", "0.50 mm stops"], "within"),
        (["0.65 mm goes"], "undecided"),  # the next was not tried: 0.70 is not shown
        (["0.70 mm goes"], "beyond"),  # the limit's own leaf went in
        (["0.70 mm stops"], "within"),
    ],
)
def test_leaves_prove_what_they_prove(leaves: list[str], word: str) -> None:
    said = [
        value(each.rpartition(" ")[0], "goes" if each.endswith("goes") else "stops")
        for each in leaves
    ]
    found = verdict(case(read("ring end gap", *said, place="bottom")), "ring end gap")
    assert found.word == word
    assert found.p is None, "a leaf is evidence of its own, no probability"
    assert bool(found.todo) == (word != "within")


@pytest.mark.parametrize(
    ("feel", "word"),
    [
        ("good", "within"),
        ("bad", "beyond"),
        ("not sure", "undecided"),
        ("not taken", "not measured"),
    ],
)
def test_feel_and_sight_are_answers(feel: str, word: str) -> None:
    found = verdict(case(read("big end", felt(feel))), "big end")  # type: ignore[arg-type]
    assert found.word == word


def test_a_click_outranks_a_number_that_would_pass() -> None:
    job = case(read("big end radial", "0.01 mm", felt("bad"), place="top", gauge=DIAL))
    assert verdict(job, "big end radial").word == "beyond"


def test_not_sure_names_what_would_tell() -> None:
    found = verdict(case(read("big end", felt("not sure"))), "big end")
    assert found.todo == "measure big end radial"
    assert "damps a click" in found.reason


def test_blank_is_not_zero() -> None:
    found = verdict(case(), "bore")
    assert (found.word, found.value) == ("not measured", None)


def test_a_port_in_the_way_is_no_missing_reading_and_no_value() -> None:
    job = case(*bore(H1X="65.016"), read("bore", felt("not measurable"), place="H2-Y"))
    found = verdict(job, "bore")
    assert found.word == "within"
    assert found.value is not None
    assert found.value.places["H2-Y"].said == "not measurable"


def test_readings_that_spread_more_than_the_gauge_can_are_not_averaged() -> None:
    apart = [read("piston skirt", text, gauge=MICROMETER) for text in ("64.918 mm", "64.931 mm")]
    found = verdict(case(*apart), "piston skirt")
    assert found.word == "undecided"
    assert "0.013" in found.reason


def test_as_found_and_as_fitted_are_two_verdicts() -> None:
    job = case(
        read("ring end gap", "0.62 mm", place="bottom"),
        PartRenewed("ring"),
        read("ring end gap", "0.62 mm", place="bottom", condition="as fitted"),
    )
    # the old ring may have 0.70, the new one 0.45
    assert verdict(job, "ring end gap").word == "within, worn"
    assert verdict(job, "ring end gap", "as fitted").word == "beyond"


def test_squish_averages_the_sides_on_which_the_piston_rocks() -> None:
    sides = {"EX": "1.24", "IN": "1.16", "IGN": "1.19", "CL": "1.21"}
    taken = [
        read("squish", f"{mm} mm", place=side, condition="as fitted", gauge=SOLDER)
        for side, mm in sides.items()
    ]
    job = case(*taken)
    found = verdict(job, "squish", "as fitted").value
    assert found is not None
    assert found.estimate is not None
    # ((1.24 + 1.16) / 2 + 1.19 + 1.21) / 3 = 1.20, by hand
    assert found.estimate.value == pytest.approx(1.20e-3)
    spread = verdict(job, "squish spread", "as fitted").value
    assert spread is not None
    assert spread.estimate is not None
    assert spread.estimate.value == pytest.approx(0.02e-3)  # IGN against CL only


def test_a_value_in_limit_but_off_its_plan_says_both() -> None:
    job = case(
        ValuePlanned("squish", "1.20 mm"),
        *squish("1.31 mm"),
    )
    found = verdict(job, "squish", "as fitted")
    assert found.word == "within"
    assert found.plan == "differs from plan: +0.11 mm against 1.20 mm"


def test_a_value_near_its_plan_says_nothing_of_it() -> None:
    job = case(
        ValuePlanned("squish", "1.20 mm"),
        *squish("1.22 mm"),
    )
    assert verdict(job, "squish", "as fitted").plan == ""


def test_a_person_may_overrule_and_the_verdict_stays_what_it_is() -> None:
    worn = bore(H1X="65.068")
    job = case(*worn, VerdictOverruled("bore", "as found", "one more season", "trail use only"))
    found = verdict(job, "bore")
    assert found.word == "beyond"
    assert found.is_good
    assert not found.is_bad
    assert found.overruled is not None
    assert found.overruled.by == "Ada"
    assert "barrel sent out" in case(*worn).steps
    assert "barrel sent out" not in job.steps, "what it would have brought does not come"


def test_a_figure_taken_over_rules_from_then_on() -> None:
    gap = read("ring end gap", "0.62 mm", place="bottom")
    tighter = FigureTakenOver(
        ("figures", "ring end gap"), "0.25-0.45 mm, max 0.60 mm", "wrong line"
    )
    assert verdict(case(gap), "ring end gap").word == "within, worn"
    found = verdict(case(gap, tighter), "ring end gap")
    assert found.word == "beyond"
    assert found.ruling is not None
    assert found.ruling.figure.typed == "0.25-0.45 mm, max 0.60 mm"
    assert found.ruling.source == f"figure taken over by Ada on {AT[:10]}"
    untouched = verdict(case(*bore(H1X="65.016"), tighter), "bore").ruling
    assert untouched is not None
    assert untouched.source == "engine sheet"


def test_a_parts_leaflet_outranks_the_engines_figure_for_the_new_part_only() -> None:
    leaflet = {"part": "ring, other make", "for": ["F-230"],
               "figures": {"ring end gap": "0.15-0.25 mm"}}  # fmt: skip
    job = case(
        read("ring end gap", "0.20 mm", place="bottom"),
        PartRenewed("ring", leaflet=leaflet),
        read("ring end gap", "0.20 mm", place="bottom", condition="as fitted"),
    )
    found = verdict(job, "ring end gap", "as fitted")
    assert found.word == "within"
    assert found.ruling is not None
    assert found.ruling.source == "ring, other make"
    assert found.ruling.outranked is not None
    assert found.ruling.outranked.typed == "0.25-0.45 mm, max 0.70 mm"
    old = verdict(job, "ring end gap")
    assert old.ruling is not None
    assert old.ruling.source == "engine sheet"


def test_a_gauge_set_with_the_skirts_micrometer_shares_its_error() -> None:
    from dataclasses import replace

    from ringland.job.log.entries import GaugeUsed

    micrometer = replace(MICROMETER, permissible_error="4 µm")
    apart = replace(BORE_GAUGE, permissible_error="2 µm")
    together = replace(apart, set_with="MM-1")

    def u(gauge: object) -> float:
        job = case(
            GaugeUsed(micrometer), GaugeUsed(gauge),  # type: ignore[arg-type]  # one of the above
            *bore(H1X="65.016"), read("piston skirt", "64.950 mm", gauge=MICROMETER),
        )  # fmt: skip
        found = verdict(job, "piston to barrel").value
        assert found is not None
        assert found.estimate is not None
        return found.estimate.u

    assert u(together) < u(apart)


def test_a_job_keeps_its_own_copy_of_the_sheet() -> None:
    assert opened().sheet["figures"]["ring end gap"] == "0.25-0.45 mm, max 0.70 mm"
