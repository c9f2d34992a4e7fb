"""How fast the measuring room is beside libraries and bare numpy, all in one run.

Run: python benchmarks/measure.py. Each line prints a ratio and its target.
"""

import sys
from collections.abc import Callable
from math import sqrt
from time import perf_counter
from typing import Any

import GTC
import numpy as np
import uncertainties
from scipy.optimize import linprog

from ringland.measure.bore import Hole, clearances, grid_of, survey
from ringland.measure.clearance import difference
from ringland.measure.conformance import Interval, interval_verdict, judge, probability_within
from ringland.measure.flatness import minimum_zone
from ringland.measure.form import ranges_within
from ringland.measure.gauges import Gauge, estimate_of_readings, noise_of
from ringland.measure.propagation import propagate, propagate_many
from ringland.measure.sampling import (
    Distribution,
    Normal,
    Rectangular,
    ScaledT,
    propagate_by_sampling,
)
from ringland.measure.settle import Question, settled_by
from ringland.quantity.estimate import Estimate

DRAWS = 1_000_000
JUDGEMENTS = 60
TOGETHER = 1000  # readings of a history judged again
# JCGM 100:2008 H.1, end-gauge calibration in nm: value, standard uncertainty, dof
END_GAUGE = {
    "standard": (50_000_623.0, 25.0, 18.0),
    "observed": (215.0, 9.7, 25.6),
    "expansion": (11.5e-6, 2e-6 / sqrt(3), 1e9),
    "temperature": (-0.1, 0.41, 1e9),
    "expansion_apart": (0.0, 1e-6 / sqrt(3), 50.0),
    "temperature_apart": (0.0, 0.05 / sqrt(3), 2.0),
}


def seconds(run: Callable[[], object], *, repeats: int, rounds: int = 7) -> float:
    """Least mean time of one run over the rounds."""
    best = float("inf")
    for _ in range(rounds):
        start = perf_counter()
        for _ in range(repeats):
            run()
        best = min(best, (perf_counter() - start) / repeats)
    return best


def line(name: str, ours: float, other: float, *, target: float, faster: bool) -> bool:
    """Print one ratio; return whether it meets its target."""
    ratio = other / ours if faster else ours / other
    met = ratio >= target if faster else ratio <= target
    sign = "≥" if faster else "≤"
    print(
        f"{name:<58} {ours * 1e6:>10.1f} µs {other * 1e6:>10.1f} µs  "
        f"{ratio:5.1f}× (target {sign} {target:g}×) {'met' if met else 'MISSED'}"
    )
    return met


def _model(
    standard: Any,
    observed: Any,
    expansion: Any,
    temperature: Any,
    expansion_apart: Any,
    temperature_apart: Any,
) -> Any:
    return (
        standard
        + observed
        - standard * (expansion_apart * temperature + expansion * temperature_apart)
    )


def first_order() -> list[bool]:
    """The end gauge: inputs made, model evaluated, u and dof read; one alone, and a grid of them."""

    def ours() -> object:
        inputs = {name: Estimate(*each) for name, each in END_GAUGE.items()}
        return propagate(_model, inputs).estimate

    grid = {
        name: (value + np.zeros(TOGETHER), u, dof) for name, (value, u, dof) in END_GAUGE.items()
    }

    def gtc() -> object:
        result = _model(**{name: GTC.ureal(*each) for name, each in END_GAUGE.items()})
        return result.x, result.u, result.df

    def theirs() -> object:
        named = {n: uncertainties.ufloat(x, u) for n, (x, u, _) in END_GAUGE.items()}
        result = _model(**named)
        return result.nominal_value, result.std_dev

    alone = seconds(ours, repeats=500)
    together = seconds(lambda: propagate_many(_model, grid), repeats=20) / TOGETHER
    libraries = {"GTC": seconds(gtc, repeats=200), "uncertainties": seconds(theirs, repeats=200)}
    return [
        line(f"first order, {how}, against {name}", mine, other, target=10, faster=True)
        for how, mine in (("one at a time", alone), (f"{TOGETHER} together", together))
        for name, other in libraries.items()
    ]


def drawing() -> bool:
    """A million draws through a clearance at temperature: to mean, u and 95 % interval."""
    inputs: dict[str, Distribution] = {
        "bore": ScaledT(0.0540, 2e-6, 9),
        "skirt": Normal(0.05395, 1.5e-6),
        "rise": Rectangular(3.0, 5.0),
        "expansion": Normal(20e-6, 1e-6),
    }

    def ours() -> object:
        found = propagate_by_sampling(
            lambda bore, skirt, rise, expansion: (bore - skirt) * (1 + expansion * rise),
            inputs, seed=1, draws=DRAWS,
        )  # fmt: skip
        return found.mean, found.u, found.symmetric_interval(0.95)

    def bare() -> object:
        source = np.random.default_rng(1)
        bore = 0.0540 + 2e-6 * source.standard_t(9, DRAWS)
        skirt = source.normal(0.05395, 1.5e-6, DRAWS)
        rise = source.uniform(3.0, 5.0, DRAWS)
        expansion = source.normal(20e-6, 1e-6, DRAWS)
        result = np.sort((bore - skirt) * (1 + expansion * rise))
        return result.mean(), result.std(ddof=1), result[[25_000, 975_000]]

    return line(
        "10⁶ draws of a clearance, against bare numpy",
        seconds(ours, repeats=1, rounds=5),
        seconds(bare, repeats=1, rounds=5),
        target=1.5,
        faster=False,
    )


def flatness() -> bool:
    """Nine points of a face, against the same zone by SciPy's linear program."""
    points = np.random.default_rng(1).uniform(-1, 1, size=(9, 3))
    basis, ones, z = np.column_stack([np.ones(9), points[:, :2]]), np.ones((9, 1)), points[:, 2]

    def program() -> float:
        solved = linprog(
            [0.0, 0.0, 0.0, 1.0],
            A_ub=np.vstack([np.hstack([basis, -ones]), np.hstack([-basis, -ones])]),
            b_ub=np.concatenate([z, -z]),
            bounds=[(None, None)] * 3 + [(0, None)],
            method="highs",
        )
        assert solved.fun is not None
        return 2 * float(solved.fun)

    def ours() -> float:
        from ringland.measure import flatness

        flatness._weights_of.cache_clear()  # each face is a new one
        return minimum_zone(points).width

    apart = abs(ours() - program())
    print(f"{'flatness of 9 points, difference from linear program':<58} {apart:.1e}")
    met = line("flatness of 9 points, against SciPy's linear program",
               seconds(ours, repeats=200), seconds(program, repeats=50), target=2, faster=True)  # fmt: skip
    return met and apart < 1e-12


def board() -> bool:
    """Sixty judgements of all kinds, from readings to verdict, with what settles the undecided."""
    micrometer = Gauge("fine micrometer", name="M1", permissible_error=3e-6, resolution=1e-6)
    bore_gauge = Gauge("bore gauge", name="B1", resolution=1e-6, set_with="M1")
    shelf = [Gauge("bore gauge", name="B2", permissible_error=1e-6)]

    def clearance(at: int) -> object:
        bore = estimate_of_readings([0.054010 + at * 1e-6], bore_gauge, setting=micrometer)
        skirt = estimate_of_readings([0.053950, 0.053951, 0.053950], micrometer)
        assert bore.budget is not None
        assert skirt.budget is not None
        budget = difference(bore.budget, skirt.budget)
        limits = {"lower": 0.040e-3, "upper": 0.090e-3}
        probability_within(budget.estimate, **limits)
        if judge(budget.estimate, **limits) == "undecided":
            question = Question(budget.estimate.value, **limits)
            return settled_by(question, budget, shelf=shelf, gauge="B1", scatter=1e-6)
        return None

    def grid(at: int) -> object:
        cells: dict[tuple[str, str], float | Hole] = {
            ("H1", "X"): 0.054016, ("H1", "Y"): 0.054021 + at * 1e-6, ("H2", "X"): 0.054014,
            ("H2", "Y"): Hole.PORT, ("H3", "X"): 0.054010, ("H3", "Y"): 0.054012,
        }  # fmt: skip
        made = grid_of(cells)
        survey(made)
        clearances(made, 0.05395)
        noise = noise_of(bore_gauge, 0.054)
        return ranges_within([[0.054016, 0.054021 + at * 1e-6]], noise=noise, upper=30e-6).verdict()

    def leaves(at: int) -> object:
        return interval_verdict(Interval(0.0003, 0.00035 + at * 1e-5), lower=None, upper=0.0006)

    def run() -> object:
        return [each(at) for at in range(JUDGEMENTS // 3) for each in (clearance, grid, leaves)]

    run()
    took = seconds(run, repeats=1)
    met = took < 0.020
    print(
        f"{f'a board of {JUDGEMENTS} judgements after import':<58} {took * 1e3:>10.2f} ms"
        f"  (target < 20 ms) {'met' if met else 'MISSED'}"
    )
    return met


if __name__ == "__main__":
    sys.exit(0 if all([*first_order(), drawing(), flatness(), board()]) else 1)
