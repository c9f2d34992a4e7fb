import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.gas.air import (
    check_ambient,
    moist_air,
    saturation_pressure,
    standard_atmosphere,
    station_pressure,
)
from ringland.gas.decay import fit_decay
from ringland.gas.flow import (
    DISCHARGE,
    critical_ratio,
    flow_function,
    mass_flow,
    pressure_between,
    second_area,
)
from ringland.gas.leakdown import FlowTester, leak_down, log_area
from ringland.gas.mixture import jet_number, mixture_change, power_factors

AIR = standard_atmosphere(0.0)


def test_flow_turns_with_the_pressures_and_stops_where_they_are_equal() -> None:
    there = mass_flow(2e5, 1e5, temperature=293.0, area=1e-6)
    back = mass_flow(1e5, 2e5, temperature=293.0, area=1e-6)
    assert back == -there
    assert mass_flow(1e5, 1e5, temperature=293.0, area=1e-6) == 0.0


def test_flow_near_equal_pressures_has_a_finite_slope() -> None:
    tiny = mass_flow(1e5 + 0.01, 1e5, temperature=293.0, area=1e-6)
    twice = mass_flow(1e5 + 0.02, 1e5, temperature=293.0, area=1e-6)
    assert twice / tiny == pytest.approx(2.0, rel=1e-3)


def test_flow_joins_its_regular_part_without_a_step() -> None:
    edge = 1e5 / (1 - 1e-4)
    below = mass_flow(edge * (1 - 1e-9), 1e5, temperature=293.0, area=1e-6)
    above = mass_flow(edge * (1 + 1e-9), 1e5, temperature=293.0, area=1e-6)
    assert above == pytest.approx(below, rel=1e-4)


@given(st.floats(0.0, 0.999))
@settings(deadline=None, max_examples=50)
def test_flow_function_never_grows_with_the_ratio(ratio: float) -> None:
    assert flow_function(ratio) >= flow_function(ratio + 0.001)


@given(st.floats(1.2e5, 9e5), st.floats(0.02, 50.0))
@settings(deadline=None, max_examples=40)
def test_second_area_turns_back_the_pressure_between(up: float, ratio: float) -> None:
    between = pressure_between(up, 1e5, first=1e-6, second=ratio * 1e-6)
    assert second_area(up, between, 1e5, first=1e-6) == pytest.approx(ratio * 1e-6, rel=1e-5)


def test_discharge_coefficients_are_ranges_with_a_source() -> None:
    for low, high, source in DISCHARGE.values():
        assert 0.3 < low < high < 1.0
        assert source


@pytest.mark.parametrize(
    "bad",
    [
        lambda: flow_function(1.2),
        lambda: critical_ratio(1.0),
        lambda: mass_flow(0.0, 1e5, temperature=293.0, area=1e-6),
        lambda: mass_flow(2e5, 1e5, temperature=-5.0, area=1e-6),
        lambda: mass_flow(2e5, 1e5, temperature=293.0, area=-1e-6),
        lambda: pressure_between(1e5, 2e5, first=1e-6, second=1e-6),
        lambda: second_area(2e5, 2.5e5, 1e5, first=1e-6),
        lambda: standard_atmosphere(20_000.0),
        lambda: station_pressure(50.0, 0.0),
        lambda: saturation_pressure(20.0),
        lambda: moist_air(101_325.0, 293.15, 50.0),
        lambda: check_ambient(40_000.0),
        lambda: jet_number(0, mixture_change(AIR, AIR), numbered_by="diameter"),
        lambda: jet_number(160, mixture_change(AIR, AIR), numbered_by="hole"),
        lambda: leak_down(5e5, 5.5e5),
        lambda: leak_down(0.0, 0.0),
        lambda: leak_down(9e5, 8e5),
        lambda: leak_down(5e5, -1.0),
        lambda: FlowTester(orifice=0.04),
    ],
)
def test_what_cannot_be_is_refused(bad: object) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        bad()  # type: ignore[operator]


def test_cold_dry_low_air_asks_for_more_fuel_and_warm_wet_high_air_for_less() -> None:
    mild = moist_air(101_325.0, 293.15, 0.5)
    assert mixture_change(mild, moist_air(101_325.0, 273.15, 0.2)).direction == "richer"
    assert mixture_change(mild, moist_air(101_325.0, 308.15, 0.9)).direction == "leaner"
    assert mixture_change(mild, moist_air(84_000.0, 293.15, 0.5)).direction == "leaner"
    assert mixture_change(mild, mild).direction == "none"


def test_moisture_counts_through_the_dry_air_that_it_displaces() -> None:
    dry, wet = moist_air(101_325.0, 303.15, 0.0), moist_air(101_325.0, 303.15, 1.0)
    change = mixture_change(dry, wet)
    assert change.oxygen < change.density < 1.0


def test_a_number_that_counts_a_flow_changes_twice_as_much_as_a_bore() -> None:
    change = mixture_change(AIR, standard_atmosphere(2000.0))
    bore = jet_number(100, change, numbered_by="diameter") / 100
    flow = jet_number(100, change, numbered_by="area") / 100
    assert bore**2 == pytest.approx(flow)


def test_power_factors_flag_air_outside_their_range() -> None:
    assert all(factor.valid for factor in power_factors(moist_air(99e3, 298.15, 0.0)))
    assert not any(factor.valid for factor in power_factors(standard_atmosphere(3000.0)))


def test_a_leak_below_the_gauges_is_not_given_as_a_logarithm() -> None:
    still = leak_down(5.5e5, 5.5e5)
    assert still.area is not None
    assert still.area.value == 0.0
    assert still.area.u > 0.0
    assert log_area(still) is None


def test_an_open_cylinder_has_no_area_but_a_flow() -> None:
    found = leak_down(5.5e5, 0.0)
    assert found.area is None
    assert found.share == 1.0
    assert found.flow > 0.0


@pytest.mark.parametrize(
    ("times", "pressures", "said"),
    [
        ([0, 60, 30, 90, 120], [4e4, 3.9e4, 3.8e4, 3.7e4, 3.6e4], "out of order"),
        ([0, 60, 90], [4e4, 3.9e4, 3.8e4], "five readings"),
        ([0, 1, 2, 3, 4], [4e4, 4.1e4, 4.2e4, 4.3e4, 4.4e4], "does not fall"),
        ([0, 1, 2, 3, 4], [4e4, 3e4, 2e4, 1e4, 0.0], "pressure left"),
    ],
)
def test_logs_that_cannot_be_fitted_are_refused(
    times: list[float], pressures: list[float], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        fit_decay(times, pressures, u_pressure=100.0)
