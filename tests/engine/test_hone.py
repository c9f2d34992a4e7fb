"""Honing: angle and rate undo each other; a crank-stroked hone flattens towards its ends."""

from math import isclose, pi, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.hone import Honing, Motion, crosshatch, profile, rate_for
from ringland.engine.refusal import OutOfRange

EVEN = Honing(0.054, 0.060, 2.5)
CRANK = Honing(0.054, 0.060, 2.5, "crank")


@given(
    st.floats(0.03, 0.1),
    st.floats(0.02, 0.15),
    st.floats(0.5, 10.0),
    st.floats(0.05, 3.0),
    st.sampled_from(["even", "crank"]),
)
@settings(max_examples=60, deadline=None)
def test_the_rate_for_an_angle_gives_that_angle(
    bore: float, stroke: float, spindle: float, angle: float, motion: Motion
) -> None:
    honing = Honing(bore, stroke, spindle, motion)
    assert isclose(crosshatch(honing, rate_for(honing, angle)), angle, rel_tol=1e-12)


def test_faster_strokes_steepen_and_a_faster_spindle_flattens() -> None:
    assert crosshatch(EVEN, 1.2) > crosshatch(EVEN, 1.0)
    assert crosshatch(Honing(0.054, 0.060, 3.0), 1.0) < crosshatch(EVEN, 1.0)


def test_a_crank_stroke_is_flat_at_its_ends_and_steepest_in_the_middle() -> None:
    angles = [angle for _, angle in profile(CRANK, 1.0)]
    assert angles[0] == 0.0
    assert angles[-1] == 0.0
    assert max(angles) == angles[len(angles) // 2]
    assert angles == pytest.approx(angles[::-1])


def test_an_even_stroke_has_one_angle_all_along() -> None:
    angles = [angle for _, angle in profile(EVEN, 1.0)]
    assert angles == [angles[0]] * len(angles)


def test_the_mean_axial_speed_of_both_motions_is_two_strokes_a_turn() -> None:
    # sinusoid: mean of the speed over its time is 2/pi of its greatest, pi L f -> 2 L f
    from math import tan

    even, middle = crosshatch(EVEN, 1.0), crosshatch(CRANK, 1.0)
    assert isclose(tan(middle / 2) * 2 / pi, tan(even / 2), rel_tol=1e-12)


@pytest.mark.parametrize("angle", [0.0, pi, -0.1, radians(200)])
def test_an_angle_that_is_none_is_refused(angle: float) -> None:
    with pytest.raises(OutOfRange, match="30° to 60°"):
        rate_for(EVEN, angle)


def test_standing_still_and_places_past_the_stroke_are_refused() -> None:
    with pytest.raises(OutOfRange, match="rate is 0 a minute"):
        crosshatch(EVEN, 0.0)
    with pytest.raises(OutOfRange, match="spindle"):
        Honing(0.054, 0.060, 0.0)
    with pytest.raises(OutOfRange, match="past the end"):
        crosshatch(EVEN, 1.0, place=0.031)
