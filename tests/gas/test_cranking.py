from dataclasses import replace
from math import radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.gas.cranking import Cranking, flow_functions, pump_up
from ringland.gas.flow import flow_function

ENGINE = Cranking(0.0532, 0.056, 0.105, 10.5e-6, radians(92.0))
COARSE = radians(2.0)


def final(**changed: float) -> float:
    return float(pump_up(replace(ENGINE, **changed), step=COARSE).reading[0, -1])


def test_a_batch_is_the_same_engines_one_by_one() -> None:
    leaks = np.array([0.0, 0.5e-6, 3e-6])
    together = pump_up(replace(ENGINE, leak=leaks), step=COARSE).reading
    for row, leak in zip(together, leaks, strict=True):
        alone = pump_up(replace(ENGINE, leak=float(leak)), step=COARSE).reading[0]
        assert row == pytest.approx(alone, rel=1e-12)


@given(st.floats(1.5, 3.5), st.floats(0.0, 5e-6), st.floats(3.0, 15.0))
@settings(deadline=None, max_examples=15)
def test_the_gauge_never_falls_between_strokes(heat: float, leak: float, speed: float) -> None:
    setting = replace(ENGINE, heat=heat, leak=leak, speed=speed)
    curve = pump_up(setting, step=COARSE).reading[0]
    assert np.all(np.diff(curve) > -1e-3 * curve[:-1])


@pytest.mark.parametrize(
    ("name", "less", "more"),
    [
        ("leak", 0.0, 1e-6),
        ("heat", 0.5, 2.0),
        ("clearance", 9e-6, 12e-6),
        ("dead", 0.0, 3e-6),
        ("slowing", 0.0, 0.5),
    ],
)
def test_more_of_it_reads_lower(name: str, less: float, more: float) -> None:
    assert final(**{name: more}) < final(**{name: less})


def test_an_open_power_valve_reads_lower_because_the_port_closes_later() -> None:
    assert final(closing=radians(80.0)) < final(closing=radians(92.0))


def test_a_leak_shows_more_at_a_slow_crank() -> None:
    def lost(speed: float) -> float:
        return 1 - final(leak=1e-6, speed=speed) / final(leak=0.0, speed=speed)

    assert lost(3.0) > 1.5 * lost(8.0)


def test_a_larger_gauge_volume_needs_more_strokes_and_ends_at_the_same_place() -> None:
    small = pump_up(replace(ENGINE, gauge=0.5e-6), strokes=40).reading[0]
    large = pump_up(replace(ENGINE, gauge=5e-6), strokes=40).reading[0]
    assert large[0] < 0.75 * small[0]
    assert large[-1] == pytest.approx(small[-1], rel=5e-3)


def test_a_long_empty_hose_reads_one_or_two_bar_lower() -> None:
    # common practice: 1.4 to 2.4 bar
    assert 1e5 < final() - final(dead=1.5e-6) < 3e5


@given(st.floats(0.0, 1.0), st.floats(1.1, 1.67))
@settings(deadline=None, max_examples=40)
def test_flow_function_of_arrays_is_that_of_numbers(ratio: float, gamma: float) -> None:
    assert float(flow_functions(np.array([ratio]), gamma)[0]) == pytest.approx(
        flow_function(ratio, gamma), abs=1e-7
    )


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("bore", 54.0),
        ("clearance", 0.0),
        ("closing", 92.0),
        ("ambient", 11e5),
        ("gauge", 0.0),
        ("leak", -1e-6),
        ("speed", 480.0),
        ("wall", 40.0),
    ],
)
def test_values_in_the_wrong_unit_are_refused_by_name(name: str, value: float) -> None:
    with pytest.raises(ValueError, match=name):
        replace(ENGINE, **{name: value})


def test_all_wrong_values_are_named_at_once() -> None:
    with pytest.raises(ValueError, match=r"bore.*stroke"):
        Cranking(54.0, 54.0, 0.105, 10e-6, 1.6)


def test_a_rod_that_cannot_turn_is_refused() -> None:
    with pytest.raises(ValueError, match="rod"):
        Cranking(0.05, 0.08, 0.035, 10e-6, 1.6)


@pytest.mark.parametrize("strokes", [0, 61])
def test_strokes_out_of_range_are_refused(strokes: int) -> None:
    with pytest.raises(ValueError, match="strokes"):
        pump_up(ENGINE, strokes=strokes)


def test_a_step_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="step"):
        pump_up(ENGINE, step=1.0)
