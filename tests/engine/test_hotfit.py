"""Hot fits: nothing moves at one temperature, doubt follows, touching figures are consistent."""

from math import isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.expansion import MATERIALS, Part, part_of
from ringland.engine.hotfit import (
    COLD,
    CONDITIONS,
    gap_closing,
    hot_clearance,
    hot_gap,
    touching_gap,
    touching_skirt_temperature,
)
from ringland.engine.refusal import OutOfRange
from ringland.quantity import Estimate

metals = st.sampled_from(sorted(MATERIALS))
temperatures = st.floats(230.0, 650.0)


def part(alpha: float, temperature: float, u_alpha: float = 0.0, u_t: float = 0.0) -> Part:
    return Part(Estimate(alpha, u_alpha), Estimate(temperature, u_t))


@given(metals, metals, st.floats(0.040, 0.090))
@settings(max_examples=30, deadline=None)
def test_at_the_temperature_of_measurement_nothing_has_moved(
    bore_metal: str, other: str, bore: float
) -> None:
    cylinder, inner = part_of(bore_metal, COLD), part_of(other, COLD)
    clearance = hot_clearance(bore, Estimate(50e-6, 2e-6), cylinder=cylinder, piston=inner)
    gap = hot_gap(bore, Estimate(0.3e-3, 1e-5), cylinder=cylinder, ring=inner)
    assert isclose(clearance.value, 50e-6)
    assert isclose(clearance.u, 2e-6)
    assert isclose(gap.value, 0.3e-3)


@given(metals, metals, temperatures, temperatures, st.floats(0.040, 0.090))
@settings(max_examples=60, deadline=None)
def test_fitted_with_the_touching_gap_the_hot_gap_is_zero(
    bore_metal: str, ring_metal: str, wall: float, ring_at: float, bore: float
) -> None:
    cylinder, ring = part_of(bore_metal, wall), part_of(ring_metal, ring_at)
    touching = touching_gap(bore, cylinder=cylinder, ring=ring)
    if touching.value >= 0:
        hot = hot_gap(bore, Estimate(touching.value, 0.0), cylinder=cylinder, ring=ring)
        assert abs(hot.value) < 1e-15


@given(metals, metals, temperatures, st.floats(0.040, 0.090), st.floats(10e-6, 120e-6))
@settings(max_examples=60, deadline=None)
def test_with_the_touching_skirt_the_hot_clearance_is_zero(
    bore_metal: str, metal: str, wall: float, bore: float, clearance: float
) -> None:
    cylinder, cold = part_of(bore_metal, wall), Estimate(clearance, 0.0)
    touch = touching_skirt_temperature(bore, cold, cylinder=cylinder, piston=part_of(metal, COLD))
    piston = part(MATERIALS[metal].expansion, touch.value)
    hot = hot_clearance(bore, cold, cylinder=cylinder, piston=piston)
    assert abs(hot.value) < 1e-15


def test_a_hot_piston_in_a_cold_bore_is_the_tightest_of_the_conditions() -> None:
    found = {
        each.name: hot_clearance(
            0.054,
            Estimate(50e-6, 2e-6),
            cylinder=part_of("cast aluminium", each.bore),
            piston=part_of("Al-12Si", each.skirt),
        ).value
        for each in CONDITIONS
    }
    assert min(found, key=lambda name: found[name]) == "hot piston, cold bore"


@pytest.mark.parametrize("which", ["gap", "alpha", "temperature"])
def test_doubts_follow_small_steps_of_each_input(which: str) -> None:
    # JCGM 100, 5.1.3: the contribution is the change that a step brings, times u over the step
    bore, gap, alpha, at, step = 0.054, 0.3e-3, 11.4e-6, 453.15, 1e-6
    u = {"gap": 1e-5, "alpha": 0.3e-6, "temperature": 12.0}[which]
    wall = part(21.5e-6, 393.15)

    def hot(shift: float) -> Estimate:
        moved = {"gap": gap, "alpha": alpha, "temperature": at}
        moved[which] *= 1 + shift
        doubts = {name: u if name == which else 0.0 for name in moved}
        ring = part(moved["alpha"], moved["temperature"], doubts["alpha"], doubts["temperature"])
        return hot_gap(bore, Estimate(moved["gap"], doubts["gap"]), cylinder=wall, ring=ring)

    scale = {"gap": gap, "alpha": alpha, "temperature": at}[which] * step
    slope = (hot(step).value - hot(0.0).value) / scale
    assert isclose(hot(0.0).u, abs(slope) * u, rel_tol=1e-4)


def test_a_hotter_ring_closes_and_a_hotter_bore_opens_the_gap() -> None:
    ring, wall = part_of("grey iron", 453.15), part_of("cast aluminium", 393.15)
    here = gap_closing(0.054, cylinder=wall, ring=ring).value
    assert gap_closing(0.054, cylinder=wall, ring=part_of("grey iron", 503.15)).value > here
    warmer = part_of("cast aluminium", 403.15)
    assert gap_closing(0.054, cylinder=warmer, ring=ring).value < here


def test_what_no_table_and_no_engine_has_is_refused() -> None:
    wall, ring = part_of("cast aluminium", 393.15), part_of("grey iron", 453.15)
    with pytest.raises(OutOfRange, match="not in the table: grey iron"):
        part_of("cheese", 393.15)
    with pytest.raises(OutOfRange, match="check the unit"):
        part_of("grey iron", 120.0)  # degrees Celsius given as kelvin
    with pytest.raises(OutOfRange, match="half-width"):
        part_of("grey iron", 393.15, half_width=-1.0)
    with pytest.raises(OutOfRange, match="no piston fits so"):
        hot_clearance(0.054, Estimate(0.05, 0.0), cylinder=wall, piston=ring)
    with pytest.raises(OutOfRange, match="less than the ring's round"):
        hot_gap(0.054, Estimate(pi * 0.054, 0.0), cylinder=wall, ring=ring)
    with pytest.raises(OutOfRange, match="cold"):
        gap_closing(0.054, cylinder=wall, ring=ring, cold=20.0)


def test_every_material_names_its_source_and_a_width() -> None:
    for metal in MATERIALS.values():
        assert metal.source
        assert 9e-6 < metal.expansion < 24e-6
        assert 0 < metal.half_width < 0.1 * metal.expansion
