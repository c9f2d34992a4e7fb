"""Cooling between heat cycles."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringland.fluids.cooling import CoolingError, cooling_from
from ringland.quantity import Estimate

AIR = Estimate(293.15, 0.5)


@settings(deadline=None, max_examples=100)
@given(st.floats(320, 390), st.floats(300, 380), st.floats(60, 3600))
def test_the_curve_goes_through_both_readings(first: float, second: float, between: float) -> None:
    assume(second < first - 1)
    cooling = cooling_from(Estimate(first, 1), Estimate(second, 1), between, AIR)
    assert cooling.at(0) == pytest.approx(first)
    assert cooling.at(between) == pytest.approx(second)
    assert cooling.time_to(second).value == pytest.approx(between)


def test_readings_closer_together_are_worth_less() -> None:
    near = cooling_from(Estimate(353, 1), Estimate(351, 1), 60, AIR)
    far = cooling_from(Estimate(353, 1), Estimate(323, 1), 1000, AIR)
    assert near.time_constant.u / near.time_constant.value > 0.5
    assert far.time_constant.u / far.time_constant.value < 0.1


def test_the_uncertainty_is_that_of_a_difference_quotient() -> None:
    values, u, between = (353.0, 333.0, 293.0), 0.7, 600.0

    def tau(first: float, second: float, air: float) -> float:
        readings = (Estimate(first, 0), Estimate(second, 0), Estimate(air, 0))
        return cooling_from(readings[0], readings[1], between, readings[2]).time_constant.value

    h = 1e-4
    parts = []
    for place in range(3):
        up, down = list(values), list(values)
        up[place] += h
        down[place] -= h
        parts.append((tau(*up) - tau(*down)) / (2 * h) * u)
    expected = sum(part**2 for part in parts) ** 0.5
    first, second, air = (Estimate(value, u) for value in values)
    found = cooling_from(first, second, between, air).time_constant.u
    assert found == pytest.approx(expected, rel=1e-5)


def test_the_time_to_the_second_reading_hangs_on_that_reading_alone() -> None:
    """What was read is asked for: first reading and air drop out, t = u2 tau/(T2 - Ta) is left."""
    first, second, air = Estimate(353.0, 2.0), Estimate(333.0, 0.5), Estimate(293.0, 3.0)
    cooling = cooling_from(first, second, 600, air)
    expected = 0.5 * cooling.time_constant.value / 40.0
    assert cooling.time_to(333.0).u == pytest.approx(expected)


def test_the_doubt_of_the_air_counts_more_the_nearer_to_it_the_engine_shall_cool() -> None:
    exact = [Estimate(353.0, 0), Estimate(333.0, 0)]
    cooling = cooling_from(exact[0], exact[1], 600, Estimate(293.0, 1.0))
    assert cooling.time_to(300.0).u > 2 * cooling.time_to(313.0).u > 0


@pytest.mark.parametrize(("first", "second"), [(333, 353), (333, 333), (353, 293.15), (353, 280)])
def test_readings_that_do_not_cool_towards_the_air_are_refused(first: float, second: float) -> None:
    with pytest.raises(CoolingError, match="no cooling down"):
        cooling_from(Estimate(first, 1), Estimate(second, 1), 600, AIR)


def test_readings_at_one_moment_are_refused() -> None:
    with pytest.raises(CoolingError, match="above 0"):
        cooling_from(Estimate(353, 1), Estimate(333, 1), 0, AIR)


@pytest.mark.parametrize("temperature", [293.15, 290.0, 360.0])
def test_a_temperature_not_passed_on_the_way_is_refused(temperature: float) -> None:
    cooling = cooling_from(Estimate(353, 1), Estimate(333, 1), 600, AIR)
    with pytest.raises(CoolingError, match="ask for a temperature between"):
        cooling.time_to(temperature)
