"""Which single further reading would narrow the leak most, computed.

Here: the candidates and what each would leave of the doubt. Not here: reading what is there
(`reading`). Start with `best_readings`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, log, radians

import numpy as np

from ringland.gas.band import DOUBTS, Doubt
from ringland.gas.cranking import Cranking
from ringland.gas.reading import LEAST, MOST, Run, RunTerms, assemble, run_terms

STATIC_U = 0.3  # of ln(area): a static leak-down against the moving ring, common practice
STATIC_FLOOR = 0.05e-6  # m^2 that a common tester resolves
SLOW, FAST = 0.4, 1.6  # of the cranking speed used
STATIC = "static leak-down"
LONGER_HOSE = 5e-6  # m^3 more before the check valve
NUDGE = 0.2  # of ln(area), for its slope
ADVICE_STEP = radians(1.0)  # an order of usefulness needs no finer one


@dataclass(frozen=True, slots=True)
class Candidate:
    """A further reading and the standard deviation of ln(area) that would be left after it."""

    name: str
    left: float


def best_readings(
    setting: Cranking,
    runs: Sequence[Run],
    *,
    area: float,
    doubts: tuple[Doubt, ...] = DOUBTS,
    step: float = ADVICE_STEP,
) -> tuple[Candidate, ...]:
    """Return the candidates, the most narrowing first.

    setting : the engine, as in `reading.read_leak`
    runs : what has been read already, at least one
    area : about the leak to be told, such as the middle of what was read [m^2]
    returns : candidates by what each leaves of the doubt; what a run has given already is none

    About that area everything is taken as linear and normal, and beforehand ln(area) has the
    standard deviation of a flat spread from 0.01 to 20 mm².
    Source: linear-Gaussian update, any text on least squares.
    """
    if not runs:
        raise ValueError("no run yet: the first reading is a final value")
    first = runs[0]
    last = first.readings[-1][0]
    final = ((last, 1e6),)  # the values do not matter, only that they are read
    every = tuple((stroke, 1e6) for stroke in range(1, last + 1))
    options = (
        ("the same again", Run(final, first.speed)),
        ("every stroke noted", Run(every, first.speed)),
        ("slow crank", Run(final, first.speed * SLOW)),
        ("fast crank", Run(final, first.speed * FAST)),
        ("longer hose", Run(final, first.speed, LONGER_HOSE)),
    )
    near = np.exp(log(area) + NUDGE * np.array([-1.0, 0.0, 1.0]))
    have = [run_terms(setting, run, near, doubts=doubts, step=step) for run in runs]
    found = [
        Candidate(name, _left([*have, run_terms(setting, run, near, doubts=doubts, step=step)]))
        for name, run in options
        if not _is_done(run, runs)
    ]
    u = hypot(STATIC_U, STATIC_FLOOR / area)
    found.append(Candidate(STATIC, (_left(have) ** -2 + u**-2) ** -0.5))
    return tuple(sorted(found, key=lambda each: each.left))


def _is_done(option: Run, runs: Sequence[Run]) -> bool:
    """Whether a run has given it: as many strokes noted, at a speed nearer to it than to the first."""
    first = runs[0]
    if option.extra_dead != first.extra_dead:
        return False
    if option.speed == first.speed:
        return 1 < len(option.readings) <= len(first.readings)
    half = abs(log(option.speed / first.speed)) / 2
    return any(abs(log(run.speed / option.speed)) < half for run in runs)


def _left(parts: Sequence[RunTerms]) -> float:
    """Standard deviation of ln(area) after these runs."""
    middle, covariance = assemble(parts)
    slope = (middle[2] - middle[0]) / (2.0 * NUDGE)
    told = float(slope @ np.linalg.solve(covariance[1], slope))
    prior = (log(MOST) - log(LEAST)) ** 2 / 12.0
    return float((told + 1.0 / prior) ** -0.5)
