"""The crosswise order: every fastener once, never two neighbours, any layout."""

from itertools import pairwise
from math import cos, pi, sin

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringland.fasten.sequence import (
    Point,
    SequenceError,
    check_order,
    clockwise,
    crosswise,
    loosening,
    ring_order,
    rings,
)

CORNERS = [(-0.05, 0.05), (0.05, 0.05), (0.05, -0.05), (-0.05, -0.05)]


def ring(count: int, radius: float = 0.05, turned: float = 0.0) -> list[Point]:
    """Fasteners evenly round the bore, the first at the exhaust side, clockwise from above."""
    turns = [pi - 2 * pi * place / count - turned for place in range(count)]
    return [(radius * cos(turn), radius * sin(turn)) for turn in turns]


layouts = st.lists(
    st.tuples(st.floats(0, 2 * pi - 0.01), st.floats(0.03, 0.09)), min_size=1, max_size=14
).map(lambda polar: [(radius * cos(turn), radius * sin(turn)) for turn, radius in polar])


def apart(layout: list[Point]) -> bool:
    return all(
        abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1e-3 for i, a in enumerate(layout) for b in layout[:i]
    )


@settings(deadline=None, max_examples=200)
@given(layouts, st.floats(-pi, pi))
def test_any_layout_in_any_position_is_visited_once_each(
    layout: list[Point], turned: float
) -> None:
    assume(apart(layout))
    c, s = cos(turned), sin(turned)
    rotated = [(c * x - s * y, s * x + c * y) for x, y in layout]
    for places in (layout, rotated):
        assert sorted(crosswise(places)) == list(range(len(places)))


@settings(deadline=None, max_examples=100)
@given(st.integers(1, 14), st.floats(-pi, pi))
def test_the_order_turns_with_the_engine(count: int, turned: float) -> None:
    """A joint and its exhaust side turned together keep their order."""
    there = crosswise(ring(count))
    turned_too = crosswise(ring(count, turned=turned), exhaust=pi - turned)
    assert turned_too == there


@pytest.mark.parametrize("count", range(5, 61))
def test_from_five_up_no_two_neighbours_follow_each_other(count: int) -> None:
    order = ring_order(count)
    assert sorted(order) == list(range(1, count + 1))
    for one, other in pairwise(order):
        assert 1 < (one - other) % count < count - 1


@pytest.mark.parametrize("count", range(2, 61, 2))
def test_an_even_ring_is_pulled_in_opposite_pairs(count: int) -> None:
    order = ring_order(count)
    pairs = list(zip(order[::2], order[1::2], strict=True))
    assert all((other - one) % count == count // 2 for one, other in pairs)


@pytest.mark.parametrize("count", range(8, 61, 4))
def test_the_second_pair_stands_square_to_the_first_where_one_does(count: int) -> None:
    order = ring_order(count)
    assert (order[2] - order[0]) % (count // 2) == count // 4


def test_number_one_is_nearest_the_exhaust_side_and_the_rest_run_clockwise() -> None:
    numbered = [ring(7)[i] for i in (3, 0, 6, 1, 5, 2, 4)]
    assert [numbered[i] for i in clockwise(numbered)] == ring(7)


def test_of_two_as_near_the_exhaust_side_the_clockwise_one_is_first() -> None:
    assert clockwise(CORNERS) == (0, 1, 2, 3)
    assert clockwise(CORNERS[::-1]) == (3, 2, 1, 0)


def test_the_inner_ring_goes_first_and_the_outer_begins_opposite_its_last() -> None:
    inner, outer = ring(4, 0.04, pi / 4), ring(8, 0.08)
    places = outer + inner
    order = crosswise(places)
    assert set(order[:4]) == {8, 9, 10, 11}
    last, first = places[order[3]], places[order[4]]
    assert last[0] * first[0] + last[1] * first[1] < 0  # more than a quarter turn apart


def test_two_in_the_middle_of_a_long_joint_are_no_ring_of_their_own() -> None:
    long_joint = [
        (-0.06, 0.03),
        (0.0, 0.02),
        (0.06, 0.03),
        (0.06, -0.03),
        (0, -0.02),
        (-0.06, -0.03),
    ]
    assert len(rings(long_joint)) == 1


def test_three_on_one_side_are_no_ring_of_their_own() -> None:
    on_one_side = [(0.03, 0.0), (0.02, 0.02), (0.02, -0.02)]
    assert len(rings([*ring(6, 0.08), *on_one_side])) == 1
    assert len(rings([*ring(6, 0.08), *ring(3, 0.03)])) == 2


def test_a_ring_of_uneven_radius_stays_one_ring() -> None:
    places = [(x * (1 + 0.04 * i), y * (1 + 0.04 * i)) for i, (x, y) in enumerate(ring(8))]
    assert len(rings(places)) == 1


def test_loosening_runs_the_other_way() -> None:
    order = ring_order(8)
    assert loosening(loosening(order)) == order
    assert loosening(order)[0] == order[-1]


@pytest.mark.parametrize(
    ("order", "told"),
    [
        ([1, 3, 2], "leaves out 4"),
        ([1, 3, 2, 4, 4], "has twice 4"),
        ([1, 3, 2, 4, 5], "has too 5"),
    ],
)
def test_a_maker_s_order_names_each_once_or_is_questioned(order: list[int], told: str) -> None:
    check_order([1, 3, 2, 4], [1, 2, 3, 4])
    with pytest.raises(SequenceError, match=told):
        check_order(order, [1, 2, 3, 4])


@pytest.mark.parametrize(
    ("places", "told"),
    [
        ([], "no fastener"),
        ([(0.05, 0.0), (0.05, 0.0)], "1 and 2 stand in one place"),
        ([(0.05, 0.0), (0.0, 0.0)], "2 stands on the bore axis"),
        ([(float("nan"), 0.0)], "plain numbers"),
    ],
)
def test_places_that_make_no_joint_are_refused(places: list[Point], told: str) -> None:
    with pytest.raises(SequenceError, match=told):
        crosswise(places)


def test_a_joint_without_fasteners_has_no_order() -> None:
    with pytest.raises(SequenceError, match="at least one"):
        ring_order(0)
