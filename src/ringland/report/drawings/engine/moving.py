# ruff: noqa: E501  # an outline reads as one piece
"""What moves: crank, rod, piston with ring, pin with its bearing."""

from collections.abc import Callable
from math import cos, radians, sin

from ringland.report.drawings.engine.geometry import Geometry, rod_angle, travel
from ringland.report.drawings.engine.pen import Cut, Pen


def draw_crank(pen: Pen, g: Geometry, angle: float, p: str) -> None:
    """Web behind the cut, crankpin through it; the group turns with the crank."""
    r = g.stroke / 2
    pen.open(id=f"{p}crank", transform=f"rotate({angle:.2f})")
    rim = r + 21.0
    pen.circle(0, 0, rim, "paper mid")
    pen.circle(0, 0, rim - 3.4, "thin")
    for k in range(36):  # degree marks on the rim
        t, inner = radians(10 * k), rim - (3.4 if k % 3 else 5.4)
        pen.line(inner * sin(t), inner * cos(t), rim * sin(t), rim * cos(t), "thin")
    pen.circle(0, 0, 12.5, "mid")
    pen.circle(0, 0, 8.0, "thin")
    pen.circle(0, 0, 1.2, "solid")
    pen.line(0, 0, 0, rim, "axis")
    pen.circle(0, r, 10.5, "thin")
    pen.close()


def draw_rod(pen: Pen, g: Geometry, angle: float, p: str) -> None:
    """Rod in its own frame (big end at the origin, pointing up), not hatched: it is cut lengthwise."""
    r, t, length = g.stroke / 2, radians(angle), g.rod
    x, y = r * sin(t), r * cos(t)
    pen.open(
        id=f"{p}rod", transform=f"translate({x:.3f} {-y:.3f}) rotate({-rod_angle(g, angle):.3f})"
    )
    big, small = 18.0, 12.2
    shank = (
        f"M-9.6,15.2 Q-7.2,22 -6.6,34 L-5.4,{length - 20} Q-5.4,{length - 14} -8.4,{length - 8.85} "
        f"A{small},{small} 0 1 0 8.4,{length - 8.85} Q5.4,{length - 14} 5.4,{length - 20} L6.6,34 "
        f"Q7.2,22 9.6,15.2 A{big},{big} 0 1 0 -9.6,15.2 Z"
    )
    pen.path(shank, "paper wide")
    pen.path(
        f"M-3.6,27 L-2.7,{length - 22} Q0,{length - 18.5} 2.7,{length - 22} L3.6,27 Q0,23 -3.6,27 Z",
        "thin",
    )
    pen.circle(0, 0, 14.2, "mid")
    for k in range(14):
        a = radians(360 / 14 * k)
        pen.circle(12.35 * cos(a), 12.35 * sin(a), 1.75, "paper thin")
    pen.circle(0, 0, 10.5, "paper mid")
    pen.circle(0, 0, 10.5, "hatch", fill=f"url(#{p}c)", stroke="none")
    pen.line(-5, 0, 5, 0, "thin")
    pen.line(0, -5, 0, 5, "thin")
    pen.close()


def draw_piston(
    pen: Pen, cut: Cut, g: Geometry, angle: float, dome: Callable[[float], float]
) -> None:
    """Piston in the frame of its pin at top dead centre; the group slides by the travel."""
    b = g.bore / 2 - 0.35
    top = g.stroke / 2 + g.rod + g.compression_height
    pin = top - g.compression_height
    end, wall = top - g.skirt, 3.4
    ring = top - 4.6  # top flank of the ring groove
    pen.open(
        id=f"{cut.prefix}piston", class_="slide", transform=f"translate(0 {travel(g, angle):.3f})"
    )
    pen.path(f"M{-b},{end} L{-b},{top} L{b},{top} L{b},{end} Z", "paper")
    # inside of the far half: skirt edge with its arch, pin boss
    pen.path(
        f"M{-b + wall},{end} Q{-b + 8},{end + 1} {-b + 10},{end + 9} Q{-9},{end + 16} 0,{end + 16} "
        f"Q9,{end + 16} {b - 10},{end + 9} Q{b - 8},{end + 1} {b - wall},{end}",
        "thin",
    )
    pen.path(
        f"M-13.5,{top - 7.5} L-13.5,{pin} A13.5,13.5 0 0 1 13.5,{pin} L13.5,{top - 7.5}", "thin"
    )
    arc = " ".join(f"L{x:.2f},{top + dome(x):.2f}" for x in [b * (k / 16 - 1) for k in range(33)])
    gx = b - 3.0
    section = (
        f"M{-b},{top} {arc} L{b},{ring} L{gx},{ring} L{gx},{ring - 1.7} L{b},{ring - 1.7} L{b},{end} "
        f"L{b - wall + 0.8},{end} L{b - wall},{end + 12} L{b - wall},{top - 14} Q{b - wall},{top - 7} {b - wall - 6},{top - 6.2} "
        f"Q0,{top - 2.2} {-b + wall + 6},{top - 6.2} Q{-b + wall},{top - 7} {-b + wall},{top - 14} L{-b + wall},{end + 12} "
        f"L{-b + wall - 0.8},{end} L{-b},{end} L{-b},{ring - 1.7} L{-gx},{ring - 1.7} L{-gx},{ring} L{-b},{ring} Z"
    )
    cut("Piston", section, "c")
    for side in (-1, 1):
        lo, hi = sorted((side * (gx + 0.35), side * (b + 0.3)))
        pen.path(
            f"M{lo},{ring - 0.15} L{hi},{ring - 0.15} L{hi},{ring - 1.55} L{lo},{ring - 1.55} Z",
            "solid ring",
        )
    pen.close()


def draw_small_end(pen: Pen, g: Geometry, angle: float, p: str) -> None:
    """Pin cut across (hatched tube) with its needles; rides with the piston."""
    pin, y = g.pin / 2, g.stroke / 2 + g.rod
    pen.open(id=f"{p}pin", class_="slide", transform=f"translate(0 {travel(g, angle):.3f})")
    pen.circle(0, y, 10.0, "paper thin")
    for k in range(16):
        a = radians(360 / 16 * k)
        pen.circle(8.75 * cos(a), y + 8.75 * sin(a), 1.15, "paper thin")
    pen.circle(0, y, pin, "paper wide")
    pen.path(
        f"M{-pin},{y} A{pin},{pin} 0 1 0 {pin},{y} A{pin},{pin} 0 1 0 {-pin},{y} Z "
        f"M-4.4,{y} A4.4,4.4 0 1 0 4.4,{y} A4.4,4.4 0 1 0 -4.4,{y} Z",
        "hatch",
        fill=f"url(#{p}d)",
        stroke="none",
        fill_rule="evenodd",
    )
    pen.circle(0, y, 4.4, "mid")
    pen.line(-2.6, y, 2.6, y, "thin")
    pen.line(0, y - 2.6, 0, y + 2.6, "thin")
    pen.close()
