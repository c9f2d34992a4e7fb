"""The verdict picture: a value and its band against the limits.

Free room is empty paper. A limit is a wall, hatched behind as cut metal is. From the end of "new"
to the wall the base line is doubled: allowed, but being used up. The band is a dimension line that
carries the value, so that it is seen at once whether it clears the wall.
Start with `verdict_picture`.
"""

from dataclasses import dataclass
from html import escape
from math import floor, log10

from ringland.job.verdicts.verdict import Verdict
from ringland.measure.estimates import coverage_factor
from ringland.quantity import Unit, find_unit, show_number
from ringland.report.drawings.signs import LINE, STATES
from ringland.report.words import estimate_words, limit_words, value_words

WIDTH, HEIGHT, BASE, PAD = 360, 132, 84, 14
SMALL = (200, 46, 33, 8)
SHORT = 30  # px of band below which the arrows stand outside


@dataclass(frozen=True, slots=True)
class Shown:
    """What is drawn, in the unit shown: walls, end of new, the value and its band.

    low, high : limits; new : end of the new range, from which the allowance is used up
    value : None for an interval of leaves; band : its ends, an open end is None
    """

    low: float | None
    high: float | None
    new: float | None
    value: float | None
    band: tuple[float | None, float | None] | None
    unit: Unit
    digits: int


def shown_of(verdict: Verdict) -> Shown | None:
    """Return what can be drawn of a verdict, or None: feel, counts and tests have no scale."""
    limits, value = verdict.limits, verdict.value
    if limits is None or (limits.lower is None and limits.upper is None):
        return None
    unit = (value.unit if value else None) or find_unit("mm")
    known = [each for each in (limits.lower, limits.upper, limits.new_end) if each is not None]

    def to(si: float | None) -> float | None:
        return None if si is None else unit.from_si(si)

    digits = max(len(f"{round(unit.from_si(each), 6):g}".partition(".")[2]) for each in known)
    found: float | None = None
    band: tuple[float | None, float | None] | None = None
    if value is not None and value.estimate is not None:
        doubt = coverage_factor(0.95, value.estimate.dof) * value.estimate.u
        found = to(value.estimate.value)
        band = (to(value.estimate.value - doubt), to(value.estimate.value + doubt))
    elif value is not None and value.interval is not None:
        band = (to(value.interval.low), to(value.interval.high))
    return Shown(to(limits.lower), to(limits.upper), to(limits.new_end), found, band, unit, digits)


def verdict_picture(verdict: Verdict, key: str, *, small: bool = False) -> str:
    """Return a verdict as a picture, or nothing where there is no scale to draw.

    key : makes the ids of this picture unique on its page
    small : for the board, without figures
    """
    shown = shown_of(verdict)
    if shown is None:
        return ""
    return _Picture(shown, STATES[verdict.word], key, small, _words(verdict)).draw(verdict)


def _words(verdict: Verdict) -> str:
    unit = verdict.value.unit if verdict.value else find_unit("mm")
    read = value_words(verdict.value) or "no reading"
    return f"{verdict.check}: {read}, allowed {limit_words(verdict.limits, unit)}: {verdict.word}"


def scale_of(shown: Shown) -> tuple[float, float]:
    """Return the ends of the scale: round figures about the sheet's, wider where a value lies out.

    >>> mm = find_unit("mm")
    >>> scale_of(Shown(None, 0.6, 0.38, 0.55, (0.54, 0.56), mm, 2))
    (0.2, 0.7)
    """
    figures = [each for each in (shown.low, shown.high, shown.new) if each is not None]
    low, high = min(figures), max(figures)
    if low == high:
        room = abs(high) * 0.3 or 1.0
        low, high = (
            (low - room, high + room)
            if shown.unit.name != "mm" or high < 5
            else (low - 0.05, high + 0.05)
        )
    else:
        room = (high - low) * 0.4
        low, high = low - room, high + room
    ends = [each for each in (shown.band or ()) if each is not None]
    if ends:
        room = (max(*ends, high) - min(*ends, low)) * 0.08
        low = min(low, min(ends) - room)
        high = max(high, max(ends) + room)
    step = 10 ** floor(log10((high - low) / 2))
    return round(floor(low / step) * step, 9), round(-floor(-high / step) * step, 9)


class _Picture:
    def __init__(self, shown: Shown, state: str, key: str, small: bool, words: str) -> None:
        self.shown, self.state, self.key, self.small, self.words = shown, state, key, small, words
        self.w, self.h, self.base, self.pad = SMALL if small else (WIDTH, HEIGHT, BASE, PAD)
        self.first, self.last = scale_of(shown)
        self.out: list[str] = []

    def at(self, value: float) -> float:
        """Return the place of a value [px]."""
        share = (value - self.first) / (self.last - self.first)
        return self.pad + share * (self.w - 2 * self.pad)

    def line(self, d: str, width: float, more: str = "") -> None:
        self.out.append(f'<path d="{d}" {LINE} stroke-width="{width}"{more}/>')

    def draw(self, verdict: Verdict) -> str:
        name = "verdict small" if self.small else "verdict"
        self.out.append(
            f'<svg class="{name}" viewBox="0 0 {self.w} {self.h}" role="img" '
            f'aria-label="{escape(self.words)}" xmlns="http://www.w3.org/2000/svg"><defs>'
            f'<pattern id="h{self.key}" width="7" height="7" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><path d="M3.5,0 V7" stroke="currentColor" '
            'stroke-width="1.1"/></pattern></defs>'
        )
        left, right = self._walls()
        self.line(f"M{left:.1f},{self.base} H{right:.1f}", 1.3)
        self._allowance()
        if not self.small:
            self._figures()
        self.out.append(f'<g class="value s-{self.state}">')
        if self.shown.band is None:
            self._slot((left + right) / 2)
        else:
            self._band(self.shown.band)
            self._value(verdict)
        return "".join([*self.out, "</g></svg>"])

    def _walls(self) -> tuple[float, float]:
        low, high = self.shown.low, self.shown.high
        top, foot = (8, 42) if self.small else (40, 98)
        left = self.pad if low is None else self.at(low)
        right = self.w - self.pad if high is None else self.at(high)
        for start, end, edge in ((0.0, left, low), (right, float(self.w), high)):
            if edge is not None:
                self.out.append(
                    f'<rect class="wallfill" x="{start:.1f}" y="{top}" width="{end - start:.1f}" '
                    f'height="{foot - top}" fill="url(#h{self.key})"/>'
                )
        self._clear_under()
        for edge in (low, high):
            if edge is not None:
                self.line(f"M{self.at(edge):.1f},{top - 3} V{foot + 3}", 3.4, ' class="wall"')
        return left, right

    def _clear_under(self) -> None:
        """Clear paper under the band, so that hatching never runs through an arrow."""
        if self.shown.band is None:
            return
        a, b = self._ends(self.shown.band)
        out = 0 if b - a >= SHORT else 20
        y = 20 if self.small else 60
        self.out.append(
            f'<path class="under" d="M{a - out:.1f},{y} H{b + out:.1f}" fill="none" stroke="#fff" '
            'stroke-width="16"/>'
        )

    def _allowance(self) -> None:
        new, tall = self.shown.new, 7 if self.small else 14
        edge = self.shown.low if self.shown.high is None else self.shown.high
        if new is None or edge is None or new == edge:
            return
        a, b = sorted((self.at(new), self.at(edge)))
        self.line(f"M{a:.1f},{self.base + 4} H{b:.1f}", 3.2, ' opacity="0.55"')
        self.line(f"M{self.at(new):.1f},{self.base - tall} V{self.base + tall}", 1.3)

    def _figures(self) -> None:
        shown = self.shown
        named = [(shown.new, "new"), (shown.low, "limit"), (shown.high, "limit")]
        seen: list[float] = []
        for value, word in reversed(named):
            if value is None or any(abs(self.at(value) - x) < 52 for x in seen):
                continue
            seen.append(self.at(value))
            x = min(max(self.at(value), 28), self.w - 28)
            number = show_number(value, shown.digits)
            self.out.append(
                f'<text class="t" x="{x:.1f}" y="115" font-size="14" text-anchor="middle" '
                f'fill="currentColor">{number}</text><text class="t dim" x="{x:.1f}" y="129" '
                f'font-size="13" text-anchor="middle" fill="currentColor">{word}</text>'
            )

    def _slot(self, middle: float) -> None:
        half, y, tall = (16, 12, 18) if self.small else (34, 52, 26)
        self.out.append(
            f'<rect x="{middle - half:.1f}" y="{y}" width="{2 * half}" height="{tall}" {LINE} '
            'stroke-width="1.6" stroke-dasharray="4 4"/>'
        )

    def _ends(self, band: tuple[float | None, float | None]) -> tuple[float, float]:
        low, high = band
        a = 2.0 if low is None else self.at(low)
        b = self.w - 2.0 if high is None else self.at(high)
        return a, b

    def _band(self, band: tuple[float | None, float | None]) -> None:
        """A dimension line with filled arrows, outside when the room is short; open ends stay open."""
        a, b = self._ends(band)
        y, tall = (20, 7) if self.small else (60, 10)
        dash = {"undecided": "5 4", "incomparable": "10 3 2 3 2 3"}.get(self.state)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        ends = [
            f"M{x:.1f},{y - tall} V{y + tall}"
            for x, v in zip((a, b), band, strict=True)
            if v is not None
        ]
        self.line(" ".join(ends), 1.6)
        if b - a >= SHORT:
            self.line(f"M{a:.1f},{y} H{b:.1f}", 1.8, dashed)
            heads = f"M{a:.1f},{y} l10,-3.6 v7.2 Z M{b:.1f},{y} l-10,-3.6 v7.2 Z"
        else:
            self.line(f"M{a - 20:.1f},{y} H{a:.1f} M{b:.1f},{y} H{b + 20:.1f}", 1.8, dashed)
            heads = f"M{a:.1f},{y} l-10,-3.6 v7.2 Z M{b:.1f},{y} l10,-3.6 v7.2 Z"
        self.out.append(f'<path d="{heads}" fill="currentColor"/>')

    def _value(self, verdict: Verdict) -> None:
        if self.shown.value is None:
            if not self.small:
                self._number(self.w / 2, value_words(verdict.value), "")
            return
        x, d = self.at(self.shown.value), 5 if self.small else 7.5
        hollow = self.state == "incomparable"
        look = (
            'class="paper" fill="#fff" stroke="currentColor" stroke-width="1.8"'
            if hollow
            else (
                'class="lift" fill="currentColor" stroke="#fff" stroke-width="2" paint-order="stroke"'
            )
        )
        self.out.append(
            f'<path {look} d="M{x:.1f},{self.base - d} l{d},{d} l{-d},{d} l{-d},{-d} Z"/>'
        )
        if not self.small and verdict.value and verdict.value.estimate:
            number, doubt = estimate_words(verdict.value.estimate, self.shown.unit)
            self._number(x, number, f" ±{doubt} {self.shown.unit.name}")

    def _number(self, x: float, number: str, beside: str) -> None:
        half = len(number) * 7.5 + len(beside) * 4.2
        x = min(max(x, half + 2), self.w - half - 2)
        self.out.append(
            f'<text class="t num" x="{x:.1f}" y="26" font-size="26" font-weight="650" '
            f'text-anchor="middle" fill="currentColor">{escape(number)}'
            f'<tspan font-size="15" font-weight="400">{escape(beside)}</tspan></text>'
        )
