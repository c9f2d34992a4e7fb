"""How far the model's answer can be off: the doubts of its inputs, and the band they make.

Here: the list of doubts, applying them to a `Cranking`, the band about a pump-up curve.
Not here: turning an observed curve round (`reading`). Start with `pump_up_band`.

The doubts are common practice and wide on purpose: heat to the wall, the gauge's inner volume and
the cranking speed are seldom known to better than these. What a shop knows better it passes in.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import radians

import numpy as np

from ringland.gas.cranking import STEP, STROKES, Cranking, Floats, pump_up

SCALE = 0.03  # relative standard uncertainty of a cranking gauge's scale, common practice
MODEL = 0.04  # relative standard uncertainty of the model itself, the same in all runs, judged
REPEAT = 0.02  # relative standard deviation of one indication about the smooth curve


@dataclass(frozen=True, slots=True)
class Doubt:
    """Standard uncertainty of one input of `Cranking`.

    name : of the input
    u : in the input's unit, or of its natural logarithm where `of_log`
    """

    name: str
    u: float
    of_log: bool = True


DOUBTS: tuple[Doubt, ...] = (
    Doubt("clearance", 0.04),
    Doubt("closing", radians(2.0), of_log=False),
    Doubt("slowing", 0.05, of_log=False),
    Doubt("trapped", 0.03),
    Doubt("warming", 0.15, of_log=False),
    Doubt("wall", 8.0, of_log=False),
    Doubt("heat", 0.35),
    Doubt("dead", 0.4),
    Doubt("gauge", 0.35),
    Doubt("gauge_cooling", 0.7),
)
SPEED = Doubt("speed", 0.12)  # its own in every run

# The leak of a sound engine, and its doubt as a factor: the ring's gap times its clearance lets a
# few hundredths of a square millimetre through (geometry; the spread is from memory).
SOUND_LEAK = 0.05e-6  # m^2
SOUND_LEAK_LOG = 0.7


@dataclass(frozen=True, slots=True)
class Band:
    """What a gauge would show on a sound engine, stroke by stroke [Pa gauge], shape (strokes,).

    middle : median; low, high : 2.5 and 97.5 % points
    """

    middle: Floats
    low: Floats
    high: Floats


def shifted(setting: Cranking, doubts: Sequence[Doubt], z: Floats) -> Cranking:
    """Return a batch of settings moved by so many standard uncertainties.

    setting : one engine, or a batch of n
    doubts : k of them
    z : shape (n, k) [-]
    returns : batch of n; a share that would leave 0 to 1 stays at its end

    >>> one = Cranking(0.054, 0.054, 0.105, 10e-6, radians(92.0))
    >>> shifted(one, [Doubt("clearance", 0.1)], np.array([[0.0], [1.0]])).clearance.round(8)
    array([1.000e-05, 1.105e-05])
    """
    moved: dict[str, Floats] = {}
    for column, doubt in enumerate(doubts):
        value = np.asarray(getattr(setting, doubt.name), dtype=np.float64)
        step = doubt.u * z[:, column]
        new = value * np.exp(step) if doubt.of_log else value + step
        if doubt.name in ("slowing", "warming"):
            new = np.clip(new, 0.0, 0.9)  # a share: beyond its ends there is nothing
        moved[doubt.name] = new
    return replace(setting, **moved)


def pump_up_band(
    setting: Cranking,
    *,
    strokes: int = STROKES,
    seed: int = 1,
    draws: int = 400,
    step: float = STEP,
) -> Band:
    """Return the band in which a sound engine of this geometry reads, here and today.

    setting : one engine; its `leak` is replaced by that of a sound ring with its spread
    seed : of the draws; the same seed gives the same band
    draws : how many, at least 100
    returns : band over the strokes; the gauge's scale, its repeatability and the model's own doubt
        are included

    Source: propagation of distributions, JCGM 101:2008.

    >>> one = Cranking(0.054, 0.054, 0.105, 10.5e-6, radians(92.0))
    >>> band = pump_up_band(one, draws=100, step=radians(2.0))
    >>> bool(np.all(band.low < band.middle) and np.all(band.middle < band.high))
    True
    """
    if draws < 100:
        raise ValueError(f"{draws} draws are too few for a band: use 100 or more")
    random = np.random.default_rng(seed)
    doubts = (*DOUBTS, SPEED, Doubt("leak", SOUND_LEAK_LOG))
    sound = replace(setting, leak=SOUND_LEAK)
    batch = shifted(sound, doubts, random.standard_normal((draws, len(doubts))))
    reading = pump_up(batch, strokes=strokes, step=step).reading
    scale = random.standard_normal((draws, 1)) * np.hypot(SCALE, MODEL)
    reading = reading * np.exp(scale + random.standard_normal(reading.shape) * REPEAT)
    low, middle, high = np.quantile(reading, (0.025, 0.5, 0.975), axis=0)
    return Band(middle, low, high)
