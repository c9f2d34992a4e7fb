"""What is not given is named with what it blocks, and common practice is only offered."""

from functools import cache
from pathlib import Path

import pytest

import ringland
from ringland.sheet.load import Loaded, load_sheet
from ringland.sheet.missing import Missing, missing
from ringland.sheet.model import Scope
from ringland.sheet.readback import is_read_back
from ringland.sheet.showing import sheet_view

PACKAGE = Path(ringland.__file__).parent
COMMON_FILE = PACKAGE / "sheet" / "common" / "two-stroke-single.yaml"
HEAD = "engine: Tarrow 124\nextends: two-stroke-single\n"


@cache
def loaded(text: str = HEAD, variant: str | None = None) -> Loaded:
    common = {"two-stroke-single": COMMON_FILE.read_text(encoding="utf-8")}
    return load_sheet(text, "s.yaml", common, variant=variant)


def found(text: str = HEAD, scope: Scope | None = None) -> dict[str, Missing]:
    sheet = loaded(text)
    return {each.title: each for each in missing(sheet.sheet, sheet.figures, scope)}


@pytest.mark.parametrize(
    ("title", "blocks"),
    [
        ("small end play", "judged by feel (small end)"),
        ("squish", "reported, not judged"),
        ("piston to barrel", "reported, not judged; no piston class is proposed"),
        ("bore", "reported, not judged; a leaflet's gap per bore is not worked out"),
        ("barrel nuts", "no setting for the wrench"),
        ("plug", "tightened by feel, and recorded so"),
        (
            "crankcase leak",
            "the test cannot be passed: the start waits until a named person signs why",
        ),
        ("piston classes", "no piston class is proposed for the measured bore"),
        ("hours", "'due' tells no hours left"),
    ],
)
def test_each_missing_figure_says_what_it_blocks(title: str, blocks: str) -> None:
    assert found()[title].blocks == blocks


def test_half_a_figure_is_missing_its_other_half_only() -> None:
    text = HEAD + "figures:\n  gap: 0.30-0.38 mm\n  bore: 53.2 mm\n  piston to barrel: max 0.1 mm\n"
    half = found(text)
    assert "ring end gap" not in half  # a range when new is held to for a check of both sides
    assert half["bore, limit"].blocks == "wear is reported, not judged"
    assert half["piston to barrel, new"].blocks.startswith("a new part is held to the limit")


def test_common_practice_stands_beside_what_is_missing_and_never_becomes_a_figure() -> None:
    gap = found()["ring end gap"]
    assert "of the bore" in gap.common_practice
    assert loaded().figures.limits == {}


def test_what_the_engine_lacks_or_the_scope_does_not_touch_is_not_missing() -> None:
    bare = found(HEAD + "not fitted: power valve, water cooling, reed block\n", "ring")
    assert "power valve travel" in found(HEAD, "full")
    assert not {"power valve travel", "cooling system", "reed tips", "squish"} & set(bare)


def test_what_is_asked_for_comes_first() -> None:
    asked = [each.asked for each in missing(loaded().sheet, loaded().figures)]
    assert asked == sorted(asked, reverse=True)


SHEET = HEAD + (
    "figures:\n"
    "  bore: 53.2 mm, max 53.25 mm @ p 4-29\n"
    "  gap: 0.30-0.38 mm, max 0.60 mm @ p 4-31\n"
    "fasteners:\n"
    "  barrel nuts: 4 × M8, 21 lbf·ft, oiled @ p 4-40\n"
    "variants:\n"
    "  late:\n"
    "    barrel nuts: 23 lbf·ft @ p S-2\n"
    "read back:\n"
    "  bore: Ada 2026-11-05 as 53,200 mm, max 53.250 mm\n"
    "  gap: Ada 2026-11-05 as 0.35-0.38 mm, max 0.60 mm\n"
    "  barrel nuts: Ada\n"
)


def test_the_view_shows_page_reader_and_what_changed_since() -> None:
    text = SHEET.replace("53,200", "53.200")
    lines = {line.name: line for line in sheet_view(loaded(text), loaded(text)).figures}
    bore, gap, nuts = lines["bore"], lines["ring end gap"], lines["barrel nuts"]
    assert (bore.page, bore.read_back, bore.changed_since) == ("p 4-29", "Ada 2026-11-05", False)
    assert (gap.read_back, gap.changed_since) == ("", True)
    assert (nuts.line, nuts.read_back) == ("4 × M8, 21 lbf·ft, crosswise, oiled", "Ada")
    assert not any(line.of_variant for line in lines.values())


def test_a_figure_that_changed_since_its_note_is_not_read_back() -> None:
    sheet = loaded(SHEET.replace("53,200", "53.200"))
    read = {key: is_read_back(sheet.sheet, sheet.figures, key) for key in sheet.sheet.read_back}
    assert read == {"bore": True, "ring end gap": False, "barrel nuts": True}


def test_a_variants_figure_is_marked_and_was_not_read_back_with_the_base() -> None:
    text = SHEET.replace("53,200", "53.200").replace(
        "barrel nuts: Ada\n", "barrel nuts: Ada 2026-11-05 as 21 lbf·ft\n"
    )
    view = sheet_view(loaded(text, "late"), loaded(text), "late")
    nuts = next(line for line in view.figures if line.name == "barrel nuts")
    assert (nuts.figure, nuts.page, nuts.of_variant) == ("23 lbf·ft", "p S-2", True)
    assert (nuts.read_back, nuts.changed_since) == ("", True)
    assert view.not_read_back == 2
