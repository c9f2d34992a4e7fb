"""A face seen from above: each point with its height over the lower plane of the zone.

Here: one kind of chart for flatness. Not here: the zone (`ringland.measure.flatness`), style
(`style`). Start with `face_chart`. The points that hold the zone are told by shape, not by colour.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ringland.charts.style import Theme, Words, render

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
SIZE = (720, 560)  # px
ROOM = 0.18  # of the face's extent, left free round it for the figures


def face_chart(
    words: Words,
    x: Floats,
    y: Floats,
    over: Floats,
    *,
    high: Sequence[int] = (),
    low: Sequence[int] = (),
    size: tuple[int, int] = SIZE,
    dark: bool = False,
) -> str:
    """Return a map of a face as SVG text.

    words : title, description, axis titles
    x, y : places in the unit of the axis titles, shape (n,)
    over : heights over the lower plane [µm], shape (n,)
    high, low : points that touch the upper and the lower plane, by their place in the input
    dark : for a dark page
    Raises ValueError when there is nothing to draw.

    >>> square = np.array([0.0, 60.0, 60.0, 0.0]), np.array([0.0, 0.0, 60.0, 60.0])
    >>> svg = face_chart(Words("A face.", "Four points.", "x, mm", "y, mm"), *square,
    ...                  np.array([40.0, 0.0, 40.0, 0.0]), high=(0, 2), low=(1, 3))
    >>> svg.startswith("<svg role=") and " style=" not in svg
    True
    """
    if not len(x):
        raise ValueError("nothing to draw: give the points of a face")

    def paint(axes: "Axes", theme: Theme) -> None:
        for index in range(len(x)):
            mark = "^" if index in high else "v" if index in low else "o"
            full = index in high or index in low
            fill = theme.ink if full else theme.sheet
            axes.plot(
                x[index], y[index], mark, markersize=11, color=theme.ink, markerfacecolor=fill
            )
            axes.annotate(
                f"{round(float(over[index]))}", (x[index], y[index]), xytext=(0, 13),
                textcoords="offset points", ha="center", color=theme.ink,
            )  # fmt: skip
        for axis, values in ((axes.set_xlim, x), (axes.set_ylim, y)):
            room = ROOM * (float(np.ptp(values)) or 1.0)
            axis(float(values.min()) - room, float(values.max()) + room)
        axes.set_aspect("equal")

    return render(words, paint, size=size, dark=dark)
