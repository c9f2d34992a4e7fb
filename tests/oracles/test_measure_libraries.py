"""The measuring room against general libraries: GTC, uncertainties, SciPy."""

from math import inf, sqrt

import GTC
import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special
from scipy.optimize import linprog

from ringland.measure.conformance import probability_within
from ringland.measure.consistency import Relation, check_linked, chi_square_above
from ringland.measure.estimates import coverage_factor
from ringland.measure.flatness import MOST_EXACT, minimum_zone, straightness
from ringland.measure.propagation import propagate
from ringland.quantity.estimate import Estimate

SAME = 1e-9  # relative; both sides work in doubles, ours takes slopes by steps
LINEAR_PROGRAM = 1e-12  # of the heights; the simplex ends on the same four points
CHECKS = settings(max_examples=40, deadline=None)

sizes = st.floats(0.1, 10.0)
doubts = st.floats(0.001, 0.1)


@CHECKS
@given(st.tuples(sizes, sizes, sizes), st.tuples(doubts, doubts, doubts), st.floats(-0.9, 0.9))
def test_first_order_agrees_with_both_libraries(
    x: tuple[float, ...], u: tuple[float, ...], r: float
) -> None:
    """A product and a quotient with two correlated inputs; slopes given as the libraries take."""
    a, b, c = x

    def model(a: float, b: float, c: float) -> float:
        return a * b / c

    inputs = {
        name: Estimate(*each) for name, each in zip("abc", zip(x, u, strict=True), strict=True)
    }
    slopes = {"a": b / c, "b": a / c, "c": -a * b / c**2}
    ours = propagate(model, inputs, correlations={("a", "b"): r}, sensitivities=slopes).estimate
    first, second = (GTC.ureal(v, s, independent=False) for v, s in zip(x[:2], u[:2], strict=True))
    GTC.set_correlation(r, first, second)
    theirs = first * second / GTC.ureal(x[2], u[2])
    assert ours.u == pytest.approx(theirs.u, rel=SAME)
    matrix = np.diag(np.square(u))
    matrix[0, 1] = matrix[1, 0] = r * u[0] * u[1]
    p, q, s = uncertainties.correlated_values(x, matrix)
    assert ours.u == pytest.approx((p * q / s).std_dev, rel=1e-6)  # it diagonalises the matrix


@CHECKS
@given(st.lists(st.tuples(doubts, st.integers(1, 40)), min_size=2, max_size=6))
def test_effective_degrees_of_freedom_agree_with_gtc(parts: list[tuple[float, int]]) -> None:
    names = [f"x{i}" for i in range(len(parts))]
    inputs = {n: Estimate(1.0, u, dof) for n, (u, dof) in zip(names, parts, strict=True)}
    ours = propagate(lambda **x: sum(x.values()), inputs).estimate
    theirs = sum(GTC.ureal(1.0, u, dof) for u, dof in parts)
    assert ours.u == pytest.approx(theirs.u, rel=SAME)
    assert ours.dof == pytest.approx(theirs.df, rel=SAME)


@CHECKS
@given(st.floats(-4, 4), st.floats(0.1, 3), st.sampled_from([inf, 1.0, 4.0, 30.0]))
def test_probability_agrees_with_the_distributions_of_scipy(
    value: float, u: float, dof: float
) -> None:
    def below(z: float) -> float:
        return float(special.ndtr(z) if dof == inf else special.stdtr(dof, z))

    found = probability_within(Estimate(value, u, dof), lower=-1.0, upper=2.0)
    assert found == pytest.approx(below((2 - value) / u) - below((-1 - value) / u), abs=1e-14)


@CHECKS
@given(st.floats(0.001, 0.9999))
def test_normal_coverage_factor_agrees_with_scipy(probability: float) -> None:
    assert coverage_factor(probability) == pytest.approx(
        special.ndtri((1 + probability) / 2), rel=1e-9
    )


@CHECKS
@given(st.floats(0, 200), st.integers(1, 12))
def test_chi_square_agrees_with_scipy(value: float, dof: int) -> None:
    assert chi_square_above(value, dof) == pytest.approx(special.chdtrc(dof, value), rel=1e-10)


def by_linear_program(points: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> float:
    basis = np.column_stack([np.ones(len(points)), points[:, :-1]])
    ones, z = np.ones((len(points), 1)), points[:, -1]
    solved = linprog(
        [0.0] * basis.shape[1] + [1.0],
        A_ub=np.vstack([np.hstack([basis, -ones]), np.hstack([-basis, -ones])]),
        b_ub=np.concatenate([z, -z]),
        bounds=[(None, None)] * basis.shape[1] + [(0, None)],
        method="highs",
    )
    assert solved.fun is not None
    return 2 * float(solved.fun)


@pytest.mark.parametrize("count", [4, 5, 6, 9, 12, 20, MOST_EXACT])
def test_flatness_equals_the_linear_program_on_random_faces(count: int) -> None:
    """The Chebyshev plane by SciPy's HiGHS, a method that shares nothing with trying fours."""
    source = np.random.default_rng(count)
    for _ in range(6):
        points = source.uniform(-1, 1, size=(count, 3))
        expected = by_linear_program(points)
        assert minimum_zone(points).width == pytest.approx(expected, abs=LINEAR_PROGRAM)


@pytest.mark.parametrize("count", [MOST_EXACT + 1, 60, 300])
def test_many_points_hold_within_the_zone_found(count: int) -> None:
    """Above the exact count: no plane does better (linear program) and the zone holds them all."""
    points = np.random.default_rng(count).uniform(-1, 1, size=(count, 3))
    zone = minimum_zone(points)
    above = points[:, 2] - zone.low_plane[0] - points[:, :2] @ np.array(zone.low_plane[1:])
    assert zone.width == pytest.approx(by_linear_program(points), abs=LINEAR_PROGRAM)
    assert above.min() > -LINEAR_PROGRAM
    assert above.max() < zone.width + LINEAR_PROGRAM
    assert len(zone.high) + len(zone.low) == 4


@pytest.mark.parametrize("count", [3, 6, 24, 40])
def test_straightness_equals_the_linear_program(count: int) -> None:
    points = np.random.default_rng(count).uniform(-1, 1, size=(count, 2))
    expected = by_linear_program(points)
    assert straightness(points).width == pytest.approx(expected, abs=LINEAR_PROGRAM)


def test_linked_readings_agree_with_weighted_least_squares() -> None:
    """Adjusting by conditions and by parameters give one chi-square (a second method)."""
    read = {"bore": (54.010, 0.003), "skirt": (53.955, 0.002), "clearance": (0.070, 0.006)}
    relation = Relation("clearance = bore − skirt", {"clearance": 1, "bore": -1, "skirt": 1})
    ours = check_linked({name: Estimate(*each) for name, each in read.items()}, [relation])
    values, u = (np.array(column) for column in zip(*read.values(), strict=True))
    design = np.array([[1.0, 0.0], [0.0, 1.0], [1.0, -1.0]]) / u[:, None]
    _, rest, *_ = np.linalg.lstsq(design, values / u, rcond=None)
    assert ours.chi_square == pytest.approx(float(rest[0]), rel=1e-6)
    assert ours.suspects[0].residual == pytest.approx(sqrt(ours.chi_square), rel=SAME)
