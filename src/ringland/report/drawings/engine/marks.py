# ruff: noqa: E501  # an outline reads as one piece
"""Numbered marks, axes, live dimensions."""

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from math import cos, hypot, radians, sin

from ringland.report.drawings.engine.geometry import Geometry, travel
from ringland.report.drawings.engine.pen import REFERENCE, Pen


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of the drawing used as contents: a numbered mark, its part and its state."""

    number: int
    name: str
    href: str
    state: str
    word: str
    at: tuple[float, float]  # where the leader ends, on the part
    mark: tuple[float, float]  # where the number stands
    rides: bool = (
        False  # the leader's end rides with the piston (``at`` is then given at top dead centre)
    )


def draw_axes(pen: Pen, g: Geometry, deck: float) -> None:
    r = g.stroke / 2
    pen.line(0, -r - 38, 0, deck + 78, "axis")
    pen.line(-r - 36, 0, r + 36, 0, "axis")


def arrow(pen: Pen, x: float, y: float, dx: float, dy: float) -> None:
    """ISO 129-1 filled arrowhead, 15 degrees each side of the line, tip at x, y."""
    n = hypot(dx, dy)
    dx, dy = dx / n, dy / n
    k, hw = 5.0, 1.35
    pen.path(
        f"M{x},{y} L{x - k * dx + hw * dy:.2f},{y - k * dy - hw * dx:.2f} L{x - k * dx - hw * dy:.2f},{y - k * dy + hw * dx:.2f} Z",
        "solid arrow",
    )


def draw_dimensions(
    pen: Pen, g: Geometry, angle: float, deck: float, dome: Callable[[float], float], p: str
) -> None:
    """Two live dimensions (ISO 129-1): travel of the crown from its ghost at top dead centre; crank angle."""
    b, top, down = g.bore / 2, deck - g.deck_clearance, travel(g, angle)
    pen.path(
        "M"
        + " L".join(
            f"{x:.2f},{top + dome(x):.2f}" for x in [(b - 0.4) * (k / 12 - 1) for k in range(25)]
        ),
        "ghost",
    )
    x = -19.0
    y = top + dome(x)
    pen.open(id=f"{p}travel", visibility="visible" if down > 13 else "hidden")
    pen.line(x, y, x, y - down, "thin", id=f"{p}travelline")
    arrow(pen, x, y, 0, 1)
    pen.open(id=f"{p}travelend", transform=f"translate(0 {down:.3f})")
    arrow(pen, x, y, 0, -1)
    pen.close()
    pen.text(
        x + 3, y - down / 2 - 3.2, f"{down:.1f}", 9, "start", cls="t num halo", id=f"{p}traveltext"
    )
    pen.close()
    pen.path(arc(21.0, angle), "mid", id=f"{p}anglearc")
    pen.open(
        id=f"{p}angleend",
        visibility="visible" if angle > 15 else "hidden",
        transform=f"rotate({angle:.2f})",
    )
    arrow(pen, 0, 21.0, 1, 0.12)
    pen.close()
    t = radians(
        angle + 180 + (55 if angle > 180 else -55)
    )  # figure on the side that the rod leaves free, always upright
    pen.text(
        28 * sin(t), 28 * cos(t) - 3.2, f"{angle:.0f}°", 9, cls="t num halo", id=f"{p}angletext"
    )
    s = (g.bore - REFERENCE) / 2
    pen.text(-78 - s, top - g.exhaust_roof - 32.7, "EX", 8, cls="t side")
    pen.text(91 + max(s, g.stroke / 2 - 28), 29, "IN", 8, cls="t side")


def arc(r: float, angle: float) -> str:
    t = radians(max(angle, 0.1))
    return f"M0,{r} A{r},{r} 0 {int(angle > 180)} 0 {r * sin(t):.2f},{r * cos(t):.2f}"


def draw_mark(pen: Pen, item: Item, down: float) -> None:
    """Numbered mark: a leader to the part, an outline whose shape is the state, a large unseen target."""
    (x, y), (ax, ay), s = item.mark, (item.at[0], item.at[1] - down), item.state
    r = 8.6
    d = hypot(ax - x, ay - y)
    lx, ly = x + (ax - x) / d * r, y + (ay - y) / d * r
    pen.raw(
        f'<a class="mark s-{s}" href="{escape(item.href)}" aria-label="{item.number} {escape(item.name)}: {escape(item.word)}">'
    )
    ride = {"data_ride": f"{x} {-y} {item.at[0]} {-item.at[1]} {r}"} if item.rides else {}
    pen.line(lx, ly, ax, ay, "leader thin", **ride)
    pen.circle(
        ax, ay, 1.3, "solid leader-dot", **({"data_ride_dot": -item.at[1]} if item.rides else {})
    )
    pen.circle(x, y, 18, "touch", fill="transparent", stroke="none")
    full = s in ("beyond", "stop")  # the two that forbid are filled, the rest are outlines
    pen.path(
        shape(s, x, y, r),
        "frame full mid" if full else "frame paper mid",
        **({"stroke_dasharray": "3 3"} if s == "unmeasured" else {}),
        **({"fill": "currentColor"} if full else {}),
    )
    if s == "worn":  # filled foot: part of the allowance is used up
        c = r * cos(radians(30))
        pen.path(f"M{x - c:.2f},{y - r / 2} A{r},{r} 0 0 1 {x + c:.2f},{y - r / 2} Z", "solid")
    pen.text(
        x,
        y - 3.1 + (1.2 if s == "worn" else 0),
        str(item.number),
        8.8,
        cls="t num on-full" if full else "t num",
    )
    pen.close("a")


def shape(state: str, x: float, y: float, r: float) -> str:
    def poly(k: float, n: int, off: float) -> str:
        pts = [
            (x + k * cos(radians(off + 360 / n * i)), y + k * sin(radians(off + 360 / n * i)))
            for i in range(n)
        ]
        return "M" + " L".join(f"{a:.2f},{b:.2f}" for a, b in pts) + " Z"

    if state == "undecided":
        return poly(r * 1.2, 4, 0)
    if state == "beyond":
        return poly(r * 1.22, 4, 45)
    if state == "stop":
        return poly(r * 1.08, 8, 22.5)
    if state == "incomparable":
        return poly(r * 1.1, 6, 0)
    if state == "disagree":  # a circle with a fault through it: the halves do not meet
        f = 2.6
        return f"M{x},{y - r + f} A{r},{r} 0 0 0 {x},{y + r + f} L{x},{y + r - f} A{r},{r} 0 0 0 {x},{y - r - f} Z"
    return f"M{x - r},{y} A{r},{r} 0 1 1 {x + r},{y} A{r},{r} 0 1 1 {x - r},{y} Z"
