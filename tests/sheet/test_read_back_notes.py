"""Reading back: equal figures are equal in any unit, and the file changes in one line only."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ringland
from ringland.quantity import MissingUnit, QuantityError
from ringland.sheet.editing import CannotEdit, with_figure, with_notes
from ringland.sheet.load import load_sheet
from ringland.sheet.readback import (
    Note,
    Typed,
    completed,
    note_text,
    parse_note,
    same_value,
    typed_figures,
)
from ringland.sheet.text import read_source

PACKAGE = Path(ringland.__file__).parent
DEMO = (PACKAGE / "demo" / "tarrow-124.yaml").read_text(encoding="utf-8")


@cache
def common() -> dict[str, str]:
    file = PACKAGE / "sheet" / "common" / "two-stroke-single.yaml"
    return {"two-stroke-single": file.read_text(encoding="utf-8")}


def demo_figures() -> list[Typed]:
    loaded = load_sheet(DEMO, "t.yaml", common())
    return list(typed_figures(loaded.sheet, loaded.figures))


def test_every_figure_of_a_sheet_has_a_name_of_its_own_to_be_read_back_under() -> None:
    keys = [typed.key for typed in demo_figures()]
    assert len(keys) == len(set(keys))
    assert {"bore", "barrel nuts", "class A", "test cap", "hours piston", "fluid fuel mix",
            "base gaskets"} <= set(keys)  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other", "kind", "same"),
    [
        ("1 in", "25.4 mm", "length", True),
        ("0.30-0.38 mm, max 0.60", "0,3-0,38 mm, max 0,6", "length", True),
        ("0.30-0.38 mm", "0.30-0.39 mm", "length", False),
        ("max 0.6 mm", "0.6 mm", "length", False),
        ("21 N·m", "21 lbf·ft", "torque", False),
        ("0.40 bar, 6 min, fall max 0.05 bar", "0.4 bar, 360 s, max 0.05 bar", "test", True),
        ("0.40 bar, 6 min, fall none", "0.4 bar, 5 min, fall none", "test", False),
        ("40:1", "50:1", "fluid", False),
        ("0.30 mm, 0.40 mm", "0.3 mm, 0.4 mm", "lengths", True),
        ("0.004-0.0065 × bore", "0.0040-0.0065 x bore", "share of bore", True),
    ],
)
def test_figures_are_compared_as_quantities(one: str, other: str, kind: str, same: bool) -> None:
    assert same_value(one, other, kind) is same


@settings(deadline=None, max_examples=60)
@given(
    st.text("ab .-'#:é", min_size=1).map(lambda name: " ".join(name.split())).filter(bool),
    st.dates(),
    st.sampled_from(["21 lbf·ft", "0.30-0.38 mm, max 0.60 mm"]),
)
def test_a_note_is_read_as_it_was_written(who: str, day: object, value: str) -> None:
    note = Note(who, str(day), value)
    assert parse_note(note_text(note)) == note


def test_a_note_typed_by_hand_may_be_just_a_name() -> None:
    assert parse_note("Ada") == Note("Ada", "", "")


FIGURE = Typed("ring end gap", ("figures", "ring end gap"), "length",
               "0.30-0.38 mm, max 0.60 mm", "0.30-0.38 mm, max 0.60 mm", "")  # fmt: skip


def never(what: str) -> str:
    raise AssertionError(f"asked for {what}")


def test_both_halves_of_a_figure_are_read() -> None:
    units: dict[str, str] = {}
    assert completed("0.3-0.38 mm, max 0.6", FIGURE, units, never) == "0.3-0.38 mm, max 0.6 mm"
    assert completed("0.3-0.38", FIGURE, units, lambda _: "0.6") == "0.3-0.38 mm, max 0.6 mm"
    with pytest.raises(QuantityError, match="half a figure"):
        completed("0.3-0.38", FIGURE, units, lambda _: "")


def test_the_unit_is_part_of_what_is_read_and_a_torque_needs_its_own_each_time() -> None:
    with pytest.raises(MissingUnit):
        completed("0.3-0.38, max 0.6", FIGURE, {}, never)
    nuts = Typed("barrel nuts", ("fasteners",), "torque", "21 lbf·ft", "21 ft-lb", "")
    with pytest.raises(MissingUnit):
        completed("21", nuts, {"torque": "lbf·ft"}, never)


def test_a_bare_limit_is_read_on_the_side_that_the_sheet_has_it() -> None:
    skirt = Typed("piston skirt", ("figures",), "length", "min 53.115 mm", "min 53.115 mm", "")
    assert completed("53.115 mm", skirt, {}, never) == "min 53.115 mm"


def changed_lines(before: str, after: str) -> list[str]:
    old = before.splitlines()
    return [line for line in after.splitlines() if line not in old]


def test_the_first_note_makes_a_section_and_leaves_every_other_line() -> None:
    after = with_notes(DEMO, {"bore": "Ada 2026-11-05 as 53.2 mm"})
    assert after.startswith(DEMO)
    assert after.removeprefix(DEMO) == "\nread back:\n  bore: Ada 2026-11-05 as 53.2 mm\n"


def test_later_notes_go_below_and_a_second_reading_replaces_the_first() -> None:
    text = (
        "engine: X # no\n".replace(" # no", "") + "read back:\n    bore: Ada\n\n# end\nyears: 2016"
    )
    after = with_notes(text, {"squish: odd": "Bo: 1", "bore": "Bo"})
    assert after == (
        "engine: X\nread back:\n    bore: Bo\n    'squish: odd': 'Bo: 1'\n\n# end\nyears: 2016\n"
    )


def test_a_variants_notes_stand_in_the_variant() -> None:
    text = "engine: X\nvariants:\n   late:\n      bore: 53.3 mm\n# remark\nyears: 2016\n"
    after = with_notes(text, {"bore": "Ada"}, variant="late")
    assert read_source(after, "s").tree["variants"]["late"] == {
        "bore": "53.3 mm",
        "read back": {"bore": "Ada"},
    }
    assert changed_lines(text, after) == ["      read back:", "        bore: Ada"]
    again = with_notes(after, {"squish": "Bo"}, variant="late")
    assert changed_lines(after, again) == ["        squish: Bo"]


def test_line_ends_stay_as_they_are() -> None:
    text = "engine: X\r\nfigures:\r\n  bore: 53.2 mm\r\n"
    after = with_notes(text, {"bore": "Ada"})
    assert after == text + "\r\nread back:\r\n  bore: Ada\r\n"


@pytest.mark.parametrize(
    "text",
    ["engine: X\nread back: {bore: Ada}\n", "engine: X\nread back:\n  bore: 'Ada\n    Bo'\n"],
)
def test_what_only_its_writer_can_change_is_left_alone(text: str) -> None:
    with pytest.raises(CannotEdit, match="by hand below 'read back:'"):
        with_notes(text, {"bore": "Cy"})


@pytest.mark.parametrize(
    ("line", "path", "old", "new", "after"),
    [
        ("  bore: 53.2 mm @ p 4", ("figures", "bore"), "53.2 mm", "53.3 mm", "  bore: 53.3 mm @ p 4"),
        ("  'bore': \"53.2 mm\"", ("figures", "bore"), "53.2 mm", "53.3 mm", "  'bore': \"53.3 mm\""),
        ("  nuts: 4 × M8, 21 ft-lb @ p 4", ("figures", "nuts", "torque"), "21 ft-lb", "23 lbf·ft",
         "  nuts: 4 × M8, 23 lbf·ft @ p 4"),
    ],
)  # fmt: skip
def test_a_corrected_figure_changes_its_own_words_only(
    line: str, path: tuple[str, ...], old: str, new: str, after: str
) -> None:
    text = "engine: X\n# remark\nfigures:\n{}\nyears: 2016\n"
    assert with_figure(text.format(line), path, old, new) == text.format(after)


def test_a_figure_that_stands_twice_in_its_line_is_left_to_its_writer() -> None:
    text = "engine: X\nfigures:\n  bore: 53.2 mm, max 53.2 mm\n"
    with pytest.raises(CannotEdit, match="by hand"):
        with_figure(text, ("figures", "bore"), "53.2 mm", "53.3 mm")


def test_noting_every_figure_of_the_demo_leaves_a_sheet_that_loads_with_all_read_back() -> None:
    text = DEMO
    for typed in demo_figures():
        text = with_notes(text, {typed.key: note_text(Note("Ada", "2026-11-05", typed.value))})
    loaded = load_sheet(text, "t.yaml", common())
    from ringland.sheet.readback import read_back_by

    assert all(read_back_by(loaded.sheet, t) == "Ada 2026-11-05" for t in typed_figures(
        loaded.sheet, loaded.figures))  # fmt: skip
