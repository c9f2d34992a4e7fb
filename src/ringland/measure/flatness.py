"""Flatness of a face from points, straightness of a line: minimum zone and least squares.

Here: the narrowest zone that holds all points, with its contacts; the least-squares value beside
it; what a lap takes off. Tilt is removed in both.
Not here: doubt and verdict of a form value (`form`), straightedge brackets (`gaps.largest_of`).
Start with `minimum_zone`.

Heights are taken along z: a face lies nearly level on the plate, and at a slope of 1 in 100 the
width along z is larger than the width across the zone by 5 parts in 100 000.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations
from math import comb, inf
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ringland.measure.estimates import MeasureError

Array = NDArray[np.float64]
Contacts = Literal["3+1", "2+2", "2+1", "flat"]

MOST_EXACT = 24  # points; every four of them are tried (10 626), above that a linear program
MOST_POINTS = 20_000
MOST_AT_ONCE = 4_000_000  # numbers held at once when many faces are simulated
ONE_LINE = 1e-9  # of the unit box: an area below is three points on a line, or the same point twice
EVEN = 1e-13  # of the heights' range: below is rounding of a level face


class Zone(NamedTuple):
    """The narrowest zone between two parallel planes (or lines) that holds all points.

    width : of the zone along z [m]
    low_plane : z = c + a·x (+ b·y) of its lower side: c [m], then the slopes
    high, low : points that touch its upper and lower side, by their place in the input
    contacts : how many touch: 3+1 or 2+2 of a face, 2+1 of a line (or of a face, three in a row)
    """

    width: float
    low_plane: tuple[float, ...]
    high: tuple[int, ...]
    low: tuple[int, ...]
    contacts: Contacts


def minimum_zone(points: ArrayLike) -> Zone:
    """Minimum-zone flatness of a face.

    points : shape (n, 3), x, y, z [m], four or more that do not lie along one line
    returns : the zone
    Raises MeasureError for another shape, values not finite, points along one line.

    Source: ISO 1101 (minimum zone); among all planes the narrowest zone is held by four points, 3+1
    or 2+2, and its width is the largest that any four need: de la Vallée-Poussin's theorem for
    the best uniform approximation. Exact to 24 points, a linear program above.

    >>> saddle = [(0, 0, 0.02), (60, 60, 0.02), (60, 0, -0.02), (0, 60, -0.02)]
    >>> zone = minimum_zone(saddle)
    >>> round(zone.width, 6), zone.contacts
    (0.04, '2+2')
    """
    xyz = _checked(points, columns=3)
    _refuse_line(xyz)
    return _zone(xyz[:, :2], xyz[:, 2])


def straightness(points: ArrayLike) -> Zone:
    """Minimum-zone straightness of a line along a face.

    points : shape (n, 2), place along the line and height [m], three or more, not all at one place
    returns : the zone, held by 2+1 points
    Raises MeasureError for another shape or values not finite.

    Source: ISO 1101; as `minimum_zone`.

    >>> heights = [0, 0.01, 0.03, 0.02, 0.04, 0.02]
    >>> round(straightness(list(zip(range(0, 120, 20), heights, strict=True))).width, 6)
    0.024
    """
    xz = _checked(points, columns=2)
    if np.ptp(xz[:, 0]) == 0:
        raise MeasureError("all points stand at one place along the line: spread them out")
    return _zone(xz[:, :1], xz[:, 1])


def least_squares(points: ArrayLike) -> float:
    """Least-squares flatness or straightness: range of the residuals from the best-fit plane.

    points : shape (n, 3) for a face, (n, 2) for a line [m]
    returns : width [m], never less than the minimum zone

    Source: ISO 12781-1 (least-squares reference plane), from memory.

    >>> saddle = [(0, 0, 0.02), (60, 60, 0.02), (60, 0, -0.02), (0, 60, -0.02)]
    >>> round(least_squares(saddle), 6)
    0.04
    """
    given = _checked(points, columns=np.shape(points)[-1] if np.ndim(points) == 2 else 3)
    if given.shape[1] == 3:
        _refuse_line(given)
    places, z, _, _ = _scaled(given[:, :-1], given[:, -1])
    basis = _basis(places)
    plane = np.linalg.lstsq(basis, z, rcond=None)[0]
    return float(np.ptp(given[:, -1] - given[:, -1].mean() - basis @ plane + z.mean()))


class Lap(NamedTuple):
    """What comes off a face that is lapped just clean [m]: at its highest point, and on average."""

    deepest: float
    mean: float


def lap(points: ArrayLike) -> Lap:
    """What lapping a face flat takes off, down to its lowest point along the narrowest zone.

    points : shape (n, 3), x, y, z [m], z away from the engine's other half where it is high
    returns : the deepest cut, which is what squish and clearances lose, and the mean over the points

    Source: geometry of the minimum zone; a plate may take more than this, never less.

    >>> lap([(0, 0, 0), (60, 0, 0), (30, 60, 0), (30, 20, 0.05)]).deepest
    0.05
    """
    xyz = _checked(points, columns=3)
    zone = minimum_zone(xyz)
    c, a, b = zone.low_plane
    above = xyz[:, 2] - (c + a * xyz[:, 0] + b * xyz[:, 1])
    return Lap(zone.width, float(above.mean()))


def zone_weights(places: ArrayLike) -> Array:
    """Weights W of the points' heights z so that the minimum-zone width is max |W z|.

    places : shape (n, 2) for a face, (n, 1) for a line [m], at most 24 points
    returns : shape (m, n); one row for every four (three) points that can hold a zone

    Source: as `minimum_zone`.

    >>> zone_weights([(0, 0), (1, 1), (1, 0), (0, 1)]).tolist()
    [[0.5, 0.5, -0.5, -0.5]]
    """
    xy = np.ascontiguousarray(places, dtype=float)
    scaled, _, _, _ = _scaled(xy, np.zeros(len(xy)))
    return _weights_of(scaled.tobytes(), len(xy), xy.shape[1])


def widths(places: ArrayLike, heights: Array) -> Array:
    """Minimum-zone widths of many sets of heights at the same places.

    places : shape (n, 2) for a face, (n, 1) for a line [m]; heights : shape (m, n) [m]
    returns : shape (m,) [m]; by the linear program, one after another, above 24 places

    >>> square = [(0, 0), (1, 1), (1, 0), (0, 1)]
    >>> widths(square, np.array([[1.0, 1.0, 0.0, 0.0], [2.0, 0.0, 1.0, 1.0]])).tolist()
    [1.0, 0.0]
    """
    xy = np.asarray(places, dtype=float)
    if len(xy) > MOST_EXACT:
        scaled, _, _, _ = _scaled(xy, heights[0])
        found = [_by_program(scaled, row - row.mean())[2] for row in heights]
        return np.array(found)
    weights = zone_weights(xy)
    parts = max(1, heights.shape[0] * len(weights) // MOST_AT_ONCE)
    return np.concatenate(
        [np.abs(part @ weights.T).max(axis=1) for part in np.array_split(heights, parts)]
    )


def sizes_held(
    places: ArrayLike, errors: Array, pattern: Array, width: float
) -> tuple[Array, Array]:
    """Sizes s from which to which each face `errors + s pattern` keeps within a zone of a width.

    places : as in `widths`; errors : shape (m, n) [m]; pattern : shape (n,); width : [m]
    returns : least and greatest size, shape (m,), s at least 0; least above greatest where none does

    The width is convex in s, so that one interval holds all. Up to 24 places each zone of four
    gives two bounds; above that two linear programs for each face.

    >>> square, pattern = [(0, 0), (1, 1), (1, 0), (0, 1)], np.array([0.5, 0.5, -0.5, -0.5])
    >>> low, high = sizes_held(square, np.zeros((1, 4)), pattern, 3.0)
    >>> float(low[0]), float(high[0])
    (0.0, 3.0)
    """
    xy = np.asarray(places, dtype=float)
    if len(xy) > MOST_EXACT:
        found = [_sizes_by_program(_scaled(xy, row)[0], row, pattern, width) for row in errors]
        return np.array([low for low, _ in found]), np.array([high for _, high in found])
    weights = zone_weights(xy)
    slopes = weights @ pattern
    moving = np.abs(slopes) > EVEN
    reach = width / np.abs(slopes[moving])
    lows, highs = [], []
    for part in np.array_split(errors, max(1, errors.shape[0] * len(weights) // MOST_AT_ONCE)):
        sums = part @ weights.T
        middle = -sums[:, moving] / slopes[moving]
        stuck = (np.abs(sums[:, ~moving]) > width).any(axis=1)
        lows.append(np.where(stuck, np.inf, np.maximum((middle - reach).max(axis=1), 0.0)))
        highs.append((middle + reach).min(axis=1))
    return np.concatenate(lows), np.concatenate(highs)


def _sizes_by_program(
    places: Array, errors: Array, pattern: Array, width: float
) -> tuple[float, float]:
    """The same for one face: least and greatest s with 0 ≤ errors + s pattern − plane ≤ width."""
    from scipy.optimize import linprog

    reach = float(max(np.abs(errors).max(), width))
    basis = np.column_stack([_basis(places), -pattern])
    rows, scaled = np.vstack([basis, -basis]), errors / reach
    bounds = [(None, None)] * (basis.shape[1] - 1) + [(0, None)]
    ends = []
    for sign in (1.0, -1.0):
        solved = linprog(
            [0.0] * len(bounds[1:]) + [sign],
            A_ub=rows,
            b_ub=np.concatenate([scaled, width / reach - scaled]),
            bounds=bounds,
            method="highs-ds",
        )
        if solved.x is None or not solved.success:
            return inf, 0.0  # no size at all keeps within the zone
        ends.append(float(solved.x[-1]) * reach)
    return ends[0], ends[1]


@lru_cache(maxsize=32)
def _weights_of(raw: bytes, count: int, dimensions: int) -> Array:
    places = np.frombuffer(raw).reshape(count, dimensions)
    subsets = _subsets(count, dimensions + 2)
    levers = _levers(places[subsets])
    total = np.abs(levers).sum(axis=1)
    held = total > ONE_LINE
    rows = np.zeros((int(held.sum()), count))
    lead = np.where(levers[held, 0] < 0, -2.0, 2.0)  # a row and its negative are the same zone
    np.put_along_axis(rows, subsets[held], levers[held] * (lead / total[held])[:, None], axis=1)
    rows.setflags(write=False)
    return rows


@lru_cache(maxsize=64)
def _subsets(count: int, size: int) -> NDArray[np.intp]:
    found = np.array(list(combinations(range(count), size)), dtype=np.intp)
    return found.reshape(comb(count, size), size)


def _levers(corners: Array) -> Array:
    """For each subset the multipliers l with Σl = 0 and Σ l·place = 0: its one linear relation."""
    if corners.shape[2] == 1:
        x = corners[:, :, 0]
        return np.stack([x[:, 2] - x[:, 1], x[:, 0] - x[:, 2], x[:, 1] - x[:, 0]], axis=1)
    a, b, c, d = (corners[:, i] for i in range(4))
    return np.stack([_area(b, c, d), -_area(a, c, d), _area(a, b, d), -_area(a, b, c)], axis=1)


def _area(a: Array, b: Array, c: Array) -> Array:
    ab, ac = b - a, c - a
    product: Array = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    return product


def _zone(places: Array, z: Array) -> Zone:
    scaled, level, middle, size = _scaled(places, z)
    if np.ptp(level) <= EVEN * max(float(np.abs(z).max()), 1e-300):
        return Zone(0.0, (float(z.min()), *[0.0] * places.shape[1]), (), (), "flat")
    if len(z) <= MOST_EXACT:
        plane, signs, width = _by_four(scaled, level)
    else:
        plane, signs, width = _by_program(scaled, level)
    slopes = plane[1:] / size
    base = plane[0] - width / 2 + float(z.mean()) - float(slopes @ middle)
    high, low = (tuple(int(i) for i in np.flatnonzero(signs == side)) for side in (1, -1))
    return Zone(width, (float(base), *map(float, slopes)), high, low, _kind(high, low))


def _kind(high: Sequence[int], low: Sequence[int]) -> Contacts:
    if not high:
        return "flat"
    counts = sorted((len(high), len(low)), reverse=True)
    if counts == [2, 1]:
        return "2+1"
    return "2+2" if counts == [2, 2] else "3+1"


def _by_four(places: Array, z: Array) -> tuple[Array, Array, float]:
    """The four (three) points that need the widest zone: its middle plane, sides and width."""
    weights = zone_weights(places)
    if not len(weights):
        raise MeasureError("the points lie along one line: spread them over the face")
    sums = weights @ z
    at = int(np.abs(sums).argmax())
    width = float(abs(sums[at]))
    signs = np.where(np.abs(weights[at]) > ONE_LINE, np.sign(weights[at] * sums[at]), 0.0)
    return _middle_plane(places, z, signs, width), signs, width


def _middle_plane(places: Array, z: Array, signs: Array, width: float) -> Array:
    touching = signs != 0
    target = z[touching] - signs[touching] * width / 2
    plane: Array = np.linalg.lstsq(_basis(places[touching]), target, rcond=None)[0]
    return plane


def _by_program(places: Array, z: Array) -> tuple[Array, Array, float]:
    """The same by a linear program: least h with |z − plane| ≤ h, then the points that hold it."""
    from scipy.optimize import linprog

    basis, reach = _basis(places), float(np.abs(z).max())
    ones = np.ones((len(z), 1))
    rows = np.vstack([np.hstack([basis, -ones]), np.hstack([-basis, -ones])])
    scaled = z / reach
    solved = linprog(
        [0.0] * basis.shape[1] + [1.0],
        A_ub=rows,
        b_ub=np.concatenate([scaled, -scaled]),
        bounds=[(None, None)] * basis.shape[1] + [(0, None)],
        method="highs-ds",
    )
    if solved.x is None or not solved.success:
        raise MeasureError(f"the linear program found no zone: {solved.message}")
    holding = -np.asarray(solved.ineqlin.marginals, dtype=float)
    above, below = holding[: len(z)], holding[len(z) :]
    signs = np.where(below > ONE_LINE, 1.0, np.where(above > ONE_LINE, -1.0, 0.0))
    plane = np.asarray(solved.x[:-1]) * reach
    residuals = z - basis @ plane
    plane[0] += (residuals.max() + residuals.min()) / 2
    return plane, signs, float(np.ptp(residuals))


def _basis(places: Array) -> Array:
    return np.column_stack([np.ones(len(places)), places])


def _scaled(places: Array, z: Array) -> tuple[Array, Array, Array, Array]:
    """Places in the unit box and heights about their mean, with the box's middle and size."""
    low, high = places.min(axis=0), places.max(axis=0)
    middle, size = (low + high) / 2, np.where(high > low, (high - low) / 2, 1.0)
    return (places - middle) / size, z - z.mean(), middle, size


def _checked(points: ArrayLike, *, columns: int) -> Array:
    try:
        given = np.asarray(points, dtype=float)
    except (TypeError, ValueError):
        raise MeasureError("points are rows of numbers, each of the same length") from None
    least = columns + 1
    if given.ndim != 2 or given.shape[1] != columns:
        raise MeasureError(f"points have the shape (n, {columns}), not {given.shape}")
    if not least <= len(given) <= MOST_POINTS:
        raise MeasureError(f"{len(given)} points: {least} to {MOST_POINTS} are taken")
    bad = np.flatnonzero(~np.isfinite(given).all(axis=1))
    if bad.size:
        places = ", ".join(str(int(at) + 1) for at in bad[:5])
        raise MeasureError(f"point {places} is not finite: leave out what was not measured")
    return given


def _refuse_line(xyz: Array) -> None:
    scaled, _, _, _ = _scaled(xyz[:, :2], xyz[:, 2])
    if np.linalg.svd(scaled - scaled.mean(axis=0), compute_uv=False)[-1] < ONE_LINE:
        raise MeasureError("the points lie along one line: spread them over the face")
