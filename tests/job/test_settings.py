"""Settings of ring, piston, squish, ports and fluids; each missing thing is named.

The engine is the demo's invented Tarrow 124. Oracles: the slider-crank and the ratios are held by
`tests/oracles`; here stand sums that a hand can do.
"""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from ringland.job.log.entries import (
    Fact,
    FigureTakenOver,
    Gauge,
    GaugeUsed,
    PartDecided,
    PartRenewed,
    ReadingTaken,
)
from ringland.job.settings import settings
from tests.job.making import AT, BORE_GAUGE, FEELER, MICROMETER, SOLDER, bore, read, value
from tests.job.tarrow import rows, tarrow

TAKEN_OVER = f"figure taken over by Ada on {AT[:10]}"
GASKET = PartRenewed("base gasket", 1, "0.40 mm")
LEAFLET = {
    "part": "ring, other make",
    "for": ["Tarrow 124"],
    "figures": {"ring end gap": "0.0045-0.0065 × bore @ leaflet"},
}


def squish(height: str = "1.02") -> list[ReadingTaken]:
    """Return four points of solder, all of one height."""
    return [
        read("squish", f"{height} mm", place=place, condition="as fitted", gauge=SOLDER)
        for place in ("EX", "IN", "IGN", "CL")
    ]


def gap(text: str, gauge: Gauge = FEELER) -> ReadingTaken:
    """Return the end gap of the new ring, low in the bore."""
    return read("ring end gap", text, place="bottom", condition="as fitted", gauge=gauge)


def number(text: str) -> float:
    """Return the first number of a worded value."""
    found = re.search(r"−?\d+(\.\d+)?", text)
    assert found, text
    return float(found[0].replace("−", "-"))


# -- ring ----------------------------------------------------------------------------------------


def test_a_leaflets_gap_rule_rules_and_shows_what_it_outranks() -> None:
    row = rows(tarrow(PartRenewed("ring", 1, leaflet=LEAFLET)))["ring end gap"]
    assert row.value == "0.239-0.346 mm"  # 0.0045 and 0.0065 times 53.2 mm
    assert "by its rule 0.0045-0.0065 × bore" in row.remark
    assert "outranks the engine sheet's 0.30-0.38 mm" in row.remark
    assert row.source == "ring, other make, leaflet"


def test_a_tight_gap_is_filed_to_its_least_and_twice_the_doubt() -> None:
    row = rows(tarrow(gap("0.20 mm")))["to file off"]
    # a leaf's habit is ±0.015 mm, twice its standard uncertainty: 0.30 + 0.015 - 0.20
    assert number(row.value) == pytest.approx(0.115, abs=0.006)
    assert "0.100 mm reaches the smallest gap" in row.remark
    assert "one end, inward strokes" in row.remark


def test_a_gap_between_two_leaves_is_filed_from_its_middle() -> None:
    leaves = read(
        "ring end gap",
        value("0.20 mm", "goes"),
        value("0.25 mm", "stops"),
        place="bottom",
        condition="as fitted",
        gauge=FEELER,
    )
    # half of 0.05 mm over √3, twice: 0.029 mm (JCGM 100, 4.3.7)
    assert "read 0.225 ± 0.029 mm" in rows(tarrow(leaves))["to file off"].remark


def test_a_gap_on_the_smallest_is_not_told_that_nothing_reaches_it() -> None:
    assert "reaches" not in rows(tarrow(gap("0.30 mm")))["to file off"].remark


def test_nothing_is_filed_off_a_gap_that_is_wide_enough() -> None:
    assert "to file off" not in rows(tarrow(gap("0.34 mm")))


def test_the_touching_gap_stands_beside_the_makers_minimum_and_is_never_called_safe() -> None:
    row = rows(tarrow())["ends would touch at"]
    assert "±" in row.value
    assert row.value.endswith("cold")
    assert "the maker's minimum 0.30 mm stands" in row.remark
    assert "hot piston, cold bore" in row.remark
    assert "temperatures are assumed" in row.remark
    assert "safe" not in row.value + row.remark
    # π B a (200 °C − 20 °C) with steel between 9.7 and 12.9 ppm/K, by hand
    least, most = (3.14159 * 53.2 * ppm * 1e-6 * 180 for ppm in (9.7, 12.9))
    assert least < number(row.value) < most


def test_a_metal_that_the_sheet_does_not_name_is_asked_for() -> None:
    row = rows(tarrow(ring="plasma"))["ends would touch at"]
    assert row.value == ""
    assert "metal of ring" in row.missing


def test_all_conditions_are_shown_when_explained() -> None:
    case = tarrow()
    shown = [s for s in settings(case, explain=True) if s.name.strip() == "ends would touch at"]
    assert len(shown) == 3
    assert shown[0].value == "no cold gap: they open"  # warm and steady, the bore grows more


# -- piston --------------------------------------------------------------------------------------


def test_classes_stand_best_first_with_the_clearance_each_gives() -> None:
    case = tarrow(*bore(H1X="53.214", H1Y="53.214", H3X="53.212", H3Y="53.212"))
    classes = [row for row in settings(case) if row.name.startswith("piston class")]
    shares = [100 if "over" in row.value else number(row.value) for row in classes]
    assert len(classes) == 3
    assert all(a >= b for a, b in pairwise(shares))
    # least bore less the largest piston of class C, 53.160; widest less its smallest, 53.155
    by_name = {row.name: row for row in classes}
    assert "gives 0.052 to 0.059 ± 0.005 mm" in by_name["piston class C"].remark


def test_the_piston_in_hand_is_judged_by_its_own_size() -> None:
    new = read("piston skirt", "53.152 mm", condition="as fitted", gauge=MICROMETER)
    case = tarrow(*bore(H1X="53.214", H3X="53.212"), PartRenewed("piston", 1, "class B"), new)
    row = rows(case)["piston in hand"]
    assert "gives 0.060 to 0.062 ±" in row.remark


@pytest.mark.parametrize(
    ("size", "said"),
    [("53.1575 mm", "READINGS DISAGREE"), ("53.1525 mm", "not settled|agree")],
)
def test_the_wrong_box_is_found_by_the_micrometer(size: str, said: str) -> None:
    new = read("piston skirt", size, condition="as fitted", gauge=MICROMETER)
    row = rows(tarrow(PartRenewed("piston", 1, "class B"), new))["wrong box?"]
    assert re.search(said, row.value)


def test_label_and_stamp_that_differ_are_said_without_any_micrometer() -> None:
    row = rows(tarrow(PartRenewed("piston", 1, "class B stamp A")))["wrong box?"]
    assert row.value == "READINGS DISAGREE"
    assert "label says B, stamp says A" in row.remark


def test_without_a_bore_the_stamp_is_a_way_that_says_what_it_leaves_unproved() -> None:
    case = tarrow(PartDecided("piston", "class B", "by stamp, unmeasured"))
    found = rows(case)
    assert "bore is not measured" in found["piston class"].missing
    row = found["class B, by stamp"]
    assert "decided by Ada: by stamp, unmeasured" in row.remark
    assert "wear of the bore" in row.remark
    assert "%" not in row.value


# -- squish and ports ----------------------------------------------------------------------------


def test_each_gasket_stands_with_squish_ratio_and_timing_best_first() -> None:
    case = tarrow(*squish(), GASKET)
    found = settings(case)
    gaskets = [row for row in found if row.name.startswith("base gasket")]
    assert next(row.name for row in gaskets) == "base gasket 0.40 mm"
    heights = {row.name[-7:]: number(row.value) for row in gaskets}
    assert heights == {"0.30 mm": 0.92, "0.40 mm": 1.02, "0.50 mm": 1.12}
    with_it = [row for row in found if row.name == "  with it"]
    ratios = [number(row.value) for row in with_it]
    assert max(ratios) == ratios[[row.name[-7:] for row in gaskets].index("0.30 mm")]
    assert all("exhaust open" in row.remark and "trapped" in row.remark for row in with_it)


@pytest.mark.parametrize(
    ("facts", "without", "said"),
    [
        ([], (), "the squish is not measured"),
        (squish(), (), "which gasket was in it"),
        ([*squish(), GASKET], ("base gaskets",), "base gaskets sold are not in the sheet"),
    ],
)
def test_what_the_gasket_choice_lacks_is_named(
    facts: list[Fact], without: tuple[str, ...], said: str
) -> None:
    row = rows(tarrow(*facts, without=without))["base gasket"]
    assert row.value == ""
    assert said in row.missing


def test_a_measured_gasket_comes_before_its_label() -> None:
    thick = read("gasket thickness", "0.50 mm", condition="as fitted", gauge=MICROMETER)
    found = rows(tarrow(*squish(), GASKET, thick))
    assert "as it was measured" in found["base gasket 0.50 mm"].remark


@examples(max_examples=20, deadline=None)
@given(st.decimals("0.80", "1.30", places=2))
def test_a_thicker_gasket_never_lowers_squish_or_shortens_a_port(height: object) -> None:
    found = settings(tarrow(*squish(str(height)), GASKET))
    gaskets = sorted(
        (row.name, number(row.value), number(after.remark.partition("exhaust open ")[2]))
        for row, after in pairwise(found)
        if row.name.startswith("base gasket 0")
    )
    assert all(a[1] < b[1] and a[2] < b[2] for a, b in pairwise(gaskets))


def test_ratio_is_swept_and_clearance_by_hand_and_trapped_is_less() -> None:
    row = rows(tarrow())["compression ratio"]
    # 2222.87 mm² × 56 mm = 124.48 mL over 9.5 mL
    assert number(row.value) == pytest.approx(1 + 124.48 / 9.5, abs=0.06)
    shut = number(row.remark.partition("with valve shut")[0].rpartition(", ")[2])
    assert shut == pytest.approx(1 + 2.22287 * 31.4 / 9.5, abs=0.06)


def test_ports_name_the_figures_that_the_sheet_lacks() -> None:
    found = rows(tarrow(scope="full", without=("rod length", "head volume")))
    assert found["ports and ratio"].missing.startswith("rod length, head volume not in the sheet")


def test_blowdown_is_the_difference_of_the_openings() -> None:
    found = rows(tarrow())
    opens = {name: number(found[name].value) for name in ("exhaust", "transfers")}
    lead = number(found["blowdown"].value)
    assert lead == pytest.approx(opens["transfers"] - opens["exhaust"], abs=0.11)


# -- fluids --------------------------------------------------------------------------------------


def test_the_can_gets_its_oil_in_millilitres() -> None:
    """5 L at 40:1 is 125 mL (arithmetic, exact)."""
    row = rows(tarrow())["fuel mix"]
    assert row.value == "40:1"
    assert row.remark.startswith("125 mL of oil to 5 L of fuel, 250 mL of oil to 10 L")


def test_a_percentage_of_oil_is_asked_about() -> None:
    assert "write one of these" in rows(tarrow(fuel_mix="4 %"))["fuel mix"].remark


def test_coolant_is_split_by_volume_with_where_ice_begins() -> None:
    row = rows(tarrow())["coolant"]
    assert "475 mL of concentrate and 475 mL" in row.remark
    assert "−33 °C (propylene)" in row.remark  # Lange's Handbook, 15th ed., 5.13: −33.3 °C


def test_every_row_has_a_value_or_says_what_is_missing() -> None:
    for scope in ("ring", "piston", "full", "open"):
        for row in settings(tarrow(scope=scope), explain=True):
            assert bool(row.value) != bool(row.missing), (scope, row)
            assert row.subject, row


def test_a_bore_gauge_set_with_the_micrometer_makes_the_fit_surer() -> None:
    """JCGM 100, 5.2.2: what bore and skirt share cancels; here the micrometer's 4 µm."""
    new = read("piston skirt", "53.146 mm", condition="as fitted", gauge=MICROMETER)
    facts = [*bore(H1X="53.2125", H3X="53.2125"), new]
    coarse = GaugeUsed(replace(MICROMETER, permissible_error="4 µm"))
    apart = tarrow(coarse, GaugeUsed(replace(BORE_GAUGE, permissible_error="4 µm")), *facts)
    set_with = replace(BORE_GAUGE, permissible_error="1 µm", set_with="MM-1")
    shared = tarrow(coarse, GaugeUsed(set_with), *facts)
    doubts = [
        number(rows(case)["piston in hand"].remark.partition("±")[2]) for case in (shared, apart)
    ]
    assert doubts[0] < 0.3 * doubts[1]


def test_a_figure_taken_over_says_by_whom_and_when_wherever_it_sets_something() -> None:
    torque = FigureTakenOver(("fasteners", "barrel nuts", "torque"), "22 lbf·ft @ p S-3", "misread")
    squish = FigureTakenOver(("figures", "squish"), "0.95-1.20 mm", "misread")
    wide = FigureTakenOver(("figures", "bore"), "53.200 mm, max 53.252 mm @ p S-1", "misread")
    found = rows(tarrow(torque, squish, wide))
    assert found["barrel nuts"].source == f"{TAKEN_OVER}, p S-3"
    assert found["squish"].source == TAKEN_OVER
    assert found["head nuts"].source == "engine sheet, p 4-40"
    assert f"{TAKEN_OVER}, p S-1; engine sheet, p 1-4" in found["compression ratio"].source


def test_a_leaflet_outranks_also_a_figure_that_was_taken_over() -> None:
    gap = FigureTakenOver(("figures", "ring end gap"), "0.32-0.40 mm @ p 4-31", "misread")
    row = rows(tarrow(gap, PartRenewed("ring", leaflet=LEAFLET)))["ring end gap"]
    assert f"outranks the {TAKEN_OVER}: 0.32-0.40 mm" in row.remark
