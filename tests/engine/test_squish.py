"""Squish: rock averaged, tilt judged, one-sided readings refused; speed of the squished charge."""

from math import inf, isclose, isinf, radians, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import Crank
from ringland.engine.squish import (
    Chamber,
    greatest_squish_speed,
    squish_from_deck,
    squish_from_solder,
    squish_speed,
)
from ringland.quantity import Estimate

MICRO = 1e-6
CRANK = Crank(0.056, 0.105)
CHAMBER = Chamber(bore=0.0532, bowl=0.0380, clearance=10.4e-6, squish=0.0010)


def solder(**read: float) -> dict[str, Estimate]:
    return {place: Estimate(each * 1e-3, 15 * MICRO) for place, each in read.items()}


@given(st.floats(0.5, 2.0), st.floats(-0.3, 0.3), st.floats(-0.2, 0.2))
@settings(max_examples=50, deadline=None)
def test_a_rocking_or_tilted_piston_does_not_move_the_height(
    height: float, rock: float, tilt: float
) -> None:
    level = squish_from_solder(solder(EX=height, IN=height, IGN=height, CL=height))
    moved = squish_from_solder(
        solder(EX=height + rock, IN=height - rock, IGN=height + tilt, CL=height - tilt)
    )
    assert isclose(moved.height.value, level.height.value, abs_tol=1e-15)
    assert moved.rock is not None
    assert moved.spread is not None
    assert isclose(moved.rock.value, 2 * rock * 1e-3, abs_tol=1e-15)
    assert isclose(moved.spread.value, 2 * tilt * 1e-3, abs_tol=1e-15)
    assert isclose(moved.thinnest, (height - abs(tilt)) * 1e-3, abs_tol=1e-15)


def test_four_points_halve_what_is_each_points_own_and_keep_what_they_share() -> None:
    four = squish_from_solder(solder(EX=1.2, IN=1.2, IGN=1.2, CL=1.2), u_shared=10 * MICRO)
    assert isclose(four.height.u, sqrt((15 / 2) ** 2 + 10**2) * MICRO)
    assert four.spread is not None
    assert isclose(four.spread.u, 15 * sqrt(2) * MICRO)  # what is shared cancels in a difference


def test_few_repeats_leave_few_degrees_of_freedom() -> None:
    few = {place: Estimate(0.0012, 15 * MICRO, 3) for place in ("EX", "IN")}
    assert isclose(squish_from_solder(few).height.dof, 6)  # Welch-Satterthwaite, two equal parts
    assert isinf(squish_from_solder(solder(EX=1.2, IN=1.2)).height.dof)
    assert squish_from_solder(few, u_shared=50 * MICRO).height.dof > 6


def test_one_side_alone_is_refused_with_the_point_that_is_missing() -> None:
    with pytest.raises(OutOfRange, match="Take the IN point") as refused:
        squish_from_solder(solder(EX=1.2, IGN=1.2, CL=1.2))
    assert refused.value.name == "IN"


def test_solder_that_was_not_squeezed_is_refused() -> None:
    with pytest.raises(OutOfRange, match="thicker solder") as refused:
        squish_from_solder(solder(EX=1.24, IN=1.50), solder=1.5e-3)
    assert refused.value.name == "IN"


def test_unknown_places_and_no_places_are_refused() -> None:
    with pytest.raises(OutOfRange, match="no place of the band"):
        squish_from_solder(solder(FRONT=1.2))
    with pytest.raises(OutOfRange, match="no point was read"):
        squish_from_solder({})
    with pytest.raises(OutOfRange, match="above 0 mm"):
        squish_from_solder(solder(EX=-1.2, IN=1.2))


def test_a_deck_that_leaves_no_room_is_refused_before_the_engine_is_turned() -> None:
    with pytest.raises(OutOfRange, match="do not turn the engine"):
        squish_from_deck(Estimate(-0.0006, 1e-5), 0.0005)
    assert isclose(squish_from_deck(Estimate(-0.0002, 1e-5, 4), 0.0012).value, 0.0010)
    assert squish_from_deck(Estimate(0.0002, 1e-5, 4), 0.0005).dof == 4


def test_the_squished_charge_stands_still_at_top_dead_centre_and_flows_back_after_it() -> None:
    assert squish_speed(CHAMBER, CRANK, 0.0, 180.0) == 0.0
    before = squish_speed(CHAMBER, CRANK, radians(-10), 180.0)
    after = squish_speed(CHAMBER, CRANK, radians(10), 180.0)
    assert before > 0
    assert isclose(before, -after, rel_tol=1e-9)


@given(st.floats(0.0006, 0.0020), st.floats(60.0, 250.0))
@settings(max_examples=30, deadline=None)
def test_the_greatest_squish_speed_is_a_summit_and_grows_with_engine_speed(
    squish: float, rotation: float
) -> None:
    chamber = Chamber(0.0532, 0.0380, 10.4e-6, squish)
    speed, angle = greatest_squish_speed(chamber, CRANK, rotation)
    for step in (-0.02, 0.02):
        assert squish_speed(chamber, CRANK, angle + step, rotation) < speed
    assert isclose(greatest_squish_speed(chamber, CRANK, 2 * rotation)[0], 2 * speed, rel_tol=1e-9)


def test_less_squish_squirts_faster() -> None:
    tight = greatest_squish_speed(Chamber(0.0532, 0.038, 10.4e-6, 0.0008), CRANK, 180.0)[0]
    wide = greatest_squish_speed(Chamber(0.0532, 0.038, 10.4e-6, 0.0016), CRANK, 180.0)[0]
    assert tight > wide


@pytest.mark.parametrize(
    ("bowl", "clearance", "blamed"),
    [(0.0532, 10e-6, "bowl"), (0.0, 10e-6, "bowl"), (0.038, 2.2e-6, "clearance")],
)
def test_a_chamber_that_cannot_be_is_refused(bowl: float, clearance: float, blamed: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        Chamber(0.0532, bowl, clearance, 0.0010)
    assert refused.value.name == blamed


def test_an_estimate_without_end_is_no_squish() -> None:
    with pytest.raises(OutOfRange, match="no place"):
        squish_from_solder({"ex": Estimate(0.001, 0.0, inf)})


def test_a_clearance_smaller_than_the_squish_is_shown_beside_it_in_millilitres() -> None:
    with pytest.raises(OutOfRange, match=r"clearance is 2\.2 mL.*over the whole bore, 2\.22 mL"):
        Chamber(0.0532, 0.038, 2.2e-6, 0.0010)
