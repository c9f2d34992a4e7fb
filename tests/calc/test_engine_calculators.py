"""Calculators of the engine room: what a person types and gets, refusals, drawings, JSON."""

import json
import shlex
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner

from ringland.calc import find
from ringland.calc.calculator import Answer
from ringland.cli.calc import calc
from ringland.engine.hone import Honing, crosshatch
from ringland.engine.ports import Port, window
from ringland.engine.slider_crank import Crank
from tests.calc.asking import ask, refused

NAMES = ("ports", "ratio", "squish", "piston", "hotfit", "hone", "ring")
SVG = "{http://www.w3.org/2000/svg}"
CRANK = {"stroke": "56 mm", "rod": "105 mm"}
SOLDER = {"ex": "1.24 mm", "in": "1,16 mm", "ign": "1.19 mm", "cl": "1.21 mm"}


def text(answer: Answer) -> str:
    rows = [f"{row.label} {row.value} {row.remark}" for row in answer.rows]
    return "\n".join([answer.headline, *rows, *answer.notes, *answer.cautions])


@pytest.mark.parametrize("name", NAMES)
def test_the_example_of_each_calculator_runs_as_text_and_as_json(name: str) -> None:
    words = shlex.split(find(name).example)
    as_text = CliRunner().invoke(calc, words)
    assert as_text.exit_code == 0, as_text.output
    as_json = CliRunner().invoke(calc, [*words, "--json"])
    assert json.loads(as_json.output)["headline"] == as_text.output.splitlines()[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_calculator_without_arrays_loads_none(name: str) -> None:
    words = shlex.split(find(name).example)
    code = (
        "import sys\nfrom ringland.cli.calc import calc\n"
        f"calc({words!r}, standalone_mode=False)\n"
        "heavy = [each for each in ('numpy', 'scipy', 'pydantic') if each in sys.modules]\n"
        "sys.exit(', '.join(heavy) or None)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("ports", {**CRANK, "exhaust": "27.5 mm", "exhaust-closed": "33 mm", "intake": "32 mm"}),
        ("squish", SOLDER),
        ("squish", {"ex": "1.24 mm", "in": "1.16 mm"}),
        ("hone", {"bore": "54 mm", "stroke": "60 mm", "spindle": "150 rpm", "rate": "60 1/min"}),
    ],
)
def test_a_drawing_is_well_formed_says_what_it_shows_and_carries_no_style(
    name: str, typed: dict[str, str]
) -> None:
    answer = find(name).answer(typed)
    assert answer.svg is not None
    drawn = ET.fromstring(answer.svg())
    assert drawn.get("role") == "img"
    assert drawn.get("viewBox")
    assert (drawn.findtext(f"{SVG}title") or "").strip()
    assert any(character.isdigit() for character in drawn.findtext(f"{SVG}desc") or "")
    assert all(each.get("style") is None for each in drawn.iter())


def test_the_port_diagram_draws_each_port_at_its_own_angles() -> None:
    answer = ask("ports", **CRANK, exhaust="27.5 mm", transfer="41.5 mm")
    assert answer.svg is not None
    drawn = answer.svg()
    assert drawn.count(" A ") == 2
    assert "197.3°" in drawn
    assert "137.2°" in drawn


def test_the_squish_drawing_says_no_reading_where_none_was_taken() -> None:
    answer = ask("squish", ex="1.24 mm", **{"in": "1.16 mm"})
    assert answer.svg is not None
    assert answer.svg().count("no reading") == 2


def test_a_calculator_with_a_drawing_writes_it_to_a_file(tmp_path: Path) -> None:
    words = [*shlex.split(find("ports").example), "--svg", str(tmp_path / "ports.svg")]
    assert CliRunner().invoke(calc, words).exit_code == 0
    assert ET.parse(tmp_path / "ports.svg").getroot().tag == f"{SVG}svg"


def test_ports_takes_a_decimal_comma_and_answers_with_the_rooms_own_angle() -> None:
    answer = ask("ports", **CRANK, exhaust="27,5 mm", transfer="41.5 mm")
    exhaust = answer.fields["ports"][0]
    expected = window(Crank(0.056, 0.105), Port("exhaust", 0.0275, "exhaust"))
    assert exhaust["duration_deg"] == pytest.approx(expected.duration * 57.29577951308232)
    assert answer.fields["blowdown"][0]["angle_deg"] == pytest.approx(30.05, abs=0.01)


def test_ports_goes_from_a_duration_to_the_same_height() -> None:
    there = ask("ports", **CRANK, exhaust="27.5 mm").fields["ports"][0]["duration_deg"]
    back = ask("ports", **CRANK, exhaust=f"{there} deg").fields["ports"][0]["travel_mm"]
    assert back == pytest.approx(27.5)


def test_heights_from_the_barrels_top_are_less_the_deck() -> None:
    deck = ask("ports", **CRANK, exhaust="28.0 mm", deck="0.5 mm")
    plain = ask("ports", **CRANK, exhaust="27.5 mm")
    assert deck.fields["ports"] == plain.fields["ports"]


def test_a_swapped_pair_of_heights_is_asked_about() -> None:
    answer = ask("ports", **CRANK, exhaust="41.5 mm", transfer="27.5 mm")
    assert "swapped" in text(answer)


def test_ports_refuses_all_bad_heights_at_once_each_in_its_place() -> None:
    found = refused("ports", **CRANK, exhaust="27.5", transfer="5 bar")
    assert "unit" in found["exhaust"]
    assert "give a height" in found["transfer"]
    past = refused("ports", **CRANK, exhaust_closed="57 mm")
    assert "bottom dead centre" in past["exhaust-closed"]
    rod = refused("ports", stroke="56 mm", rod="25 mm", exhaust="27.5 mm")
    assert "longer than that" in rod["rod"]
    assert "no port given" in refused("ports", **CRANK)["exhaust"]


def test_ratio_by_burette_and_by_parts_agree_where_the_volumes_do() -> None:
    bore = {"bore": "53.2 mm", "stroke": "56 mm"}
    poured = ask("ratio", **bore, burette="13 mL", plug_hole="2.6 mL", exhaust="27.5 mm")
    parts = ask("ratio", **bore, chamber="12.4 mL", dome="2.0 mL")
    assert poured.fields["clearance_mL"] == pytest.approx(10.4)
    assert parts.fields["full_ratio"] == pytest.approx(poured.fields["full_ratio"])
    assert poured.fields["trapped_ratio"] == pytest.approx(6.88, abs=0.01)


def test_ratio_says_how_much_volume_a_wanted_ratio_takes() -> None:
    answer = ask("ratio", bore="53.2 mm", stroke="56 mm", burette="10.4 mL", wanted="12:1")
    assert answer.fields["wanted_clearance_mL"] == pytest.approx(124.48 / 11, abs=0.01)
    assert "more than now" in text(answer)


def test_ratio_wants_one_way_to_the_clearance_and_not_two() -> None:
    bore = {"bore": "53.2 mm", "stroke": "56 mm"}
    assert "either" in refused("ratio", **bore)["burette"]
    assert "either" in refused("ratio", **bore, burette="13 mL", chamber="11 mL")["burette"]
    past = refused("ratio", **bore, burette="13 mL", exhaust_closed="58 mm")
    assert "past bottom dead centre" in past["exhaust-closed"]


def test_squish_shows_its_choices_best_first_with_ratio_and_timing_beside() -> None:
    answer = ask(
        "squish",
        ex="1.55 mm",
        window="1.00-1.40 mm",
        fitted_base="0.5 mm",
        base=["0.5 mm", "0.3 mm", "0.2 mm"],
        bore="53.2 mm",
        **CRANK,
        clearance="11 mL",
        exhaust="27.5 mm",
        **{"in": "1.47 mm"},
    )
    choices = answer.fields["choices"]
    assert [each["base_mm"] for each in choices] == pytest.approx([0.2, 0.3, 0.5])
    assert choices[0]["squish_mm"] == pytest.approx(1.21)
    assert choices[0]["full_ratio"] > choices[-1]["full_ratio"]
    assert choices[0]["duration_deg"]["exhaust"] < choices[-1]["duration_deg"]["exhaust"]
    assert "maker's figure stands" in text(answer)


def test_squish_by_depth_gauge_averages_both_sides() -> None:
    answer = ask("squish", deck_ex="0.30 mm", deck_in="0.10 mm", fitted_head="1.0 mm")
    assert answer.fields["squish_mm"] == pytest.approx(1.2)
    assert answer.svg is None


def test_squish_speed_asks_for_what_it_misses() -> None:
    assert "squish speed needs" in refused("squish", **SOLDER, bowl="38 mm")["bowl"]
    answer = ask(
        "squish",
        **SOLDER,
        **CRANK,
        bore="53.2 mm",
        bowl="38 mm",
        clearance="10.4 mL",
        speed="9000 rpm",
    )
    assert 10 < answer.fields["squish_speed_m_per_s"] < 30


def test_squish_refuses_one_side_and_asks_for_window_and_fitted_gasket() -> None:
    assert "Take the IN point" in refused("squish", ex="1.2 mm")["in"]
    found = refused("squish", **SOLDER, base=["0.3 mm"])
    assert set(found) == {"fitted-base", "window"}
    assert "both ends" in refused("squish", **SOLDER, window="max 1.4 mm")["window"]
    assert "thicker solder" in refused("squish", **SOLDER, solder="1.2 mm")["ex"]
    assert "opposite points" in refused("squish")["ex"]


PISTON = {
    "bore": "65.010 mm",
    "window": "0.050-0.080 mm",
    "class": ["I 64.940-64.950 mm", "II 64,950-64,960 mm"],
}


def test_piston_ranks_classes_and_measured_pistons_and_says_measure_it() -> None:
    answer = ask("piston", **PISTON, piston=["mine 64.945 mm"])
    names = [each["name"] for each in answer.fields["fits"]]
    assert names[0] == "mine"
    assert names[-1] == "II"
    assert answer.fields["fits"][0]["probability"] > 0.99
    assert "before it goes in" in text(answer)


def test_piston_finds_the_wrong_box() -> None:
    answer = ask("piston", **PISTON, piston=["64.945 mm"], label="II")
    assert answer.fields["identity"]["state"] == "readings disagree"
    assert "label says II, the micrometer says it is not" in text(answer)
    right = ask("piston", **PISTON, piston=["64.945 mm"], label="I")
    assert right.fields["identity"]["state"] == "agree"


def test_piston_by_stamp_is_printed_as_unmeasured_with_what_it_leaves_open() -> None:
    answer = ask(
        "piston", **{"class": PISTON["class"]}, stamp="II", bore_class="II 65.010-65.020 mm"
    )
    assert answer.headline == "II by stamp, unmeasured"
    assert "wear of the bore" in text(answer)
    assert answer.fields["fits"][0]["probability"] is None
    assert answer.fields["fits"][0]["clearance_low_mm"] == pytest.approx(0.050)


def test_piston_by_stamp_warns_where_the_two_classes_do_not_fit_the_window() -> None:
    stamped = {"class": ["A 52.950-52.960 mm"], "stamp": "A", "window": "0.045-0.060 mm"}
    loose = ask("piston", **stamped, bore_class="A 53.000-53.010 mm")  # 0.040 to 0.060 (exact)
    assert any("do not belong together" in each for each in loose.cautions)
    fits = ask("piston", **stamped, bore_class="A 53.005-53.010 mm")  # 0.045 to 0.060
    assert not any("do not belong together" in each for each in fits.cautions)


def test_squish_that_leans_is_warned_of_before_any_gasket() -> None:
    points = {"ex": "1.24 mm", "in": "1.16 mm", "ign": "1.19 mm"}
    leaning, level = ask("squish", **points, cl="1.41 mm"), ask("squish", **points, cl="1.21 mm")
    assert any("find the tilt first" in each for each in leaning.cautions)
    assert not any("find the tilt first" in each for each in level.cautions)


def test_the_squish_drawing_has_the_ignition_side_up_as_all_drawings() -> None:
    answer = ask("squish", ex="1.24 mm", **{"in": "1.16 mm"}, ign="1.19 mm", cl="1.21 mm")
    assert answer.svg is not None
    drawn = ET.fromstring(answer.svg())
    height = {text.text: float(text.get("y", "nan")) for text in drawn.iter(f"{SVG}text")}
    assert height["ignition side"] < height["exhaust"] < height["clutch side"]


def test_another_make_in_its_one_size_may_go_in_by_stamp_without_a_clearance() -> None:
    answer = ask("piston", **{"class": ["standard 64.95 mm"]})
    assert "not known" in text(answer)
    assert "by stamp, unmeasured" in answer.headline


def test_piston_by_stamp_with_a_label_that_differs_is_stopped_for_a_measurement() -> None:
    answer = ask("piston", **{"class": PISTON["class"]}, stamp="II", label="I")
    assert "label says I, stamp says II" in text(answer)
    assert answer.fields["identity"]["state"] == "readings disagree"


def test_piston_refuses_a_class_without_sizes_a_missing_window_and_an_unknown_mark() -> None:
    assert "mark and sizes" in refused("piston", **{**PISTON, "class": ["I"]})["class"]
    without = {key: each for key, each in PISTON.items() if key != "window"}
    assert "clearance when new" in refused("piston", **without)["window"]
    assert "classes: I, II" in refused("piston", **PISTON, label="Z", stamp="I")["label"]
    assert "--stamp" in refused("piston", **{"class": PISTON["class"]})["bore"]


def test_hotfit_shows_the_touching_gap_beside_the_makers_and_never_calls_it_safe() -> None:
    answer = ask("hotfit", bore="54 mm", gap="0.20 mm", gap_min="0.25 mm", gap_max="0.45 mm")
    said = text(answer)
    assert "maker's least gap 0.25 mm" in said
    assert "safe" not in said.lower()
    assert "± " in next(row.value for row in answer.rows if "touch" in row.label)
    assert answer.fields["assumed_temperatures"] is True
    assert "assumed here" in said
    assert answer.fields["file_least_mm"] == pytest.approx(0.05)
    assert answer.fields["file_aim_mm"] == pytest.approx(0.08)


def test_hotfit_with_given_temperatures_computes_that_condition_alone() -> None:
    answer = ask(
        "hotfit",
        bore="54 mm",
        clearance="0.050 mm",
        bore_temp="120 °C",
        skirt_temp="302 °F",
        ring_temp="180 °C",
    )
    assert answer.fields["assumed_temperatures"] is False
    found = answer.fields["conditions"]
    assert [each["name"] for each in found] == ["as given"]
    assert found[0]["clearance_mm"] == pytest.approx(0.0188, abs=1e-4)


def test_hotfit_refuses_half_a_set_of_temperatures_and_nothing_to_compute() -> None:
    found = refused("hotfit", bore="54 mm", gap="0.3 mm", bore_temp="120 °C")
    assert set(found) == {"skirt-temp", "ring-temp"}
    assert "clearance" in refused("hotfit", bore="54 mm")
    assert "no piston fits so" in refused("hotfit", bore="54 mm", clearance="5 mm")["clearance"]


def test_hotfit_says_nothing_is_to_file_where_the_gap_is_there_or_past() -> None:
    limits = {"gap_min": "0.25 mm", "gap_max": "0.45 mm"}
    assert ask("hotfit", bore="54 mm", gap="0.30 mm", **limits).fields["file_aim_mm"] is None
    assert "another ring" in text(ask("hotfit", bore="54 mm", gap="0.60 mm", **limits))


def test_hone_goes_from_angle_to_rate_and_back() -> None:
    honing = {"bore": "54 mm", "stroke": "60 mm", "spindle": "150 rpm"}
    rate = ask("hone", **honing, angle="45 deg").fields["rate_per_min"]
    assert ask("hone", **honing, rate=f"{rate} 1/min").fields["angle_deg"] == pytest.approx(45)
    expected = crosshatch(Honing(0.054, 0.060, 2.5), 1.0) * 57.29577951308232
    assert ask("hone", **honing, rate="60 1/min").fields["angle_deg"] == pytest.approx(expected)


def test_a_bore_that_may_be_plated_is_warned_of_and_an_iron_one_is_not() -> None:
    honing = {"bore": "54 mm", "stroke": "60 mm", "spindle": "150 rpm", "rate": "60 1/min"}
    assert "never honed to size" in text(ask("hone", **honing))
    assert "never honed to size" in text(ask("hone", **honing, plated="yes"))
    assert "never honed to size" not in text(ask("hone", **honing, plated="no"))
    assert "mask" in text(ask("hone", **honing, plated="no"))


def test_hone_wants_a_rate_or_an_angle() -> None:
    honing = {"bore": "54 mm", "stroke": "60 mm", "spindle": "150 rpm"}
    assert "stroke rate" in refused("hone", **honing)["rate"]
    assert "30° to 60°" in refused("hone", **honing, angle="200 deg")["angle"]


def test_ring_says_beyond_and_at_which_speed_and_defers_to_the_maker() -> None:
    answer = ask("ring", **CRANK, speed="11000 rpm", height="1.0 mm")
    assert answer.headline.startswith("Beyond")
    assert answer.fields["limit_rpm"] < 11000
    assert "maker's greatest engine speed stands" in text(answer)
    slower = ask("ring", **CRANK, speed="9000 rpm", height="1.0 mm")
    assert slower.headline.startswith("Under")


def test_ring_refuses_a_height_outside_the_table_and_answers_without_one() -> None:
    found = refused("ring", **CRANK, speed="9000 rpm", height="0.8 mm")
    assert "ask the ring's maker" in found["height"]
    assert "limit_rpm" not in ask("ring", **CRANK, speed="9000 rpm").fields
