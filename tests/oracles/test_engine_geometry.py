"""Slider-crank, ports, volumes, honing against published values and other methods."""

from math import acos, atan2, cos, degrees, isclose, pi, radians, sin, sqrt, tan

import pytest
from fluids.geometry import V_multiple_hole_cylinder
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from ringland.engine.hone import Honing, crosshatch, rate_for
from ringland.engine.ports import Port, open_time, raised, window
from ringland.engine.ring import FOOT, INCH, flutter, flutter_limit
from ringland.engine.slider_crank import (
    Crank,
    angle_going_down,
    angle_going_up,
    bottom_dead_centre,
    greatest_piston_speed,
    mean_piston_speed,
    piston_acceleration,
    piston_speed,
    piston_travel,
)
from ringland.engine.squish import Chamber, squish_speed
from ringland.engine.volumes import bore_area, swept_volume

SLIDE_RULE = 0.01  # the handbook says that the answer is rounded off by slide rule
TWO_DIGITS = 5e-5  # the printed time has four decimals of a second
ROOT = 2e-9  # rad; a root of a height rounded to 1e-17 m lies so near, 0.1° from a dead centre
DIFFERENCE = 1e-6  # relative; central differences of step 1e-5 rad are good to about 1e-7

shapes = st.tuples(st.floats(0.03, 0.09), st.floats(1.2, 3.0), st.floats(-0.1, 0.1))


def crank_of(shape: tuple[float, float, float]) -> Crank:
    stroke, ratio, offset = shape
    return Crank(stroke, stroke * ratio, stroke * offset)


def pin_height(r: float, rod: float, offset: float, phi: float) -> float:
    """Height of the pin above the crank's centre by Pythagoras, independent of the room."""
    return r * cos(phi) + sqrt(rod**2 - (r * sin(phi) - offset) ** 2)


@given(shapes, st.floats(0.0, 2 * pi))
@settings(max_examples=80, deadline=None)
def test_travel_agrees_with_pythagoras_from_numerically_found_top(
    shape: tuple[float, float, float], angle: float
) -> None:
    crank = crank_of(shape)
    top = minimize_scalar(
        lambda phi: -pin_height(crank.throw, crank.rod, crank.offset, phi),
        bounds=(-0.5, 0.5),
        method="bounded",
        options={"xatol": 1e-13},
    )
    here = pin_height(crank.throw, crank.rod, crank.offset, float(top.x) + angle)
    # the numeric top is good to the square root of rounding, 1e-8 rad, times a radius
    assert abs(piston_travel(crank, angle) - (-float(top.fun) - here)) < 2e-9


@given(shapes, st.floats(0.001, 0.999))
@settings(max_examples=80, deadline=None)
def test_the_inverse_agrees_with_a_root_finder_both_ways(
    shape: tuple[float, float, float], share: float
) -> None:
    # oracle: scipy.optimize.brentq on the forward formula
    crank = crank_of(shape)
    travel, bottom = share * crank.stroke, bottom_dead_centre(crank)

    def missing(angle: float) -> float:
        return piston_travel(crank, angle) - travel

    down = brentq(missing, 0.0, bottom, xtol=1e-14)
    up = brentq(missing, bottom, 2 * pi, xtol=1e-14)
    assert abs(angle_going_down(crank, travel) - float(down)) < ROOT
    assert abs(angle_going_up(crank, travel) - float(up)) < ROOT


@given(shapes, st.floats(0.01, 6.27))
@settings(max_examples=80, deadline=None)
def test_speed_and_acceleration_are_the_slopes_of_the_travel(
    shape: tuple[float, float, float], angle: float
) -> None:
    crank, step, rotation = crank_of(shape), 1e-5, 150.0
    omega = 2 * pi * rotation
    slope = (piston_travel(crank, angle + step) - piston_travel(crank, angle - step)) / (2 * step)
    scale = crank.throw * omega
    assert abs(piston_speed(crank, angle, rotation) - slope * omega) < DIFFERENCE * scale
    bend = piston_speed(crank, angle + step, rotation) - piston_speed(crank, angle - step, rotation)
    found = piston_acceleration(crank, angle, rotation)
    assert abs(found - bend / (2 * step) * omega) < DIFFERENCE * scale * omega


def test_the_law_of_cosines_in_its_plain_form_gives_the_same_angle() -> None:
    # exact: cos = (r² + y² - l²)/(2 r y) with y the height of the pin
    r, rod, travel = 0.028, 0.105, 0.0275
    y = r + rod - travel
    plain = acos((r * r + y * y - rod * rod) / (2 * r * y))
    assert isclose(angle_going_down(Crank(2 * r, rod), travel), plain, rel_tol=1e-12)


def test_the_two_term_series_is_out_by_more_than_a_twentieth_of_a_millimetre() -> None:
    # exact: r(1 - cos) + r² sin²/(2 l) drops the fourth power; not to be used for ports
    r, rod = 0.028, 0.105
    series = r + r * r / (2 * rod)
    assert piston_travel(Crank(2 * r, rod), pi / 2) - series > 0.05e-3


@pytest.mark.parametrize("angle", [20, 76, 90, 135, 180, 250])
def test_piston_speed_follows_the_textbook_formula(angle: float) -> None:
    # Heywood, Internal Combustion Engine Fundamentals (1988), eq. (2.11), from memory:
    # S/S_mean = pi/2 sin t [1 + cos t / sqrt(R² - sin² t)], R rod over throw
    crank, rotation, t = Crank(0.056, 0.105), 150.0, radians(angle)
    R = crank.rod / crank.throw
    expected = pi / 2 * sin(t) * (1 + cos(t) / sqrt(R * R - sin(t) ** 2))
    found = piston_speed(crank, t, rotation) / mean_piston_speed(crank.stroke, rotation)
    assert isclose(found, expected, rel_tol=1e-12, abs_tol=1e-12)


def test_acceleration_at_both_dead_centres_follows_the_textbook_formula() -> None:
    # 2 pi² N² S (1 ± r/l), from Heywood's speed formula by differentiation (read as quoted)
    crank, rotation = Crank(0.056, 0.105), 11000 / 60
    base, share = 2 * pi**2 * rotation**2 * crank.stroke, crank.throw / crank.rod
    assert isclose(piston_acceleration(crank, 0.0, rotation), base * (1 + share))
    assert isclose(piston_acceleration(crank, pi, rotation), -base * (1 - share))


def test_the_tuners_handbook_example_of_piston_acceleration() -> None:
    # Jennings, Two-Stroke Tuner's Handbook (1973): 50 mm stroke, rod/stroke 2, 11 000 rpm:
    # about 135 000 ft/s²; its 1 mm ring (.039 in) is then just under its limit (read)
    found = flutter(Crank(0.050, 0.100), 0.039 * INCH, 11000 / 60)
    assert isclose(found.acceleration / FOOT, 135_000, rel_tol=SLIDE_RULE)
    assert not found.is_beyond
    assert found.limit_rotation * 60 < 11200  # "but not much higher"


@pytest.mark.parametrize(
    ("height", "limit"),
    [(0.125, 40_000), (0.094, 53_000), (0.063, 80_000), (0.047, 106_000), (0.039, 138_000)],
)
def test_the_ring_flutter_table(height: float, limit: float) -> None:
    # Jennings (1973), table of ring thickness and acceleration (read in a serialised copy)
    assert isclose(flutter_limit(height * INCH), limit * FOOT)


def test_the_tuners_handbook_example_of_port_open_time() -> None:
    # Jennings (1973): 172° at 7000 rpm is 0.0041 s (read)
    assert abs(open_time(radians(172), 7000 / 60) - 0.0041) < TWO_DIGITS


def test_the_greatest_speed_agrees_with_a_minimiser() -> None:
    # oracle: scipy.optimize.minimize_scalar
    crank = Crank(0.056, 0.105, 0.001)
    other = minimize_scalar(
        lambda t: -piston_speed(crank, t, 150.0), bounds=(0.5, 2.5), method="bounded"
    )
    speed, angle = greatest_piston_speed(crank, 150.0)
    assert isclose(speed, -float(other.fun), rel_tol=1e-10)
    assert isclose(angle, float(other.x), abs_tol=1e-4)


@pytest.mark.parametrize(("stroke", "rod"), [(0.0545, 0.105), (0.072, 0.130)])
@pytest.mark.parametrize("share", [0.48, 0.73])
def test_a_tenth_of_gasket_turns_the_edges_as_common_practice_has_it(
    stroke: float, rod: float, share: float
) -> None:
    # common practice: 0.1 mm of base gasket is 0.15° to 0.25° at each edge, 0.3° to 0.5° in all
    port = Port("port", stroke * share, "exhaust")
    before, after = window(Crank(stroke, rod), port), window(Crank(stroke, rod), raised(port, 1e-4))
    assert 0.15 <= degrees(before.opens - after.opens) <= 0.25
    assert 0.3 <= degrees(after.duration - before.duration) <= 0.5


@given(st.floats(0.03, 0.09), st.floats(0.03, 0.09))
@settings(max_examples=20, deadline=None)
def test_swept_volume_agrees_with_another_library(bore: float, stroke: float) -> None:
    # oracle: fluids.geometry
    assert isclose(swept_volume(bore, stroke), V_multiple_hole_cylinder(bore, stroke, []))


@pytest.mark.parametrize("angle", [-40, -20, -10, -5])
def test_squish_speed_carries_the_mass_that_the_bowl_gains(angle: float) -> None:
    # balance of mass: at equal density the bowl holds V_b/V of the charge; what it gains passes
    # the ring pi D_b z at its edge. Heywood (1988) eq. (8.36), from memory, says the same.
    chamber = Chamber(0.0532, 0.0380, 10.4e-6, 0.0010)
    crank, rotation, t, step = Crank(0.056, 0.105), 11000 / 60, radians(angle), 1e-5

    def volume(at: float) -> float:
        return chamber.clearance + bore_area(0.0532) * piston_travel(crank, at)

    # the bowl with the disc of the cylinder below it holds this share of the charge
    def share(at: float) -> float:
        below = bore_area(0.0380) * (chamber.squish + piston_travel(crank, at))
        return (chamber.bowl_volume + below) / volume(at)

    gain = (share(t + step) - share(t - step)) / (2 * step) * 2 * pi * rotation
    edge = pi * 0.0380 * (chamber.squish + piston_travel(crank, t))
    expected = gain * volume(t) / edge
    assert isclose(squish_speed(chamber, crank, t, rotation), expected, rel_tol=1e-5)


def test_equal_axial_and_round_speed_cross_at_a_right_angle() -> None:
    # exact: tan(angle/2) = 1
    honing = Honing(0.054, 0.060, 2.0)
    rate = pi * 0.054 * 2.0 / (2 * 0.060)
    assert isclose(crosshatch(honing, rate), pi / 2)


def test_forty_five_degrees_need_an_axial_speed_of_root_two_less_one() -> None:
    # exact: tan 22.5° = sqrt(2) - 1; the angle is halved from square to the axis (common practice)
    honing = Honing(0.054, 0.060, 2.0)
    axial = 2 * 0.060 * rate_for(honing, pi / 4)
    assert isclose(axial / (pi * 0.054 * 2.0), sqrt(2) - 1)


@pytest.mark.parametrize("place", [-0.02, 0.0, 0.01, 0.029])
def test_a_crank_stroked_stone_leans_as_its_path_does(place: float) -> None:
    # second method: slope of the path drawn by a point, by central difference in time
    bore, stroke, spindle, rate = 0.054, 0.060, 2.5, 1.2
    at, step = acos(-2 * place / stroke) / (2 * pi * rate), 1e-7

    def along(time: float) -> float:
        return -stroke / 2 * cos(2 * pi * rate * time)

    rise = along(at + step) - along(at - step)
    run = pi * bore * spindle * 2 * step
    found = crosshatch(Honing(bore, stroke, spindle, "crank"), rate, place=place)
    assert isclose(found, 2 * atan2(rise, run), rel_tol=1e-5)
    assert tan(found / 2) > 0
