"""Rings: the rule per bore, what to file, flutter inside its table and nowhere else."""

from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.refusal import OutOfRange
from ringland.engine.ring import (
    FLUTTER_TABLE,
    filing,
    flutter,
    flutter_limit,
    gap_limits_by_rule,
)
from ringland.engine.slider_crank import Crank, piston_acceleration
from ringland.quantity import Estimate

LIMITS = (0.25e-3, 0.45e-3)


@given(st.floats(0.030, 0.100), st.floats(1.01, 2.0))
@settings(max_examples=40, deadline=None)
def test_the_rule_is_linear_in_the_bore(bore: float, factor: float) -> None:
    low, high = gap_limits_by_rule(bore, 0.0040, 0.0065)
    larger = gap_limits_by_rule(bore * factor, 0.0040, 0.0065)
    assert isclose(larger[0], low * factor)
    assert isclose(larger[1], high * factor)


@pytest.mark.parametrize(("low", "high"), [(0.4, 0.65), (0.0065, 0.0040), (0.0, 0.004)])
def test_a_rule_in_per_cent_or_upside_down_is_refused(low: float, high: float) -> None:
    with pytest.raises(OutOfRange, match="per cent is divided by 100"):
        gap_limits_by_rule(0.054, low, high)


@given(st.floats(0.0, 0.6e-3), st.floats(0.0, 20e-6))
@settings(max_examples=80, deadline=None)
def test_filing_to_the_aim_lands_inside_and_never_past_the_largest(gap: float, u: float) -> None:
    found = filing(Estimate(gap, u), LIMITS)
    if found.aim is None:
        assert gap + 1e-12 >= LIMITS[0] + 2 * u
        return
    assert LIMITS[0] + 2 * u - 1e-12 <= gap + found.aim <= LIMITS[1] + 1e-12
    assert found.least <= found.aim <= found.most + 1e-12


def test_a_gap_past_the_largest_is_said_and_nothing_is_filed() -> None:
    found = filing(Estimate(0.50e-3, 1e-5), LIMITS)
    assert found.aim is None
    assert isclose(found.most, -0.05e-3)


def test_where_the_doubt_is_wider_than_the_window_the_aim_stops_at_the_largest() -> None:
    found = filing(Estimate(0.20e-3, 0.2e-3), LIMITS)
    assert found.aim is not None
    assert isclose(0.20e-3 + found.aim, LIMITS[1])


def test_a_negative_gap_is_refused() -> None:
    with pytest.raises(OutOfRange, match="ends touch"):
        filing(Estimate(-0.1e-3, 0.0), LIMITS)


@given(st.floats(0.00100, 0.0031), st.floats(1e-6, 1e-5))
@settings(max_examples=50, deadline=None)
def test_a_higher_ring_stands_less(height: float, more: float) -> None:
    assert flutter_limit(height + more) < flutter_limit(height)


def test_the_table_is_met_at_its_rows() -> None:
    for height, limit in FLUTTER_TABLE:
        assert isclose(flutter_limit(height), limit)


@pytest.mark.parametrize("height", [0.0008, 0.0035, 0.0, float("nan")])
def test_outside_its_table_flutter_says_nothing(height: float) -> None:
    with pytest.raises(OutOfRange, match=r"0\.99 to 3\.18 mm"):
        flutter_limit(height)


def test_the_limiting_speed_reaches_exactly_the_limit() -> None:
    crank = Crank(0.056, 0.105)
    found = flutter(crank, 0.0010, 11000 / 60)
    assert isclose(piston_acceleration(crank, 0.0, found.limit_rotation), found.limit)
    assert found.is_beyond == (found.limit_rotation < 11000 / 60)
