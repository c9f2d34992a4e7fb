"""The map of a face tells heights and contacts by figure and shape."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from ringland.calc import find
from ringland.charts.face import face_chart
from ringland.charts.style import Words

WORDS = Words("t", "d", "x, millimetres", "y, millimetres")
# 2-2 set of an exact minimum zone of 0.040 mm: two opposite corners high, two low
SADDLE = "x mm,y mm,z mm\n0,0,0.02\n60,60,0.02\n60,0,-0.02\n0,60,-0.02\n30,30,0.005\n"


def texts(svg: str) -> list[str]:
    return ["".join(e.itertext()) for e in ElementTree.fromstring(svg).iter() if "text" in e.tag]


def test_the_calculator_draws_each_points_height_over_the_lower_plane() -> None:
    answer = find("flatness").answer({"csv": SADDLE})
    assert answer.svg is not None
    svg = answer.svg()
    said = texts(svg)
    # exact: corners at 40 and 0 µm, the middle 15 µm under the upper plane
    assert said.count("40") >= 2
    assert "25" in said
    found = re.search("<desc>(.*?)</desc>", svg)
    assert found is not None
    assert "1 40, 2 40, 3 0, 4 0, 5 25" in found[1]


def test_points_that_hold_the_zone_are_told_by_their_shape() -> None:
    x, y = np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 0.5])
    plain = face_chart(WORDS, x, y, np.zeros(3))
    marked = face_chart(WORDS, x, y, np.zeros(3), high=(0,), low=(1,))
    shapes = [len(set(re.findall(r'<use [^>]*href="#(\w+)"', svg))) for svg in (plain, marked)]
    assert shapes[1] == shapes[0] + 2


def test_no_points_make_no_map() -> None:
    with pytest.raises(ValueError, match="nothing to draw"):
        face_chart(WORDS, np.array([]), np.array([]), np.array([]))


def test_a_line_under_a_straightedge_has_no_map() -> None:
    answer = find("flatness").answer(
        {"csv": "x mm,z mm\n0,0\n20,0.01\n40,0.03\n60,0.02\n", "of": "line"}
    )
    assert answer.svg is None


def test_a_point_a_hair_below_the_lower_plane_reads_nought_without_a_sign() -> None:
    x, y = np.array([0.0, 60.0, 60.0]), np.array([0.0, 0.0, 60.0])
    drawn = face_chart(WORDS, x, y, np.array([-1e-9, 3.0, 7.0]))
    assert ">-0<" not in drawn
    assert ">−0<" not in drawn
    assert ">7<" in drawn
