"""How fast the measuring room is beside libraries and bare numpy, all in one run.

Run: python benchmarks/measure.py. Each line prints a ratio and its target.
"""

import sys
from collections.abc import Callable, Iterator
from importlib.resources import as_file, files
from math import sqrt
from time import perf_counter
from typing import Any

import GTC
import numpy as np
import uncertainties
from scipy.optimize import linprog

from ringland.bench.sheets import load
from ringland.job.book import Book, book_of
from ringland.job.log.entries import (
    Condition,
    Entry,
    Fact,
    Gauge,
    GaugeUsed,
    Indication,
    JobOpened,
    ReadingTaken,
)
from ringland.job.log.fold import State, fold
from ringland.job.verdicts.judge import judge as judge_job
from ringland.measure.flatness import minimum_zone
from ringland.measure.propagation import propagate, propagate_many
from ringland.measure.sampling import (
    Distribution,
    Normal,
    Rectangular,
    ScaledT,
    propagate_by_sampling,
)
from ringland.quantity.estimate import Estimate
from ringland.sheet.figure import ends_of
from ringland.sheet.model import Check

AT = "2026-05-02T10:00:00+02:00"
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


def a_job() -> tuple[Book, State, int]:
    """A job on the demo's engine in which every check that it knows was read.

    returns : its sheet and state, and how many of its characteristics have a value
    """
    with as_file(files("ringland.demo") / "tarrow-124.yaml") as path:
        opened = JobOpened("oxbow-9", "open", "", load(path).tree, "38 h")
    shelf = [
        Gauge("BG-1", "bore gauge", resolution="0.001 mm", set_with="MIC-1"),
        Gauge("MIC-1", "fine micrometer", "3 µm", "0.001 mm"),
        Gauge("TG-1", "telescoping gauge"),
        Gauge("FG-1", "feeler", leaves=tuple(f"{n / 100:.2f} mm" for n in range(5, 105, 5))),
        Gauge("DI-1", "dial indicator", "10 µm", "0.01 mm"),
    ]
    facts: list[Fact] = [opened, *map(GaugeUsed, shelf)]
    start = fold([Entry("open", "open", AT, "Ada", opened)])
    book = book_of(start)
    for name, check in book.sheet.checks.items():
        facts += _read(book, name, check)
    state = fold(Entry(str(n), str(n), AT, "Ada", fact) for n, fact in enumerate(facts))
    count = sum(verdict.value is not None for verdict in judge_job(book, state).values())
    return book, state, count


def _read(book: Book, name: str, check: Check) -> Iterator[ReadingTaken]:
    """Readings just within the limit, or a word where there is none; three repeats at each place."""
    figure = book.figures.own(name)
    if check.of or check.method in ("fall", "percent of baseline"):
        return
    ends = ends_of(figure) if figure else []
    middle = None if not ends else ends[-1].si * (0.999 if check.limit != "lower" else 1.001)
    if name == "piston skirt":
        middle = 53.15e-3
    for at, place in enumerate(check.places or ("",)):
        if middle is None:
            said: tuple[Indication, ...] = (Indication("good"),)
        else:
            unit = ends[0].unit
            shift = (1e-6 if unit.kind == "length" else 0.0) * at
            sizes = [f"{unit.from_si(middle + shift + 1e-7 * n):.4f}" for n in range(3)]
            said = tuple(Indication("value", size, unit.name, size) for size in sizes)
        gauge = "BG-1" if check.method == "grid" else "MIC-1" if name == "piston skirt" else ""
        condition: Condition = "as fitted" if check.taken == "as fitted" else "as found"
        yield ReadingTaken(name, condition, said, place, gauge, "24 °C")


def board() -> bool:
    """A whole verdict board from a job's log state: readings to values, verdicts, what settles
    the undecided, what contradicts."""
    book, state, count = a_job()
    if count < JUDGEMENTS:
        print(f"the job has {count} characteristics with a value, not {JUDGEMENTS}")
        return False
    took = seconds(lambda: judge_job(book, state), repeats=1)
    met = took < 0.020
    print(
        f"{f'a job of {count} characteristics judged, after import':<58} {took * 1e3:>10.2f} ms"
        f"  (target < 20 ms) {'met' if met else 'MISSED'}"
    )
    return met


if __name__ == "__main__":
    sys.exit(0 if all([*first_order(), drawing(), flatness(), board()]) else 1)
