"""Premix: ratios as people write them, cans put right."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.fluids.premix import (
    AmbiguousRatio,
    Can,
    MixError,
    correct,
    fill_can,
    mixed,
    oil_for,
    read_ratio,
)

ratios = st.floats(12, 120)
volumes = st.floats(1e-4, 0.05)


@settings(deadline=None, max_examples=100)
@given(volumes, ratios)
def test_a_full_can_holds_its_ratio_and_its_volume(volume: float, ratio: float) -> None:
    can = fill_can(volume, ratio)
    assert can.ratio == pytest.approx(ratio)
    assert can.volume == pytest.approx(volume)
    assert oil_for(can.fuel, ratio) == pytest.approx(can.oil)


@settings(deadline=None, max_examples=200)
@given(volumes, ratios, ratios)
def test_a_can_put_right_has_the_ratio_wanted_and_only_one_thing_was_added(
    volume: float, now: float, wanted: float
) -> None:
    fix = correct(fill_can(volume, now), wanted)
    assert fix.result.ratio == pytest.approx(wanted)
    assert fix.add_oil >= 0
    assert fix.add_fuel >= 0
    assert fix.add_oil == 0 or fix.add_fuel == 0


def test_plain_fuel_gets_the_oil_it_lacks() -> None:
    assert correct(Can(0.005, 0.0), 32).add_oil * 1e6 == pytest.approx(156.25)
    assert Can(0.005, 0.0).ratio == float("inf")


def test_two_cans_of_one_ratio_poured_together_keep_it() -> None:
    assert mixed(fill_can(0.002, 40), fill_can(0.007, 40)).ratio == pytest.approx(40)


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("32", 32),
        ("32:1", 32),
        ("1:32", 32),
        ("32 to 1", 32),
        ("32,5:1", 32.5),
        (" 50 / 1 ", 50),
        ("4 % of the fuel", 25),
        ("4% of the mix", 24),
        ("2,5 percent of fuel", 40),
        ("100:2", 50),
    ],
)
def test_a_ratio_is_read_however_it_is_written(text: str, ratio: float) -> None:
    assert read_ratio(text) == pytest.approx(ratio)


def test_a_bare_percentage_is_asked_about_with_both_readings() -> None:
    with pytest.raises(AmbiguousRatio, match=r"of the fuel \(25:1\).*of the mix \(24:1\)") as asked:
        read_ratio("4 %")
    assert asked.value.readings == (25, 24)


def test_forty_percent_is_asked_back_as_forty_to_one() -> None:
    with pytest.raises(MixError, match="did you mean 40:1"):
        read_ratio("40 %")


@pytest.mark.parametrize(
    "text", ["", "lots", "32:", "0", "0:0", "3:1", "1000:1", "-32", "150 %", "4 % of it"]
)
def test_what_is_no_premix_is_refused(text: str) -> None:
    with pytest.raises(MixError):
        read_ratio(text)


def test_no_fuel_and_no_can_are_refused() -> None:
    with pytest.raises(MixError, match="above 0"):
        oil_for(0.0, 32)
    with pytest.raises(MixError, match="above 0"):
        fill_can(-1.0, 32)
    with pytest.raises(MixError, match="holds some fuel"):
        correct(Can(0.0, 0.1), 32)
