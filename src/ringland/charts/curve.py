"""A curve over one axis: lines labelled at their ends, a band, readings, limits as walls.

Here: one kind of chart for pump-up curves, decaying pressures and trends. Not here: colours and SVG
(`style`). Start with `curve_chart`. Nothing is told by colour alone: series differ by dash and end
mark, a band is two narrow lines with light hatch, a limit is a wall hatched behind.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ringland.charts.style import MIDDLE, NARROW, WIDE, Theme, Words, render

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
SIZE = (720, 440)  # px
MOST_LINES = 4  # more cannot be told apart by dash
APART = 1.25  # of the letters' size, from one label to the next
DASHES: tuple[Any, ...] = ("solid", (0, (8, 3)), (0, (2, 2)), (0, (8, 2, 2, 2)))
MARKS = ("D", "o", "s", "^")


@dataclass(frozen=True, slots=True)
class Line:
    """A curve with its name at its end; x and y of shape (n,)."""

    x: Floats
    y: Floats
    name: str


@dataclass(frozen=True, slots=True)
class Band:
    """Where values may lie; x, low and high of shape (n,)."""

    x: Floats
    low: Floats
    high: Floats
    name: str


@dataclass(frozen=True, slots=True)
class Points:
    """Readings with their expanded uncertainty (None for none); x, y, half of shape (n,)."""

    x: Floats
    y: Floats
    name: str
    half: Floats | None = None


@dataclass(frozen=True, slots=True)
class Wall:
    """A limit that is not to be passed: hatched above it, or below where `below`."""

    value: float
    name: str
    below: bool = False


def curve_chart(
    words: Words,
    *,
    lines: Sequence[Line] = (),
    band: Band | None = None,
    points: Points | None = None,
    walls: Sequence[Wall] = (),
    size: tuple[int, int] = SIZE,
    dark: bool = False,
) -> str:
    """Return a chart of curves as SVG text.

    words : title, description, axis titles
    lines : up to four
    band, points, walls : what is there
    size : width and height [px]; smaller for paper, where the letters keep their size
    dark : for a dark page
    Raises ValueError when there is nothing to draw or too much to tell apart.

    >>> x = np.array([0.0, 1.0, 2.0])
    >>> svg = curve_chart(Words("A line.", "It rises.", "time, s", "length, mm"),
    ...                   lines=[Line(x, x, "rising")])
    >>> svg.startswith("<svg role=") and " style=" not in svg
    True
    """
    if len(lines) > MOST_LINES:
        raise ValueError(f"{len(lines)} lines in one chart: draw up to {MOST_LINES}")
    if not lines and band is None and points is None:
        raise ValueError("nothing to draw: give a line, a band or readings")

    def paint(axes: "Axes", theme: Theme) -> None:
        if band is not None:
            _band(axes, theme, band)
        for line, dash, mark in zip(lines, cycle(DASHES), cycle(MARKS), strict=False):
            axes.plot(line.x, line.y, color=theme.ink, linewidth=WIDE, linestyle=dash)
            axes.plot(line.x[-1:], line.y[-1:], mark, color=theme.ink, markersize=7, clip_on=False)
            _end_label(axes, theme, line.name, (float(line.x[-1]), float(line.y[-1])))
        if points is not None:
            _points(axes, theme, points)
        for wall in walls:
            _wall(axes, theme, wall)
        _part_labels(axes)

    return render(words, paint, size=size, dark=dark)


def _end_label(
    axes: "Axes", theme: Theme, name: str, at: tuple[float, float], *, lift: float = 0.0
) -> None:
    axes.annotate(
        name,
        at,
        xytext=(10, lift),
        textcoords="offset points",
        va="center",
        color=theme.ink,
        annotation_clip=False,
    )


def _part_labels(axes: "Axes") -> None:
    """Push labels at the right end down until none covers another."""
    from matplotlib.text import Annotation

    labels = [each for each in axes.texts if isinstance(each, Annotation)]
    points = 72.0 / float(axes.figure.dpi)

    def height(label: Annotation) -> float:
        return float(axes.transData.transform(label.xy)[1]) * points + label.xyann[1]

    above = float("inf")
    for label in sorted(labels, key=height, reverse=True):
        at = min(height(label), above - APART * float(label.get_fontsize()))
        label.xyann = (label.xyann[0], label.xyann[1] + at - height(label))
        above = at


def _band(axes: "Axes", theme: Theme, band: Band) -> None:
    for edge in (band.low, band.high):
        axes.plot(band.x, edge, color=theme.ink, linewidth=NARROW)
    axes.fill_between(
        band.x, band.low, band.high, facecolor="none", edgecolor=theme.line, hatch="//", linewidth=0
    )
    _end_label(axes, theme, band.name, (float(band.x[-1]), float(band.high[-1])))


def _points(axes: "Axes", theme: Theme, points: Points) -> None:
    axes.errorbar(
        points.x,
        points.y,
        yerr=points.half,
        fmt="o",
        color=theme.ink,
        markersize=7,
        markerfacecolor=theme.sheet,
        markeredgewidth=MIDDLE,
        elinewidth=NARROW,
        capsize=3,
        clip_on=False,
        label=points.name,
    )
    _end_label(axes, theme, points.name, (float(points.x[-1]), float(points.y[-1])), lift=-20.0)


def _wall(axes: "Axes", theme: Theme, wall: Wall) -> None:
    low, high = axes.get_ylim()
    depth = 0.05 * (high - low)
    edge = wall.value - depth if wall.below else wall.value + depth
    axes.axhline(wall.value, color=theme.mark, linewidth=WIDE)
    axes.axhspan(wall.value, edge, facecolor="none", edgecolor=theme.mark, hatch="///", linewidth=0)
    right = axes.get_xlim()[1]
    _end_label(axes, theme, wall.name, (float(right), wall.value))
