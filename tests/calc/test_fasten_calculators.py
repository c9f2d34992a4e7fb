"""The calculators of fastening: what a person gets to read, and refusals."""

import json
import shlex
import xml.etree.ElementTree as ET

import pytest
from click.testing import CliRunner

from ringland.calc import find
from ringland.cli import main
from ringland.report.answer import as_text
from tests.calc.asking import ask, refused

MINE = ("adapter", "sequence", "preload", "premix", "coolant", "convert", "heatcycle")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", MINE)
def test_the_example_of_each_runs_from_the_command_line_in_text_and_json(name: str) -> None:
    words = ["calc", *shlex.split(find(name).example)]
    if "--svg" in words:
        words = words[: words.index("--svg")]
    text = CliRunner().invoke(main, words)
    assert text.exit_code == 0, text.output
    told = CliRunner().invoke(main, [*words, "--json"])
    content = json.loads(told.output)
    assert content["headline"] == text.output.splitlines()[0]
    assert len(content) > 3


@pytest.mark.parametrize("name", MINE)
def test_each_says_what_it_rests_on(name: str) -> None:
    answer = ask(find(name).example.split(" --svg")[0])
    assert answer.notes
    assert all(name.isascii() for name in answer.fields)


def test_the_adapter_shows_what_to_set_what_the_nut_gets_and_what_a_wrong_setting_gives() -> None:
    """Common practice: 30 N·m, 300 and 50 mm: 25.7 in line, 26.8 at 45, 30.0 at 90; left, 33.5."""
    answer = ask('adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 45')
    assert answer.headline.startswith("Set 26.8 N·m (19.8 lbf·ft): the nut gets 30.0 N·m")
    text = as_text(answer)
    for told in ("the nut would get 33.5 N·m", "+12 %", "25.7 N·m", "no correction"):
        assert told in text
    assert answer.fields["set_N_m"] == pytest.approx(26.8375, abs=1e-3)


def test_square_nothing_is_said_to_be_wrong() -> None:
    answer = ask('adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 90')
    assert "would get" not in as_text(answer)
    assert answer.svg is not None
    assert "would get" not in answer.svg()


def test_decimal_commas_and_other_units_are_taken() -> None:
    one = ask('adapter --torque "22,5 lbf·ft" --wrench "11,8 in" --adapter "2 in" --angle "45 deg"')
    other = ask('adapter --torque "22.5 ft-lb" --wrench "299.72 mm" --adapter "5,08 cm" --angle 45')
    assert one.fields["set_N_m"] == pytest.approx(other.fields["set_N_m"])
    assert one.headline == other.headline


def test_with_a_scale_the_nearest_mark_is_set_in_the_wrench_s_own_unit() -> None:
    answer = ask(
        'adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 45 '
        '--scale "5-80 lbf·ft" --graduation 1'
    )
    assert answer.headline.startswith("Set 20 lbf·ft")
    assert answer.fields["mark"] == 20
    assert answer.fields["nut_gets_N_m"] == pytest.approx(20 * 1.35581795 * 1.117851, abs=1e-3)


def test_the_inverse_says_what_the_nut_gets() -> None:
    answer = ask('adapter --setting "60 lbf·ft" --wrench "12 in" --adapter "2 in" --angle 0')
    assert "the nut gets 70.0 lbf·ft" in answer.headline


def test_the_inverse_has_its_uncertainty_and_the_setting_its_slopes() -> None:
    # partial derivatives of T = S (L + A)/L: dT/dL = -S A/L^2, dT/dA = S/L (exact)
    newton_metre, inch = 1.3558179483314004, 0.0254
    setting, length, adapter = 60 * newton_metre, 12 * inch, 2 * inch
    u = ((setting * adapter / length**2 * 2e-3) ** 2 + (setting / length * 0.5e-3) ** 2) ** 0.5
    inverse = ask('adapter --setting "60 lbf·ft" --wrench "12 in" --adapter "2 in" --angle 0')
    assert inverse.fields["nut_gets_standard_uncertainty_N_m"] == pytest.approx(u, rel=1e-9)
    assert inverse.rows[1].remark == "± 0.23 lbf·ft (95 %) from lengths and angle"
    straight = ask('adapter --torque "40 lbf·ft" --wrench "12 in" --adapter "4 in" --angle 0')
    slope = -40 * newton_metre * 12 / 16**2 / inch  # -T L/(L + A)^2
    assert straight.fields["set_per_adapter_length_N_m_per_m"] == pytest.approx(slope)
    assert "−0.188 lbf·ft per 0.1 in of adapter" in straight.rows[1].remark


def test_the_drawing_shows_the_mark_that_is_set_and_the_unit_of_its_lengths() -> None:
    answer = ask(
        'adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 45 '
        '--scale "5-25 lbf·ft" --graduation 0.25'
    )
    assert answer.svg is not None
    drawn = answer.svg()
    assert "19.75" in answer.headline
    assert "19.75" in drawn
    assert ">300 mm<" in drawn
    assert ">50 mm<" in drawn


@pytest.mark.parametrize(
    ("words", "field", "told"),
    [
        ('--torque "30 mm" --wrench "300 mm" --adapter "50 mm" --angle 45', "torque", "a length"),
        ('--torque 30 --wrench "300 mm" --adapter "50 mm" --angle 45', "torque", "no unit"),
        ('--torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 190', "angle", "190 deg"),
        ('--torque "30 N·m" --wrench "50 mm" --adapter "60 mm" --angle 180', "adapter", "no lever"),
        ('--torque "0 N·m" --wrench "300 mm" --adapter "60 mm" --angle 0', "torque", "above 0"),
        ('--wrench "300 mm" --adapter "60 mm" --angle 0', "torque", "one of them"),
        (
            '--torque "11 N·m" --wrench "300 mm" --adapter "50 mm" --angle 90 --scale "10-60 N·m"',
            "scale",
            "below 20 %",
        ),
        (
            '--torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle 90 --scale "60 N·m"',
            "scale",
            "ends of its scale",
        ),
    ],
)
def test_the_adapter_refuses_with_the_field_the_value_and_the_next_step(
    words: str, field: str, told: str
) -> None:
    problems = refused(f"adapter {words}")
    assert told in problems[field]


def test_all_that_is_wrong_is_said_at_once() -> None:
    assert set(refused('adapter --torque "30 mm" --wrench 300 --adapter x --angle "1 h"')) == {
        "torque",
        "wrench",
        "adapter",
        "angle",
    }


@pytest.mark.parametrize("angle", [0, 8, 45, 90, 120, 180])
def test_the_adapter_s_drawing_is_sound_svg_with_a_title_and_no_style(angle: int) -> None:
    answer = ask(f'adapter --torque "30 N·m" --wrench "300 mm" --adapter "50 mm" --angle {angle}')
    assert answer.svg is not None
    text = answer.svg()
    root = ET.fromstring(text)
    assert root.get("role") == "img"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert title.text is not None
    assert title.text.startswith("Set ")
    assert description is not None
    assert "style=" not in text
    words = "".join(root.itertext())
    for told in ("300", "50", f"{angle}°", "and the nut gets 30.0 N·m"):
        assert told in words


@pytest.mark.parametrize("count", [1, 2, 3, 5, 8, 12])
def test_the_joint_s_drawing_numbers_each_fastener_once(count: int) -> None:
    answer = ask(f"sequence --count {count}")
    assert answer.svg is not None
    text = answer.svg()
    root = ET.fromstring(text)
    words = [each.text for each in root.iter(f"{SVG}text")]
    for place in range(1, count + 1):
        assert words.count(str(place)) == 1
    assert {"EX", "IN"} <= set(words)
    assert "style=" not in text


def test_the_ignition_side_is_named_only_where_it_was_said() -> None:
    def sides(words: str) -> list[tuple[str, bool]]:
        svg = ask(f"sequence --count 4 {words}").svg
        assert svg is not None
        texts = ET.fromstring(svg()).iter(f"{SVG}text")
        return [(t.text, float(t.get("y", "0")) < 0) for t in texts if t.text in ("IGN", "CL")]

    assert sides("") == []
    assert sides("--ignition left") == [("IGN", True), ("CL", False)]
    assert sides("--ignition right") == [("CL", True), ("IGN", False)]


def test_the_bore_between_measured_places_is_drawn_to_their_scale_or_not_at_all() -> None:
    def drawn(words: str) -> ET.Element:
        svg = ask(f'sequence --at "-50 0" --at "50 0" {words}').svg
        assert svg is not None
        return ET.fromstring(svg())

    with_bore, without = drawn('--bore "60 mm"'), drawn("")
    bore = with_bore.find(f"{SVG}circle[@class='paper']")
    nut = with_bore.find(f"{SVG}g/{SVG}circle")
    assert bore is not None
    assert nut is not None
    assert float(bore.get("r", "")) == pytest.approx(abs(float(nut.get("cx", ""))) * 30 / 50)
    assert without.find(f"{SVG}circle") is None


def test_positions_give_the_order_and_the_maker_s_own_wins() -> None:
    corners = '--at "-50 50" --at "50 50" --at "50 -50" --at "-50 -50"'
    found = ask(f"sequence {corners}")
    assert found.headline == "Crosswise: 1 at 45°, 2 at 225°, 3 at 135°, 4 at 315°."
    assert found.fields["order"] == ["1", "3", "2", "4"]
    own = ask(f'sequence {corners} --order "1 2 3 4"')
    assert own.headline == "The maker’s order: 1 at 45°, 2 at 135°, 3 at 225°, 4 at 315°."
    assert own.fields["loosening"] == ["4", "3", "2", "1"]
    assert own.fields["order_is_the_makers"] is True


def test_angles_of_two_rings_are_typed_as_in_a_sheet() -> None:
    found = ask('sequence --angles "45 135 225 315 outer 0 120 240"')
    assert found.fields["angles_deg"] == [45, 225, 135, 315, 120, 240, 0]
    assert "5 at 120° outer" in found.headline
    assert not any("even ring" in note for note in found.notes)
    assert any("even ring is taken" in note for note in ask("sequence --count 5").notes)


def test_the_numbers_of_words_and_drawing_are_the_same_turns() -> None:
    found = ask('sequence --angles "10 80 150 215 290"')
    assert found.svg is not None
    told = found.headline.removeprefix("Crosswise: ").rstrip(".")
    assert told in ET.fromstring(found.svg()).get("aria-label", "")


def test_the_stages_of_a_torque_are_listed() -> None:
    text = as_text(ask('sequence --count 4 --torque "30 N·m"'))
    for told in ("9.0 N·m", "19.5 N·m", "30.0 N·m", "stage check"):
        assert told in text


@pytest.mark.parametrize(
    ("words", "field", "told"),
    [
        ("", "count", "say how many"),
        ('--count 4 --angles "0 90 180 270"', "count", "one of the three"),
        ('--angles "0 90 95 x"', "angles", "'x' is no angle"),
        ("--count 2.5", "count", "whole number"),
        ("--count 99", "count", "1 to 40"),
        ('--at "1 2 3"', "at", "x and y"),
        ('--at "5 5" --at "5 5"', "at", "in one place"),
        ("--count 4 --order 1-2-3", "order", "leaves out 4"),
    ],
)
def test_the_sequence_refuses_what_makes_no_joint(words: str, field: str, told: str) -> None:
    assert told in refused(f"sequence {words}")[field]


def test_preload_without_a_torque_shows_the_screw_s_limit_and_sets_nothing() -> None:
    """VDI 2230-1 table: 29.7 kN and 38.3 N·m for M8x1, 10.9, 0.12."""
    answer = ask("preload --thread M8x1 --class 10.9 --friction 0,12")
    assert "29.7 kN" in answer.headline
    assert "not a torque to set" in as_text(answer)
    assert answer.fields["full_use_torque_N_m"][0] == pytest.approx(38.3, rel=0.005)
    assert any("maker's torque stands" in caution for caution in answer.cautions)


def test_a_torque_is_a_range_of_clamp_force_by_condition() -> None:
    dry = ask('preload --thread M8 --class 8.8 --torque "24 N·m"')
    oiled = ask('preload --thread M8 --class 8.8 --torque "24 N·m" --condition oiled')
    assert dry.fields["preload_N"][0] < dry.fields["preload_N"][1] < oiled.fields["preload_N"][1]
    assert any("past its yield" in caution for caution in oiled.cautions)
    assert not any("past its yield" in caution for caution in dry.cautions)


def test_a_shallow_thread_in_aluminium_is_warned_about_and_a_deep_one_is_not() -> None:
    base = 'preload --thread M6 --class 8.8 --torque "10 N·m" --friction 0.12-0.16'
    shallow = ask(f'{base} --engaged "6 mm"')
    deep = ask(f'{base} --engaged "16 mm" --shear-strength "150 MPa"')
    assert any("may strip" in caution for caution in shallow.cautions)
    assert not any("may strip" in caution for caution in deep.cautions)


def test_the_unit_slip_of_the_trade_is_seen_in_the_screw() -> None:
    """Common practice: a "10" taken as 10 lbf·ft strips an M6."""
    answer = ask('preload --thread M6 --class 8.8 --torque "10 lbf·ft" --friction 0.10-0.16')
    assert answer.fields["yield_share"][1] > 1.2
    assert any("Check the unit" in caution for caution in answer.cautions)


def test_preload_says_all_that_is_wrong_at_once() -> None:
    assert set(refused("preload --thread M9 --class 7 --friction 2")) == {
        "thread",
        "class",
        "friction",
    }
    assert "condition" in refused("preload --thread M8 --class 8.8 --condition wet")
