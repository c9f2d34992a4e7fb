"""Fits, squish, piston choice: published values, the guides' own numbers, other libraries."""

from math import inf, isclose, pi, sqrt

import pytest
from GTC import component, dof, ureal, value
from GTC import uncertainty as gtc_u
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm
from scipy.stats import t as student
from uncertainties import ufloat

from ringland.engine.expansion import MATERIALS, Part, part_of
from ringland.engine.hotfit import (
    gap_closing,
    hot_clearance,
    hot_gap,
    touching_gap,
    touching_skirt_temperature,
)
from ringland.engine.landing import probability_class_lands
from ringland.engine.piston import clearance
from ringland.engine.squish import squish_from_solder
from ringland.engine.stack import Stack, squish_with
from ringland.quantity import Estimate
from ringland.quantity.probability import probability_below, probability_within

PRINTED = 5e-7  # the table prints thousandths of a millimetre
THREE_DECIMALS = 5e-4
MICRO = 1e-6


def body(alpha: float, celsius: float) -> Part:
    return Part(Estimate(alpha, 0.0), Estimate(celsius + 273.15, 0.0))


@pytest.mark.parametrize(
    ("ring", "bore", "closing"),
    [(180, 120, -0.075e-3), (230, 110, 0.056e-3), (200, 20, 0.336e-3)],
)
def test_ring_gap_closing_of_an_iron_ring_in_an_aluminium_bore(
    ring: float, bore: float, closing: float
) -> None:
    # exact: pi B (a_r dT_r - a_c dT_c), 54 mm, 11.0 and 22.0 per million kelvin, from 20 °C
    found = gap_closing(0.054, cylinder=body(22e-6, bore), ring=body(11e-6, ring))
    assert abs(found.value - closing) < PRINTED


@pytest.mark.parametrize(("aluminium", "celsius"), [(0.1001, -179), (0.1002, -376)])
def test_the_brass_ring_on_an_aluminium_rod_parts_where_the_textbook_says(
    aluminium: float, celsius: float
) -> None:
    # Serway & Jewett, Physics for Scientists and Engineers, ch. 19, from memory: ring 10.00 cm,
    # rod 10.01 (10.02) cm at 20 °C, 19 and 24 per million kelvin -> -179 °C (-376: out of reach).
    # At 0.5 K from the printed degree the clearance is 0.3 µm: its rounding.
    found = hot_clearance(
        0.1000,
        Estimate(0.1000 - aluminium, 0.0),
        cylinder=body(19e-6, celsius),
        piston=body(24e-6, celsius),
    )
    assert abs(found.value) < 0.3 * MICRO


def test_the_shaft_that_is_cooled_until_the_ring_passes() -> None:
    # a physics textbook's exercise (read as quoted): ring 7.000 cm, shaft 7.003 cm at 5 °C,
    # aluminium 24 per million kelvin; shaft alone cooled -> -12.85 °C
    found = touching_skirt_temperature(
        0.07000,
        Estimate(-0.00003, 0.0),
        cylinder=body(24e-6, 5.0),
        piston=body(24e-6, 5.0),
        cold=278.15,
    )
    assert abs(found.value - 273.15 + 12.85) < 0.005


def test_one_metal_at_one_temperature_grows_in_proportion() -> None:
    # exact: everything scales by 1 + a dT
    wall = part = body(21e-6, 220.0)
    scale = 1 + 21e-6 * 200.0
    cold = Estimate(50 * MICRO, 0.0)
    assert isclose(hot_clearance(0.054, cold, cylinder=wall, piston=part).value, 50e-6 * scale)
    gap = Estimate(0.3e-3, 0.0)
    assert isclose(hot_gap(0.054, gap, cylinder=wall, ring=part).value, 0.3e-3 * scale)


@given(st.floats(0.04, 0.09), st.floats(10.0, 200.0), st.floats(10.0, 250.0), st.floats(0.1, 20.0))
@settings(max_examples=40, deadline=None)
def test_the_doubt_of_a_hot_fit_agrees_with_a_propagation_library(
    bore: float, wall_at: float, inner_at: float, spread: float
) -> None:
    # oracle: the uncertainties package, by automatic derivatives
    wall = part_of("cast aluminium", wall_at + 273.15, half_width=spread)
    inner = part_of("Al-12Si", inner_at + 273.15, half_width=spread)
    a_w, a_i = (ufloat(each.expansion.value, each.expansion.u) for each in (wall, inner))
    t_w, t_i = (ufloat(each.temperature.value, each.temperature.u) for each in (wall, inner))
    cold = ufloat(50e-6, 3e-6)
    w, i = a_w * (t_w - 293.15), a_i * (t_i - 293.15)
    expected = bore * (1 + w) - (bore - cold) * (1 + i)
    found = hot_clearance(bore, Estimate(50e-6, 3e-6), cylinder=wall, piston=inner)
    assert isclose(found.value, expected.nominal_value, rel_tol=1e-9, abs_tol=1e-15)
    assert isclose(found.u, expected.std_dev, rel_tol=1e-6)
    gap = ufloat(0.3e-3, 1e-5)
    expected = pi * bore * (1 + w) - (pi * bore - gap) * (1 + i)
    found = hot_gap(bore, Estimate(0.3e-3, 1e-5), cylinder=wall, ring=inner)
    assert isclose(found.value, expected.nominal_value, rel_tol=1e-9, abs_tol=1e-15)
    assert isclose(found.u, expected.std_dev, rel_tol=1e-6)
    expected = (bore * (1 + w) / (bore - cold) - 1) / a_i + 293.15
    found = touching_skirt_temperature(bore, Estimate(50e-6, 3e-6), cylinder=wall, piston=inner)
    assert isclose(found.value, expected.nominal_value, rel_tol=1e-9)
    assert isclose(found.u, expected.std_dev, rel_tol=1e-6)


def test_the_doubt_of_the_touching_gap_agrees_with_a_propagation_library() -> None:
    # oracle: the uncertainties package
    wall = part_of("cast aluminium", 293.15, half_width=20.0)
    ring = part_of("grey iron", 473.15, half_width=20.0)
    w = ufloat(wall.expansion.value, wall.expansion.u) * (
        ufloat(293.15, wall.temperature.u) - 293.15
    )
    r = ufloat(ring.expansion.value, ring.expansion.u) * (
        ufloat(473.15, ring.temperature.u) - 293.15
    )
    expected = pi * 0.054 * (r - w) / (1 + r)
    found = touching_gap(0.054, cylinder=wall, ring=ring)
    assert isclose(found.value, expected.nominal_value, rel_tol=1e-9)
    assert isclose(found.u, expected.std_dev, rel_tol=1e-6)


def test_one_sided_conformance_of_the_guide() -> None:
    # JCGM 106:2012, 7.3.3: limit -5.40, y -5.47, u 0.05 -> 0.919 (from memory, computed)
    assert abs(probability_below(Estimate(-5.47, 0.05), -5.40) - 0.919) < THREE_DECIMALS


def test_two_sided_conformance_of_the_guide() -> None:
    # JCGM 106:2012, 7.4: 12.5 to 16.3, y 13.6, u 1.8 -> 0.6626 (from memory, computed)
    assert abs(probability_within(Estimate(13.6, 1.8), 12.5, 16.3) - 0.6626) < 5e-5


@pytest.mark.parametrize(
    ("p", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)]
)
def test_the_one_sided_table_of_the_guide(p: float, z: float) -> None:
    # JCGM 106:2012, 7.3, Table 1 (from memory): z printed to two decimals
    low = probability_below(Estimate(0.0, 1.0), z - 0.006)
    assert low < p < probability_below(Estimate(0.0, 1.0), z + 0.006)


@pytest.mark.parametrize(("width", "p"), [(6.0, 0.950), (3.0, 0.862)])
def test_in_a_narrow_window_the_other_side_counts_too(width: float, p: float) -> None:
    # computed: at 1.645 u under the upper limit, windows of 6 u and 3 u
    assert abs(probability_within(Estimate(width - 1.645, 1.0), 0.0, width) - p) < THREE_DECIMALS


@given(
    st.floats(-6, 6),
    st.floats(0.01, 3.0),
    st.floats(0.01, 8.0),
    st.sampled_from([1.0, 2.0, 7.3, inf]),
)
@settings(max_examples=80, deadline=None)
def test_probabilities_agree_with_the_statistics_library(
    at: float, u: float, width: float, nu: float
) -> None:
    # oracle: scipy.stats, normal and t
    law = norm(at, u) if nu == inf else student(nu, at, u)
    found = probability_within(Estimate(at, u, nu), -width / 2, width / 2)
    expected = float(law.cdf(width / 2) - law.cdf(-width / 2))
    assert isclose(found, expected, rel_tol=1e-7, abs_tol=1e-13)


@given(
    st.floats(-60, 140),
    st.floats(0.5, 12.0),
    st.floats(1.0, 12.0),
    st.sampled_from([1.0, 4.0, inf]),
)
@settings(max_examples=40, deadline=None)
def test_a_class_agrees_with_numerical_integration(
    off: float, u: float, width: float, nu: float
) -> None:
    # oracle: scipy.integrate.quad over the class, in µm
    window = (0.0, 30.0)
    law = norm(off, u) if nu == inf else student(nu, off, u)
    area, _ = quad(
        lambda p: float(law.cdf(window[1] + p) - law.cdf(window[0] + p)), 0.0, width, epsabs=1e-12
    )
    found = probability_class_lands(Estimate(off, u, nu), (0.0, width), window)
    assert isclose(found, area / width, rel_tol=1e-6, abs_tol=1e-11)


def test_clearance_by_one_micrometer_keeps_only_what_is_not_shared() -> None:
    # computed (checks of this project): micrometer ± 4 µm rectangular in both readings, the bore
    # gauge's rest 1 µm -> u 1.0 µm; taken as independent it would be 3.4 µm
    micrometer = 4 / sqrt(3) * MICRO
    bore = Estimate(53.230e-3, sqrt(micrometer**2 + 1e-12))
    skirt = Estimate(53.182e-3, micrometer)
    assert abs(clearance(bore, skirt, u_shared=micrometer).u * 1e6 - 1.0) < 1e-6
    assert abs(clearance(bore, skirt).u * 1e6 - 3.4) < 0.05


def test_clearance_and_its_degrees_of_freedom_agree_with_a_metrology_library() -> None:
    # oracle: GTC, which carries the shared influence and Welch-Satterthwaite itself
    shared = ureal(0.0, 2.0, label="micrometer")
    bore = ureal(53230.0, 1.5, 6) + shared
    skirt = ureal(53182.0, 0.8, 4) + shared
    expected = bore - skirt
    # the room is handed whole estimates; its own parts carry these degrees of freedom
    found = clearance(
        Estimate(53230.0, gtc_u(bore), 6), Estimate(53182.0, gtc_u(skirt), 4), u_shared=2.0
    )
    assert isclose(found.value, value(expected))
    assert isclose(found.u, gtc_u(expected), rel_tol=1e-12)
    assert isclose(found.dof, dof(expected), rel_tol=1e-9)


def test_squish_and_its_doubt_agree_with_a_metrology_library() -> None:
    # oracle: GTC
    shared = ureal(0.0, 10.0, label="micrometer")
    read = {"EX": (1240.0, 5), "IN": (1160.0, 5), "IGN": (1190.0, 3), "CL": (1210.0, 3)}
    own = {place: ureal(each, 15.0, nu) for place, (each, nu) in read.items()}
    mean = sum(own.values()) / 4 + shared
    spread = own["IGN"] - own["CL"]
    found = squish_from_solder(
        {place: Estimate(each, 15.0, nu) for place, (each, nu) in read.items()}, u_shared=10.0
    )
    assert isclose(found.height.value, value(mean))
    assert isclose(found.height.u, gtc_u(mean), rel_tol=1e-12)
    assert isclose(found.height.dof, dof(mean), rel_tol=1e-9)
    assert found.spread is not None
    assert isclose(found.spread.u, gtc_u(spread), rel_tol=1e-12)
    assert isclose(found.spread.dof, dof(spread), rel_tol=1e-9)
    assert isclose(component(mean, shared), 10.0)


def test_a_swapped_gasket_adds_in_quadrature_as_a_metrology_library_has_it() -> None:
    # oracle: GTC
    after = ureal(1140.0, 15.0) + ureal(500.0, 10.0) - 400.0
    found = squish_with(Estimate(1.14e-3, 15e-6), Stack(0.4e-3), Stack(0.5e-3), u_swap=10e-6)
    assert isclose(found.value * 1e6, value(after))
    assert isclose(found.u * 1e6, gtc_u(after))


@pytest.mark.parametrize(
    ("metal", "per_million"),
    [
        # Callister, Materials Science and Engineering, Table B.6 (read): grey iron 11.4, ductile
        # 10.6-11.2, 1020 11.7, 4140 12.3, 440A 10.2, 356 21.5
        ("grey iron", (11.4, 11.4)),
        ("ductile iron", (10.6, 11.2)),
        ("carbon steel", (11.7, 11.7)),
        ("alloy steel", (12.3, 12.3)),
        ("stainless ring steel", (10.2, 10.2)),
        ("cast aluminium", (21.5, 21.5)),
        # a piston maker's material sheet, 20 to 200 °C (read)
        ("Al-12Si", (20.5, 21.5)),
        ("4032", (19.4, 19.4)),  # handbook table (read)
        ("2618", (22.3, 22.3)),  # from memory
        ("Al-18Si", (18.5, 19.5)),  # from memory
    ],
)
def test_the_expansion_table_holds_the_published_figures(
    metal: str, per_million: tuple[float, float]
) -> None:
    low, high = per_million
    found = MATERIALS[metal]
    assert isclose(found.expansion, (low + high) / 2 * MICRO, rel_tol=1e-12)
    if high > low:
        assert isclose(found.half_width, (high - low) / 2 * MICRO, rel_tol=1e-9)


def test_the_doubt_of_a_gap_closing_agrees_with_a_propagation_library() -> None:
    # oracle: the uncertainties package
    wall = part_of("cast aluminium", 393.15, half_width=20.0)
    ring = part_of("grey iron", 453.15, half_width=20.0)
    w, r = (
        ufloat(each.expansion.value, each.expansion.u)
        * (ufloat(each.temperature.value, each.temperature.u) - 293.15)
        for each in (wall, ring)
    )
    expected = pi * 0.054 * (r - w)
    found = gap_closing(0.054, cylinder=wall, ring=ring)
    assert isclose(found.value, expected.nominal_value, rel_tol=1e-9)
    assert isclose(found.u, expected.std_dev, rel_tol=1e-9)
