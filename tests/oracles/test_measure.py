"""The measuring room against published and exact values, the source beside each."""

from math import inf, pi, radians, sqrt

import numpy as np
import pytest

from ringland.measure.bore import not_rocked_error, two_point_range
from ringland.measure.clearance import difference
from ringland.measure.conformance import judge, probability_within
from ringland.measure.estimates import (
    Contribution,
    MeasureError,
    add_up,
    arcsine,
    between,
    coverage_factor,
    rectangular,
    resolution,
    triangular,
)
from ringland.measure.flatness import least_squares, minimum_zone, straightness
from ringland.measure.form import perfect_face_reading, perfect_range_reading
from ringland.measure.propagation import propagate
from ringland.measure.sampling import (
    Arcsine,
    Distribution,
    Draws,
    InexactRectangular,
    Normal,
    Rectangular,
    ScaledT,
    of_estimate,
    propagate_by_sampling,
)
from ringland.measure.temperature import length_at_reference
from ringland.quantity.estimate import Estimate

EXACT = 1e-12  # follows from algebra; only rounding of floats is left
SAMPLED = 4.0  # standard deviations of the simulation that an answer may be off
MILLION = 1_000_000

# JCGM 100:2008 H.1, end-gauge calibration, nm and kelvin; the comparator's three parts apart
END_GAUGE = {
    "standard": Estimate(50_000_623.0, 25.0, 18),
    "observed": Estimate(215.0, 5.8, 24),
    "random": Estimate(0.0, 3.9, 5),
    "systematic": Estimate(0.0, 6.7, 8),
    "expansion": Estimate(11.5e-6, 2e-6 / sqrt(3)),
    "temperature": Estimate(-0.1, 0.41),
    "expansion_apart": Estimate(0.0, 1e-6 / sqrt(3), 50),
    "temperature_apart": Estimate(0.0, 0.05 / sqrt(3), 2),
}


def end_gauge(**x: float) -> float:
    return (
        x["standard"] + x["observed"] + x["random"] + x["systematic"]
        - x["standard"] * (x["expansion_apart"] * x["temperature"]
                           + x["expansion"] * x["temperature_apart"])
    )  # fmt: skip


def test_end_gauge_comes_out_as_the_guide_prints_it() -> None:
    """JCGM 100:2008 H.1.6: l = 50 000 838 nm, u_c 32 nm, 16 degrees of freedom."""
    estimate = propagate(end_gauge, END_GAUGE).estimate
    assert estimate.value == pytest.approx(50_000_838, abs=0.5)
    assert round(estimate.u) == 32
    assert estimate.u == pytest.approx(31.664, abs=0.002)  # checks.md; three libraries
    assert estimate.dof == pytest.approx(16.75, abs=0.05)


def test_end_gauge_lines_contribute_what_the_guide_prints() -> None:
    """JCGM 100:2008 H.1.3: differences of expansion 2.9 nm, of temperature 16.6 nm."""
    lines = {line.name: line.u for line in propagate(end_gauge, END_GAUGE).contributions}
    assert lines["expansion_apart"] == pytest.approx(2.9, abs=0.05)
    assert lines["temperature_apart"] == pytest.approx(16.6, abs=0.05)


def test_drawing_finds_the_second_order_that_the_first_order_route_leaves_out() -> None:
    """JCGM 100:2008 H.1.7: u_c 34 nm with the second-order terms (33.81 in full)."""
    normal = {name: Normal(each.value, each.u) for name, each in END_GAUGE.items()}

    def model(**x: Draws) -> Draws:
        result: Draws = np.asarray(end_gauge(**x))  # type: ignore[arg-type]
        return result

    found = propagate_by_sampling(model, normal, seed=1, draws=MILLION)
    assert found.u == pytest.approx(33.81, abs=SAMPLED * 33.81 / sqrt(2 * MILLION) * 1.5)
    assert round(found.u) == 34


def test_four_rectangular_inputs_have_the_exact_quantile_and_not_the_normal_one() -> None:
    """JCGM 101:2008 9.2.3: 2√3 (2 − 0.6^¼) = 3.879, where first order says 3.92."""
    half = sqrt(3)
    inputs = {name: Rectangular(-half, half) for name in ("a", "b", "c", "d")}
    found = propagate_by_sampling(lambda a, b, c, d: a + b + c + d, inputs, seed=2, draws=MILLION)
    exact = 2 * sqrt(3) * (2 - 0.6**0.25)
    density = 4 * 0.025 / (4 * sqrt(3) - exact)  # at that point: the tail is a fourth power
    off = SAMPLED * sqrt(0.025 * 0.975 / MILLION) / density
    low, high = found.symmetric_interval(0.95)
    assert high == pytest.approx(exact, abs=off)
    assert low == pytest.approx(-exact, abs=off)
    assert off < 3.92 - exact


def test_one_dominating_rectangle_keeps_its_shape() -> None:
    """JCGM 101:2008 9.2.4 (from memory): u 10.1, 95 % interval ± 17.0 and not ± 19.9."""
    half = sqrt(3)
    inputs = {name: Rectangular(-half, half) for name in ("a", "b", "c")}
    inputs["d"] = Rectangular(-10 * half, 10 * half)
    found = propagate_by_sampling(lambda a, b, c, d: a + b + c + d, inputs, seed=3, draws=MILLION)
    assert found.u == pytest.approx(sqrt(103), rel=0.003)
    assert found.symmetric_interval(0.95)[1] == pytest.approx(17.0, abs=0.1)


def test_a_model_flat_at_its_point_gets_its_doubt_from_drawing_only() -> None:
    """JCGM 101:2008 9.4: y = x1² + x2² at 0, u 0.005: exponential of mean 50e-6."""
    u = 0.005
    inputs = {name: Estimate(0.0, u) for name in ("x", "y")}
    assert propagate(lambda x, y: x * x + y * y, inputs).estimate.u == 0
    drawn = {name: of_estimate(each) for name, each in inputs.items()}
    found = propagate_by_sampling(lambda x, y: x**2 + y**2, drawn, seed=4, draws=MILLION)
    mean = 2 * u**2
    assert found.mean == pytest.approx(mean, abs=SAMPLED * mean / sqrt(MILLION))
    low, high = found.shortest_interval(0.95)
    assert high == pytest.approx(mean * np.log(20), rel=0.01)  # 149.8e-6, exact
    assert low == pytest.approx(0, abs=1e-9)


def test_gauge_block_with_its_stated_distributions() -> None:
    """JCGM 101:2008 9.5 (from memory): 838 nm, u 36 nm, shortest 99 % [745, 932] nm."""
    inputs: dict[str, Distribution] = {
        "standard": ScaledT(50_000_623.0, 25.0, 18),
        "observed": ScaledT(215.0, 6.0, 24),
        "random": ScaledT(0.0, 4.0, 5),
        "systematic": ScaledT(0.0, 7.0, 8),
        "expansion": Rectangular(9.5e-6, 13.5e-6),
        "mean_temperature": Normal(-0.1, 0.2),
        "cycle": Arcsine(-0.5, 0.5),
        "expansion_apart": InexactRectangular(-1e-6, 1e-6, 0.1e-6),
        "temperature_apart": InexactRectangular(-0.050, 0.050, 0.025),
    }

    def model(**x: Draws) -> Draws:
        temperature = x["mean_temperature"] + x["cycle"]
        length: Draws = x["standard"] * (
            1 + x["expansion"] * (temperature - x["temperature_apart"])
        ) + (x["observed"] + x["random"] + x["systematic"])
        result: Draws = length / (1 + (x["expansion"] + x["expansion_apart"]) * temperature)
        return result - 50_000_000

    found = propagate_by_sampling(model, inputs, seed=5, draws=MILLION)
    assert found.mean == pytest.approx(838, abs=0.5)
    assert found.u == pytest.approx(35.8, abs=0.2)
    low, high = found.shortest_interval(0.99)
    assert low == pytest.approx(744.4, abs=2)  # scatter of a shortest interval's ends
    assert high == pytest.approx(931.6, abs=2)


@pytest.mark.parametrize(
    ("p", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)]
)
def test_one_sided_factors_give_their_probability(p: float, z: float) -> None:
    """JCGM 106:2012 Table 1 (from memory): the table prints two decimals of z."""
    found = probability_within(Estimate(0.0, 1.0), lower=None, upper=z)
    density = 0.4  # of the normal at most
    assert found == pytest.approx(p, abs=0.006 * density)


def test_breakdown_voltage_conforms_with_the_printed_probability() -> None:
    """JCGM 106:2012 7.3.3 (from memory): limit −5.40, y −5.47, u 0.05: 0.919."""
    found = probability_within(Estimate(-5.47, 0.05), lower=None, upper=-5.40)
    assert round(found, 3) == 0.919


def test_two_sided_interval_conforms_with_the_computed_probability() -> None:
    """JCGM 106:2012 7.4 (from memory): 12.5 to 16.3, y 13.6, u 1.8: 0.66."""
    found = probability_within(Estimate(13.6, 1.8), lower=12.5, upper=16.3)
    assert round(found, 4) == 0.6626


@pytest.mark.parametrize(("width", "p"), [(6.0, 0.950), (3.0, 0.862)])
def test_a_fixed_offset_is_no_rule_for_a_narrow_tolerance(width: float, p: float) -> None:
    """At T_U − 1.645 u the probability depends on the width of the tolerance (computed)."""
    found = probability_within(Estimate(width - 1.645, 1.0), lower=0.0, upper=width)
    assert round(found, 3) == pytest.approx(p, abs=0.0005)


@pytest.mark.parametrize(
    ("away", "verdict"),
    [(1.65, "within"), (1.64, "undecided"), (-1.64, "undecided"), (-1.65, "beyond")],
)
def test_default_rule_turns_at_1_645_u(away: float, verdict: str) -> None:
    """ISO 14253-1:2017 (from memory): 95 % to prove either way, one-sided 1.645 u."""
    assert judge(Estimate(-away, 1.0), lower=None, upper=0.0) == verdict


def test_simple_acceptance_risks_half_and_a_guard_band_of_u_a_fortieth() -> None:
    """ILAC-G8:09/2019: false acceptance under 50 % at the limit, under 2.5 % at a band of U."""
    at_limit = probability_within(Estimate(0.0, 1.0), lower=None, upper=0.0)
    guarded = probability_within(Estimate(-2.0, 1.0), lower=None, upper=0.0)
    assert 1 - at_limit == pytest.approx(0.5, abs=EXACT)
    assert 1 - guarded < 0.025


def test_type_b_widths_come_out_as_the_guides_say() -> None:
    """JCGM 100:2008 4.3.7, 4.3.9, F.2.2.1; JCGM 101:2008 6.4.6."""
    assert rectangular(1) == pytest.approx(1 / sqrt(3), rel=EXACT)
    assert triangular(1) == pytest.approx(1 / sqrt(6), rel=EXACT)
    assert arcsine(1) == pytest.approx(1 / sqrt(2), rel=EXACT)
    assert resolution(1) == pytest.approx(1 / sqrt(12), rel=EXACT)


def test_a_bracket_of_leaves_is_a_rectangle() -> None:
    """JCGM 100:2008 4.3.7: 0.35 goes, 0.40 does not: 0.375, u 0.0144."""
    found = between(0.35, 0.40)
    assert found.value == pytest.approx(0.375, rel=EXACT)
    assert round(found.u, 4) == 0.0144


@pytest.mark.parametrize(("dof", "t"), [(1, 12.7062), (2, 4.30265), (4, 2.77645), (inf, 1.95996)])
def test_coverage_factor_is_students_t(dof: float, t: float) -> None:
    """Student t 0.975 (tables print six figures)."""
    assert coverage_factor(0.95, dof) == pytest.approx(t, abs=5e-5)


@pytest.mark.parametrize("dof", [1, 2])
def test_t_without_variance_is_refused(dof: int) -> None:
    """JCGM 101:2008 6.4.9.4: the standard deviation exists above 2 degrees of freedom only."""
    with pytest.raises(MeasureError, match="no finite variance"):
        of_estimate(Estimate(0.0, 1.0, dof))


def test_warm_part_and_warm_gauge_are_brought_to_20_degrees() -> None:
    """ISO 1:2016; steel 11.5e-6, aluminium 20e-6, both 31 °C, 53.950 mm: 53.94496 mm (exact)."""
    found = length_at_reference(53.950, 304.15, 0.0, 20e-6, 11.5e-6)
    assert found == pytest.approx(53.950 * (1 + 11.5e-6 * 11) / (1 + 20e-6 * 11), rel=EXACT)
    assert round(found, 5) == 53.94496


@pytest.mark.parametrize(("degrees", "microns"), [(1.0, 8.23), (0.5, 2.06)])
def test_a_tilted_bore_gauge_reads_too_large(degrees: float, microns: float) -> None:
    """Secant of the tilt on 54 mm (exact)."""
    assert round(not_rocked_error(0.054, radians(degrees)) * 1e6, 2) == microns


@pytest.mark.parametrize(("count", "d2"), [(2, 1.128), (3, 1.693), (4, 2.059), (6, 2.534)])
def test_equal_diameters_read_a_range_by_noise_alone(count: int, d2: float) -> None:
    """d2 of control-chart tables: mean range of n normal readings in units of u."""
    draws = 40_000
    found = perfect_range_reading([[1.0] * count], 1.0, seed=6, draws=draws)
    assert found == pytest.approx(d2, abs=SAMPLED * 0.9 / sqrt(draws))


def test_the_micrometer_that_measured_both_cancels() -> None:
    """Micrometer ± 4 µm in both, the rest 1 µm: 1.0 µm, and 3.4 µm if taken as independent."""
    scale = rectangular(4.0)
    own = Contribution("bore gauge", 1.0)
    for shared, u in (("M1", 1.0), ("", 3.4)):
        micrometer = Contribution("micrometer", scale, shared=shared)
        found = difference(add_up(54_000.0, [micrometer, own]), add_up(53_950.0, [micrometer]))
        assert round(found.estimate.u, 1) == u


SADDLE = [(0, 0, 0.02), (60, 60, 0.02), (60, 0, -0.02), (0, 60, -0.02)]
THREE_ONE = [(0, 0, 0), (60, 0, 0), (30, 60, 0), (30, 20, 0.05), (20, 10, 0.02), (40, 20, 0.03)]
TWO_TWO = [
    (0, 0, 0), (60, 60, 0), (60, 0, 0.04), (0, 60, 0.04),
    (30, 30, 0.015), (10, 30, 0.02), (45, 20, 0.03),
]  # fmt: skip
GRID = [
    (100.0 * column, 100.0 * row, z / 1000)
    for row, heights in enumerate([[0, 4, 6], [-5, 20, -9], [-10, -3, 8]])
    for column, z in enumerate(heights)
]
PRINTED = 1e-7  # mm; least-squares values stand with seven decimals, one rounded up twice


@pytest.mark.parametrize(
    ("points", "zone", "fitted"),
    [
        (SADDLE, 0.040, 0.040),  # exact; trying hull facets only gives 0.080
        (THREE_ONE, 0.050, 0.0518326),
        (TWO_TWO, 0.040, 0.0421299),
        (GRID, 0.027, 0.0323333),
    ],
)
def test_faces_have_their_known_flatness(
    points: list[tuple[float, float, float]], zone: float, fitted: float
) -> None:
    """Exact and twice computed sets; minimum zone after ISO 1101."""
    assert minimum_zone(points).width == pytest.approx(zone, abs=EXACT)
    assert least_squares(points) == pytest.approx(fitted, abs=PRINTED)


def test_both_kinds_of_contact_are_found() -> None:
    """A saddle is held by two points above and two below, a dome by three and one."""
    assert minimum_zone(SADDLE).contacts == "2+2"
    assert minimum_zone(TWO_TWO).contacts == "2+2"
    zone = minimum_zone(THREE_ONE)
    assert (zone.contacts, zone.high, zone.low) == ("3+1", (3,), (0, 1, 2))


def test_straightness_has_its_known_values() -> None:
    """Computed: 0.024 minimum zone, 0.0254286 least squares."""
    line = list(zip(range(0, 120, 20), [0, 0.01, 0.03, 0.02, 0.04, 0.02], strict=True))
    assert straightness(line).width == pytest.approx(0.024, abs=EXACT)
    assert least_squares(line) == pytest.approx(0.0254286, abs=PRINTED)


def test_four_corners_of_a_flat_face_read_a_folded_normal() -> None:
    """Exact: the zone of a square is |z1 − z2 + z3 − z4|/2, of mean u √(2/π)."""
    square = [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)]
    found = perfect_face_reading(square, 5.0, draws=40_000)
    assert found == pytest.approx(5 * sqrt(2 / pi), abs=SAMPLED * 3 / sqrt(40_000))


@pytest.mark.parametrize(("shape", "microns"), [((2, 2), 4.3), ((2, 3), 8.6), ((3, 3), 11.5)])
def test_a_flat_face_reads_some_microns_by_noise(shape: tuple[int, int], microns: float) -> None:
    """Computed, u 5 µm: about 4.3, 8.6, 11.5 µm at 4, 6, 9 points (where they lie matters)."""
    points = [(float(x), float(y), 0.0) for x in range(shape[0]) for y in range(shape[1])]
    assert perfect_face_reading(points, 5.0) == pytest.approx(microns, rel=0.1)


@pytest.mark.parametrize(("lobes", "seen", "roundness"), [(2, 0.040, 0.020), (3, 0.0, 0.020)])
def test_two_points_see_two_lobes_and_not_three(lobes: int, seen: float, roundness: float) -> None:
    """Exact: radius 25 with lobes of 0.01, against diameters taken all round."""
    angle = np.linspace(0, 2 * pi, 720, endpoint=False)
    radius = 25 + 0.01 * np.cos(lobes * angle)
    diameters = radius + np.roll(radius, 360)
    assert np.ptp(diameters) == pytest.approx(seen, abs=1e-9)
    assert two_point_range(0.01, lobes) == pytest.approx(seen, abs=EXACT)
    assert np.ptp(radius) == pytest.approx(roundness, abs=1e-9)
