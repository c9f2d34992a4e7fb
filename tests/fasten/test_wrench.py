"""The wrench in hand: marks, refusals, choice."""

from decimal import Decimal
from math import pi, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.fasten.adapter import delivered
from ringland.fasten.wrench import (
    Offset,
    TorqueWrench,
    WrenchRefused,
    choose,
    nearest_mark,
    set_for,
)
from ringland.quantity import find_unit

NM, FTLB = find_unit("N·m"), find_unit("lbf·ft")


def wrench(
    low: str, high: str, step: str, *, pounds: bool = False, length: float | None = None
) -> TorqueWrench:
    return TorqueWrench(
        f"{low}-{high}",
        Decimal(low),
        Decimal(high),
        Decimal(step),
        FTLB if pounds else NM,
        length,
    )


BIG = wrench("10", "60", "0.5", length=0.300)
SMALL = wrench("2", "15", "0.1", length=0.220)


@settings(deadline=None, max_examples=200)
@given(st.floats(12, 60), st.floats(0, pi), st.floats(0, 0.15))
def test_the_nearest_mark_is_half_a_step_away_at_most(
    torque: float, angle: float, arm: float
) -> None:
    ratio = delivered(1.0, 0.300, arm, angle)
    try:
        found = set_for(BIG, torque * ratio, offset=Offset(arm, angle))
    except WrenchRefused:
        pytest.fail(f"{torque} N·m lies on the scale")
    assert abs(found.setting - found.exact) <= 0.25 + 1e-9
    assert (found.mark - BIG.low) % BIG.graduation == 0
    assert found.torque == pytest.approx(found.setting * ratio)


def test_a_wrench_in_foot_pounds_is_set_in_foot_pounds() -> None:
    found = set_for(wrench("5", "80", "1", pounds=True), 30.0)
    assert found.mark == 22
    assert found.torque == pytest.approx(22 * 1.3558179483314004)
    assert found.missed == pytest.approx(-0.172, abs=1e-3)


def test_the_last_mark_of_an_uneven_scale_is_not_passed() -> None:
    uneven = wrench("10", "60.2", "0.5")
    assert nearest_mark(uneven, 60.2) == Decimal("60.0")
    assert nearest_mark(uneven, 60.4) == Decimal("60.0")
    assert nearest_mark(uneven, 9.8) == 10
    with pytest.raises(WrenchRefused, match="off its scale"):
        nearest_mark(uneven, 60.6)


def test_eight_newton_metres_as_a_final_value_are_refused_on_a_big_wrench() -> None:
    with pytest.raises(WrenchRefused, match="off its scale"):
        set_for(BIG, 8.0)
    with pytest.raises(WrenchRefused, match=r"below 20 %.*12 N·m.*smaller wrench"):
        set_for(BIG, 11.0)


def test_a_snugging_stage_may_lie_below_a_fifth_and_claims_nothing() -> None:
    found = set_for(BIG, 11.0, final=False)
    assert found.mark == 11
    assert found.deviation is None


def test_with_an_adapter_the_setting_decides_whether_the_wrench_will_do() -> None:
    """13 N·m straight out on 300 + 50 mm is set at 11.1, below a fifth of 60."""
    assert set_for(BIG, 13.0).deviation == 0.04
    with pytest.raises(WrenchRefused, match="below 20 %"):
        set_for(BIG, 13.0, offset=Offset(0.050, 0.0))


def test_an_adapter_on_an_unmeasured_wrench_asks_for_its_length() -> None:
    with pytest.raises(WrenchRefused, match="middle of the grip"):
        set_for(wrench("10", "60", "0.5"), 30.0, offset=Offset(0.05, 0.0))


def test_the_shelf_is_sorted_by_how_far_the_nut_may_end_from_the_figure() -> None:
    coarse, fine = wrench("10", "100", "5"), wrench("10", "100", "1")
    found = choose([coarse, fine], 42.0)
    assert [each.wrench for each in found.suited] == [fine, coarse]


def test_a_small_tool_with_its_wider_allowance_comes_second() -> None:
    """ISO 6789: 6 % up to a maximum of 10 N·m, 4 % above."""
    small, larger = wrench("1", "10", "0.1"), wrench("2", "15", "0.1")
    assert [each.wrench for each in choose([small, larger], 8.0).suited] == [larger, small]


def test_a_shelf_that_covers_nothing_says_why_for_each() -> None:
    found = choose([BIG, wrench("40", "200", "1")], 5.0)
    assert found.suited == ()
    assert len(found.refused) == 2
    assert all(reason for _, reason in found.refused)


def test_each_wrench_is_judged_with_its_own_length() -> None:
    """The story of the trade: 30 N·m in line with 50 mm on 300 mm is set 25.7."""
    found = choose([BIG], 30.0, offset=Offset(0.050, 0.0)).suited[0]
    assert found.exact == pytest.approx(25.714, abs=1e-3)
    short = TorqueWrench("short", Decimal(10), Decimal(60), Decimal("0.5"), NM, 0.200)
    assert choose([short], 30.0, offset=Offset(0.050, 0.0)).suited[0].exact == pytest.approx(24.0)


@pytest.mark.parametrize(
    ("low", "high", "step", "told"),
    [
        ("60", "10", "1", "upward"),
        ("10", "60", "0", "step between marks"),
        ("10", "60", "70", "step"),
    ],
)
def test_a_scale_that_is_none_is_refused(low: str, high: str, step: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        wrench(low, high, step)


def test_a_scale_is_in_a_unit_of_torque() -> None:
    with pytest.raises(ValueError, match="unit of torque, not mm"):
        TorqueWrench("rule", Decimal(0), Decimal(60), Decimal(1), find_unit("mm"))


def test_a_torque_of_nothing_is_refused() -> None:
    with pytest.raises(WrenchRefused, match="above 0"):
        set_for(BIG, 0.0)
    assert set_for(BIG, 30.0, offset=Offset(0.05, radians(90))).mark == 30
