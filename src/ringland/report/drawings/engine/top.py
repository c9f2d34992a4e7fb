# ruff: noqa: E501  # an outline reads as one piece
"""Head with plug, studs and nuts, gaskets and rings of the joints."""

from collections.abc import Callable, Mapping

from ringland.report.drawings.engine.geometry import Geometry
from ringland.report.drawings.engine.pen import Cut, Pen


def draw_head(
    pen: Pen, cut: Cut, g: Geometry, deck: float, dome: Callable[[float], float], p: str
) -> None:
    b = g.bore / 2
    squish_in = 18.8  # inner edge of the squish band
    s_in = deck + dome(squish_in) - dome(b)
    top = deck + 29.5
    for s in (-1, 1):
        water = (
            f"M{s * 34.5},{deck} L{s * 34.5},{deck + 7} Q{s * 34.5},{deck + 10} {s * 31},{deck + 11} L{s * 22},{deck + 15.5} Q{s * 19.5},{deck + 17} {s * 19.5},{deck + 19.5} "
            f"L{s * 19.5},{deck + 21.5} Q{s * 19.5},{top - 5.5} {s * 22.5},{top - 5.5} "
        )
        water += (
            f"L-24.5,{top - 5.5} L-24.5,{top + 9} L-34.5,{top + 9} L-34.5,{top - 5.5} L-38,{top - 5.5} "
            if s < 0
            else f"L38,{top - 5.5} "
        )
        water += f"Q{s * 42},{top - 5.5} {s * 42},{top - 9} L{s * 42},{deck} Z"
        pen.path(water, "paper")
        pen.path(water, "hatch water", fill=f"url(#{p}w)", stroke="none")
        metal = f"M{s * b},{deck} L{s * squish_in},{s_in:.2f} Q{s * 17.6},{s_in + 9:.2f} {s * 8.5},{deck + 14.2} L{s * 5.6},{deck + 14.2} L{s * 5.6},{top + 1} L{s * 14.5},{top + 1} L{s * 16},{top} "
        if s < 0:
            metal += (
                f"L-21,{top} L-21,{top + 9} L-24.5,{top + 9} L-24.5,{top - 5.5} L-22.5,{top - 5.5} "
            )
        else:
            metal += f"L61,{top} L61,{deck} L42,{deck} L42,{top - 9} Q42,{top - 5.5} 38,{top - 5.5} L22.5,{top - 5.5} "
        metal += (
            f"Q{s * 19.5},{top - 5.5} {s * 19.5},{deck + 21.5} L{s * 19.5},{deck + 19.5} Q{s * 19.5},{deck + 17} {s * 22},{deck + 15.5} L{s * 31},{deck + 11} "
            f"Q{s * 34.5},{deck + 10} {s * 34.5},{deck + 7} L{s * 34.5},{deck} Z"
        )
        if s < 0:
            cut("Head", metal, "b")
            cut(
                "Head",
                f"M-42,{deck} L-61,{deck} L-61,{top} L-38,{top} L-38,{top + 9} L-34.5,{top + 9} L-34.5,{top - 5.5} L-38,{top - 5.5} "
                f"Q-42,{top - 5.5} -42,{top - 9} Z",
                "b",
            )
        else:
            cut("Head", metal, "b")
    # seen beyond the cut: the far edge of the plug hole; the coolant hose is a neighbour
    pen.line(-8.5, deck + 14.2, 8.5, deck + 14.2, "thin")
    pen.path(f"M-21,{top + 9} L-21,{top + 17} M-38,{top + 9} L-38,{top + 17}", "ghost")
    # spark plug, in view: not cut
    y = top + 1
    pen.path(f"M-5.4,{deck + 14.4} L-5.4,{y} L5.4,{y} L5.4,{deck + 14.4} Z", "paper mid")
    k = deck + 15.4
    while k < y - 1.5:
        pen.line(-5.4, k, 5.4, k + 0.7, "thin")
        k += 1.5
    pen.path(
        f"M-1.3,{deck + 14.4} L-1.3,{deck + 11.8} L1.3,{deck + 11.8} L1.3,{deck + 14.4}", "mid"
    )
    pen.path(f"M4.4,{deck + 14.4} L4.4,{deck + 10.2} L-1.6,{deck + 10.2}", "wide")
    pen.path(f"M-8,{y} L8,{y} L8,{y + 1.8} L-8,{y + 1.8} Z", "solid")
    pen.path(
        f"M-9.2,{y + 1.8} L9.2,{y + 1.8} L9.2,{y + 9.5} L8.2,{y + 10.6} L-8.2,{y + 10.6} L-9.2,{y + 9.5} Z M-4.7,{y + 1.8} L-4.7,{y + 10.6} M4.7,{y + 1.8} L4.7,{y + 10.6}",
        "paper wide",
    )
    pen.path(
        f"M-6.2,{y + 10.6} L-5.2,{y + 15.5} L5.2,{y + 15.5} L6.2,{y + 10.6} M-5.2,{y + 15.5} L-4.3,{y + 34} Q-4.2,{y + 35.5} -2.8,{y + 35.5} L2.8,{y + 35.5} Q4.2,{y + 35.5} 4.3,{y + 34} L5.2,{y + 15.5} "
        f"M-2.6,{y + 35.5} L-2.6,{y + 40.5} L2.6,{y + 40.5} L2.6,{y + 35.5}",
        "paper mid",
    )
    for rib in (19, 22.5, 26):
        pen.line(-5.1 + (rib - 15) * 0.045, y + rib, 5.1 - (rib - 15) * 0.045, y + rib, "thin")


def stud(
    pen: Pen, x: float, bottom: float, seat: float, flat: float = 6.8, tall: float = 7.0
) -> None:
    """Stud with washer and nut: in view, never hatched; thread as narrow lines inside."""
    end = seat + 1.6 + tall + 3.2
    pen.path(
        f"M{x - 3.6},{bottom} L{x - 3.6},{end - 1} L{x - 2.7},{end} L{x + 2.7},{end} L{x + 3.6},{end - 1} L{x + 3.6},{bottom} Z",
        "paper mid",
    )
    pen.path(
        f"M{x - 2.7},{bottom} L{x - 2.7},{bottom + 10} M{x + 2.7},{bottom} L{x + 2.7},{bottom + 10} M{x - 4.4},{bottom + 10} L{x + 4.4},{bottom + 10}",
        "thin",
    )
    pen.path(
        f"M{x - flat - 1.2},{seat} L{x + flat + 1.2},{seat} L{x + flat + 1.2},{seat + 1.6} L{x - flat - 1.2},{seat + 1.6} Z",
        "paper mid",
    )
    y = seat + 1.6
    pen.path(
        f"M{x - flat},{y} L{x + flat},{y} L{x + flat},{y + tall - 1} Q{x + flat * 0.75},{y + tall} {x + flat * 0.5},{y + tall} L{x - flat * 0.5},{y + tall} "
        f"Q{x - flat * 0.75},{y + tall} {x - flat},{y + tall - 1} Z",
        "paper wide",
    )
    pen.line(x - flat * 0.5, y, x - flat * 0.5, y + tall, "mid")
    pen.line(x + flat * 0.5, y, x + flat * 0.5, y + tall, "mid")
    pen.line(x, bottom - 3, x, end + 3, "axis")


def draw_joints(pen: Pen, g: Geometry, deck: float, foot: float, state: Mapping[str, str]) -> None:
    """Base gasket (solid, too thin to hatch), head O-rings (solid rounds in their grooves), studs, dowel."""
    b = g.bore / 2
    pen.open(class_="part s-" + state.get("Base joint", "neutral"))
    for lo, hi in ((-64, -b - 5.2), (41.5, 64)):
        pen.path(
            f"M{lo},{foot} L{hi},{foot} L{hi},{foot - 0.9} L{lo},{foot - 0.9} Z", "solid gasket"
        )
    pen.close()
    pen.open(class_="part s-" + state.get("Head joint", "neutral"))
    for x in (-29.8, 29.8, -45.6, 45.6):
        pen.path(
            f"M{x - 1.9},{deck} L{x - 1.9},{deck + 2.8} L{x + 1.9},{deck + 2.8} L{x + 1.9},{deck} Z",
            "paper thin",
        )
        pen.circle(x, deck + 1.4, 1.35, "solid")
    pen.close()
    for x in (-53.5, 53.5):
        stud(pen, x, deck - 11.0 if x < 0 else deck - 15, deck + 29.5)
    for x in (-56.5, 56.5):
        stud(pen, x, foot - 15, foot + 10)
    # base dowel round the left side, hidden behind the cut
    for x in (-44.5,):
        pen.path(
            f"M{x - 3.4},{foot - 6.5} L{x - 3.4},{foot + 6} L{x + 3.4},{foot + 6} L{x + 3.4},{foot - 6.5} Z",
            "hid dowel",
        )
