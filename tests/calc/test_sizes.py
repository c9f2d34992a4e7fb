"""Lengths that no such engine has are refused as slips, with what may have been meant."""

from typing import Any

import pytest

from ringland.calc import find
from ringland.calc.sizes import slip
from ringland.quantity import parse_quantity
from tests.calc.asking import refused


@pytest.mark.parametrize(
    ("typed", "size", "meant"),
    [
        ("2.126 mm", "bore", "2.126 in"),
        ("53.2 in", "bore", "53.2 mm"),
        ("532 mm", "bore", "53.2 mm"),
        ("14 mm", "gap", "14 thou"),
        ("3.1 mm", "gap", "0.31 mm"),
        ("0.014 mm", "gap", "0.014 in"),
        ("12.4 mm", "squish", "1.24 mm"),
    ],
)
def test_a_slip_of_unit_or_decimal_mark_is_offered_back(typed: str, size: str, meant: str) -> None:
    said = slip(parse_quantity(typed), size)
    assert said is not None
    assert meant in said
    assert said.endswith("?")


@pytest.mark.parametrize(
    ("typed", "size"),
    [("20 mm", "bore"), ("150 mm", "bore"), ("2.126 in", "bore"), ("14 thou", "gap"),
     ("0.03 mm", "gap"), ("6 mm", "squish")],
)  # fmt: skip
def test_a_size_within_the_range_or_on_its_end_is_taken(typed: str, size: str) -> None:
    assert slip(parse_quantity(typed), size) is None


def test_a_size_with_no_likely_reading_is_measured_again() -> None:
    assert "measure again" in str(slip(parse_quantity("-53.2 mm"), "bore"))


def test_every_bad_reading_of_a_bore_is_told_and_a_deviation_asks_for_its_size() -> None:
    said = refused("bore", reading=["H1-X=2.126", "H1-Y=0.012"])["reading"]
    assert "0.012 mm is outside" in said
    assert "--set-size" in said
    found = find("bore").answer({"reading": ["H1-X=0.012"], "set-size": "53.2 mm"})
    assert "53.212 mm" in found.headline


def test_a_clearance_that_no_piston_has_is_asked_about() -> None:
    assert "swapped digits" in refused("clearance", bore="53.2", skirt="35.15")["skirt"]


@pytest.mark.parametrize(
    ("name", "typed", "field", "said"),
    [
        ("ports", {"stroke": "56 mm", "rod": "105 mm", "exhaust": "27.5"}, "exhaust", "add mm or in"),
        ("ports", {"stroke": "56 mm", "rod": "105 mm", "exhaust": "27.5 mm", "gasket": "60 mm"},
         "gasket", "out of the stroke"),
        ("hotfit", {"bore": "54 mm", "gap": "0.3 mm", "bore_temp": "100 °C", "skirt_temp": "900 °C",
                    "ring_temp": "180 °C"}, "skirt-temp", "900 °C"),
        ("compression", {"reading": "9 bar", "was": "12 bar", "note": "10", "plan": "5"}, "plan",
         "levels rise"),
        ("leakdown", {"supply": "700 bar", "cylinder": "5 bar"}, "supply", "outside 0 to 7 bar"),
        ("coolant", {"glycol": "propylene", "share": "40", "volume": "0 L"}, "volume", "above 0"),
        ("gap", {"bore": "53.2", "rule": "45"}, "rule", "divide by 100"),
    ],
)  # fmt: skip
def test_a_refusal_stands_at_the_field_that_was_wrong(
    name: str, typed: dict[str, Any], field: str, said: str
) -> None:
    assert said in refused(name, **typed)[field]


def test_a_crank_speed_with_a_thousands_mark_is_that_speed() -> None:
    typed = {"stroke": "56 mm", "rod": "105 mm"}
    marked = find("ring").answer({**typed, "speed": "11,000 rpm"})
    assert marked.headline == find("ring").answer({**typed, "speed": "11000 rpm"}).headline


def test_a_reading_above_its_baseline_is_never_said_to_be_below_it_by_less_than_nothing() -> None:
    typed = {"reading": ["11.2 bar"], "was": ["12.4 bar"], "altitude": "1500 m"}
    assert find("compression").answer(typed).headline.startswith("8 % above its own baseline")


def test_squish_whose_opposite_points_lie_far_apart_is_to_be_squeezed_again() -> None:
    answer = find("squish").answer({"ex": "1.24 mm", "in": "1.86 mm"})
    assert any("squeeze both again" in each for each in answer.cautions)
    near = find("squish").answer({"ex": "1.24 mm", "in": "1.30 mm"})
    assert not any("squeeze both again" in each for each in near.cautions)
