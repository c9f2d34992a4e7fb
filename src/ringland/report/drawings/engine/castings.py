# ruff: noqa: E501  # an outline reads as one piece
"""What stands still below the head: crankcase, barrel, power valve, reed block, joints."""

from math import atan2, cos, degrees, radians, sin, sqrt

from ringland.report.drawings.engine.geometry import Geometry, slot
from ringland.report.drawings.engine.pen import REFERENCE, Cut, Pen


def draw_case(pen: Pen, g: Geometry, foot: float) -> None:
    """Crankcase: carries the job but is not part of it, so its metal is left plain and its lines narrow."""
    b, deck = g.bore / 2, foot - 0.9
    r, s = g.stroke / 2, (g.bore - REFERENCE) / 2
    inner, outer, spigot = r + 23.0, r + 29.5, b + 5.0
    top = sqrt(inner**2 - spigot**2)
    # the whole outline, then the room inside
    m, _, (vx, vy) = reed_frame(g)
    f1 = (m[0] + 25 * vx, m[1] + 25 * vy)
    f2 = (m[0] - 25 * vx, m[1] - 25 * vy)
    outline = (
        f"M{-62 - s},{deck} L{-62 - s},{deck - 16} Q{-62 - s},{deck - 22} {-60 - s},{deck - 27} "
        f"L{-outer * cos(radians(3)):.2f},{outer * sin(radians(3)):.2f} A{outer},{outer} 0 0 1 {outer * cos(radians(35)):.2f},{-outer * sin(radians(35)):.2f} "
        f"L{f2[0]:.2f},{f2[1]:.2f} L{f1[0]:.2f},{f1[1]:.2f} L{64 + s},{deck - 10} L{64 + s},{deck} "
        f"L{41 + s},{deck} L{41 + s},{deck - 20} Q{41 + s},{deck - 24} {45 + s},{deck - 24.5} "
        f"L{m[0] + 17 * vx:.2f},{m[1] + 17 * vy:.2f} L{m[0] - 17 * vx:.2f},{m[1] - 17 * vy:.2f} "
        f"L{sqrt(inner**2 - 13.5**2):.2f},13.5 A{inner},{inner} 0 1 0 {-spigot:.2f},{top:.2f} "
        f"L{-spigot:.2f},{deck} Z"
    )
    pen.raw('<g class="part s-neutral">')
    pen.path(outline, "case")
    pen.path(outline, "mid")
    pen.close()


def reed_frame(g: Geometry) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Middle of the cage's flange, direction into the case, direction along the flange."""
    a, out = radians(9), max((g.bore - REFERENCE) / 2, g.stroke / 2 - 28.0)
    return (72.0 + out, 33.0), (-cos(a), -sin(a)), (-sin(a), cos(a))


def draw_barrel(
    pen: Pen, cut: Cut, g: Geometry, levels: tuple[float, float, float, float, float], p: str
) -> None:
    deck, foot, ex_roof, tr_roof, floor = levels
    b = g.bore / 2
    up, th = slot(g, ex_roof)
    # coolant first, so the metal's outline stays on top
    for d in (
        f"M-33,{deck} L-33,{deck - 18} Q-33,{deck - 20} -35,{deck - 19} L-41,{deck - 16.2} Q-42.5,{deck - 15.4} -42.5,{deck - 13} L-42.5,{deck} Z",
        f"M33,{deck} L33,{tr_roof + 12} Q33,{tr_roof + 8} 36,{tr_roof + 8} L40,{tr_roof + 8} Q43,{tr_roof + 8} 43,{tr_roof + 12} L43,{deck} Z",
    ):
        pen.path(d, "paper")
        pen.path(d, "hatch water", fill=f"url(#{p}w)", stroke="none")
    wall = b + 4.6
    # intake side: outer body with the jacket, and the wall between bore and rear transfer
    cut(
        "Barrel",
        f"M{b},{deck} L33,{deck} L33,{tr_roof + 12} Q33,{tr_roof + 8} 36,{tr_roof + 8} L40,{tr_roof + 8} "
        f"Q43,{tr_roof + 8} 43,{tr_roof + 12} L43,{deck} L59,{deck} L59,{deck - 13} Q59,{deck - 16} 55,{deck - 17} "
        f"L50,{deck - 19} L48,{deck - 24} L48,{foot + 14} Q48,{foot + 10} 51,{foot + 10} L64,{foot + 10} L64,{foot} "
        f"L41.5,{foot} L41.5,{foot + 22} Q41.5,{tr_roof - 7} {b},{tr_roof} Z",
        "a",
    )
    cut(
        "Barrel",
        f"M{b},{floor} Q{wall - 0.2},{floor - 5} {wall},{floor - 13} L{wall},{foot - 16} "
        f"L{b + 0.6},{foot - 16} L{b},{foot - 14} Z",
        "a",
    )
    # exhaust side: below the duct, between duct and valve, above the valve
    cut(
        "Barrel",
        f"M{-b},{floor} L-76,{floor - 13} L-89,{floor - 15} L-89,{floor - 19} L-76,{floor - 17.5} L-60,{floor - 13.8} "
        f"Q-50,{floor - 11.5} -48,{foot + 14} Q-48,{foot + 10} -51,{foot + 10} L-64,{foot + 10} L-64,{foot} "
        f"L{-wall},{foot} L{-wall},{foot - 16} L{-b - 0.6},{foot - 16} L{-b},{foot - 14} Z",
        "a",
    )
    nose = -41.0

    def lower(x: float) -> float:
        return up(x) - th - 0.5

    cut(
        "Barrel",
        f"M{nose},{lower(nose):.2f} L-55.5,{lower(-55.5):.2f} L-55.5,{ex_roof - 2.6:.2f} L-73,{ex_roof - 2.6:.2f} "
        f"L-73,{ex_roof - 8.6:.2f} L-89,{ex_roof - 15:.2f} L-89,{ex_roof - 19:.2f} L-76,{ex_roof - 16} L{nose - 1.5},{lower(nose) - 2.2:.2f} "
        f"Q{nose},{lower(nose) - 1.5:.2f} {nose},{lower(nose):.2f} Z",
        "a",
    )
    cut(
        "Barrel",
        f"M{-b},{ex_roof} L-56.5,{up(-56.5) + 0.3:.2f} L-56.5,{ex_roof + 20.8:.2f} L-73,{ex_roof + 20.8:.2f} L-73,{ex_roof + 25.4:.2f} L-62,{ex_roof + 25.4:.2f} "
        f"Q-59,{ex_roof + 25.4:.2f} -59,{ex_roof + 27.8:.2f} L-59,{deck} L-42.5,{deck} L-42.5,{deck - 13} Q-42.5,{deck - 15.4} -41,{deck - 16.2} "
        f"L-35,{deck - 19} Q-33,{deck - 20} -33,{deck - 18} L-33,{deck} L{-b},{deck} Z",
        "a",
    )
    # far edges of the duct beyond the cut, and the pipe as an adjacent part
    pen.line(-89, floor - 15, -89, ex_roof - 15, "mid")
    pen.path(
        f"M-84,{ex_roof - 11} L-94,{ex_roof - 14.7} M-84,{floor - 20.5} L-94,{floor - 23}", "ghost"
    )
    # plating of the bore: too thin to hatch, so a solid line along the wall
    for a, z in ((deck, tr_roof), (floor, foot - 14)):
        pen.line(b, a, b, z, "wide plating")
    for a, z in ((deck, ex_roof), (floor, foot - 14)):
        pen.line(-b, a, -b, z, "wide plating")


def draw_valve(pen: Pen, cut: Cut, g: Geometry, ex_roof: float, p: str) -> None:
    """Blade in its slot, shut; open is the same blade moved back along the slope, drawn as a ghost."""
    a, b = radians(g.valve_slope), g.bore / 2
    up, th = slot(g, ex_roof)
    tip = -b - 0.7
    back = g.valve_travel / sin(a)
    ux, uy = -cos(a), sin(a)
    y_up = up(tip) - 0.35
    blade = [
        (tip, y_up - th + 0.6),
        (tip, y_up),
        (tip + 32 * ux, y_up + 32 * uy),
        (tip + 32 * ux - 2.0, y_up + 32 * uy - th + 1.5),
    ]
    shape = "M" + " L".join(f"{x:.2f},{y:.2f}" for x, y in blade) + " Z"
    dx, dy = back * ux, back * uy
    moved = "M" + " L".join(f"{x + dx:.2f},{y + dy:.2f}" for x, y in blade) + " Z"
    pen.path(moved, "ghost", id=f"{p}ghost")
    pen.open(
        id=f"{p}valve",
        class_="slide",
        transform="translate(0 0)",
        data_dx=f"{dx:.2f}",
        data_dy=f"{-dy:.2f}",
    )
    cut("Power valve", shape, "d")
    px, py = tip + 29 * ux, y_up + 29 * uy - th / 2
    pen.circle(px, py, 1.7, "paper mid")
    pen.close()
    sx, sy = -65.0, ex_roof + 4.4  # shaft
    turn = degrees(atan2(px - sx, py - sy))
    pen.open(
        id=f"{p}arm",
        transform=f"translate({pen.at(sx):.2f} {-sy:.2f}) rotate({turn:.2f})",
        data_open=f"{degrees(atan2(px + dx - sx, py + dy - sy)):.2f}",
        data_closed=f"{degrees(atan2(px - sx, py - sy)):.2f}",
    )
    pen.path(
        "M-3.2,0 L-2.9,16 Q-2.9,18 -1.6,18 L-1.6,8.5 A1.6,1.6 0 0 1 1.6,8.5 L1.6,18 Q2.9,18 2.9,16 L3.2,0 "
        "A3.2,3.2 0 0 0 -3.2,0 Z",
        "paper mid",
    )
    pen.close()
    pen.circle(sx, sy, 3.4, "paper mid")
    pen.circle(sx, sy, 3.4, "hatch", fill=f"url(#{p}d)", stroke="none")
    # cover with its two screws
    pen.raw('<g class="part s-neutral">')
    cover = f"M-73.6,{ex_roof - 8} L-73.6,{ex_roof + 26} L-78,{ex_roof + 26} Q-79.4,{ex_roof + 26} -79.4,{ex_roof + 24} L-79.4,{ex_roof - 6} Q-79.4,{ex_roof - 8} -78,{ex_roof - 8} Z"
    pen.path(cover, "paper")
    pen.path(cover, "hatch", fill=f"url(#{p}b)", stroke="none")
    pen.path(cover, "mid")
    pen.close()
    for y in (ex_roof + 23.0, ex_roof - 5.3):
        pen.path(
            f"M-79.4,{y - 2.6} L-82.4,{y - 2.6} L-82.4,{y + 2.6} L-79.4,{y + 2.6} Z", "paper mid"
        )
        pen.line(-84.5, y, -68, y, "axis")


def draw_reeds(pen: Pen, cut: Cut, g: Geometry, p: str) -> None:
    (mx, my), (ux, uy), (vx, vy) = reed_frame(g)

    def at(u: float, v: float) -> str:
        return f"{mx + u * ux + v * vx:.2f},{my + u * uy + v * vy:.2f}"

    # cage: flange, two ribbed sides, nose
    cut(
        "Reed block",
        f"M{at(-3.5, 25)} L{at(0, 25)} L{at(0, 15.5)} L{at(19.5, 3.6)} L{at(22.5, 0)} L{at(19.5, -3.6)} L{at(0, -15.5)} L{at(0, -25)} L{at(-3.5, -25)} "
        f"L{at(-3.5, -12)} L{at(1, -12)} L{at(16.5, 0)} L{at(1, 12)} L{at(-3.5, 12)} Z "
        f"M{at(4.2, 11.9)} L{at(13.8, 5.9)} L{at(12.4, 4.4)} L{at(3, 11.4)} Z M{at(4.2, -11.9)} L{at(13.8, -5.9)} L{at(12.4, -4.4)} L{at(3, -11.4)} Z",
        "c",
    )
    for s in (-1, 1):
        pen.path(f"M{at(1.5, s * 15.6)} L{at(20.8, s * 3.9)}", "wide petal")  # petal, lying shut
        pen.path(f"M{at(1.5, s * 16.6)} Q{at(12, s * 12.4)} {at(19, s * 12.6)}", "mid")  # stop
    # intake rubber and what carries it
    for s in (-1, 1):
        rubber = f"M{at(-3.5, s * 25)} L{at(-7, s * 25)} L{at(-7, s * 19.5)} Q{at(-9, s * 18)} {at(-12, s * 17.6)} L{at(-27, s * 17.6)} L{at(-27, s * 13.6)} L{at(-3.5, s * 12.6)} Z"
        pen.raw('<g class="part s-neutral">')
        pen.path(rubber, "paper")
        pen.path(rubber, "hatch", fill=f"url(#{p}x)", stroke="none")
        pen.path(rubber, "mid")
        pen.close()
        pen.path(f"M{at(-16, s * 13.2)} L{at(-34, s * 13.2)}", "ghost")
    pen.line(
        mx - 27 * ux + 13.6 * vx,
        my - 27 * uy + 13.6 * vy,
        mx - 27 * ux - 13.6 * vx,
        my - 27 * uy - 13.6 * vy,
        "thin",
    )
    for s in (-1, 1):
        a = at(-10, s * 21.8)
        z = at(7, s * 21.8)
        pen.path(f"M{a} L{z}", "axis")
