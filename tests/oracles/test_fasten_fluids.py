"""Premix by arithmetic, freeze points against handbooks and a property library."""

from math import log

import GTC
import pytest
from CoolProp.CoolProp import PropsSI

from ringland.fluids.coolant import exchange, freeze_point
from ringland.fluids.cooling import cooling_from
from ringland.fluids.premix import fill_can, oil_for, read_ratio
from ringland.quantity import Estimate, parse_quantity

TABLE_DIGITS = 0.05  # K: the tables print one decimal
TABLES_APART = 1.3  # K: ASHRAE's fitted values and Lange's rounded Fahrenheit rows
MANUALS_APART = 1.1  # K: an engine maker's whole degrees


@pytest.mark.parametrize(
    ("ratio", "millilitres"), [("25:1", 200), ("32:1", 156.25), ("40:1", 125), ("50:1", 100)]
)
def test_oil_in_five_litres_is_the_arithmetic_of_the_ratio(ratio: str, millilitres: float) -> None:
    assert oil_for(0.005, read_ratio(ratio)) * 1e6 == pytest.approx(millilitres, rel=1e-12)


def test_forty_to_one_in_a_us_gallon_is_three_point_two_fluid_ounces() -> None:
    """Exact: a US gallon is 128 US fluid ounces."""
    gallon, ounce = parse_quantity("1 US gal").si, parse_quantity("1 US fl oz").si
    assert oil_for(gallon, 40) / ounce == pytest.approx(3.2, rel=1e-12)


def test_four_percent_of_the_mix_fills_a_can_with_four_percent_of_oil() -> None:
    can = fill_can(0.005, read_ratio("4 % of the mix"))
    assert can.oil / can.volume == pytest.approx(0.04, rel=1e-12)


@pytest.mark.parametrize(
    ("share", "celsius"),
    [
        # Lange's Handbook of Chemistry, 15th ed., Table 5.13
        (5, -1.1),
        (10, -2.2),
        (15, -3.9),
        (20, -6.7),
        (25, -8.9),
        (30, -12.8),
        (35, -16.1),
        (40, -20.6),
        (45, -26.7),
        (50, -33.3),
    ],
)
def test_propylene_glycol_freezes_where_the_handbook_says(share: float, celsius: float) -> None:
    found = freeze_point("propylene", share / 100) - 273.15
    assert found == pytest.approx(celsius, abs=TABLE_DIGITS)


@pytest.mark.parametrize(("share", "celsius"), [(40, -24), (50, -37), (60, -52)])
def test_ethylene_glycol_freezes_where_an_operators_manual_says(
    share: float, celsius: float
) -> None:
    found = freeze_point("ethylene", share / 100) - 273.15
    assert found == pytest.approx(celsius, abs=TABLE_DIGITS)


@pytest.mark.parametrize(("share", "celsius"), [(15, -6), (20, -9), (25, -12), (30, -16)])
def test_weak_ethylene_glycol_freezes_where_an_engine_makers_manual_says(
    share: float, celsius: float
) -> None:
    """A diesel engine maker's coolant table by volume, read; whole degrees."""
    found = freeze_point("ethylene", share / 100) - 273.15
    assert found == pytest.approx(celsius, abs=MANUALS_APART)


@pytest.mark.parametrize("share", [0.10, 0.20, 0.30, 0.35, 0.40, 0.45, 0.50])
@pytest.mark.parametrize(("glycol", "fluid"), [("propylene", "APG"), ("ethylene", "AEG")])
def test_freeze_points_lie_beside_those_of_a_property_library(
    glycol: str, fluid: str, share: float
) -> None:
    """CoolProp 8.0: ASHRAE glycols by volume. For ethylene below 40 % it is our own source."""
    library = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::{fluid}[{share}]")
    assert freeze_point(glycol, share) == pytest.approx(library, abs=TABLES_APART)


def test_drain_and_refill_leaves_the_glycol_that_the_balance_says() -> None:
    """1.2 L at 30 %: 0.342857 L out and pure glycol in makes 50 %: 0.36 - 0.102857 + 0.342857 = 0.6."""
    drain = exchange(1.2e-3, 0.30, 0.50).drain
    glycol = 1.2e-3 * 0.30 - drain * 0.30 + drain
    assert drain * 1e3 == pytest.approx(12 / 35, rel=1e-12)
    assert glycol / 1.2e-3 == pytest.approx(0.50, rel=1e-12)


def test_halving_the_distance_to_the_air_takes_the_time_constant_times_ln_two() -> None:
    """Newton's law of cooling, exact: 60 K over the air, 30 K ten minutes later."""
    cooling = cooling_from(Estimate(353.15, 0), Estimate(323.15, 0), 600, Estimate(293.15, 0))
    assert cooling.time_constant.value == pytest.approx(600 / log(2), rel=1e-12)
    assert cooling.time_to(308.15).value == pytest.approx(1200, rel=1e-12)


def test_the_doubt_of_the_time_to_cool_is_that_of_a_general_library() -> None:
    """GTC propagates it to first order on its own (JCGM 100:2008, 5.1.2), the air's doubt included."""
    values, u = (353.15, 333.15, 293.15), (0.8, 1.0, 1.5)
    first, second, air = (
        GTC.ureal(v, s, df) for v, s, df in zip(values, u, (9, 4, 2), strict=True)
    )
    theirs = 600 / GTC.log((first - air) / (second - air)) * GTC.log((first - air) / (305.0 - air))
    readings = [Estimate(v, s, df) for v, s, df in zip(values, u, (9, 4, 2), strict=True)]
    ours = cooling_from(readings[0], readings[1], 600, readings[2]).time_to(305.0)
    assert ours.value == pytest.approx(GTC.value(theirs), rel=1e-12)
    assert ours.u == pytest.approx(GTC.uncertainty(theirs), rel=1e-9)
    assert ours.dof == pytest.approx(GTC.dof(theirs), rel=1e-9)
