"""Circumstances of a pressure: typed in any order, kept as short words, read back the same."""

import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from ringland.job.readings.circumstances import LEAK_DOWN, NotUnderstood, read_back, take_out

CRANKING = "percent of baseline"
WORDS = ("warm", "throttle open", "valve shut", "by kick", "7 kicks", "400 rpm", "air 985 hPa")


def typed(line: str, method: str) -> tuple[list[str], tuple[str, ...]]:
    """Take the circumstances out of a line as it is typed."""
    return take_out(line.split(), method)


@examples(max_examples=60, deadline=None)
@given(st.permutations([*WORDS, "9.6 bar", "600 m", "18 °C"]))
def test_words_in_any_order_leave_the_values_and_keep_what_was_said(order: list[str]) -> None:
    left, how = take_out(" ".join(order).split(), CRANKING)
    assert sorted(left) == sorted(["9.6", "bar", "600", "m", "18", "°C"])
    assert set(how) == set(WORDS)
    said = read_back(how)
    assert (said.warm, said.throttle_open, said.valve_open) == (True, True, False)
    assert (said.method, said.kicks, said.air) == ("kick", 7, 98_500.0)
    assert said.speed == pytest.approx(400 / 60)


def test_nothing_noted_is_unknown_and_not_no() -> None:
    said = read_back(())
    assert (said.warm, said.throttle_open, said.valve_open, said.speed) == (None,) * 4


def test_of_a_pump_up_the_last_stroke_is_the_reading() -> None:
    left, how = typed("strokes 2.1 4.0 5.6 bar 400 rpm 600 m", CRANKING)
    assert left == ["600", "m", "5.6", "bar"]
    assert read_back(how).strokes == pytest.approx((2.1e5, 4.0e5, 5.6e5))


def test_a_final_value_beside_the_strokes_is_the_reading() -> None:
    left, _ = typed("8.4 bar strokes 2.1 4.0 bar", CRANKING)
    assert left == ["8.4", "bar"]


def test_a_slow_run_has_its_own_speed() -> None:
    _, how = typed("11.0 bar slow 9.1 bar 180 rpm 400 rpm", CRANKING)
    said = read_back(how)
    assert said.slow == pytest.approx((9.1e5, 3.0))
    assert said.speed == pytest.approx(400 / 60)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("bubbles at the ignition seal", "bubbles at ignition seal"),
        ("bubble at base joint", "bubbles at base joint"),
        ("bubbles at test plug", "bubbles at test plug"),
    ],
)
def test_bubbles_keep_their_place(typed: str, kept: str) -> None:
    left, how = take_out([".40", ".22", "bar", *typed.split()], "fall")
    assert how == (kept,)
    # bubbles at a seal are evidence of their own; at the tester's plug they are not
    assert ("test plug" in kept) == (left == [".40", ".22", "bar"])


def test_a_leak_down_is_a_share_and_says_where_the_air_went() -> None:
    left, how = typed("12 air past the ring", LEAK_DOWN)
    assert left == ["12", "%"]
    assert read_back(how).escapes == ("air past the ring",)


@pytest.mark.parametrize(
    ("typed", "method", "said"),
    [
        ("9 bar throttle", CRANKING, "throttle open or throttle shut"),
        ("9 bar wet", CRANKING, "wet compression"),
        ("strokes 4.0 bar", CRANKING, "one number for each kick"),
        ("strokes 4.0 6.0", CRANKING, "strokes"),
        ("strokes 4.0 6.9 5.0 bar", CRANKING, "a check valve does not fall; look at its valve"),
        ("9 bar slow 8.1 bar", CRANKING, "slow 8.1 bar 180 rpm"),
        ("9 bar air warm", CRANKING, "air"),
        (".4 .3 bar bubbles at the moon", "fall", "say one of ignition seal"),
    ],
)
def test_what_is_begun_and_not_finished_is_refused_with_its_form(
    typed: str, method: str, said: str
) -> None:
    with pytest.raises(NotUnderstood, match=said):
        take_out(typed.split(), method)


def test_other_checks_have_no_circumstances() -> None:
    assert take_out(["53.2", "mm", "warm"], "grid") == (["53.2", "mm", "warm"], ())
