"""What a reading is worth in a job: temperature, shared errors, conventions, repeats, the shelf.

The engine is the invented Tarrow 124, barrel and piston of cast aluminium: bore max 53.250 mm,
clearance 0.045-0.070 mm and 0.100 in service, out-of-round 0.030, ring end gap 0.60 in service.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.job.book import Norms
from ringland.job.case import Case, case_of
from ringland.job.log.entries import Gauge, GaugeUsed, PartRenewed, ReadingTaken
from ringland.job.readings.gauging import overdue, permissible_error
from ringland.job.readings.value import Value
from ringland.job.readings.warmth import expansion_of
from ringland.job.verdicts.held import held
from ringland.job.verdicts.verdict import Limits, Verdict
from ringland.quantity import Estimate, QuantityError, find_unit
from ringland.report.measured import measured
from tests.job.making import felt, read, value
from tests.job.tarrow import tarrow

NANOMETRE = 1e-9  # m; worked by hand to the last digit that any gauge could show
MIC = Gauge("MIC-1", "fine micrometer", "3 µm", "0.001 mm", "50 mm", "75 mm")
BG = Gauge("BG-2", "bore gauge", "2 µm", "0.001 mm", "50 mm", "75 mm", set_with="MIC-1")
TG = Gauge("TG-1", "telescoping gauge")
FEELER = Gauge("FG-9", "feeler", leaves=("0.05 mm", "0.08 mm", "0.30 mm", "0.35 mm", "0.60 mm"))


def job(*facts: object, **more: str) -> Case:
    shelf = [GaugeUsed(each) for each in (MIC, BG, TG, FEELER)]
    return tarrow(*shelf, *facts, **more)  # type: ignore[arg-type]  # facts of the entries' union


def bore(
    grid: Mapping[str, str] | None = None,
    *,
    gauge: Gauge = BG,
    part: str = "",
    gauge_at: str = "",
    **places: str,
) -> list[ReadingTaken]:
    return [
        replace(
            read("bore", f"{mm} mm", place=f"{name[:2]}-{name[2]}", gauge=gauge),
            temperature=part,
            gauge_temperature=gauge_at,
        )
        for name, mm in {**(grid or {}), **places}.items()
    ]


def skirt(mm: str, part: str = "") -> ReadingTaken:
    return replace(read("piston skirt", f"{mm} mm", gauge=MIC), temperature=part)


def found(case: Case, check: str) -> Verdict:
    return case.verdicts[check, "as found"]


def worth(case: Case, check: str) -> Value:
    value = found(case, check).value
    assert value is not None
    return value


def number(case: Case, check: str) -> Estimate:
    estimate = worth(case, check).estimate
    assert estimate is not None
    return estimate


# -- temperature -------------------------------------------------------------------------------


def test_a_warm_bore_is_corrected_to_20_degrees_by_the_sheets_material() -> None:
    case = job(*bore(H1X="53.230", part="31 °C"))
    # linear expansion: steel gauge 11.5e-6, cast aluminium 21.5e-6, both 11 K warm (ISO 1)
    by_hand = 53.230e-3 * (1 + 11.5e-6 * 11) / (1 + 21.5e-6 * 11)
    assert number(case, "bore").value == pytest.approx(by_hand, abs=NANOMETRE)
    assert "corrected from 31 °C to 20 °C by −0.006 mm" in worth(case, "bore").notes
    assert number(case, "bore").u > number(job(*bore(H1X="53.230")), "bore").u


def test_two_kelvin_are_doubt_and_no_correction() -> None:
    case = job(*bore(H1X="53.230", part="21 °C"))
    assert number(case, "bore").value == 53.230e-3
    assert number(case, "bore").u > number(job(*bore(H1X="53.230")), "bore").u


def test_a_part_warmer_than_its_gauge_is_not_comparable() -> None:
    case = job(*bore(H1X="53.230", part="31 °C", gauge_at="21 °C"))
    assert found(case, "bore").word == "not comparable"
    assert "the barrel was 10 K warmer than the gauge" in found(case, "bore").reason
    assert "read again" in found(case, "bore").todo


def test_a_warm_reading_of_an_unknown_metal_is_not_comparable_until_repeated() -> None:
    warm = bore(H1X="53.230", part="31 °C")
    case = job(*warm, barrel="unobtainium")
    assert found(case, "bore").word == "not comparable"
    assert "names no material of the barrel" in found(case, "bore").reason
    again = job(*warm, *bore(H1X="53.226", part="20 °C"), barrel="unobtainium")
    assert found(again, "bore").word == "within"


def test_an_unknown_metal_near_20_degrees_only_adds_doubt() -> None:
    case = job(*bore(H1X="53.230", part="25 °C"), barrel="unobtainium")
    plain = number(job(*bore(H1X="53.230")), "bore").u
    # 12e-6/K between the gauge and any metal, 5 K, rectangular
    added = 53.230e-3 * 12e-6 * 5 / sqrt(3)
    assert number(case, "bore").value == 53.230e-3
    assert number(case, "bore").u == pytest.approx(sqrt(plain**2 + added**2))


def test_bore_and_skirt_read_apart_are_compared_only_where_both_can_be_corrected() -> None:
    facts = [*bore(H1X="53.230", part="26 °C"), skirt("53.150", "20 °C")]
    known = job(*facts)
    assert found(known, "piston to barrel").word == "within"
    assert any("both are at 20 °C now" in each for each in worth(known, "piston to barrel").notes)
    unknown = job(*facts, barrel="unobtainium")
    assert found(unknown, "piston to barrel").word == "not comparable"
    assert "6 K apart" in found(unknown, "piston to barrel").reason


def test_a_clearance_never_takes_one_half_corrected_and_the_other_as_read() -> None:
    case = job(*bore(H1X="53.230", part="26 °C"), skirt("53.150"))
    assert number(case, "piston to barrel").value == pytest.approx(0.080e-3, abs=NANOMETRE)
    assert any("was not noted" in each for each in worth(case, "piston to barrel").notes)


@pytest.mark.parametrize(
    ("words", "ppm"),
    [
        ("cast aluminium, plated bore", 21.5),  # handbook: 356
        ("forged 2618", 22.3),
        ("grey iron", 11.4),
        ("aluminum with an iron liner", None),
    ],
)
def test_a_sheets_free_words_name_a_metal(words: str, ppm: float | None) -> None:
    expansion = expansion_of(words)
    assert expansion is not None
    if ppm is not None:
        assert expansion.value * 1e6 == pytest.approx(ppm)
    else:  # a liner grows like something between the two
        assert 11e-6 < expansion.value < 22e-6
        assert expansion.u > 2e-6


def test_words_that_name_no_metal_are_not_guessed() -> None:
    assert expansion_of("hope") is None


# -- budget, shared errors ---------------------------------------------------------------------


def test_a_budget_names_the_gauge_what_it_was_set_with_and_its_steps() -> None:
    budget = worth(job(*bore(H1X="53.230")), "bore").budget
    assert budget is not None
    lines = {line.name: line.u for line in budget.contributions}
    # rectangular ± 2 µm and ± 3 µm, steps of 1 µm (JCGM 100, 4.3.7 and F.2.2.1)
    by_hand = {
        "BG-2": 2e-6 / sqrt(3),
        "set with MIC-1": 3e-6 / sqrt(3),
        "resolution": 1e-6 / 12**0.5,
    }
    assert lines == pytest.approx(by_hand)
    assert budget.estimate.u == pytest.approx(sqrt(sum(u**2 for u in by_hand.values())))


def test_the_micrometer_that_set_the_bore_gauge_cancels_in_the_clearance() -> None:
    case = job(*bore(H1X="53.230"), skirt("53.150"))
    by_hand = sqrt((2e-6 / sqrt(3)) ** 2 + 2 * (1e-6 / 12**0.5) ** 2)
    assert number(case, "piston to barrel").u == pytest.approx(by_hand)


def test_numbers_behind_a_verdict_stand_in_its_unit() -> None:
    case = job(*bore(H1X="53.230", H3X="53.220", part="26 °C"))
    shown = measured(found(case, "bore"))
    assert shown is not None
    assert (shown.unit, shown.upper, shown.dof) == ("mm", 53.25, None)
    assert shown.interval is not None
    assert shown.number is not None
    assert shown.u is not None
    # normal factor of 95 %
    assert shown.interval[1] - shown.number == pytest.approx(1.959964 * shown.u, rel=1e-5)
    assert sum(line.share for line in shown.budget) == pytest.approx(1, abs=1e-5)
    assert shown.temperature == pytest.approx(26)
    assert shown.at_reference


# -- bore: conventions -------------------------------------------------------------------------

WORN = {"H1X": "53.216", "H1Y": "53.221", "H2X": "53.225", "H3X": "53.210", "H3Y": "53.212"}


def with_convention(convention: str, grid: Mapping[str, str] = WORN) -> Case:
    """The Tarrow with a convention of its own for taper: an additive word of the sheet."""
    plain = job(*bore(grid))
    checks = plain.book.sheet.checks
    taper = checks["taper"].model_copy(update={"convention": convention})
    sheet = plain.book.sheet.model_copy(update={"checks": {**checks, "taper": taper}})
    return case_of(plain.state, plain.now, replace(plain.book, sheet=sheet))


def test_taper_is_taken_by_the_convention_that_the_sheet_names_and_says_which() -> None:
    whole, ends = with_convention(""), with_convention("top minus bottom")
    # X: 53.225 − 53.210 over all heights; Y: 53.221 − 53.212 between the ends
    assert number(whole, "taper").value == pytest.approx(0.015e-3, abs=NANOMETRE)
    assert number(ends, "taper").value == pytest.approx(0.009e-3, abs=NANOMETRE)
    assert any("range over all heights" in each for each in worth(whole, "taper").notes)
    assert any("first height less the last" in each for each in worth(ends, "taper").notes)


def test_a_bulge_in_the_middle_is_no_taper_where_only_the_ends_count() -> None:
    bulged = {"H1X": "53.210", "H2X": "53.290", "H3X": "53.210"}
    words = [found(with_convention(c, bulged), "taper").word for c in ("", "top minus bottom")]
    assert words == ["beyond", "within"]


def test_a_two_point_gauge_is_said_to_be_blind_to_three_lobes() -> None:
    assert any("three lobes" in each for each in worth(job(*bore(WORN)), "out-of-round").notes)


def test_a_difference_between_two_gauges_is_none() -> None:
    case = job(*bore(H1X="53.216"), *bore(H1Y="53.221", gauge=TG))
    assert found(case, "out-of-round").word == "not comparable"
    assert found(case, "bore").word == "within"


def test_noise_alone_does_not_make_a_round_bore_oval() -> None:
    """Three readings of ± 15 µm differ by 20 µm of a limit of 30: by noise alone as likely."""
    rough = {"H1X": "53.210", "H1Y": "53.230", "H2X": "53.215", "H2Y": "53.215"}
    verdict = found(job(*bore(rough, gauge=TG)), "out-of-round")
    assert verdict.word == "undecided"
    assert "BG-2 instead of TG-1" in verdict.todo


def test_the_skirts_zone_decides_where_it_seizes() -> None:
    case = job(*bore(H1X="53.205", H3X="53.215"), skirt("53.150"))
    checks = case.book.sheet.checks
    fit = checks["piston to barrel"].model_copy(update={"zone": ("H3",)})
    sheet = case.book.sheet.model_copy(update={"checks": {**checks, "piston to barrel": fit}})
    zoned = case_of(case.state, case.now, replace(case.book, sheet=sheet))
    least = [worth(each, "piston to barrel").least for each in (case, zoned)]
    assert [round(e.value * 1e6) for e in least if e] == [55, 65]


# -- repeats, calibration, tables --------------------------------------------------------------


def test_a_reading_taken_again_twice_outvotes_the_one_that_was_not_rocked() -> None:
    first, again = bore(H1X="53.246"), bore(H1X="53.230")
    spread = job(*first, *again)
    assert found(spread, "bore").word == "undecided"
    assert "technique" in found(spread, "bore").reason
    settled = job(*first, *again, *bore(H1X="53.231"))
    assert number(settled, "bore").value == pytest.approx(53.2305e-3, abs=NANOMETRE)
    assert any("set aside" in each for each in worth(settled, "bore").notes)


def test_an_overdue_calibration_is_said_and_widens_nothing() -> None:
    old = replace(MIC, calibrated="2024-02-11")
    case = job(GaugeUsed(old), skirt("53.150"))
    assert any("due again 2025-02-11" in each for each in worth(case, "piston skirt").notes)
    assert number(case, "piston skirt").u == number(job(skirt("53.150")), "piston skirt").u
    fresh = replace(MIC, calibrated="2026-02-11")
    assert worth(job(GaugeUsed(fresh), skirt("53.150")), "piston skirt").notes == ()


def test_a_norm_of_no_months_asks_for_no_calibration() -> None:
    assert overdue(replace(MIC, calibrated="1999-01-01"), "2026-05-02", 0) == ""


def test_a_table_of_errors_rules_by_the_size_that_was_read() -> None:
    table = replace(MIC, permissible_error="2 µm to 50 mm, 5 µm to 75 mm", resolution="")
    case = job(GaugeUsed(table), skirt("53.150"))
    assert number(case, "piston skirt").u == pytest.approx(5e-6 / sqrt(3))
    short = replace(MIC, permissible_error="2 µm to 25 mm, 3 µm to 50 mm", resolution="")
    beyond = job(GaugeUsed(short), skirt("53.150"))
    assert found(beyond, "piston skirt").word == "undecided"
    assert "table" in found(beyond, "piston skirt").reason


def test_half_a_table_is_refused() -> None:
    with pytest.raises(QuantityError, match="2 µm to 25 mm"):
        permissible_error("2 µm to 25 mm, 3 µm")


def test_a_small_end_is_condemned_only_with_new_parts() -> None:
    old = job(read("small end", felt("bad")))
    assert found(old, "small end").word == "not comparable"
    assert not old.brought.open_stops()
    parts = [PartRenewed("pin"), PartRenewed("small-end bearing")]
    new = job(*parts, read("small end", felt("bad")))
    assert found(new, "small end").word == "beyond"
    assert new.brought.open_stops()


# -- what would settle it ----------------------------------------------------------------------


def test_the_shelf_is_asked_which_gauge_would_settle_it() -> None:
    verdict = found(job(*bore(H1X="53.240", gauge=TG)), "bore")
    assert verdict.word == "undecided"
    ways = [(each.way.what, each.way.verdict) for each in verdict.settled_by]
    assert ways == [("BG-1", "within"), ("BG-2", "within")], "the coarsest that does it comes first"
    assert verdict.todo.startswith("BG-1 or BG-2 instead of TG-1 would settle it")


def test_what_nothing_on_the_shelf_settles_says_how_good_a_reading_it_takes() -> None:
    verdict = found(job(*bore(H1X="53.248")), "bore")
    assert verdict.word == "undecided"
    assert verdict.settled_by == ()
    # 2 µm to the limit: 1.645 u, doubled for ± (ISO 14253-1)
    assert "it takes better than ± 0.0024 mm" in verdict.todo
    assert "machinist" in verdict.todo


def test_more_repeats_are_counted_where_repeats_have_shown_the_scatter() -> None:
    plain = Gauge("BG-3", "bore gauge")  # no stated error: the habit of its kind, which is hand
    repeats = [read("bore", *(f"53.24{d} mm" for d in (4, 8, 5)), place="H1-Y", gauge=plain)]
    verdict = found(job(GaugeUsed(plain), *repeats), "bore")
    assert verdict.word == "undecided"
    kinds = {each.way.kind for each in verdict.settled_by}
    assert "repeats" in kinds
    assert "more reading" in next(e.words for e in verdict.settled_by if e.way.kind == "repeats")
    assert "at H1-Y with BG-3" in verdict.todo


@pytest.mark.parametrize(
    ("leaves", "todo"),
    [
        ([("0.35 mm", "goes")], "try the 0.60 mm leaf: if it goes in, it is beyond"),
        ([("0.35 mm", "goes"), ("0.65 mm", "stops")], "try the 0.38 mm leaf"),
    ],
)
def test_leaves_name_the_next_one_to_try(leaves: list[tuple[str, str]], todo: str) -> None:
    made = [value(mm, evidence) for mm, evidence in leaves]  # type: ignore[arg-type]
    case = job(read("ring end gap", *made, place="bottom", gauge=FEELER))
    assert found(case, "ring end gap").word == "undecided"
    assert found(case, "ring end gap").todo == todo


def test_a_leaf_past_the_limit_at_one_place_outweighs_a_number_at_another() -> None:
    number = read("ring end gap", "0.595 mm", place="bottom", gauge=FEELER)
    leaf = read("ring end gap", value("0.65 mm", "goes"), place="top", gauge=FEELER)
    assert found(job(number), "ring end gap").word == "undecided"
    assert found(job(number, leaf), "ring end gap").word == "beyond"


def test_what_was_read_without_a_place_gives_way_to_the_places() -> None:
    anywhere = read("ring end gap", value("0.30 mm", "goes"), gauge=FEELER)
    leaves = (value("0.35 mm", "goes"), value("0.60 mm", "stops"))
    bottom = read("ring end gap", *leaves, place="bottom", gauge=FEELER)
    assert found(job(anywhere), "ring end gap").word == "undecided"
    assert found(job(anywhere, bottom), "ring end gap").word == "within"


def test_lines_under_a_straightedge_are_judged_by_the_widest() -> None:
    lines = [
        read("head flatness", value("0.05 mm", "stops"), place="L1", gauge=FEELER),
        read(
            "head flatness", value("0.05 mm", "goes"), value("0.08 mm", "stops"), place="L2",
            gauge=FEELER,
        ),
    ]  # fmt: skip
    assert found(job(lines[0]), "head flatness").word == "within"
    assert found(job(*lines), "head flatness").word == "beyond"


# -- the rule ----------------------------------------------------------------------------------

RANK = {"within": 2, "within, worn": 2, "undecided": 1}


@settings(deadline=None, max_examples=150)
@given(st.floats(0.9, 1.7), st.floats(0.001, 0.3), st.floats(1.0, 4.0), st.sampled_from("ulb"))
def test_a_verdict_never_improves_when_the_doubt_grows(
    mm: float, u: float, factor: float, sides: str
) -> None:
    limits = Limits(1.0 if sides in "lb" else None, 1.6 if sides in "ub" else None)

    def word(doubt: float) -> str:
        value = Value(Estimate(mm, doubt), unit=find_unit("mm"))
        return held(Norms(), Verdict("squish", "as found", "not measured", value), limits).word

    narrow, wide = word(u), word(u * factor)
    if narrow == "beyond":  # doubt may lift a proof of nonconformity, but never into conformity
        assert wide in ("beyond", "undecided")
    else:
        assert wide != "beyond" or narrow == wide
        assert RANK[wide] <= RANK[narrow]
