"""What observed compression readings say about a leak, and what they cannot say.

Here: from one or several runs on the gauge (final value or stroke by stroke, one or two cranking
speeds) and a static leak-down to the leak's effective area with its honest doubt. Not here: the
model (`cranking`), which further reading would narrow it most (`next_reading`), the comparison with
a machine's own baseline (`baseline`). Start with `read_leak`.

A compression reading may not be said to show: ring end gap, which part leaks, a leak under about
0.5 mm², wear, the state of crank seals or reeds, power, or good and bad against another gauge,
altitude, speed or power-valve position. Heat passed to the wall is the great confounder.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import erf, log, sqrt

import numpy as np

from ringland.gas.band import (
    DOUBTS,
    MODEL,
    REPEAT,
    SCALE,
    SOUND_LEAK,
    SOUND_LEAK_LOG,
    SPEED,
    Doubt,
    shifted,
)
from ringland.gas.cranking import STEP, Cranking, Floats, pump_up
from ringland.quantity import Estimate

LEAST = 0.01e-6  # m^2, where the search begins: below it no gauge feels a leak
MOST = 20e-6  # m^2, where it ends: a hole of 5 mm
CLAIM = 0.5e-6  # m^2: a cranking reading claims no leak below this
TELLS = 0.5  # standard deviation of ln(area) up to which a leak is given as a figure (factor 1.65)
DIP = 0.06  # share by which a pump-up curve may fall between strokes before it is refused
READINGS = (2_000.0, 2_500_000.0)  # Pa gauge


@dataclass(frozen=True, slots=True)
class Run:
    """One run on the gauge.

    readings : stroke number (from 1) and what the gauge showed after it [Pa gauge], rising strokes
    speed : of the crank [rev/s]
    extra_dead : volume before the check valve beyond the setting's, such as a longer hose [m^3]
    """

    readings: tuple[tuple[int, float], ...]
    speed: float
    extra_dead: float = 0.0

    def __post_init__(self) -> None:
        problems = _problems(self)
        if problems:
            raise ValueError("; ".join(problems))


@dataclass(frozen=True, slots=True)
class RunTerms:
    """The model about one run with r readings, at m leak areas and for k shared doubts.

    middle : mean of ln(reading), shape (m, r)
    shared : its slope for one standard uncertainty of each shared doubt, shape (m, r, k)
    own : its slope for that of the run's own speed, shape (m, r)
    """

    middle: Floats
    shared: Floats
    own: Floats


@dataclass(frozen=True, slots=True)
class LeakDown:
    """A static leak-down of the same cylinder: effective area [m^2] and u of its logarithm."""

    area: float
    u_log: float = 0.3


@dataclass(frozen=True, slots=True)
class LeakReading:
    """What the readings say about the leak.

    log_area : ln of the effective area [ln m^2] with its standard uncertainty
    low, high : 95 % interval of the area [m^2]
    upper : the area lies below this with 95 % [m^2]
    tells : whether the figure may be given; else "this reading cannot tell"
    sound_share : share of sound engines of this geometry that read lower than the first run [-]
    area, weight : the grid and its probabilities, shape (m,)
    """

    log_area: Estimate
    low: float
    high: float
    upper: float
    tells: bool
    sound_share: float
    area: Floats
    weight: Floats


def _problems(run: Run) -> list[str]:
    found = []
    strokes = [stroke for stroke, _ in run.readings]
    if not run.readings:
        found.append("a run needs at least one reading")
    if any(b <= a for a, b in pairwise(strokes)) or min(strokes, default=1) < 1:
        found.append(f"strokes {strokes} do not rise from 1")
    if max(strokes, default=1) > 60:
        found.append(f"stroke {max(strokes)}: a gauge stands still long before stroke 60")
    for stroke, value in run.readings:
        if not READINGS[0] <= value <= READINGS[1]:
            found.append(
                f"stroke {stroke}: {value / 1e5:.2f} bar is outside 0.02 to 25 bar gauge:"
                " check the unit, and that it is gauge and not absolute pressure"
            )
    for (_, before), (stroke, value) in pairwise(run.readings):
        if value < before * (1.0 - DIP):
            found.append(
                f"stroke {stroke}: {value / 1e5:.2f} bar after {before / 1e5:.2f}: a gauge with a"
                " check valve does not fall; look at its valve and seat, then repeat"
            )
    return found


def read_leak(
    setting: Cranking,
    runs: Sequence[Run],
    *,
    leak_down: LeakDown | None = None,
    doubts: tuple[Doubt, ...] = DOUBTS,
    points: int = 41,
    step: float = STEP,
) -> LeakReading:
    """Return the leak that the readings point at, with its doubt on the log scale.

    setting : the engine as its sheet and this day describe it; its `leak` and `speed` are not used
    runs : one or several, all on one gauge
    leak_down : a static leak-down, where there is one
    doubts : of the inputs, shared by all runs; each run's speed has its own besides
    points : of the grid over ln(area), 20 or more
    step : of the model [rad]

    The area's logarithm is taken as equally likely from 0.01 to 20 mm² beforehand. At each area
    the readings' logarithms are normal about the model's, with the covariance that the doubts, the
    gauge's scale and the repeatability make (first order, central differences of one standard
    uncertainty). Source: Bayes' rule as in JCGM 106:2012, 6; linear propagation, JCGM 102:2011.
    """
    if not runs:
        raise ValueError("no run to read: give at least one final value")
    coarse = np.linspace(log(LEAST), log(MOST), max(points, 20))
    middle, spread = assemble(
        [run_terms(setting, run, np.exp(coarse), doubts=doubts, step=step) for run in runs]
    )
    x, middle, spread = _finer(coarse, middle, spread)
    seen = np.log([value for run in runs for _, value in run.readings])
    log_weight = np.array([_log_normal(seen - middle[i], spread[i]) for i in range(x.size)])
    if leak_down is not None:
        log_weight -= 0.5 * ((x - log(leak_down.area)) / leak_down.u_log) ** 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    ends = len(runs[0].readings) - 1
    share = _sound_share(x, middle[:, ends], spread[:, ends, ends], float(seen[ends]))
    return _summary(x, weight, share, leak_down is not None)


def _finer(x: Floats, middle: Floats, spread: Floats) -> tuple[Floats, Floats, Floats]:
    """The model between the grid's points, linear in ln(area): eight cells for each one."""
    fine = np.linspace(x[0], x[-1], 8 * (x.size - 1) + 1)
    at = np.clip(np.searchsorted(x, fine, side="right") - 1, 0, x.size - 2)
    share = (fine - x[at]) / (x[at + 1] - x[at])
    low, high = (1.0 - share)[:, None], share[:, None]
    return (
        fine,
        middle[at] * low + middle[at + 1] * high,
        spread[at] * low[:, :, None] + spread[at + 1] * high[:, :, None],
    )


def _sound_share(x: Floats, middle: Floats, variance: Floats, seen: float) -> float:
    """Share of sound engines that read lower than the first run's last reading."""
    i = int(np.argmin(np.abs(x - log(SOUND_LEAK))))
    slope = float(middle[i + 1] - middle[i - 1]) / float(x[i + 1] - x[i - 1])
    total = float(variance[i]) + (slope * SOUND_LEAK_LOG) ** 2
    return 0.5 * (1.0 + erf((seen - float(middle[i])) / sqrt(2.0 * total)))


def _summary(x: Floats, weight: Floats, sound_share: float, static: bool) -> LeakReading:
    mean = float(weight @ x)
    sd = float(np.sqrt(weight @ (x - mean) ** 2))
    low, high, upper = (_quantile(x, weight, share) for share in (0.025, 0.975, 0.95))
    tells = sd <= TELLS and (static or low >= CLAIM)
    area = np.exp(x)
    return LeakReading(Estimate(mean, sd), low, high, upper, tells, sound_share, area, weight)


def _quantile(x: Floats, weight: Floats, share: float) -> float:
    """A point of the area's distribution; each grid point stands for its cell."""
    edges = np.concatenate([[x[0]], 0.5 * (x[1:] + x[:-1]), [x[-1]]])
    summed = np.concatenate([[0.0], np.cumsum(weight)])
    return float(np.exp(np.interp(share, summed, edges)))


def run_terms(
    setting: Cranking,
    run: Run,
    area: Floats,
    *,
    doubts: tuple[Doubt, ...] = DOUBTS,
    step: float = STEP,
) -> RunTerms:
    """Return the model about one run at leak areas, with its slopes for the doubts.

    area : effective [m^2], shape (m,)
    returns : central differences of one standard uncertainty; the mean to second order
    """
    moves = (*doubts, SPEED)
    k, m = len(moves), area.size
    z = np.concatenate([np.zeros((1, k)), np.eye(k), -np.eye(k)])
    dead = np.asarray(setting.dead, dtype=np.float64) + run.extra_dead
    every = replace(setting, leak=np.repeat(area, 2 * k + 1), speed=run.speed, dead=dead)
    batch = shifted(every, moves, np.tile(z, (m, 1)))
    wanted = [stroke - 1 for stroke, _ in run.readings]
    shown = pump_up(batch, strokes=wanted[-1] + 1, step=step).reading[:, wanted]
    logs = np.log(np.maximum(shown, 1.0)).reshape(m, 2 * k + 1, len(wanted))
    up, down, mid = logs[:, 1 : k + 1], logs[:, k + 1 :], logs[:, :1]
    slopes = 0.5 * (up - down).transpose(0, 2, 1)
    bend = 0.5 * (up + down - 2.0 * mid).sum(axis=1)
    return RunTerms(mid[:, 0] + bend, slopes[:, :, :-1], slopes[:, :, -1])


def assemble(parts: Sequence[RunTerms]) -> tuple[Floats, Floats]:
    """Return mean (m, r) and covariance (m, r, r) of ln(reading) over all runs' readings in turn."""
    middle = np.concatenate([part.middle for part in parts], axis=1)
    shared = np.concatenate([part.shared for part in parts], axis=1)
    covariance = shared @ shared.transpose(0, 2, 1) + SCALE**2 + MODEL**2
    at = 0
    for part in parts:
        r = part.own.shape[1]
        covariance[:, at : at + r, at : at + r] += part.own[:, :, None] * part.own[:, None, :]
        at += r
    covariance += np.eye(middle.shape[1]) * REPEAT**2
    return middle, covariance


def _log_normal(residual: Floats, covariance: Floats) -> float:
    factor = np.linalg.cholesky(covariance)
    white = np.linalg.solve(factor, residual)
    return float(-0.5 * white @ white - np.log(np.diag(factor)).sum())


def rise_by_oil(setting: Cranking, oil: float, *, strokes: int = 10, step: float = STEP) -> float:
    """Return by which factor oil poured into the cylinder raises the reading by its volume alone.

    setting : one engine
    oil : volume poured in [m^3], less than the clearance
    returns : wet over dry [-] with the same leak: only a rise beyond it hints at the ring

    >>> one = Cranking(0.054, 0.054, 0.105, 10.5e-6, closing=1.6)
    >>> 1.3 < rise_by_oil(one, 3e-6) < 1.6
    True
    """
    clearance = float(np.asarray(setting.clearance).flat[0])
    if not 0.0 < oil < 0.7 * clearance:
        raise ValueError(
            f"{oil * 1e6:g} mL of oil in a clearance of {clearance * 1e6:.1f} mL: use up to"
            f" {0.7 * clearance * 1e6:.1f} mL, or the piston meets it"
        )
    both = replace(setting, clearance=np.array([clearance, clearance - oil]))
    dry, wet = pump_up(both, strokes=strokes, step=step).reading[:, -1]
    return float(wet / dry)
