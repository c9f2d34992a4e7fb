"""Port windows: durations both ways, blowdown, gaskets, and ports past dead centre."""

from math import isclose, pi, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.ports import (
    Port,
    Role,
    blowdown,
    open_time,
    raised,
    travel_for_duration,
    window,
)
from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import Crank

CRANK = Crank(0.056, 0.105)
OFFSET = Crank(0.056, 0.105, 0.0015)
HALVED = 1e-12  # rad; what sixty halvings of the stroke leave


@given(
    st.sampled_from([CRANK, OFFSET]),
    st.floats(0.3, 5.9),
    st.sampled_from(["exhaust", "transfer", "intake"]),
)
@settings(max_examples=100, deadline=None)
def test_duration_to_height_and_back_is_the_same_duration(
    crank: Crank, duration: float, role: Role
) -> None:
    travel = travel_for_duration(crank, duration, role)
    found = window(crank, Port("port", travel, role)).duration
    assert isclose(found, duration, abs_tol=1e-9)


def test_without_offset_a_port_opens_and_closes_evenly_about_its_dead_centre() -> None:
    exhaust = window(CRANK, Port("exhaust", 0.0275, "exhaust"))
    assert isclose(exhaust.opens + exhaust.closes, 2 * pi, abs_tol=HALVED)
    intake = window(CRANK, Port("intake", 0.0275, "intake"))
    assert isclose(intake.opens, -intake.closes, abs_tol=HALVED)
    assert intake.opens < 0


def test_an_offset_shifts_a_window_and_hardly_its_length() -> None:
    straight = window(CRANK, Port("exhaust", 0.0275, "exhaust"))
    shifted = window(OFFSET, Port("exhaust", 0.0275, "exhaust"))
    # to first order opening and closing shift by e/r (1 - ...) together; lengths differ by squares
    assert abs(shifted.opens - straight.opens) > radians(0.1)
    assert abs(shifted.duration - straight.duration) < radians(0.1)


def test_exhaust_and_intake_of_one_height_share_the_turn() -> None:
    exhaust = window(OFFSET, Port("exhaust", 0.030, "exhaust"))
    intake = window(OFFSET, Port("intake", 0.030, "intake"))
    assert isclose(exhaust.duration + intake.duration, 2 * pi, abs_tol=HALVED)


@given(st.floats(0.010, 0.050), st.floats(1e-5, 0.002))
@settings(max_examples=50, deadline=None)
def test_a_thicker_base_gasket_lengthens_what_the_crown_opens_and_shortens_the_intake(
    travel: float, thicker: float
) -> None:
    for role, sign in (("exhaust", 1), ("transfer", 1), ("intake", -1)):
        port = Port("port", travel, role)  # type: ignore[arg-type]
        change = window(CRANK, raised(port, thicker)).duration - window(CRANK, port).duration
        assert sign * change > 0


def test_blowdown_ends_at_the_first_of_transfers_and_boost() -> None:
    exhaust = window(CRANK, Port("exhaust", 0.0275, "exhaust"))
    transfer = window(CRANK, Port("transfer", 0.0415, "transfer"))
    boost = window(CRANK, Port("boost", 0.0405, "transfer"))
    found = blowdown(exhaust, [transfer, boost])
    assert found.transfer == "boost"
    assert isclose(found.angle, boost.opens - exhaust.opens)


def test_a_transfer_above_the_exhaust_shows_as_negative_blowdown() -> None:
    exhaust = window(CRANK, Port("exhaust", 0.040, "exhaust"))
    transfer = window(CRANK, Port("transfer", 0.030, "transfer"))
    assert blowdown(exhaust, [transfer]).angle < 0


@pytest.mark.parametrize("travel", [0.056, 0.060, 0.0, -0.001, float("nan")])
def test_a_port_that_opens_past_a_dead_centre_is_refused_by_its_name(travel: float) -> None:
    with pytest.raises(OutOfRange, match="bottom dead centre") as refused:
        window(CRANK, Port("boost", travel, "transfer"))
    assert refused.value.name == "boost"


@pytest.mark.parametrize("duration", [0.0, 2 * pi, 7.0, -1.0])
def test_a_duration_that_is_none_is_refused(duration: float) -> None:
    with pytest.raises(OutOfRange, match="below 360°"):
        travel_for_duration(CRANK, duration, "exhaust")


def test_no_transfer_and_no_speed_are_refused() -> None:
    with pytest.raises(OutOfRange, match="no transfer port"):
        blowdown(window(CRANK, Port("exhaust", 0.0275, "exhaust")), [])
    with pytest.raises(OutOfRange, match="0 rpm"):
        open_time(3.0, 0.0)
