"""The small pictures of findings: known names, well formed, marks on the part, ids their own."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

import ringland.sheet
from ringland.report.drawings.finding_marks import PLACES, Point
from ringland.report.drawings.findings import PICTURES, finding_picture
from ringland.sheet.load import load_common

COMMON = Path(ringland.sheet.__file__).parent / "common" / "two-stroke-single.yaml"
SVG = "{http://www.w3.org/2000/svg}"


def _inside(point: Point, outline: tuple[Point, ...]) -> bool:
    """Even-odd rule: a ray to the right crosses the edge an odd number of times."""
    x, y = point
    odd = False
    for (x1, y1), (x2, y2) in zip(outline, outline[1:] + outline[:1], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            odd = not odd
    return odd


def test_each_picture_belongs_to_a_finding_of_the_common_sheet() -> None:
    known = load_common(COMMON.read_text(encoding="utf-8"), COMMON.name).sheet.findings
    assert [name for name in PLACES if name not in known] == []
    assert len(PLACES) >= 25


@pytest.mark.parametrize("name", PLACES)
def test_each_picture_is_well_formed_and_its_title_says_what_is_shown(name: str) -> None:
    text = finding_picture(name, "7")
    assert text is not None
    assert "style=" not in text
    root = ElementTree.fromstring(text)
    title = root.find(f"{SVG}title")
    assert title is not None
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == title.get("id")
    assert title.text == f"{name}: {PLACES[name].picture}, {PLACES[name].where}"


@pytest.mark.parametrize("name", PLACES)
def test_each_mark_lies_within_the_outline_of_its_part(name: str) -> None:
    outline = PICTURES[PLACES[name].picture].outline
    points = [point for mark in PLACES[name].marks for point in mark.points]
    assert points
    assert [point for point in points if not _inside(point, outline)] == []


def test_two_pictures_on_one_page_share_no_id_and_use_only_their_own() -> None:
    ids = [
        set(re.findall(r' id="([^"]+)"', finding_picture("glazed", key) or ""))
        for key in ("1", "2")
    ]
    assert ids[0]
    assert not ids[0] & ids[1]
    used = re.findall(r"url\(#([^)]+)\)", finding_picture("glazed", "1") or "")
    assert used
    assert set(used) <= ids[0]


def test_a_finding_without_a_place_has_no_picture() -> None:
    assert finding_picture("weak fuel", "1") is None


def test_each_part_that_can_be_drawn_is_drawn_for_a_finding() -> None:
    assert {place.picture for place in PLACES.values()} == set(PICTURES)
