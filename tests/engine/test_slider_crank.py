"""Slider-crank: exact both ways, offsets included, and what cannot turn is refused."""

from math import isclose, nan, pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import (
    Crank,
    angle_going_down,
    angle_going_up,
    bottom_dead_centre,
    greatest_piston_speed,
    mean_piston_speed,
    piston_acceleration,
    piston_speed,
    piston_travel,
)

ANGLE = 1e-9  # rad; at 0.1° from a dead centre a rounded travel still fixes the angle so well
LENGTH = 1e-15  # m; a few units in the last place of a rod
NEAR_DEAD_CENTRE = 2e-3  # rad, about 0.1°


@st.composite
def cranks(draw: st.DrawFn) -> Crank:
    stroke = draw(st.floats(0.030, 0.090))
    rod = stroke * draw(st.floats(1.2, 3.0))
    return Crank(stroke, rod, stroke * draw(st.floats(-0.1, 0.1)))


@given(cranks(), st.floats(0.0, 1.0))
@settings(max_examples=200, deadline=None)
def test_angle_to_height_and_back_is_the_same_angle(crank: Crank, share: float) -> None:
    bottom = bottom_dead_centre(crank)
    down = share * bottom
    assume(NEAR_DEAD_CENTRE < down < bottom - NEAR_DEAD_CENTRE)
    assert abs(angle_going_down(crank, piston_travel(crank, down)) - down) < ANGLE
    up = bottom + share * (2 * pi - bottom)
    assume(bottom + NEAR_DEAD_CENTRE < up < 2 * pi - NEAR_DEAD_CENTRE)
    assert abs(angle_going_up(crank, piston_travel(crank, up)) - up) < ANGLE


@given(cranks(), st.floats(0.0, 1.0))
@settings(max_examples=200, deadline=None)
def test_height_to_angle_and_back_is_the_same_height(crank: Crank, share: float) -> None:
    travel = share * crank.stroke
    for inverse in (angle_going_down, angle_going_up):
        assert abs(piston_travel(crank, inverse(crank, travel)) - travel) < 20 * LENGTH


@given(cranks())
@settings(max_examples=50, deadline=None)
def test_the_travel_from_top_to_bottom_is_the_stroke(crank: Crank) -> None:
    assert abs(piston_travel(crank, bottom_dead_centre(crank)) - crank.stroke) < 20 * LENGTH
    assert piston_travel(crank, 0.0) == 0.0


@given(cranks(), st.floats(0.0, 2 * pi))
@settings(max_examples=100, deadline=None)
def test_the_piston_never_leaves_its_stroke(crank: Crank, angle: float) -> None:
    assert -LENGTH <= piston_travel(crank, angle) <= crank.stroke + 20 * LENGTH


def test_near_top_dead_centre_no_digits_are_lost() -> None:
    # x = r a²/2 (1 + r/L) to first order; the plain formula keeps three digits here
    crank, angle = Crank(0.056, 0.105), 1e-6
    expected = crank.throw * angle**2 / 2 * (1 + crank.throw / crank.rod)
    assert isclose(piston_travel(crank, angle), expected, rel_tol=1e-9)
    assert isclose(angle_going_down(crank, expected), angle, rel_tol=1e-9)


def test_the_throw_is_half_the_stroke_only_without_offset() -> None:
    assert Crank(0.056, 0.105).throw == 0.028
    assert Crank(0.056, 0.105, 0.004).throw < 0.028


def test_an_offset_makes_the_way_down_longer_than_the_way_up() -> None:
    assert bottom_dead_centre(Crank(0.056, 0.105, 0.002)) > pi
    assert isclose(
        bottom_dead_centre(Crank(0.056, 0.105, 0.002)) - pi,
        pi - bottom_dead_centre(Crank(0.056, 0.105, -0.002)),
        rel_tol=1e-12,
    )


def test_the_mean_of_the_speed_is_twice_stroke_times_turns() -> None:
    crank, rotation, steps = Crank(0.056, 0.105, 0.001), 150.0, 2000
    bottom = bottom_dead_centre(crank)
    down = [piston_speed(crank, bottom * (n + 0.5) / steps, rotation) for n in range(steps)]
    # over the way down the mean is stroke over the time that it takes
    assert isclose(sum(down) / steps * bottom / (2 * pi * rotation), crank.stroke, rel_tol=1e-6)
    assert mean_piston_speed(crank.stroke, rotation) == 2 * crank.stroke * rotation


def test_the_greatest_speed_is_where_no_neighbour_is_faster() -> None:
    crank = Crank(0.056, 0.105, 0.001)
    speed, angle = greatest_piston_speed(crank, 150.0)
    assert speed > piston_speed(crank, angle - 0.01, 150.0)
    assert speed > piston_speed(crank, angle + 0.01, 150.0)
    assert abs(piston_acceleration(crank, angle, 1.0)) < 1e-9


@pytest.mark.parametrize(
    ("stroke", "rod", "offset", "blamed"),
    [
        (0.056, 0.028, 0.0, "rod"),
        (0.056, 0.020, 0.0, "rod"),
        (0.056, 0.032, 0.005, "rod"),
        (0.0, 0.105, 0.0, "stroke"),
        (nan, 0.105, 0.0, "stroke"),
        (0.056, nan, 0.0, "rod"),
        (0.056, 0.105, nan, "rod"),
    ],
)
def test_a_crank_that_cannot_turn_is_refused(
    stroke: float, rod: float, offset: float, blamed: str
) -> None:
    with pytest.raises(OutOfRange) as refused:
        Crank(stroke, rod, offset)
    assert refused.value.name == blamed


def test_a_rod_shorter_than_the_throw_is_named_with_value_and_range() -> None:
    with pytest.raises(OutOfRange, match=r"rod is 25 mm.* is 28 mm.*measure it"):
        Crank(0.056, 0.025)


@pytest.mark.parametrize("travel", [-1e-6, 0.0561, nan])
def test_a_height_outside_the_stroke_is_refused(travel: float) -> None:
    with pytest.raises(OutOfRange, match="outside the stroke: 0 mm to 56 mm"):
        angle_going_down(Crank(0.056, 0.105), travel)


def test_a_negative_engine_speed_is_refused() -> None:
    with pytest.raises(OutOfRange, match="-60 rpm"):
        piston_speed(Crank(0.056, 0.105), 1.0, -1.0)
