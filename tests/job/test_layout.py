"""Where fasteners stand and their turns: one number for a person, one place for the log.

Engines are the invented F-230 (no places in its sheet) with groups changed in memory.
"""

from itertools import permutations

import pytest

from ringland.job.layout import Layout, layout_of
from ringland.sheet.model import Sheet
from tests.job.making import book


def laid(ignition_side: str = "not said", **group: object) -> Layout:
    sheet: Sheet = book().sheet
    nuts = sheet.fasteners["barrel nuts"].model_copy(update=group)
    changed = {"fasteners": {"barrel nuts": nuts}, "ignition_side": ignition_side}
    return layout_of(sheet.model_copy(update=changed), "barrel nuts")


def angles(layout: Layout) -> list[float]:
    """The angles in the order they are pulled."""
    return [layout.stands(number)[1] for number in range(1, len(layout.order) + 1)]


def test_a_sheet_without_places_keeps_the_order_of_the_even_ring_and_says_so() -> None:
    layout = laid()
    assert layout.order == (1, 3, 2, 4)
    assert layout.turns == "1 at 45°, 2 at 225°, 3 at 135°, 4 at 315°"
    assert "even ring is taken" in layout.taken
    assert laid(at="45 135 225 315").taken == ""


def test_number_and_place_lead_to_each_other() -> None:
    layout = laid(at="320 40 140 220")
    assert [layout.number(layout.place(n)) for n in (1, 2, 3, 4)] == [1, 2, 3, 4]
    assert layout.numbers([layout.place(4), layout.place(2)]) == (2, 4)


def test_a_place_the_sheet_does_not_have_keeps_its_name() -> None:
    assert laid().numbers([9, 3]) == (2, 9)


def test_the_order_comes_from_where_they_stand_however_they_are_listed() -> None:
    """By the rule of `fasten.sequence`: nearest the exhaust first, then two places on of five."""
    for listed in permutations((20, 95, 160, 235, 305)):
        layout = laid(count=5, at=" ".join(map(str, listed)))
        assert angles(layout) == [20, 160, 305, 95, 235]


def test_other_places_give_another_order() -> None:
    assert angles(laid(count=5, at="60 120 180 240 340")) == [340, 120, 240, 60, 180]


def test_the_makers_own_order_wins_and_names_the_places_as_listed() -> None:
    layout = laid(at="320 40 140 220", order="4-2-1-3")
    assert angles(layout) == [220, 40, 320, 140]
    assert layout.source == "the maker's order"
    assert laid(order="4-2-1-3").order == (4, 2, 1, 3)


def test_in_turn_is_the_order_in_which_the_places_are_listed() -> None:
    assert angles(laid(at="320 140 40 220", order="in turn")) == [320, 140, 40, 220]


def test_the_inner_ring_is_pulled_first_even_where_the_outer_has_only_two() -> None:
    layout = laid(count=6, at="45 135 225 315 outer 90 270")
    rings = [layout.stands(number)[0] for number in range(1, 7)]
    assert rings == [0, 0, 0, 0, 1, 1]
    assert layout.turns.endswith("5 at 90° outer, 6 at 270° outer")


@pytest.mark.parametrize(
    ("side", "at"), [("left", "ignition side at 90°"), ("right", "ignition side at 270°")]
)
def test_the_ignition_side_changes_what_is_seen_and_not_the_order(side: str, at: str) -> None:
    """With the exhaust toward you, left is a quarter turn on clockwise."""
    layout = laid(ignition_side=side)
    assert layout.view.endswith(at)
    assert layout.order == laid().order
    assert "ignition" not in laid().view


def test_a_joint_not_about_the_bore_is_told_from_its_own_top() -> None:
    layout = laid(seen_from="the intake")
    assert layout.view == "clockwise from the top, seen from the intake"
