"""Drawing: torque wrench and offset adapter at their true angle, with what to set.

Here: the picture only; figures come in worded. Not here: the calculation (`adapter`).
Start with `draw_adapter`. The wrench lies flat, shortened by a break; the adapter turns about the
drive, 0 straight out, 180 folded back.
"""

from html import escape
from math import cos, radians, sin

from ringland.calc.drawing import AXIS, INK, INK_2, MARK, MIDDLE, NARROW, PAPER, TINT, Sheet

WIDTH, HEIGHT = 640.0, 540.0
DRIVE = (385.0, 385.0)  # the middle of the drive
GRIP = 96.0  # x of the middle of the grip
REACH = 150.0  # of the adapter as drawn, whatever its length
HEAD = 27.0  # radius of the wrench's head
TURNED = 100.0  # degrees from which the dimension of the adapter changes sides


def draw_adapter(
    *,
    set_to: str,
    set_unit: str,
    nut_gets: str,
    wrench_mm: str,
    adapter_mm: str,
    angle: float,
    wrong: str = "",
) -> str:
    """The adapter's geometry as SVG, with "set" and "nut gets".

    set_to, set_unit : the number to set and its unit
    nut_gets : what the nut then gets, with unit
    wrench_mm, adapter_mm : the two lengths as dimensioned
    angle : 0 straight out to 180 folded back [degree]
    wrong : what happens at the uncorrected setting; empty where nothing does

    >>> svg = draw_adapter(set_to="26.8", set_unit="N·m", nut_gets="30.0 N·m", wrench_mm="300",
    ...                    adapter_mm="50", angle=45)
    >>> "26.8" in svg and svg.startswith("<svg")
    True
    """
    sheet = Sheet(WIDTH, HEIGHT)
    _words(sheet, set_to, set_unit, nut_gets, wrong)
    _wrench(sheet)
    _adapter(sheet, angle)
    _axes(sheet, angle)
    sheet.dimension((GRIP, DRIVE[1]), DRIVE, -84, f"{wrench_mm} mm")
    nut = _from_drive(angle, REACH)
    side = 58.0 if angle <= TURNED else -58.0
    sheet.dimension(DRIVE, nut, side, f"{adapter_mm} mm")
    _angle_arc(sheet, angle)
    told = (
        "square to the wrench, no correction" if abs(angle - 90) < 0.05 else f"at {angle:g} degrees"
    )
    return sheet.svg(
        f"Set {set_to} {set_unit}: the nut gets {nut_gets}",
        f"Wrench {wrench_mm} mm from grip to drive, adapter {adapter_mm} mm from drive to nut, {told}. "
        f"0 degrees is straight out, 180 folded back. {wrong}".rstrip(),
    )


def _from_drive(angle: float, distance: float, across: float = 0.0) -> tuple[float, float]:
    c, s = cos(radians(angle)), sin(radians(angle))
    return DRIVE[0] + distance * c - across * s, DRIVE[1] - distance * s - across * c


def _words(sheet: Sheet, set_to: str, set_unit: str, nut_gets: str, wrong: str) -> None:
    sheet.add(
        "text",
        f'Set <tspan font-size="80" font-weight="650" letter-spacing="-2">{escape(set_to)}</tspan>'
        f' <tspan fill="{INK_2}">{escape(set_unit)}</tspan>',
        x=28,
        y=96,
        font_size=30,
        fill=INK,
    )
    sheet.text(28, 142, f"and the nut gets {nut_gets}", 26, anchor="start", font_weight=600)
    if wrong:
        sheet.path("M31,164 L41,174 M41,164 L31,174", width=3, stroke=MARK)
        sheet.text(52, 176, wrong, 20, anchor="start", fill=MARK)


def _wrench(sheet: Sheet) -> None:
    x, y = DRIVE
    sheet.path(f"M36,{y - 11} H168 M36,{y + 11} H168 M36,{y - 11} Q24,{y} 36,{y + 11}", fill=TINT)
    sheet.path(f"M36,{y - 11} H168 V{y + 11} H36 Q24,{y} 36,{y - 11} Z", width=0, fill=TINT)
    for place in range(58, 140, 12):
        sheet.path(f"M{place},{y - 7} V{y + 7}", width=NARROW)
    sheet.path(f"M182,{y - 7} H{x - HEAD} V{y + 7} H182 Z", width=0, fill=PAPER)
    sheet.path(
        f"M36,{y - 11} H168 M36,{y + 11} H168 M36,{y - 11} Q24,{y} 36,{y + 11} "
        f"M182,{y - 7} H{x - HEAD + 1} M182,{y + 7} H{x - HEAD + 1}"
    )
    for place in (168, 182):
        sheet.path(f"M{place},{y - 18} l5,11 l-9,12 l5,13", width=1.2)


def _adapter(sheet: Sheet, angle: float) -> None:
    def line(points: list[tuple[float, float]]) -> str:
        placed = [_from_drive(angle, *point) for point in points]
        return "M" + " L".join(f"{x:.1f},{y:.1f}" for x, y in placed)

    jaw_start, jaw_end = _from_drive(angle, REACH + 25.9, 17), _from_drive(angle, REACH + 25.9, -17)
    bar = [(0.0, 12.0), (REACH - 26, 12.0), (REACH - 26, -12.0), (0.0, -12.0)]
    sheet.path(line(bar) + " Z", fill=PAPER)
    slot = [(REACH - 10, -17.0), (REACH - 17, -9.0), (REACH - 17, 9.0), (REACH - 10, 17.0)]
    rest = " ".join("L{:.1f},{:.1f}".format(*_from_drive(angle, *point)) for point in slot)
    sheet.path(
        f"M{jaw_start[0]:.1f},{jaw_start[1]:.1f} A31,31 0 1 0 {jaw_end[0]:.1f},{jaw_end[1]:.1f} {rest} Z",
        fill=PAPER,
    )
    hexagon = [
        (REACH + 19.6 * cos(radians(turn)), 19.6 * sin(radians(turn))) for turn in range(0, 360, 60)
    ]
    sheet.path(line(hexagon) + " Z", width=MIDDLE, fill=PAPER)
    nut = _from_drive(angle, REACH)
    sheet.circle(*nut, 10, stroke_width=NARROW)
    x, y = DRIVE
    sheet.circle(x, y, HEAD, fill=PAPER)
    sheet.add(
        "rect",
        x=x - 9,
        y=y - 9,
        width=18.0,
        height=18.0,
        fill=TINT,
        stroke=INK,
        stroke_width=MIDDLE,
    )


def _axes(sheet: Sheet, angle: float) -> None:
    x, y = DRIVE
    beyond = _from_drive(angle, REACH + 44)
    before = _from_drive(angle, -42)
    sheet.path(f"M14,{y} H{x + 120}", width=NARROW, stroke_dasharray=AXIS)
    sheet.path(
        f"M{before[0]:.1f},{before[1]:.1f} L{beyond[0]:.1f},{beyond[1]:.1f}",
        width=NARROW,
        stroke_dasharray=AXIS,
    )
    sheet.path(f"M{GRIP},{y - 26} V{y + 26}", width=NARROW, stroke_dasharray=AXIS)


def _angle_arc(sheet: Sheet, angle: float) -> None:
    words = f"{angle:.0f}°" if abs(angle - round(angle)) < 0.05 else f"{angle:.1f}°"
    if angle < 12:  # no room for an arc between two axes that nearly coincide
        sheet.text(DRIVE[0] + 120, DRIVE[1] + 62, f"{words} straight out", 20, font_weight=600)
        return
    radius = 96.0 if angle <= TURNED else 46.0
    x, y = _from_drive(0, radius)
    to_x, to_y = _from_drive(angle, radius)
    sheet.path(f"M{x:.1f},{y:.1f} A{radius},{radius} 0 0 0 {to_x:.1f},{to_y:.1f}", width=1.2)
    sheet.arrow_head(to_x, to_y, -angle - 90 + 6)
    at_x, at_y = _from_drive(angle / 2, radius + 32)
    if angle > TURNED:  # below the axis, clear of the dimension
        at_x, at_y = DRIVE[0] + 66, DRIVE[1] + 22
    sheet.text(at_x, at_y + 7, words, 20, font_weight=600)
