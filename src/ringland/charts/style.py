"""The house style of charts, and clean SVG out of matplotlib.

Here: the two themes, the settings, and turning matplotlib's SVG into one with a title, a
description, a role and presentation attributes only (a page's policy forbids `style=`).
Not here: what a chart shows (`curve`). Start with `render`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from io import StringIO
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FACE = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, Verdana, sans-serif"
WIDE, MIDDLE, NARROW = 2.4, 1.6, 1.0  # line widths [px], ISO 128 wide to narrow
INCHES = 72.0  # px per inch in matplotlib's SVG


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours of paper and ink; `mark` is the red pencil, only for what forbids."""

    sheet: str
    ink: str
    second: str
    line: str
    tint: str
    mark: str


LIGHT = Theme("#f4f7f5", "#0d2130", "#3c5261", "#70858f", "#e4ebe8", "#ad2415")
DARK = Theme("#0b1b28", "#eef4f2", "#b3c4cc", "#7b929e", "#16303f", "#ff9c7a")


@dataclass(frozen=True, slots=True)
class Words:
    """What a chart says in words.

    title : the one sentence; what a screen reader says first
    description : value, band and limits in a sentence or two
    x_axis, y_axis : what is drawn, with its unit in words
    """

    title: str
    description: str
    x_axis: str
    y_axis: str


def _settings(theme: Theme) -> Any:  # keys of matplotlib's own closed list
    return {
        "svg.fonttype": "none",
        "svg.hashsalt": "ringland",
        "font.family": "DejaVu Sans",  # for measuring only; `FACE` is written into the SVG
        "font.size": 15,
        "axes.labelsize": 15,
        "text.color": theme.ink,
        "axes.labelcolor": theme.ink,
        "axes.edgecolor": theme.line,
        "axes.linewidth": NARROW,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.autolimit_mode": "round_numbers",
        "axes.xmargin": 0.0,
        "axes.ymargin": 0.0,
        "axes.facecolor": "none",
        "figure.facecolor": theme.sheet,
        "hatch.linewidth": NARROW,
        "xtick.color": theme.line,
        "ytick.color": theme.line,
        "xtick.labelcolor": theme.second,
        "ytick.labelcolor": theme.second,
        "path.simplify": False,
    }


def render(
    words: Words,
    paint: Callable[["Axes", Theme], None],
    *,
    size: tuple[int, int] = (720, 440),
    dark: bool = False,
) -> str:
    """Return a chart as SVG text.

    words : title, description and axis titles
    paint : draws on the axes in the theme's colours
    size : width and height [px]
    dark : for a dark page
    returns : one `<svg role="img">` with title and description, the same bytes each time
    """
    from matplotlib import rc_context
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    theme = DARK if dark else LIGHT
    with rc_context(_settings(theme)):
        figure = Figure(figsize=(size[0] / INCHES, size[1] / INCHES), layout="constrained")
        FigureCanvasSVG(figure)
        axes = figure.add_subplot()
        paint(axes, theme)
        axes.set_xlabel(words.x_axis)
        axes.set_ylabel(words.y_axis)
        text = StringIO()
        figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None})
    return clean(text.getvalue(), words)


def clean(svg: str, words: Words) -> str:
    """Return matplotlib's SVG with words, role and presentation attributes.

    svg : as matplotlib writes it
    words : its title and description, escaped here

    >>> words = Words("A < B", "Two lines.", "x", "y")
    >>> clean('<svg width="1pt"><g style="fill: none"/></svg>', words)
    '<svg role="img" width="1pt"><title>A &lt; B</title><desc>Two lines.</desc><g fill="none"/></svg>'
    """
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<defs>\s*<style.*?</style>\s*</defs>\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"\s*<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = re.sub(r'\s*style="([^"]*)"', lambda found: _attributes(found[1]), svg)
    head, body = svg.split(">", 1)
    said = f"<title>{escape(words.title)}</title><desc>{escape(words.description)}</desc>"
    head = head.replace("<svg", '<svg role="img"', 1)
    return f"{head}>{said}{body}"


def _attributes(style: str) -> str:
    """`fill: none; font: 15px 'X'` as attributes; the font shorthand is taken apart."""
    found = []
    for part in filter(None, (each.strip() for each in style.split(";"))):
        name, value = (each.strip() for each in part.split(":", 1))
        if name == "font":
            size = re.search(r"[\d.]+px", value)
            found.append(("font-size", size[0] if size else "15px"))
            found.append(("font-family", FACE))
        elif name not in ("font-family", "font-style", "font-weight", "font-stretch"):
            found.append((name, value))
        elif name == "font-family":
            found.append(("font-family", FACE))
    return "".join(f' {name}="{escape(value)}"' for name, value in found)
