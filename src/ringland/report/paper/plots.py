"""The plots of a job: barrel profile, squish, pump-up, tests over time, readings over hours.

Each is drawn only where its readings are there. A plot has a title, axes with units in words, and
a text alternative with its values. Here: which plots, from which readings. Not here: style and
SVG (`ringland.charts`), the model of cranking (`ringland.gas`).
"""

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING, Any

from ringland.job.case import Case
from ringland.job.entries import Indication
from ringland.job.values import Value
from ringland.job.verdict import Verdict
from ringland.measure.estimates import coverage_factor
from ringland.quantity import Estimate, Quantity, parse_quantity, show_number
from ringland.report.paper.blocks import Picture
from ringland.report.paper.jobfile import JobFile, Point
from ringland.report.paper.pictures import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ringland.charts.style import Theme

BY_BASELINE = "percent of baseline"  # method of a check held against the own baseline
SIZE = (450, 310)  # px: in half the width of a page the letters are 8 pt
SIDES = {"EX": (-1.0, 0.0), "IN": (1.0, 0.0), "IGN": (0.0, 1.0), "CL": (0.0, -1.0)}


def plots(file: JobFile) -> list[Picture]:
    """Return the plots that the job's readings allow."""
    return [*_profile(file), *_maps(file), *_pump_up(file), *_decays(file), *_over_hours(file)]


def _plot(name: str, svg: str, caption: str) -> Picture:
    return drawing(f"plot-{name}", svg, caption=caption)


# -- shape ---------------------------------------------------------------------------------------


def _profile(file: JobFile) -> Iterator[Picture]:
    """The bore by height and axis, against nominal and limit."""
    verdict = file.case.verdicts.get(("bore", "as found"))
    read = _places(verdict)
    heights = sorted({place.partition("-")[0] for place in read if "-" in place})
    if verdict is None or len(heights) < 2:
        return
    from ringland.charts.style import Words, render

    figure = file.case.book.figures.own("bore")
    nominal = None if figure is None or figure.new is None else figure.new.low
    limit = verdict.limits.upper if verdict.limits else None
    said = ", ".join(f"{place} {show_number(e.value * 1e3, 3)}" for place, e in read.items())
    words = Words(
        "Barrel profile, as found",
        f"Bore in millimetres: {said}."
        + (f" Nominal {nominal}." if nominal else "")
        + (f" Limit {show_number(limit * 1e3, 3)} mm." if limit else ""),
        "bore, millimetres",
        "height in the barrel",
    )

    def paint(axes: "Axes", theme: "Theme") -> None:
        for axis, mark, dash in (("X", "o", "solid"), ("Y", "s", (0, (8, 3)))):
            rows = [(heights.index(p.partition("-")[0]), e) for p, e in read.items()
                    if p.endswith(f"-{axis}")]  # fmt: skip
            _axis(axes, theme, f"axis {axis}", rows, mark, dash)
        axes.set_yticks(range(len(heights)), heights)
        axes.set_ylim(len(heights) - 0.5, -0.6)
        if nominal is not None:
            _upright(axes, theme, float(nominal.si) * 1e3, "nominal", wall=False)
        if limit is not None:
            _upright(axes, theme, limit * 1e3, "limit", wall=True)
        axes.margins(x=0.12)
        axes.locator_params(axis="x", nbins=4)
        axes.ticklabel_format(axis="x", useOffset=False)

    yield _plot(
        "profile",
        render(words, paint, size=SIZE),
        "Barrel profile; across, the bore is drawn far larger than along.",
    )


def _axis(
    axes: "Axes", theme: "Theme", name: str, rows: list[tuple[int, Estimate]], mark: str, dash: Any
) -> None:
    if not rows:
        return
    rows = sorted(rows, key=lambda row: row[0])
    across = [estimate.value * 1e3 for _, estimate in rows]
    half = [_half(estimate) * 1e3 for _, estimate in rows]
    shift = -0.06 if mark == "o" else 0.06  # two axes at one height stay apart
    down = [height + shift for height, _ in rows]
    axes.errorbar(across, down, xerr=half, fmt=mark, color=theme.ink, markersize=7,
                  markerfacecolor=theme.sheet, elinewidth=1.0, capsize=3)  # fmt: skip
    whole = [(x, y) for x, y, n in zip(across, down, range(len(rows)), strict=True)
             if n == 0 or rows[n][0] - rows[n - 1][0] == 1]  # fmt: skip
    if len(whole) == len(rows):  # a span with a gap is not joined
        axes.plot(across, down, color=theme.ink, linewidth=1.6, linestyle=dash)
    axes.annotate(name, (across[-1] + half[-1], down[-1]), xytext=(6, 5 if mark == "o" else -5),
                  textcoords="offset points", va="center", color=theme.ink)  # fmt: skip


def _upright(axes: "Axes", theme: "Theme", at: float, name: str, *, wall: bool) -> None:
    axes.axvline(at, color=theme.mark if wall else theme.ink, linewidth=2.4 if wall else 1.0,
                 linestyle="solid" if wall else (0, (14, 3, 2, 3)))  # fmt: skip
    if wall:
        low, high = axes.get_xlim()
        axes.axvspan(at, at + 0.04 * (high - low), facecolor="none", edgecolor=theme.mark,
                     hatch="///", linewidth=0)  # fmt: skip
    axes.annotate(name, (at, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 4),
                  textcoords="offset points", ha="center", color=theme.ink)  # fmt: skip


def _maps(file: JobFile) -> Iterator[Picture]:
    """What was read at the sides of a joint, as a map seen from above: squish, faces."""
    for (name, condition), verdict in file.case.verdicts.items():
        read = {place: each for place, each in _places(verdict).items() if place in SIDES}
        if len(read) > 2 and verdict.value is not None and verdict.value.unit is not None:
            yield _map(name, condition, verdict, read)


def _map(name: str, condition: str, verdict: Verdict, read: dict[str, Estimate]) -> Picture:
    from ringland.charts.style import Words, render

    assert verdict.value is not None
    unit = verdict.value.unit
    assert unit is not None
    shown = {p: show_number(unit.from_si(each.value), 2) for p, each in read.items()}
    said = ", ".join(f"{place} {value}" for place, value in shown.items())
    least = min(read.values(), key=lambda each: each.value)
    words = Words(
        f"{name[0].upper()}{name[1:]} at {len(read)} points, {condition}",
        f"From above, in {unit.name}: {said}.",
        "exhaust side left, intake side right",
        "clutch side below, ignition side above",
    )

    def paint(axes: "Axes", theme: "Theme") -> None:
        from matplotlib.patches import Circle

        for radius, width in ((1.0, 2.4), (0.72, 1.0)):
            axes.add_patch(Circle((0, 0), radius, fill=False, edgecolor=theme.ink, linewidth=width))
        for place, (x, y) in SIDES.items():
            if place in read:
                step = 14 + 30 * (read[place].value - least.value) / max(least.value, 1e-6)
                axes.plot(0.86 * x, 0.86 * y, "o", color=theme.ink, markersize=min(step, 26))
            axes.annotate(f"{place}\n{shown.get(place, 'no reading')}", (1.42 * x, 1.32 * y),
                          ha="center", va="center", color=theme.ink)  # fmt: skip
        axes.set_xlim(-2.6, 2.6)
        axes.set_ylim(-1.6, 1.6)
        axes.set_aspect("equal")
        axes.set_xticks([])
        axes.set_yticks([])

    key = "".join(letter if letter.isalnum() else "-" for letter in name + condition)
    return _plot(
        f"map-{key}",
        render(words, paint, size=SIZE),
        f"{words.title}, {unit.name}; a larger dot is a larger value.",
    )


# -- pressure ------------------------------------------------------------------------------------


def _pump_up(file: JobFile) -> Iterator[Picture]:
    """What a sound engine of this geometry pumps up to, and what was read."""
    last = _last_pressures(file, "cranking compression")
    setting = _cranking(file)
    if not last or setting is None:
        return
    import numpy as np

    from ringland.charts.curve import Band, Line, Points, curve_chart
    from ringland.charts.style import Words
    from ringland.gas.band import pump_up_band

    found = pump_up_band(setting)
    strokes = np.arange(found.middle.size + 1.0)
    low, middle, high = (
        np.concatenate([[0.0], each]) / 1e5 for each in (found.low, found.middle, found.high)
    )
    read = np.array(last) / 1e5
    at = np.arange(1.0, read.size + 1.0) if read.size > 1 else strokes[-1:]
    words = Words(
        "Compression gauge, stroke by stroke",
        f"A sound engine of the sheet's geometry ends between {low[-1]:.1f} and {high[-1]:.1f} bar; "
        f"read was {read[-1]:.1f} bar.",
        "strokes",
        "gauge pressure, bar",
    )
    svg = curve_chart(
        words,
        lines=[Line(strokes, middle, "sound")],
        band=Band(strokes, low, high, "19 of 20"),
        points=Points(at, read, "read"),
        size=SIZE,
    )
    yield _plot("pump-up", svg, "Pump-up by the model: head volume of the sheet, cranked at 480 per "
                "minute, exhaust port as with the valve open. No verdict rests on it.")  # fmt: skip


def _cranking(file: JobFile) -> Any:
    """The engine as the cranking model wants it, or None where the sheet lacks a figure."""
    from math import pi

    from ringland.engine.slider_crank import Crank, angle_going_up
    from ringland.gas.cranking import Cranking

    names = ("bore", "stroke", "rod length", "head volume", "exhaust opens")
    found = [_nominal(file, name) for name in names]
    if any(each is None for each in found):
        return None
    bore, stroke, rod, clearance, opens = (float(each or 0.0) for each in found)
    try:
        closing = 2 * pi - angle_going_up(Crank(stroke, rod), opens)
        return Cranking(bore=bore, stroke=stroke, rod=rod, clearance=clearance, closing=closing)
    except ValueError:
        return None  # figures that make no engine: nothing to draw


def _nominal(file: JobFile, name: str) -> float | None:
    figure = file.case.book.figures.own(name)
    return figure.nominal if figure else None


def _last_pressures(file: JobFile, check: str) -> list[float]:
    for condition in ("as fitted", "as found"):
        said = file.case.state.readings.get((check, condition))
        if said:
            return [
                q.si for q in _quantities(said[-1].fact.indications) if q.unit.kind == "pressure"
            ]
    return []


def _quantities(indications: tuple[Indication, ...]) -> list[Quantity]:
    return [quantity for each in indications if (quantity := each.quantity) is not None]


def _decays(file: JobFile) -> Iterator[Picture]:
    """Each test that lets a pressure stand: what was read at start and end, and what is allowed."""
    for (name, condition), said in file.case.state.readings.items():
        check = file.case.book.sheet.checks[name]
        profile = file.case.book.figures.tests.get(check.profile)
        if check.method != "fall" or profile is None:
            continue
        read = _quantities(said[-1].fact.indications)
        bars = [q.si / 1e5 for q in read if q.unit.kind == "pressure"]
        times = [q.si / 60 for q in read if q.unit.kind == "time"]
        if len(bars) < 2:
            continue
        yield _decay(
            f"{name}, {condition}", bars, times[0] if times else profile.time.si / 60, profile
        )


def _decay(name: str, bars: list[float], minutes: float, profile: Any) -> Picture:
    import numpy as np

    from ringland.charts.curve import Line, Points, Wall, curve_chart
    from ringland.charts.style import Words

    allowed = bars[0] - profile.fall.si / 1e5
    at = np.linspace(0.0, minutes, len(bars))
    words = Words(
        f"{name[0].upper()}{name[1:]}: pressure over time",
        f"From {bars[0]:.3f} to {bars[-1]:.3f} bar in {minutes:g} min; rule: {profile.typed}.",
        "time, minutes",
        "gauge pressure, bar",
    )
    svg = curve_chart(
        words,
        lines=[Line(at, np.array(bars), "read")],
        points=Points(at, np.array(bars), ""),
        walls=[Wall(allowed, "least", below=True)],
        size=SIZE,
    )
    key = "".join(letter if letter.isalnum() else "-" for letter in name)
    return _plot(f"decay-{key}", svg, f"{words.title}. Rule: {profile.typed}.")


# -- life ----------------------------------------------------------------------------------------


def _over_hours(file: JobFile) -> Iterator[Picture]:
    """Compression and wear over the machine's hours, with their limits."""
    by_check = sorted(file.history, key=lambda point: point.check)
    for check, grouped in groupby(by_check, key=lambda point: point.check):
        points = sorted(grouped, key=lambda point: point.hours)
        if len({point.hours for point in points}) > 1:
            yield _life(check, points)


def _life(check: str, points: list[Point]) -> Picture:
    import numpy as np

    from ringland.charts.curve import Points, Wall, curve_chart
    from ringland.charts.style import Words

    unit = points[0].unit
    said = ", ".join(f"{p.value:g} at {p.hours:g} h" for p in points)
    limit, below = points[-1].limit, points[-1].below
    allowed = "" if limit is None else f" {'Least' if below else 'Limit'} {limit:g} {unit}."
    words = Words(
        f"{check[0].upper()}{check[1:]} over hours",
        f"In {unit}: {said}.{allowed}",
        "hours of the machine",
        f"{check}, {unit}",
    )
    halves = np.array([p.half or 0.0 for p in points])
    svg = curve_chart(
        words,
        points=Points(
            np.array([p.hours for p in points]), np.array([p.value for p in points]), "read", halves
        ),
        walls=[] if limit is None else [Wall(limit, "least" if below else "limit", below=below)],
        size=SIZE,
    )
    key = "".join(letter if letter.isalnum() else "-" for letter in check)
    return _plot(f"life-{key}", svg, f"{words.title}. {words.description}")


def points_of(case: Case, verdict: Verdict, hours: float, job: str) -> Iterator[Point]:
    """Yield what a verdict adds to the life of its machine: nothing where there is no number."""
    value, check = verdict.value, verdict.check
    if value is None or value.unit is None:
        return
    if case.book.sheet.checks[check].method == BY_BASELINE:
        yield from _compression(case, verdict, hours, job)
    if value.estimate is None:
        return
    unit, limits = value.unit, verdict.limits
    upper = limits.upper if limits else None
    limit = upper if upper is not None else limits.lower if limits else None
    shown = None if limit is None else float(unit.from_si(limit))
    half = float(unit.step_from_si(_half(value.estimate)))
    at = float(unit.from_si(value.estimate.value))
    yield Point(check, hours, at, half, unit.name, shown, upper is None, job)


def _compression(case: Case, verdict: Verdict, hours: float, job: str) -> Iterator[Point]:
    """The pressure read, and the share of the own baseline at which the shop stops riding."""
    said = case.state.readings[verdict.check, verdict.condition][-1]
    read = [q for q in _quantities(said.fact.indications) if q.unit.kind == "pressure"]
    baseline = case.state.opened.baseline if case.state.opened else None
    if not read:
        return
    unit, least = read[-1].unit, None
    if baseline is not None:
        stop = parse_quantity(baseline.value, "pressure").si * (1 - case.book.norms.stop)
        least = float(unit.from_si(stop))
    yield Point(verdict.check, hours, float(read[-1].number), None, unit.name, least, True, job)


def _half(estimate: Estimate) -> float:
    return float(coverage_factor(0.95, estimate.dof) * estimate.u)


def _places(verdict: Verdict | None) -> dict[str, Estimate]:
    value: Value | None = verdict.value if verdict else None
    if value is None:
        return {}
    return {
        place: each.estimate for place, each in value.places.items() if each.estimate is not None
    }
