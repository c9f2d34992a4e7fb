"""The measuring calculators: what they answer, what they refuse."""

import json
from typing import Any

import pytest

from ringland.calc import find
from ringland.calc.calculator import BadInputs
from ringland.report.answer import as_json, as_text
from tests.calc import asking

LOAN_BIKE = "height,axis,reading\nH1,X,65.016\nH1,Y,65.021\nH2,X,65.014\nH2,Y,port\nH3,X,65.010\nH3,Y,65.012\n"
SADDLE = "x,y,z\n0,0,0.02\n60,60,0.02\n60,0,-0.02\n0,60,-0.02\n"
VERDICT_FIELDS = {
    "value", "unit", "standard_uncertainty", "degrees_of_freedom", "interval", "budget", "limits",
    "probability", "verdict", "settled_by",
}  # fmt: skip


def ask(name: str, **typed: Any) -> dict[str, Any]:
    answer = asking.ask(name, **typed)
    assert as_text(answer)
    found: dict[str, Any] = json.loads(as_json(answer))
    return found


def refused(name: str, **typed: Any) -> str:
    with pytest.raises(BadInputs) as error:
        asking.ask(name, **typed)
    return "\n".join(f"{field}: {message}" for field, message in error.value.problems)


def test_conformance_answers_the_example_of_its_help() -> None:
    found = ask("conformance", value="54.032 mm", u="3 µm", upper="54.040 mm")
    assert found.keys() >= VERDICT_FIELDS
    assert found["verdict"] == "within"
    assert found["probability"] == pytest.approx(0.99617, abs=1e-5)  # Φ(8/3)
    assert found["limits"] == {"lower": None, "upper": 54.04}
    assert found["standard_uncertainty"] == pytest.approx(0.003)


def test_conformance_says_what_would_settle_an_undecided_value() -> None:
    found = ask("conformance", value="54.036 mm", expanded="0.006 mm", upper="54.040 mm")
    assert found["verdict"] == "undecided"
    assert found["standard_uncertainty"] == pytest.approx(0.003)
    (way,) = found["settled_by"]
    assert way["standard_uncertainty"] == pytest.approx(0.004 / 1.6449, rel=1e-4)


def test_conformance_with_few_degrees_of_freedom_asks_for_less_doubt_than_it_has() -> None:
    found = ask("conformance", value="54,032 mm", u="3 µm", dof="2", upper="54,040 mm")
    assert found["verdict"] == "undecided"
    (way,) = found["settled_by"]
    # Student's t for 95 % one-sided and 2 degrees of freedom is 2.91999 (ISO tables; computed)
    assert way["standard_uncertainty"] == pytest.approx(0.008 / 2.91999, rel=1e-4)
    assert way["degrees_of_freedom"] == 2


def test_conformance_takes_any_kind_of_unit_and_its_own_for_the_limits() -> None:
    found = ask("conformance", value="0.40 bar", u="1 kPa", lower="5 psi")
    assert found["unit"] == "bar"
    assert found["verdict"] == "within"
    warm = ask("conformance", value="24 °C", u="1 °C", upper="26 °C")
    assert warm["standard_uncertainty"] == pytest.approx(1.0)


def test_conformance_tells_worn_and_weighs_cost_without_changing_the_verdict() -> None:
    worn = ask(
        "conformance", value="0.62 mm", u="0.01 mm", upper="0.70 mm", new_end="0.45 mm",
        failure="400", renewal="60",
    )  # fmt: skip
    assert worn["verdict"] == "within, worn"
    assert any("does not change the verdict" in each for each in worn["cautions"])


def test_conformance_tells_all_that_is_wrong_at_once() -> None:
    said = refused("conformance", value="54.0 mm", u="-3 µm", upper="2 bar")
    assert "u: -3 µm is negative" in said
    assert "upper: bar is a pressure" in said
    said = refused("conformance", value="54.0 mm")
    assert "u: give the standard uncertainty" in said
    assert "upper: give an upper limit" in said


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"value": "nan mm", "u": "3 µm", "upper": "1 mm"}, "value: 'nan mm' is not a quantity"),
        ({"value": "1 mm", "u": "3 µm", "lower": "2 mm", "upper": "1 mm"}, "swap them"),
        ({"value": "1 mm", "u": "3 µm", "upper": "1 mm", "dof": "0"}, "dof: degrees of freedom"),
        ({"value": "1 mm", "u": "3 µm", "upper": "1 mm", "prove": "2"}, "the proof above"),
    ],
)
def test_conformance_refuses_what_has_no_answer(typed: dict[str, str], said: str) -> None:
    assert said in refused("conformance", **typed)


def test_bore_shows_the_plain_job() -> None:
    """Story S1."""
    found = ask("bore", csv=LOAN_BIKE, skirt="64.953", wear_limit="65.060", taper_limit="0.04")
    assert found["out_of_round_mm"] == pytest.approx(0.005)
    assert found["taper_mm"] == pytest.approx(0.009)
    assert found["taper_convention"] == "range over heights"
    assert found["not_measurable"] == ["H2-Y"]
    assert found["clearance_seizure_mm"] == pytest.approx(0.057)
    assert found["clearance_wear_mm"] == pytest.approx(0.068)
    assert found["largest"]["verdict"] == found["taper"]["verdict"] == "within"
    assert found["largest"].keys() >= VERDICT_FIELDS
    assert any("three lobes" in note for note in found["notes"])


def test_bore_takes_single_readings_and_deviations_from_a_set_size() -> None:
    found = ask("bore", reading=["H1-X=0.012", "H1-Y=-0.005"], set_size="54 mm")
    assert found["largest_mm"] == pytest.approx(54.012)
    assert found["smallest_mm"] == pytest.approx(53.995)


def test_bore_reads_decimal_commas_inches_and_blanks() -> None:
    table = "axis;height;reading (in)\nX;H1;2,5591\nX;H2;\nX;H3;2,5590\n"
    found = ask("bore", csv=table)
    assert found["largest_mm"] == pytest.approx(2.5591 * 25.4)
    assert list(found["profile_mm"]) == ["H1", "H3"]


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("height,reading\nH1,54\n", "there is no column 'axis'"),
        ("height,axis,reading\nH1,X,abc\nH1,Y,NaN\n", "line 2: H1-X: 'abc'"),
        ("height,axis,reading\nH1,X,abc\nH1,Y,NaN\n", "line 3: H1-Y: 'NaN'"),
        ("height,axis,reading\nH1,X,0\n", "not measured stays empty"),
        ("height,axis,reading\nH1,X,54\nH1,X,54\n", "given twice"),
        ("height,axis,reading\n", "no reading below"),
        ("height,axis,reading (bar)\nH1,X,54\n", "bar is a pressure"),
        ("height,axis,reading\nH1,X,\n", "needs one at least"),
        ("height,axis,reading\n" + "H1,X,54\n" * 100_000, "at most 20000"),
    ],
)
def test_bore_names_what_is_wrong_in_a_table(table: str, said: str) -> None:
    assert said in refused("bore", csv=table)


def test_bore_judges_taper_by_the_convention_of_the_sheet() -> None:
    barrel = ["H1-X=54.000", "H2-X=54.030", "H3-X=54.001"]
    judged = {
        convention: ask("bore", reading=barrel, convention=convention, taper_limit="0.015")
        for convention in ("range over heights", "top minus bottom")
    }
    assert judged["range over heights"]["taper"]["verdict"] == "beyond"
    assert judged["top minus bottom"]["taper"]["verdict"] == "within"


def test_bore_questions_axes_far_apart_before_the_cylinder() -> None:
    found = ask("bore", reading=["H1-X=54.01", "H1-Y=54.21"])
    assert any("slip of the pen" in each for each in found["cautions"])


def test_bore_cannot_judge_form_from_one_reading() -> None:
    said = refused("bore", reading=["H1-X=54.01"], out_of_round_limit="0.03")
    assert "out-of-round-limit: no two diameters" in said
    assert "give a table" in refused("bore")


def test_flatness_finds_the_saddle_and_what_a_lap_takes_off() -> None:
    found = ask("flatness", csv=SADDLE, limit="0.05")
    assert found["minimum_zone_mm"] == pytest.approx(0.040)
    assert found["least_squares_mm"] == pytest.approx(0.040)
    assert found["contacts"] == "2+2"
    assert found["lap_deepest_mm"] == pytest.approx(0.040)
    assert found["verdict"] == "within"
    assert found["interval"]["low"] < 0.040 < found["interval"]["high"]


def test_flatness_reads_the_unit_in_the_heading_and_any_order_of_columns() -> None:
    table = "z (µm),x,y\n20,0,0\n20,60,60\n-2e1,60,0\n-20,0,60\n"
    assert ask("flatness", csv=table)["minimum_zone_mm"] == pytest.approx(0.040)
    commas = "x;y;z\n0;0;1,020\n60;60;1,020\n60;0;0,980\n0;60;0,980\n"
    assert ask("flatness", csv=commas)["minimum_zone_mm"] == pytest.approx(0.040)
    inches = "x_in,y_in,z_thou\n0,0,1\n2,2,1\n2,0,-1\n0,2,-1\n"
    assert ask("flatness", csv=inches)["minimum_zone_mm"] == pytest.approx(2 * 0.0254)


def test_flatness_of_a_line_is_straightness() -> None:
    table = "x,z\n0,0\n20,0.01\n40,0.03\n60,0.02\n80,0.04\n100,0.02\n"
    assert ask("flatness", csv=table, of="line")["minimum_zone_mm"] == pytest.approx(0.024)
    assert "there is no column 'y'" in refused("flatness", csv=table)


def test_flatness_by_straightedge_is_the_worst_line() -> None:
    """Story S10: 0.05 enters at one line, 0.08 does not: beyond 0.05."""
    found = ask("flatness", line=["0.05-0.08 mm", "max 0.03 mm"], limit="0.05 mm")
    assert (found["low_mm"], found["high_mm"]) == (pytest.approx(0.05), pytest.approx(0.08))
    assert found["verdict"] == "beyond"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"csv": "x,y\n0,0\n"}, "there is no column 'z'"),
        ({"csv": "x,y,z\n0,0,1\n1,0,b\n0,1,\n"}, "line 3, column z: 'b'"),
        ({"csv": "x,y,z\n0,0,1\n1,0,b\n0,1,\n"}, "line 4, column z"),
        ({"csv": "x,y,z\n0,0,0\n1,1,0\n"}, "2 points: 4 to"),
        ({"csv": "x,y,z\n0,0,0\n1,1,0\n2,2,0\n3,3,0\n"}, "along one line"),
        ({"csv": ""}, "give a table"),
        ({"csv": SADDLE, "expanded": "0"}, "above 0 mm"),
        ({"csv": SADDLE, "limit": "0"}, "limit: "),
        ({"line": ["0.08-0.05 mm"]}, "runs downward"),
        ({"line": ["0.05 mm"]}, "max 0.05 mm where that leaf"),
    ],
)
def test_flatness_names_what_is_wrong(typed: dict[str, Any], said: str) -> None:
    assert said in refused("flatness", **typed)


def test_gap_takes_the_leaflets_rule_and_proves_it_with_leaves() -> None:
    found = ask("gap", bore="54 mm", rule="0.45 %", goes=["0.25 mm"], stops=["0.30 mm"])
    assert found["least_mm"] == pytest.approx(0.243)
    assert found["verdict"] == "within"
    assert found["standard_uncertainty"] == pytest.approx(0.05 / 12**0.5)


def test_gap_by_the_rings_own_rule_outranks_the_engine_sheet_and_shows_both() -> None:
    answer = find("gap").answer({"bore": "54 mm", "rule": "0.45 %", "lower": "0.30 mm"})
    assert answer.fields["least_mm"] == pytest.approx(0.243)
    assert answer.rows[0].remark == "0.45 % of 54 mm; outranks the engine sheet's 0.30 mm"


def test_gap_by_leaves_in_inches_is_told_in_inches_with_its_millimetres_beside() -> None:
    answer = find("gap").answer(
        {"bore": "2.126 in", "rule": "0.45 %", "goes": ["0.010 in"], "stops": ["0.012 in"]}
    )
    assert "0.0100 in (0.254 mm) to under 0.0120 in (0.305 mm)" in answer.headline


def test_gap_half_open_proves_a_minimum_and_names_the_next_leaf_for_a_maximum() -> None:
    assert ask("gap", lower="0.25", goes=["0.30"])["verdict"] == "within"
    found = ask("gap", lower="0.25", upper="0.45", goes=["0.30"], leaf=["0.30", "0.05"])
    assert found["verdict"] == "undecided"
    assert "0.35 mm" in found["settled_by"][0]["what"]
    assert ask("gap", upper="0.45", goes=["0.45"])["verdict"] == "beyond"


def test_gap_says_how_much_a_new_ring_is_still_to_be_filed() -> None:
    found = ask("gap", gap="0.20 mm", lower="0.25")
    assert found["verdict"] == "beyond"
    assert found["to_file_off_mm"] == pytest.approx(0.05)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"rule": "0.45 %"}, "needs --bore"),
        ({"bore": "54", "rule": "45 %"}, "5 % is past any"),
        ({"bore": "2.126 in", "rule": "0.0045", "goes": ["0.010 in"]}, "is 0.45 %"),
        ({"goes": ["0.33"], "leaf": ["0.30", "0.05"]}, "no leaf of this set"),
        ({"goes": ["0.40"], "stops": ["0.30"]}, "0.40 mm goes, yet 0.30 mm does not"),
        ({"gap": "0", "lower": "0.25"}, "above 0"),
        ({"lower": "0.5", "upper": "0.4"}, "below the least gap"),
        ({}, "give a rule and a bore"),
    ],
)
def test_gap_refuses_what_has_no_answer(typed: dict[str, Any], said: str) -> None:
    assert said in refused("gap", **typed)


def test_clearance_is_undecided_where_the_plain_job_says_so() -> None:
    """Story S1: class I at 64.944 reaches 0.077 against 0.080; class II 64.953 is in."""
    limits = {"lower": "0.050", "upper": "0.080"}
    first = ask("clearance", bore="65.021 mm", skirt="64.944 mm", **limits)
    assert first["verdict"] == "undecided"
    assert first["settled_by"]
    for bore in ("65.021 mm", "65.010 mm"):
        assert ask("clearance", bore=bore, skirt="64.953 mm", **limits)["verdict"] == "within"


def test_clearance_lets_the_common_micrometer_cancel() -> None:
    """Micrometer ± 4 µm in both, the rest 1 µm: 1.0 µm, and 3.4 µm if taken as independent."""
    scale = 2 * 0.004 / 3**0.5
    typed = {
        "bore": "54", "skirt": "53.95",
        "bore_expanded": f"{(scale**2 + 0.002**2) ** 0.5:.7f}", "skirt_expanded": f"{scale:.7f}",
    }  # fmt: skip
    alone = ask("clearance", **typed)
    shared = ask("clearance", **typed, shared="0.004 mm")
    assert alone["standard_uncertainty"] == pytest.approx(0.0034, abs=0.00005)
    assert shared["standard_uncertainty"] == pytest.approx(0.0010, abs=0.00002)
    assert [line["shared"] for line in shared["budget"]][:1] == ["micrometer"]


def test_clearance_refuses_a_shared_error_larger_than_the_whole() -> None:
    said = refused("clearance", bore="54", skirt="53.95", shared="0.01 mm")
    assert "bore-expanded: " in said
    assert "skirt-expanded: " in said


def test_clearance_of_a_piston_larger_than_its_bore_is_a_slip() -> None:
    assert "0.010 mm larger" in refused("clearance", bore="54", skirt="54.010")
    said = refused("clearance", bore="0", skirt="0", shared="-1")
    assert said.count("is outside 20 to 150 mm") == 2
    assert "negative" in said


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("clearance", {"bore": "65.021 mm", "skirt": "64.953 mm"}),
        ("flatness", {"csv": SADDLE}),
        ("flatness", {"line": ["0.05-0.08 mm"]}),
        ("gap", {"bore": "54 mm", "goes": ["0.25 mm"], "stops": ["0.30 mm"]}),
    ],
)
def test_doubt_and_interval_are_there_without_any_limit(name: str, typed: dict[str, Any]) -> None:
    found = ask(name, **typed)
    assert found["standard_uncertainty"] > 0
    assert found["interval"]["low"] < found["value"] < found["interval"]["high"]
    assert found.get("verdict") is None


def test_the_largest_diameter_has_its_doubt_without_a_wear_limit() -> None:
    largest = ask("bore", csv=LOAN_BIKE, expanded="0.006 mm")["largest"]
    assert largest["standard_uncertainty"] == pytest.approx(0.003)
    assert largest["interval"]["high"] - largest["value"] == pytest.approx(1.96 * 0.003, rel=1e-3)
    assert largest["verdict"] is None


def test_a_flatness_that_is_undecided_says_what_to_do_now() -> None:
    answer = find("flatness").answer({"line": ["max 0.08 mm"], "limit": "0.05 mm"})
    assert "undecided" in answer.headline
    assert any(row.label == "to settle it" and "leaf" in row.value for row in answer.rows)
