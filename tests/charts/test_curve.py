import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from ringland.charts.curve import Band, Line, Points, Wall, curve_chart
from ringland.charts.style import DARK, LIGHT, Words

X = np.arange(1.0, 9.0)
WORDS = Words("It reads < 9 bar & falls.", "A curve, a band and five readings.", "strokes", "bar")


def chart(*, dark: bool = False) -> str:
    return curve_chart(
        WORDS,
        lines=[Line(X, 10 * X, "sound <engine>")],
        band=Band(X, 8 * X, 12 * X, "19 of 20"),
        points=Points(X, 9 * X, "read", np.full(8, 2.0)),
        walls=[Wall(20.0, "stop", below=True)],
        dark=dark,
    )


def test_a_chart_is_well_formed_with_title_description_and_role() -> None:
    root = ET.fromstring(chart())
    assert root.get("role") == "img"
    assert root.get("viewBox")
    space = "{http://www.w3.org/2000/svg}"
    assert root[0].tag == f"{space}title"
    assert root[0].text == WORDS.title
    assert root[1].text == WORDS.description


def test_a_chart_has_no_style_attribute_no_metadata_and_no_outside_address() -> None:
    svg = chart()
    assert "style=" not in svg
    assert "<style" not in svg
    assert "<metadata" not in svg
    addresses = {part.split('"')[0] for part in svg.split('href="')[1:]}
    assert all(each.startswith("#") for each in addresses)


def test_a_chart_is_the_same_bytes_each_time() -> None:
    assert chart() == chart()


def test_light_and_dark_differ_in_colours_only() -> None:
    light, dark = chart(), chart(dark=True)
    assert LIGHT.ink in light
    assert DARK.ink in dark
    assert DARK.ink not in light
    assert ET.fromstring(light)[2].tag == ET.fromstring(dark)[2].tag


def test_labels_are_text_and_escaped() -> None:
    svg = chart()
    assert "sound &lt;engine&gt;" in svg
    assert ">read<" in svg


def test_the_red_pencil_is_used_only_for_a_wall() -> None:
    plain = curve_chart(WORDS, lines=[Line(X, X, "plain")])
    assert LIGHT.mark not in plain
    assert LIGHT.mark in chart()


def test_nothing_to_draw_and_too_many_lines_are_refused() -> None:
    with pytest.raises(ValueError, match="nothing to draw"):
        curve_chart(WORDS)
    with pytest.raises(ValueError, match="up to 4"):
        curve_chart(WORDS, lines=[Line(X, X, str(i)) for i in range(5)])


def test_labels_of_lines_that_end_together_do_not_cover_each_other() -> None:
    svg = curve_chart(
        WORDS,
        lines=[Line(X, X, "fit"), Line(X, X + 0.01, "other fit")],
        points=Points(X, X, "read"),
        walls=[Wall(8.0, "rule")],
    )
    names = {"fit", "other fit", "read", "rule"}
    texts = [each for each in ET.fromstring(svg).iter() if each.text in names]
    heights = sorted(float(each.get("y", "nan")) for each in texts)
    assert len(heights) == len(names)
    letters = 12.0  # px, less than they are high
    assert all(lower - upper > letters for upper, lower in pairwise(heights))
