"""How a calculator tells its values: in the unit that was typed, the other system's in brackets."""

import pytest

from ringland.calc.calculator import Inputs
from ringland.calc.shown import Told, told
from ringland.quantity import Estimate, find_unit, parse_quantity
from ringland.report.answer import as_text
from tests.calc.asking import ask

INCH = 25.4e-3  # m, exact


def said_for(*typed: object, kind: str = "length") -> Told:
    values = {f"field {at}": each for at, each in enumerate(typed)}
    return told(Inputs(values), kind, *values)


def test_inches_lead_where_inches_were_typed_and_millimetres_stand_in_brackets() -> None:
    say = said_for(parse_quantity("2.1260 in"))
    assert say(2.1264 * INCH, 3) == "2.1264 in (54.011 mm)"
    assert say.span(0.040 * INCH, 0.055 * INCH) == "0.0400 to 0.0550 in (1.016 to 1.397 mm)"
    assert say.change(-0.004 * INCH) == "−0.0040 in (−0.102 mm)"


def test_millimetres_stand_alone_where_all_was_typed_in_them_or_nothing_was() -> None:
    for say in (said_for(parse_quantity("53.2 mm")), said_for(None), said_for(())):
        assert say(0.0532) == "53.20 mm"
        assert say.twice(0.0254, 3) == "25.400 mm (1.0000 in)"


def test_a_person_who_counts_in_thou_is_told_inches_from_a_tenth_of_an_inch_on() -> None:
    say = said_for(parse_quantity("14 thou"))
    assert say(0.014 * INCH, 3) == "14.0 thou (0.356 mm)"
    assert say(2.126 * INCH, 3) == "2.1260 in (54.000 mm)"


def test_mixed_units_are_told_in_both_and_the_first_leads() -> None:
    say = said_for(parse_quantity("54 mm"), parse_quantity("14 thou"))
    assert say(0.014 * INCH, 3) == "0.356 mm (0.0140 in)"


@pytest.mark.parametrize(
    "text",
    ["H1-X=2.126 in", 'P1 2.126"', "A 2.124-2.125 in", "height,axis,reading (in)\nH1,X,2.126",
     "height,axis,reading_inch\nH1,X,2.126", "max 0.002 in"],
)  # fmt: skip
def test_the_unit_is_found_inside_a_text_or_a_heading(text: str) -> None:
    assert said_for(text).lead == find_unit("in")


@pytest.mark.parametrize("text", ["H1-IN=54.012", "A in stock 52.950", "height,axis,reading"])
def test_a_word_that_is_no_unit_of_a_number_leads_nothing(text: str) -> None:
    assert said_for(text).lead == find_unit("mm")


def test_a_doubt_too_small_for_the_decimals_is_not_shown_as_none() -> None:
    say = said_for(parse_quantity("2 in"))
    assert (
        say.doubt(Estimate(2 * INCH, 0.00001 * INCH)) == "2.00000 ± 0.00002 in (50.800 ± 0.001 mm)"
    )


def test_pressures_and_temperatures_follow_what_was_typed_too() -> None:
    assert said_for(parse_quantity("170 psi"), kind="pressure")(11.72e5) == "170.0 psi (11.72 bar)"
    warm = said_for(parse_quantity("250 °F"), kind="temperature")
    assert warm.doubt(Estimate(393.15, 5.0), 0) == "248 ± 18 °F (120 ± 10 °C)"  # a ± has no zero


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("clearance", {"bore": "2.5591 in", "skirt": "2.5568 in"}, "0.0023 ± 0.0002 in (0.058"),
        ("bore", {"reading": ["H1-X=2.1260 in", "H1-Y=2.1264 in"]}, "2.1260 to 2.1264 in (54.000"),
        ("squish", {"ex": "47 thou", "in": "45 thou"}, "46.0 ± 1.1 thou (1.168"),
        ("gap", {"bore": "2.126 in", "rule": "0.45 %"}, "0.0096 in (0.243 mm)"),
        ("hotfit", {"bore": "2.126 in", "gap": "12 thou"}, "thou ("),
        ("ratio", {"bore": "2.1 in", "stroke": "2.2 in", "burette": "13 mL"}, "2.1000 in (53.340"),
        ("ports", {"stroke": "2.2 in", "rod": "4.13 in", "exhaust": "1.08 in"}, "1.0800 in (27.432"),
        ("ring", {"stroke": "2.2 in", "rod": "4.13 in", "speed": "9000 rpm", "height": ".04 in"},
         "ring 0.0400 in (1.016 mm) high"),
        ("piston", {"bore": "2.0868 in", "window": ".0016-.0024 in", "piston": ['P1 2.0849"']},
         "0.0019 ± 0.0002 in (0.048"),
        ("flatness", {"line": ["0.002-0.003 in"]}, "0.0020 in (0.051 mm) to under 0.0030 in"),
        ("hone", {"bore": "2.1 in", "stroke": "2.5 in", "spindle": "150 rpm", "rate": "60 rpm",
                  "motion": "crank"}, "0.31 in (8 mm) from"),
    ],
)  # fmt: skip
def test_each_calculator_answers_inches_to_inches(
    name: str, typed: dict[str, object], said: str
) -> None:
    assert said in as_text(ask(name, **typed))


def test_the_headline_says_both_where_a_gauge_of_either_system_is_held_against_it() -> None:
    assert (
        "0.068 ± 0.006 mm (0.0027 ± 0.0002 in)"
        in ask("clearance", bore="65.021", skirt="64.953").headline
    )


def test_the_fields_for_a_program_stay_in_millimetres() -> None:
    metric = ask("squish", ex="1.27 mm", **{"in": "1.27 mm"}).fields
    inches = ask("squish", ex="0.05 in", **{"in": "0.05 in"}).fields
    assert inches["squish_mm"] == pytest.approx(metric["squish_mm"])


def test_a_drawing_speaks_the_leading_unit_alone_for_want_of_room() -> None:
    svg = ask("squish", ex="47 thou", **{"in": "45 thou"}).svg
    assert svg is not None
    drawn = svg()
    assert "47.0 thou<" in drawn
    assert "mm" not in drawn


def test_a_log_in_pounds_is_answered_and_plotted_in_pounds() -> None:
    log = "min;psi\n0;6,0\n2;5,9\n3;5,85\n4;5,8\n6;5,7\n"
    answer = ask("leak", log=log)
    assert "psi (0.0" in answer.headline
    assert answer.svg is not None
    assert "gauge pressure, psi" in answer.svg()


def test_flat_scratches_are_drawn_apart() -> None:
    svg = ask("hone", bore="54 mm", stroke="60 mm", spindle="150 rpm", rate="2 rpm").svg
    assert svg is not None
    assert svg().count("<polyline") < 200
