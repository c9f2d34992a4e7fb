"""The pen of the calculators' own drawings: paper, ink, one red pencil; lines by ISO 128.

Here: a sheet that collects SVG elements with presentation attributes only (an inline `style` would
be blocked on the page), escaped text, the kinds of line. Not here: what is drawn (such as
`draw_adapter`), charts. Start with `Sheet`.
"""

from dataclasses import dataclass, field
from html import escape
from math import atan2, cos, degrees, hypot, radians, sin
from typing import Any

PAPER, INK, INK_2, TINT, MARK = "#f4f7f5", "#0d2130", "#3c5261", "#e4ebe8", "#ad2415"
FACE = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, Verdana, sans-serif"
WIDE, MIDDLE, NARROW = 2.4, 1.6, 1.0  # px: outline, what is seen beyond, dimensions and axes
AXIS = "14 3 2 3"  # chain line
HIDDEN = "5 4"
ARROW, HALF_ARROW = 10.0, 3.4  # px


@dataclass
class Sheet:
    """A drawing sheet. x to the right, y down, as SVG has it [px]."""

    width: float
    height: float
    parts: list[str] = field(default_factory=list)

    def add(self, tag: str, content: str | None = None, **attributes: Any) -> None:
        """Add an element; an underscore in an attribute's name stands for a dash."""
        words = "".join(
            f' {name.rstrip("_").replace("_", "-")}="{_number(value)}"'
            for name, value in attributes.items()
        )
        self.parts.append(
            f"<{tag}{words}/>" if content is None else f"<{tag}{words}>{content}</{tag}>"
        )

    def path(self, d: str, *, width: float = WIDE, fill: str = "none", **more: Any) -> None:
        """Add a line or outline."""
        self.add(
            "path",
            d=d,
            fill=fill,
            stroke=more.pop("stroke", INK),
            stroke_width=width,
            stroke_linejoin="round",
            stroke_linecap="round",
            **more,
        )

    def circle(self, x: float, y: float, radius: float, *, fill: str = "none", **more: Any) -> None:
        """Add a circle."""
        more.setdefault("stroke", INK)
        more.setdefault("stroke_width", WIDE)
        self.add("circle", cx=x, cy=y, r=radius, fill=fill, **more)

    def text(
        self, x: float, y: float, words: str, size: float, *, anchor: str = "middle", **more: Any
    ) -> None:
        """Add escaped text; it stands on a halo of paper, so that no line runs through it."""
        more.setdefault("fill", INK)
        more |= {"stroke": PAPER, "stroke_width": size / 3, "paint_order": "stroke"}
        more["stroke_linejoin"] = "round"
        self.add("text", escape(words), x=x, y=y, font_size=size, text_anchor=anchor, **more)

    def arrow_head(self, x: float, y: float, angle: float, *, fill: str = INK) -> None:
        """Add a slim arrow head whose tip is at x, y and points along an angle [degree, y down]."""
        c, s = cos(radians(angle)), sin(radians(angle))
        back = (x - ARROW * c, y - ARROW * s)
        left = f"{back[0] - HALF_ARROW * s:.1f},{back[1] + HALF_ARROW * c:.1f}"
        right = f"{back[0] + HALF_ARROW * s:.1f},{back[1] - HALF_ARROW * c:.1f}"
        self.add("path", d=f"M{x:.1f},{y:.1f} L{left} L{right} Z", fill=fill)

    def dimension(
        self, start: tuple[float, float], end: tuple[float, float], offset: float, words: str
    ) -> None:
        """Add a dimension line beside two points, with its extension lines and its figure.

        offset : to the left of the way from start to end, seen with y down [px]; may be negative
        """
        (x1, y1), (x2, y2) = start, end
        length = hypot(x2 - x1, y2 - y1)
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        nx, ny = uy, -ux
        side = 1 if offset > 0 else -1
        gap, past = 26 * side, offset + 6 * side
        for x, y in (start, end):
            self.path(
                f"M{x + gap * nx:.1f},{y + gap * ny:.1f} L{x + past * nx:.1f},{y + past * ny:.1f}",
                width=NARROW,
            )
        a = (x1 + offset * nx, y1 + offset * ny)
        b = (x2 + offset * nx, y2 + offset * ny)
        self.path(f"M{a[0]:.1f},{a[1]:.1f} L{b[0]:.1f},{b[1]:.1f}", width=1.2)
        along = degrees(atan2(uy, ux))
        self.arrow_head(*b, along)
        self.arrow_head(*a, along + 180)
        self.text((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + 7, words, 20, font_weight=600)

    def svg(self, title: str, description: str) -> str:
        """The whole drawing, with a title and a description for those who do not see it."""
        body = "\n".join(self.parts)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(self.width)} '
            f'{_number(self.height)}" role="img" font-family="{FACE}">\n'
            f"<title>{escape(title)}</title>\n<desc>{escape(description)}</desc>\n"
            f'<rect width="{_number(self.width)}" height="{_number(self.height)}" fill="{PAPER}"/>\n'
            f"{body}\n</svg>\n"
        )


def _number(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return escape(str(value))
