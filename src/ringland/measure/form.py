"""Form values (flatness, out-of-round, taper) against a limit: they are biased upward by noise.

A form value is the largest of differences, so noise never averages out of it: a truly flat face
reads some microns. What is asked is therefore how a part that stands exactly at the limit would
read with the same gauge, and how often as little as was read.
Here: probability of conformance by simulation, the reading of a perfect part, the likely range.
Not here: the form values themselves (`flatness`, `bore`), limits of a plain value (`conformance`).
Start with `ranges_within` or `face_within`. Arrays are imported only when a simulation is needed.
"""

from collections.abc import Callable, Sequence
from math import erf, erfc, isfinite, sqrt
from typing import TYPE_CHECKING, NamedTuple

from ringland.measure.conformance import DISPROVE, PROVE, Verdict, verdict_of
from ringland.measure.estimates import MeasureError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

DRAWS = 4000  # a probability of 0.95 is then known to ± 0.004
SEED = 124  # any number; the same readings always get the same verdict
SURE = 1e-3  # what the bound must leave for a simulation to be spared
QUIET = 0.1  # a reading below what a perfect part reads at this quantile says no more than it
MOST_PLACES = 200  # points or diameters that are simulated
MOST_AT_FULL, DRAWS_OF_DENSE = 24, 400  # a linear program for each draw: 0.95 to ± 0.012


class FormConformance(NamedTuple):
    """How surely a form value lies within its limit.

    probability : that the true form is within; reading : the form value read [m]
    simulated : whether it was simulated; otherwise a bound was enough, and the probability is at
        least (within) or at most (beyond) what stands here
    """

    probability: float
    reading: float
    upper: float
    simulated: bool

    def verdict(self, *, prove: float = PROVE, disprove: float = DISPROVE) -> Verdict:
        """The verdict by the shop's norm; a value read within its limit is never beyond."""
        found = verdict_of(self.probability, prove=prove, disprove=disprove)
        return "undecided" if found == "beyond" and self.reading <= self.upper else found


class _Form(NamedTuple):
    """A form value as a function of heights: `pattern` shows it at size 1, `read` takes rows."""

    reading: float
    pattern: Sequence[float]
    read: "Callable[[NDArray[np.float64]], NDArray[np.float64]]"  # (draws, n) to (draws,)


def ranges_within(
    groups: Sequence[Sequence[float]],
    *,
    noise: float,
    upper: float,
    seed: int = SEED,
    draws: int = DRAWS,
) -> FormConformance:
    """Conformance of the largest range within groups: out-of-round (a group is one height) or
    taper (a group is one axis).

    groups : diameters [m]; groups of fewer than two have no range; one group of two is needed
    noise : standard uncertainty of each diameter, without what is common to all [m], 0 or more
    upper : limit of the form value [m], above 0
    seed, draws : of the simulation
    returns : the probability, from a bound where that is enough
    Raises MeasureError for no group of two, NaN, a negative noise or a limit not above 0.

    Source: flat prior on the true form, P(true > limit) = F(reading | limit) / F(reading | 0)
    with F by simulation (JCGM 101:2008, 5.9; JCGM 106:2012, 7.2 for the truncated case).

    >>> shown = ranges_within([[65.016e-3, 65.021e-3], [65.010e-3, 65.012e-3]],
    ...                       noise=2.5e-6, upper=30e-6)
    >>> shown.verdict(), shown.simulated
    ('within', False)
    """
    return _conformance(_of_groups(groups), noise, upper, seed, draws)


def face_within(
    points: "ArrayLike", *, noise: float, upper: float, seed: int = SEED, draws: int = DRAWS
) -> FormConformance:
    """Conformance of the minimum-zone flatness of a face (points n×3) or straightness (n×2).

    points : x, (y,) z [m], as in `flatness.minimum_zone`; at most 200 when a simulation is needed
    noise : standard uncertainty of each height [m], 0 or more; upper : limit [m], above 0
    seed, draws : of the simulation
    returns : the probability, from a bound where that is enough
    Raises MeasureError as `flatness.minimum_zone` does, and for more points than are simulated.

    Source: as `ranges_within`.

    >>> flat = [(x, y, 0.0) for x in (0, 0.03, 0.06) for y in (0, 0.03, 0.06)]
    >>> face_within(flat, noise=5e-6, upper=50e-6).verdict()
    'within'
    """
    return _conformance(_of_face(points), noise, upper, seed, draws)


def perfect_range_reading(
    groups: Sequence[Sequence[float]], noise: float, *, seed: int = SEED, draws: int = DRAWS
) -> float:
    """What a perfectly round (straight) bore would read on average, by noise alone [m].

    groups, noise : as in `ranges_within`

    >>> round(perfect_range_reading([[1.0, 1.0]], 1.0), 1)
    1.1
    """
    form = _of_groups(groups)
    return float(form.read(_errors(form, noise, seed, draws)).mean())


def perfect_face_reading(
    points: "ArrayLike", noise: float, *, seed: int = SEED, draws: int = DRAWS
) -> float:
    """What a perfectly flat face would read on average at these points, by noise alone [m].

    points, noise : as in `face_within`

    >>> square = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0)]
    >>> round(perfect_face_reading(square, 5.0))
    4
    """
    form = _of_face(points)
    return float(form.read(_errors(form, noise, seed, draws)).mean())


def likely_ranges_of_face(
    points: "ArrayLike",
    noise: float,
    probabilities: Sequence[float] = (0.95,),
    *,
    seed: int = SEED,
    draws: int = DRAWS,
) -> list[tuple[float, float]]:
    """Intervals of the true flatness given the readings, bias by noise taken out [m].

    points, noise : as in `face_within`, noise above 0
    probabilities : 0 to 1, ends excluded; one interval for each, from one simulation

    >>> square = [(0, 0, 40.0), (1, 0, 0), (0, 1, 0), (1, 1, 40.0)]
    >>> ((low, high),) = likely_ranges_of_face(square, 1.0)
    >>> 37 < low < 40 < high < 43
    True
    """
    import numpy as np

    from ringland.measure.flatness import sizes_held

    seen = _seen(_of_face(points), noise, seed, draws)
    places = np.asarray(points, dtype=float)[:, :-1]
    sizes = sizes_held(places, seen.errors, np.asarray(seen.form.pattern), seen.reading)
    most = seen.form.reading + 8 * noise
    return [
        (
            _size_left_above(seen, sizes, (1 + probability) / 2, most),
            _size_left_above(seen, sizes, (1 - probability) / 2, most),
        )
        for probability in probabilities
    ]


def _size_left_above(
    seen: "_Seen",
    sizes: "tuple[NDArray[np.float64], NDArray[np.float64]]",
    share: float,
    most: float,
) -> float:
    """The true size that the stated share of the probability lies above, by halving.

    sizes : from which to which true size each draw reads no more than was read
    """
    low, high = 0.0, most
    for _ in range(14):
        middle = (low + high) / 2
        as_read = float(((sizes[0] <= middle) & (middle <= sizes[1])).mean())
        is_less = as_read / seen.share_of_perfect > share
        low, high = (middle, high) if is_less else (low, middle)
    return (low + high) / 2


def _conformance(form: _Form, noise: float, upper: float, seed: int, draws: int) -> FormConformance:
    if not (isfinite(noise) and noise >= 0):
        raise MeasureError(f"a standard uncertainty is 0 or more, not {noise}")
    if not (isfinite(upper) and upper > 0):
        raise MeasureError(f"the limit of a form value is above 0, not {upper}")
    reading = form.reading
    if noise == 0:
        return FormConformance(1.0 if reading <= upper else 0.0, reading, upper, simulated=False)
    count = len(form.pattern)
    if reading > upper:
        left = _chance_of_change(reading - upper, noise, count)
        if left <= SURE:
            return FormConformance(left, reading, upper, simulated=False)
    else:
        quiet = max(reading, _largest_quiet_change(noise, count))
        left = _chance_of_change(upper - quiet, noise, count) / QUIET
        if quiet < upper and left <= SURE:
            return FormConformance(1 - left, reading, upper, simulated=False)
    above = _left_above(_seen(form, noise, seed, draws), upper)
    return FormConformance(1 - above, reading, upper, simulated=True)


def _chance_of_change(change: float, noise: float, count: int) -> float:
    """Bound on the chance that noise moves a form value by that much: it moves by at most twice
    the largest error of a height."""
    return count * erfc(change / (2 * noise) / sqrt(2))


def _largest_quiet_change(noise: float, count: int) -> float:
    """Twice the largest of the errors, at the quiet quantile: by halving, erf has no inverse."""
    low, high = 0.0, 8.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if erf(middle / sqrt(2)) ** count < QUIET else (low, middle)
    return 2 * high * noise


class _Seen(NamedTuple):
    """What was read, with the errors to simulate by: the reading that is held against others, and
    the share of perfect parts that read no more."""

    form: _Form
    errors: "NDArray[np.float64]"
    reading: float
    share_of_perfect: float


def _seen(form: _Form, noise: float, seed: int, draws: int) -> _Seen:
    import numpy as np

    errors = _errors(form, noise, seed, draws)
    perfect = form.read(errors)
    reading = max(form.reading, float(np.quantile(perfect, QUIET)))
    return _Seen(form, errors, reading, float(np.mean(perfect <= reading)))


def _left_above(seen: _Seen, size: float) -> float:
    """Probability that the true form is larger than a size, given what was read."""
    import numpy as np

    at_size = seen.form.read(seen.errors + size * np.asarray(seen.form.pattern))
    share = float(np.mean(at_size <= seen.reading)) / seen.share_of_perfect
    return min(share, 1.0)  # exactly it is never above 1 (Anderson's theorem); draws scatter


def _errors(form: _Form, noise: float, seed: int, draws: int) -> "NDArray[np.float64]":
    import numpy as np

    count = len(form.pattern)
    if count > MOST_PLACES:
        raise MeasureError(f"{count} places: at most {MOST_PLACES} are simulated; take fewer")
    if count > MOST_AT_FULL:
        draws = min(draws, DRAWS_OF_DENSE)
    return np.random.default_rng(seed).normal(0.0, noise, (draws, count))


def _of_groups(groups: Sequence[Sequence[float]]) -> _Form:
    kept = [list(group) for group in groups if len(group) > 1]
    if not kept:
        raise MeasureError("no two diameters can be compared: measure another axis or height")
    if any(not isfinite(each) for group in kept for each in group):
        raise MeasureError("a diameter is not finite: leave out what was not measured")
    reading = max(max(group) - min(group) for group in kept)
    ends, at = [], 0
    for group in kept:
        ends.append((at, at + len(group)))
        at += len(group)

    def read(rows: "NDArray[np.float64]") -> "NDArray[np.float64]":
        import numpy as np

        spans = [np.ptp(rows[:, start:end], axis=1) for start, end in ends]
        largest: NDArray[np.float64] = np.max(spans, axis=0)
        return largest

    if reading == 0:  # nothing shows which places would differ: the first two, which is severest
        pattern = [0.5, -0.5] + [0.0] * (at - 2)
    else:
        pattern = [
            (each - (max(group) + min(group)) / 2) / reading for group in kept for each in group
        ]
    return _Form(reading, pattern, read)


def _of_face(points: "ArrayLike") -> _Form:
    import numpy as np

    from ringland.measure.flatness import (
        MOST_EXACT,
        minimum_zone,
        straightness,
        widths,
        zone_weights,
    )

    rows = np.asarray(points, dtype=float)
    is_line = rows.ndim == 2 and rows.shape[1] == 2
    zone = straightness(rows) if is_line else minimum_zone(rows)
    slopes = np.asarray(zone.low_plane[1:])
    above = rows[:, -1] - zone.low_plane[0] - rows[:, :-1] @ slopes

    def read(heights: "NDArray[np.float64]") -> "NDArray[np.float64]":
        return widths(rows[:, :-1], heights)

    if zone.width == 0:  # nothing shows which points stand out: any four of them
        first = rows[:MOST_EXACT, :-1]
        pattern = np.zeros(len(rows))
        pattern[: len(first)] = np.sign(zone_weights(first)[0]) / 2
    else:
        pattern = above / zone.width - 0.5
    return _Form(zone.width, pattern.tolist(), read)
