"""The bore: a grid of diameters by height and axis, with holes, and what is read from it.

Here: largest, smallest, out-of-round and taper by a named convention, profile, clearance of a
skirt for seizure and for wear, what a two-point gauge cannot see, a gauge that was not rocked.
Not here: doubt of a form value (`form`), doubt of a clearance (`clearance`).
Start with `survey`. No arrays.
"""

from collections.abc import Mapping, Sequence
from enum import Enum
from math import cos, fsum, isfinite
from typing import Literal, NamedTuple

from ringland.measure.estimates import MeasureError
from ringland.quantity.checked import checked

TWO_POINT_BLIND = (
    "A two-point gauge is blind to three lobes: it reads one diameter all round "
    "while the bore is not round."
)
MOST_PLACES = 400  # heights × axes; a bore is gauged at a few


class Hole(Enum):
    """Why a place of the grid has no diameter."""

    PORT = "not measurable here: port"
    NOT_MEASURED = "not measured"


Place = tuple[str, str]  # height, axis: ("H1", "X")
Convention = Literal["range over heights", "top minus bottom"]


@checked
class BoreGrid(NamedTuple):
    """Diameters by place [m]; a place may be a hole, and one that is absent is not measured.

    cells : (height, axis) to a diameter or a `Hole`
    heights : names from the top face downwards; axes : names, X along the pin, Y across it
    """

    cells: Mapping[Place, float | Hole]
    heights: tuple[str, ...]
    axes: tuple[str, ...]

    def check(self) -> None:
        problems = list(_problems_of(self))
        if problems:
            raise MeasureError("; ".join(problems))

    def at(self, height: str, axis: str) -> float | None:
        """Diameter at a place [m]; None for a hole."""
        cell = self.cells.get((height, axis), Hole.NOT_MEASURED)
        return None if isinstance(cell, Hole) else cell

    def measured(self, heights: Sequence[str] | None = None) -> dict[Place, float]:
        """Diameters that there are [m], of all heights or of those named, top first."""
        return {
            (height, axis): diameter
            for height in (self.heights if heights is None else heights)
            for axis in self.axes
            if (diameter := self.at(height, axis)) is not None
        }


def grid_of(cells: Mapping[Place, float | Hole]) -> BoreGrid:
    """Make a grid whose heights and axes stand in the order in which they first appear.

    cells : (height, axis) to diameter [m] or `Hole`, the top height first
    Raises MeasureError with every bad place at once.

    >>> grid_of({("H1", "X"): 0.054, ("H1", "Y"): Hole.PORT}).axes
    ('X', 'Y')
    """
    heights = tuple(dict.fromkeys(height for height, _ in cells))
    return BoreGrid(cells, heights, tuple(dict.fromkeys(axis for _, axis in cells)))


def _problems_of(grid: BoreGrid) -> list[str]:
    if len(grid.heights) * len(grid.axes) > MOST_PLACES:
        size = f"{len(grid.heights)} heights × {len(grid.axes)} axes"
        return [f"{size}: at most {MOST_PLACES} places"]
    problems = []
    for (height, axis), cell in grid.cells.items():
        if height not in grid.heights or axis not in grid.axes:
            problems.append(f"{height}-{axis} is no place of this grid")
        if not isinstance(cell, Hole) and not (isfinite(cell) and cell > 0):
            problems.append(
                f"{height}-{axis} reads {cell:g}: a diameter is above 0; "
                "leave a place out that was not measured"
            )
    if not any(not isinstance(cell, Hole) for cell in grid.cells.values()):
        problems.append("no diameter is given: a grid needs one at least")
    return problems


class At(NamedTuple):
    """A diameter [m] and where it was read."""

    place: Place
    diameter: float


class Survey(NamedTuple):
    """What a bore grid shows. Lengths [m]; None where its readings do not reach.

    out_of_round, taper : the value that is judged; by_height, by_axis : the values behind it
    profile : height to mean diameter, top first; barrel : middle height against the mean of top
        and bottom, positive where the bore bulges
    convention : how taper was taken
    """

    largest: At
    smallest: At
    out_of_round: float | None
    by_height: dict[str, float]
    taper: float | None
    by_axis: dict[str, float]
    profile: dict[str, float]
    barrel: float | None
    convention: Convention


def survey(grid: BoreGrid, *, convention: Convention = "range over heights") -> Survey:
    """Read a bore grid: largest, smallest, out-of-round, taper, profile.

    Out-of-round is the largest, over the heights, of the difference between the axes at one height.
    Taper by "range over heights" is the larger of the axes' range over all heights; by "top minus
    bottom" only the first and the last height count, and an axis with a hole there has none.

    grid : diameters [m]; convention : the one that the sheet names
    returns : the survey; heights or axes with fewer than two readings have no difference

    Source: both conventions as workshop manuals print them (common practice).

    >>> cells = {("H1", "X"): 0.065016, ("H1", "Y"): 0.065021, ("H2", "X"): 0.065014,
    ...          ("H2", "Y"): Hole.PORT, ("H3", "X"): 0.065010, ("H3", "Y"): 0.065012}
    >>> shown = survey(grid_of(cells))
    >>> round(shown.out_of_round * 1e6, 3), round(shown.taper * 1e6, 3)
    (5.0, 9.0)
    """
    measured = grid.measured()
    by_height = _ranges({h: _column(grid, h, None) for h in grid.heights})
    by_axis = (
        _ranges({axis: _column(grid, None, axis) for axis in grid.axes})
        if convention == "range over heights"
        else _top_minus_bottom(grid)
    )
    profile = {
        height: fsum(found) / len(found)
        for height in grid.heights
        if (found := _column(grid, height, None))
    }
    return Survey(
        largest=At(*max(measured.items(), key=lambda item: item[1])),
        smallest=At(*min(measured.items(), key=lambda item: item[1])),
        out_of_round=max(by_height.values(), default=None),
        by_height=by_height,
        taper=max(by_axis.values(), default=None),
        by_axis=by_axis,
        profile=profile,
        barrel=_barrel(grid),
        convention=convention,
    )


def _column(grid: BoreGrid, height: str | None, axis: str | None) -> list[float]:
    return [
        diameter
        for (h, a), diameter in grid.measured().items()
        if height in (None, h) and axis in (None, a)
    ]


def _ranges(columns: Mapping[str, list[float]]) -> dict[str, float]:
    return {name: max(column) - min(column) for name, column in columns.items() if len(column) > 1}


def _top_minus_bottom(grid: BoreGrid) -> dict[str, float]:
    found = {}
    for axis in grid.axes:
        top, bottom = grid.at(grid.heights[0], axis), grid.at(grid.heights[-1], axis)
        if top is not None and bottom is not None and len(grid.heights) > 1:
            found[axis] = abs(top - bottom)
    return found


def _barrel(grid: BoreGrid) -> float | None:
    """Middle height against the ends, over the axes that have all three."""
    if len(grid.heights) < 3:
        return None
    heights = (grid.heights[0], grid.heights[len(grid.heights) // 2], grid.heights[-1])
    bulges = []
    for axis in grid.axes:
        top, middle, bottom = (grid.at(height, axis) for height in heights)
        if top is not None and middle is not None and bottom is not None:
            bulges.append(middle - (top + bottom) / 2)
    return fsum(bulges) / len(bulges) if bulges else None


class Clearances(NamedTuple):
    """Piston clearance [m]: the smallest decides on seizure, the largest on wear."""

    seizure: At
    wear: At


def clearances(
    grid: BoreGrid, skirt: float, *, skirt_zone: Sequence[str] | None = None
) -> Clearances:
    """Clearance of a piston: for seizure by the smallest bore where the skirt runs, for wear by
    the largest bore anywhere.

    grid : diameters [m]; skirt : piston's skirt diameter [m], above 0
    skirt_zone : heights that the skirt runs in; None for all of them
    returns : both with their place; a negative one is a slip or the wrong part
    Raises MeasureError where no diameter was read in the skirt zone.

    Source: common practice.

    >>> grid = grid_of({("H1", "Y"): 0.065021, ("H3", "X"): 0.065010})
    >>> found = clearances(grid, 0.064953)
    >>> round(found.seizure.diameter * 1e6, 3), round(found.wear.diameter * 1e6, 3)
    (57.0, 68.0)
    """
    if not (isfinite(skirt) and skirt > 0):
        raise MeasureError(f"a skirt diameter is above 0, not {skirt:g} m")
    unknown = [height for height in skirt_zone or () if height not in grid.heights]
    if unknown:
        raise MeasureError(
            f"{', '.join(unknown)}: no such height; known: {', '.join(grid.heights)}"
        )
    zone = grid.measured(skirt_zone)
    if not zone:
        raise MeasureError("no diameter was read in the skirt zone: read one where the skirt runs")
    tight = min(zone.items(), key=lambda item: item[1])
    wide = max(grid.measured().items(), key=lambda item: item[1])
    return Clearances(At(tight[0], tight[1] - skirt), At(wide[0], wide[1] - skirt))


def two_point_range(amplitude: float, lobes: int) -> float:
    """Range of diameters that a two-point gauge reads in a bore with so many lobes.

    amplitude : of the radius, ± [m], 0 or more; lobes : 2 or more
    returns : 4 amplitudes for an even number, 0 for an odd one; the roundness is 2 amplitudes

    Source: r(θ) + r(θ + π) of a sine of the radius, exact.

    >>> two_point_range(0.01, 2), two_point_range(0.01, 3)
    (0.04, 0.0)
    """
    if amplitude < 0 or lobes < 2:
        raise MeasureError(
            f"lobes are 2 or more of an amplitude from 0, not {lobes} of {amplitude}"
        )
    return 4 * amplitude if lobes % 2 == 0 else 0.0


def not_rocked_error(diameter: float, tilt: float) -> float:
    """How much too large a bore gauge reads that was not rocked to its smallest reading.

    diameter : of the bore [m], above 0; tilt : off square to the axis [rad], below 0.35
    returns : error [m], always 0 or more. Source: secant of the tilt, exact.

    >>> from math import radians
    >>> round(not_rocked_error(0.054, radians(1.0)) * 1e6, 2)
    8.23
    """
    if not (diameter > 0 and abs(tilt) < 0.35):
        raise MeasureError(f"a gauge stands nearly square in a bore, not {tilt:g} rad off")
    return diameter * (1 / cos(tilt) - 1)
