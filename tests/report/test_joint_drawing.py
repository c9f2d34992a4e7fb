"""The joint from above: each nut where it stands with its turn, sides named only where known."""

import re
from dataclasses import replace
from math import atan2, degrees, hypot
from xml.etree import ElementTree

import pytest

from ringland.job.layout import Layout
from ringland.report.drawings.joint import joint_picture, places_of

SVG = "{http://www.w3.org/2000/svg}"
EVEN = Layout(((45.0, 135.0, 225.0, 315.0),), (1, 3, 2, 4), False, False, "crosswise")


def drawn(layout: Layout, pulled: tuple[int, ...] = (), following: int | None = None) -> str:
    return joint_picture(layout, pulled, following, "barrel nuts <from above>")


def words(svg: str) -> dict[str, tuple[float, float]]:
    root = ElementTree.fromstring(svg)
    return {
        text.text or "": (float(text.get("x", "")), float(text.get("y", "")))
        for text in root.iter(f"{SVG}text")
    }


def clockwise_from_left(x: float, y: float) -> float:
    """On the page, y down: the exhaust is at the left."""
    return (degrees(atan2(y, x)) + 180) % 360


@pytest.mark.parametrize("listed", [(20, 95, 160, 235, 305), (305, 20, 235, 160, 95)])
def test_each_number_stands_at_its_angle_clockwise_from_the_exhaust(
    listed: tuple[float, ...],
) -> None:
    layout = Layout((listed,), (1, 2, 3, 4, 5), True, False, "in turn")
    for number, (x, y) in enumerate(places_of(layout), 1):
        assert clockwise_from_left(x, y) == pytest.approx(layout.stands(number)[1])


def test_the_number_on_a_nut_is_its_turn() -> None:
    at = words(drawn(EVEN))
    assert max(at["1"]) < 0  # 45° from the exhaust: left and up the page
    assert min(at["2"]) > 0  # opposite
    assert clockwise_from_left(*places_of(EVEN)[2]) == pytest.approx(135)


@pytest.mark.parametrize(("side", "up", "down"), [("left", "IGN", "CL"), ("right", "CL", "IGN")])
def test_the_ignition_is_drawn_on_the_side_the_sheet_says(side: str, up: str, down: str) -> None:
    at = words(drawn(replace(EVEN, ignition=side)))
    assert at[up][1] < 0 < at[down][1]
    assert at["EX"][0] < 0 < at["IN"][0]
    assert not {"IGN", "CL"} & set(words(drawn(EVEN)))


def test_seen_from_elsewhere_there_is_a_top_and_no_bore() -> None:
    other = Layout(EVEN.rings, EVEN.order, False, True, "any order", seen_from="the intake")
    svg = drawn(other)
    assert set(words(svg)) == {"1", "2", "3", "4", "TOP"}
    assert clockwise_from_left(*places_of(other)[0]) == pytest.approx(135)  # 45° on from the top
    assert svg.count("<circle") == 4  # washers only


def test_tight_next_and_to_come_are_told_apart_without_colour() -> None:
    svg = drawn(EVEN, (1, 2), 3)
    assert len(re.findall('class="nut done"', svg)) == 2
    assert len(re.findall('class="nut next"', svg)) == 1
    assert svg.count('stroke-dasharray="5 4"') == 1


def test_two_rings_stay_apart_and_on_the_flange() -> None:
    inner, outer = (45.0, 135.0, 225.0, 315.0), (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)
    layout = Layout((inner, outer), tuple(range(1, 11)), True, False, "in turn")
    places = places_of(layout)
    svg = drawn(layout)
    half = max(float(n) for n in re.findall(r" V(-?[0-9.]+) ", svg.split("flange")[1])) + 16
    assert all(max(abs(x), abs(y)) + 18 <= half for x, y in places)
    washer = min(float(r) for r in re.findall(r'circle cx="[^"]+" cy="[^"]+" r="([0-9.]+)"', svg))
    for i, (x, y) in enumerate(places):
        assert all(hypot(x - a, y - b) > 2 * washer for a, b in places[:i])


def test_one_that_stands_alone_is_drawn_in_the_middle() -> None:
    assert places_of(Layout(((0.0,),), (1,), False, False, "in turn")) == [(0.0, 0.0)]
