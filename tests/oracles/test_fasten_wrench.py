"""Permissible deviation of torque wrenches, and the trade's tightening patterns."""

from decimal import Decimal

import pytest

from ringland.fasten.sequence import ring_order
from ringland.fasten.wrench import TorqueWrench, permissible_deviation
from ringland.quantity import find_unit

# ISO 6789, as restated in a tool maker's check sheet (2011): maximum of the tool [N·m], setting, share
DEVIATIONS = [
    (10, 10, 0.06),
    (10, 2, 0.06),
    (10, 1.9, None),
    (10.1, 10.1, 0.04),
    (60, 12, 0.04),
    (60, 11.9, None),
    (60, 60, 0.04),
    (60, 60.5, None),
]


@pytest.mark.parametrize(("maximum", "setting", "expected"), DEVIATIONS)
def test_deviation_goes_by_the_maximum_of_the_tool_and_is_claimed_from_a_fifth(
    maximum: float, setting: float, expected: float | None
) -> None:
    wrench = TorqueWrench(
        "any", Decimal(1), Decimal(str(maximum)), Decimal("0.1"), find_unit("N·m")
    )
    assert permissible_deviation(wrench, setting) == expected


@pytest.mark.parametrize(
    ("count", "pattern"),
    [
        # common practice, positions clockwise from above, 1 at the exhaust side
        (4, "1-3-2-4"),
        (5, "1-3-5-2-4"),
        (6, "1-4-2-5-3-6"),
        (7, "1-4-7-3-6-2-5"),
        (8, "1-5-3-7-2-6-4-8"),
    ],
)
def test_the_rule_gives_the_patterns_of_the_trade(count: int, pattern: str) -> None:
    assert "-".join(map(str, ring_order(count))) == pattern
