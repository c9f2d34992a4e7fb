"""Coolant: tables read forwards and backwards, mixing, drain and refill."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.fluids.coolant import (
    CoolantError,
    after_exchanges,
    exchange,
    exchanges_needed,
    freeze_point,
    glycol_in,
    share_for,
    table,
)

glycols = st.sampled_from(["ethylene", "propylene"])
inside = st.floats(0, 0.50)


@settings(deadline=None, max_examples=100)
@given(glycols, inside)
def test_the_share_for_a_freeze_point_freezes_there(glycol: str, share: float) -> None:
    point = freeze_point(glycol, share)
    assert share_for(glycol, point) == pytest.approx(share, abs=1e-9)


@settings(deadline=None, max_examples=100)
@given(glycols, inside, inside)
def test_more_glycol_inside_the_table_never_freezes_earlier(
    glycol: str, one: float, other: float
) -> None:
    low, high = sorted((one, other))
    assert freeze_point(glycol, high) <= freeze_point(glycol, low)


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
def test_water_freezes_as_water_does(glycol: str) -> None:
    assert freeze_point(glycol, 0.0) == pytest.approx(273.15)


@pytest.mark.parametrize(("glycol", "share"), [("ethylene", 0.601), ("propylene", 0.51)])
def test_nothing_is_guessed_past_the_end_of_a_table(glycol: str, share: float) -> None:
    last = table(glycol)[-1][0] / 100
    assert freeze_point(glycol, last) < 273.15 - 30
    with pytest.raises(CoolantError, match="past the end"):
        freeze_point(glycol, share)


def test_a_cold_that_no_row_reaches_is_refused() -> None:
    with pytest.raises(CoolantError, match="not reached"):
        share_for("propylene", 273.15 - 40)
    with pytest.raises(CoolantError, match="not reached"):
        share_for("ethylene", 273.15 + 1)


def test_an_unknown_glycol_sends_the_person_to_the_bottle() -> None:
    with pytest.raises(CoolantError, match="read the bottle"):
        freeze_point("methanol", 0.3)


@settings(deadline=None, max_examples=100)
@given(st.floats(2e-4, 5e-3), st.floats(0, 0.6), st.floats(0.3, 1.0))
def test_a_mix_holds_the_glycol_it_should(volume: float, share: float, bottle: float) -> None:
    if share > bottle:
        with pytest.raises(CoolantError, match="take a concentrate"):
            glycol_in(volume, share, bottle=bottle)
        return
    poured, water = glycol_in(volume, share, bottle=bottle)
    assert poured + water == pytest.approx(volume)
    assert poured * bottle == pytest.approx(share * volume)
    assert water >= -1e-12


@settings(deadline=None, max_examples=200)
@given(st.floats(2e-4, 5e-3), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_one_exchange_reaches_the_share_or_is_refused(
    volume: float, now: float, wanted: float, refill: float
) -> None:
    reachable = min(now, refill) <= wanted <= max(now, refill)
    if not reachable:
        with pytest.raises(CoolantError, match="never brings"):
            exchange(volume, now, wanted, refill=refill)
        return
    drained = exchange(volume, now, wanted, refill=refill).drain
    assert 0 <= drained <= volume * (1 + 1e-9)
    after = after_exchanges(volume, now, min(drained, volume), refill=refill) if drained else now
    assert after == pytest.approx(wanted, abs=1e-9)


def test_water_twice_through_three_quarters_leaves_a_sixteenth() -> None:
    assert after_exchanges(1.2e-3, 0.48, 0.9e-3, refill=0.0, times=2) == pytest.approx(0.03)


def test_the_number_of_changes_is_the_least_that_reaches_it() -> None:
    volume, part = 1.2e-3, 0.3e-3
    times = exchanges_needed(volume, 0.30, part, refill=1.0, wanted=0.60)
    assert after_exchanges(volume, 0.30, part, refill=1.0, times=times) >= 0.60
    assert after_exchanges(volume, 0.30, part, refill=1.0, times=times - 1) < 0.60


def test_changes_that_never_get_there_are_refused_and_none_are_needed_when_there() -> None:
    with pytest.raises(CoolantError, match="never quite"):
        exchanges_needed(1.2e-3, 0.5, 0.9e-3, refill=0.0, wanted=0.0)
    assert exchanges_needed(1.2e-3, 0.5, 1.2e-3, refill=0.0, wanted=0.0) == 1
    assert exchanges_needed(1.2e-3, 0.5, 0.9e-3, refill=1.0, wanted=0.5) == 0


def test_more_than_all_does_not_run_out() -> None:
    with pytest.raises(CoolantError, match="cannot run out"):
        after_exchanges(1.2e-3, 0.5, 1.3e-3, refill=0.0)


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_a_share_lies_between_none_and_all(share: float) -> None:
    with pytest.raises(CoolantError, match="0 to 100 %"):
        freeze_point("ethylene", share)
