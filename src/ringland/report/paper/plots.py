"""The plots of a job: barrel profile, squish, pump-up, tests over time, readings over hours.

Each is drawn only where its readings are there. A plot has a title, axes with units in words, and
a text alternative with its values. Here: which plots, from which readings. Not here: style and
SVG (`ringland.charts`), the model of cranking (`ringland.gas`).
"""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from ringland.job.life import Point
from ringland.job.log.entries import Indication
from ringland.quantity import Quantity
from ringland.report.paper.blocks import Picture
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import PLOT_SIZE, plot_picture
from ringland.report.paper.shapes import maps, profile

BY_BASELINE = "percent of baseline"  # method of a check held against the own baseline


def plots(file: JobFile) -> list[Picture]:
    """Return the plots that the job's readings allow."""
    return [*profile(file), *maps(file), *_pump_up(file), *_decays(file), *_over_hours(file)]


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
        size=PLOT_SIZE,
    )
    yield plot_picture("pump-up", svg, "Pump-up by the model: head volume of the sheet, cranked at 480 per "
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
        size=PLOT_SIZE,
    )
    return plot_picture(f"decay-{name}", svg, f"{words.title}. Rule: {profile.typed}.")


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
        size=PLOT_SIZE,
    )
    return plot_picture(f"life-{check}", svg, f"{words.title}. {words.description}")
