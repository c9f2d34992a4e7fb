"""Compression of a job: against the machine's own baseline, and against the sheet's geometry.

Here: what a cranking reading may say. Not here: the physics (`ringland.gas`), the verdict's words
(`pressure`). The model is asked only when a person looks, since it takes some tenths of a second.
Start with `compared`; what it tells beyond the verdict is in `what_it_tells`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp, hypot
from typing import TYPE_CHECKING

from ringland.engine.ports import window
from ringland.engine.refusal import OutOfRange
from ringland.gas.air import standard_atmosphere
from ringland.gas.baseline import (
    Comparison,
    CrankingReading,
    DropLevels,
    against_baseline,
    to_air_pressure,
)
from ringland.gas.leakdown import leak_down, log_area
from ringland.job.book import Book
from ringland.job.log.entries import Baseline, ReadingTaken
from ringland.job.log.fold import State
from ringland.job.readings.circumstances import Circumstances, read_back
from ringland.job.readings.leaks import STANDARD, of_kind
from ringland.job.shape import VALVE_SHUT, Shape, shape
from ringland.quantity import parse_quantity, show_number

if TYPE_CHECKING:
    from ringland.gas.band import Band
    from ringland.gas.cranking import Cranking
    from ringland.gas.next_reading import Candidate
    from ringland.gas.reading import LeakDown, LeakReading, Run

LEVELS_OF = "the shop's norm"
KICKED = 8.0  # rev/s, of a crank that is kicked, common practice
STROKES = 8  # after so many the needle stands, where nobody counted
WARM, COLD = 333.15, 293.15  # K of the barrel's wall, common practice
NEAR = 0.15  # of the doubt left: a further reading that close to the best is as good
AMONG = (0.025, 0.975)  # a reading below or above these shares of sound engines is said to be so
TESTER_SUPPLY = 5.5e5  # Pa gauge, 80 psi: common testers; FAA AC 43.13-1B, 8-14
MOVING_RING = 0.3  # of ln(area): a ring at rest against one that moves, common practice
SEED = 1  # the same band for the same reading


@dataclass(frozen=True, slots=True)
class Modelled:
    """What geometry and readings say together.

    band : of sound engines of this geometry, here and today; run : what was read
    leak : what the reading leaves open or tells; advice : further readings, most telling first
    assumed : what was not noted and is taken as usual
    with_static : a leak-down of the same cylinder counts in it
    """

    band: "Band"
    run: "Run"
    leak: "LeakReading"
    advice: "tuple[Candidate, ...]"
    assumed: tuple[str, ...]
    with_static: bool = False


def cranking_reading(reading: ReadingTaken, *, hours: float | None = None) -> CrankingReading:
    """Return a reading with its circumstances. Raises ValueError without a pressure."""
    pressures = of_kind(reading, "pressure")
    if not pressures:
        raise ValueError("no pressure was read")
    said = read_back(reading.how)
    warmth = of_kind(reading, "temperature")
    valve = {True: "open", False: "shut", None: None}[said.valve_open]
    return CrankingReading(
        pressures[-1].si,
        reading.gauge or None,
        ambient(reading, said),
        said.air is not None,
        warmth[0].si if warmth else None,
        said.warm,
        said.throttle_open,
        valve,
        said.method,
        hours,
    )


def ambient(reading: ReadingTaken, said: Circumstances) -> float:
    """Return the air pressure that was noted, by gauge or by altitude; else the standard one."""
    heights = of_kind(reading, "length")
    if said.air is not None:
        return said.air
    return standard_atmosphere(heights[0].si).pressure if heights else STANDARD


def baseline_reading(baseline: Baseline) -> CrankingReading:
    """Return the machine's own reference as a reading; what it was taken with is on trust."""
    height = parse_quantity(baseline.altitude).si if baseline.altitude else None
    air = standard_atmosphere(height).pressure if height is not None else STANDARD
    return CrankingReading(
        parse_quantity(baseline.value).si, baseline.gauge or None, air, ambient_measured=False
    )


def compared(book: Book, baseline: Baseline, reading: ReadingTaken) -> Comparison:
    """Return a reading against a baseline, by the shop's levels. Raises ValueError."""
    norms = book.norms
    levels = DropLevels(norms.note, norms.plan, norms.stop, LEVELS_OF)
    return against_baseline(cranking_reading(reading), [baseline_reading(baseline)], levels=levels)


def what_it_tells(book: Book, state: State, reading: ReadingTaken) -> tuple[str, ...]:
    """Return in sentences what a cranking reading tells beyond its verdict, and what it cannot."""
    try:
        now = cranking_reading(reading)
    except ValueError:
        return ()
    baseline = state.opened.baseline if state.opened else None
    return (
        *_air(now, baseline, reading),
        *_levels(book, state, reading),
        *_geometry(book, state, reading),
    )


def _air(now: CrankingReading, baseline: Baseline | None, reading: ReadingTaken) -> Iterator[str]:
    if now.ambient is None or not (read_back(reading.how).air or of_kind(reading, "length")):
        return
    at_sea = to_air_pressure(now.pressure, ambient=now.ambient)
    before = baseline_reading(baseline) if baseline else None
    here = ""
    if before is not None and before.ambient is not None:
        same = to_air_pressure(before.pressure, ambient=before.ambient, reference=now.ambient)
        here = f"; the baseline {baseline.value if baseline else ''} were {_bar(same)} in this air"
    yield (
        f"at 1013 hPa it were {_bar(at_sea)}, by the ratio of air pressures, not of densities{here}"
    )


def _levels(book: Book, state: State, reading: ReadingTaken) -> Iterator[str]:
    opened = state.opened
    if opened is None or opened.baseline is None:
        return
    try:
        found = compared(book, opened.baseline, reading)
    except ValueError:
        return
    if not found.comparable:
        return
    norms = book.norms
    note, plan, stop = (f"{100 * share:.0f} %" for share in (norms.note, norms.plan, norms.stop))
    sure = "" if found.sure else "; the level is not sure within the reading's own scatter"
    yield f"{LEVELS_OF}: note from {note}, plan from {plan}, stop from {stop} below{sure}"
    same = [each.partition(" not noted")[0] for each in found.reasons]
    if same:
        yield f"not noted everywhere and taken to be the same: {', '.join(same)}"


def _geometry(book: Book, state: State, reading: ReadingTaken) -> Iterator[str]:
    try:
        missing = missing_for_model(book)
        if missing:
            yield f"against the sheet's geometry: {', '.join(missing)} not in the sheet"
            return
        found = modelled(book, reading, static=_leak_down(state, reading))
    except ValueError as error:
        yield f"against the sheet's geometry: {error}"
        return
    last = found.run.readings[-1][0] - 1
    low, high = (
        show_number(float(each[last]) / 1e5, 1) for each in (found.band.low, found.band.high)
    )
    yield (
        f"of sound engines of this sheet 19 of 20 read {low} to {high} bar here and today; "
        f"{_placed(found.leak.sound_share)}"
    )
    yield _leak_words(found)
    if found.assumed:
        yield f"assumed: {', '.join(found.assumed)}"


def _placed(share: float) -> str:
    if share < AMONG[0]:
        return "this one reads below them: leak, heat, crank speed, or a sheet that is off for it"
    if share > AMONG[1]:
        return "this one reads above them: carbon, oil, another head, or the sheet is off"
    return f"this one lies among them, {show_number(100 * share, 0)} % read lower"


def _leak_words(found: Modelled) -> str:
    leak = found.leak
    if leak.tells:
        low, high = (show_number(each * 1e6, 1) for each in (leak.low, leak.high))
        by = "this and the leak-down together" if found.with_static else "this reading"
        return f"a leak of {low} to {high} mm² effective area by {by} (95 %); not which part leaks"
    best = found.advice[0].left
    good = [each.name for each in found.advice if each.left <= best * (1 + NEAR)]
    return (
        f"this reading cannot tell a leak (it lies under {show_number(leak.upper * 1e6, 1)} mm² with "
        f"95 %): take {' or '.join(good[:2])}"
    )


def missing_for_model(book: Book) -> list[str]:
    """Return what the sheet must give before a reading can be held against its geometry."""
    found = shape(book)
    lacking = set(found.missing) - {"transfers open"}
    return [*(name for name in found.missing if name in lacking), *([] if found.bore else ["bore"])]


def modelled(book: Book, reading: ReadingTaken, *, static: float | None = None) -> Modelled:
    """Return what the sheet's geometry and a reading say together. Raises ValueError.

    static : share lost in a leak-down of the same cylinder [-], on the common tester
    """
    from ringland.gas.band import pump_up_band  # imported late: it needs arrays
    from ringland.gas.next_reading import best_readings
    from ringland.gas.reading import CLAIM, Run, read_leak

    said = read_back(reading.how)
    setting, assumed = _setting(book, reading, said)
    now = cranking_reading(reading)
    speed = said.speed or KICKED
    told = tuple((i + 1, value) for i, value in enumerate(said.strokes)) or (
        (said.kicks or STROKES, now.pressure),
    )
    runs = [Run(told, speed)]
    if said.slow is not None:
        runs.append(Run(((told[-1][0], said.slow[0]),), said.slow[1]))
    strokes = max(told[-1][0], STROKES)
    leak = read_leak(setting, runs, leak_down=_static(static))
    middle = max(exp(leak.log_area.value), CLAIM)
    return Modelled(
        pump_up_band(setting, strokes=strokes, seed=SEED),
        runs[0],
        leak,
        best_readings(setting, runs, area=middle),
        assumed,
        static is not None,
    )


def _leak_down(state: State, reading: ReadingTaken) -> float | None:
    """Share lost in the last leak-down of the same cylinder, old or new as the reading is."""
    for (_, condition), readings in state.readings.items():
        shares = of_kind(readings[-1].fact, "share")
        if condition == reading.condition and shares:
            return shares[-1].si
    return None


def _static(share: float | None) -> "LeakDown | None":
    from ringland.gas.reading import LeakDown

    if share is None:
        return None
    found = log_area(leak_down(TESTER_SUPPLY, TESTER_SUPPLY * (1 - share)))
    return None if found is None else LeakDown(exp(found.value), hypot(found.u, MOVING_RING))


def _bar(pressure: float) -> str:
    return f"{show_number(pressure / 1e5, 1)} bar"


def _setting(
    book: Book, reading: ReadingTaken, said: Circumstances
) -> "tuple[Cranking, tuple[str, ...]]":
    from ringland.gas.cranking import Cranking

    found = shape(book)
    crank, clearance, bore = found.crank, found.clearance, found.bore
    if crank is None or clearance is None or bore is None:
        raise ValueError("stroke, rod length, bore and head volume are needed")
    closing, valve = _closing(found, said)
    now = cranking_reading(reading)
    air = now.air_temperature or COLD
    assumed = [
        *valve,
        *([] if said.speed else [f"{KICKED * 60:.0f} rpm"]),
        *([] if said.kicks or said.strokes else [f"{STROKES} strokes"]),
        *([] if said.warm is not None else ["warm"]),
    ]
    return Cranking(
        bore=bore,
        stroke=crank.stroke,
        rod=crank.rod,
        clearance=clearance.value,
        closing=closing,
        speed=said.speed or KICKED,
        ambient=now.ambient or STANDARD,
        air=air,
        wall=air if said.warm is False else WARM,
    ), tuple(assumed)


def _closing(found: Shape, said: Circumstances) -> tuple[float, list[str]]:
    """Crank angle before top dead centre at which the last exhaust port shuts while cranking."""
    assert found.crank is not None
    shut = [port for port in found.ports if port.name == VALVE_SHUT]
    wide = [port for port in found.ports if port.role == "exhaust" and port.name != VALVE_SHUT]
    if not wide and not shut:
        raise OutOfRange("exhaust", "exhaust opens is not in the sheet")
    is_shut = bool(shut) and said.valve_open is not True
    highest = min(shut if is_shut else wide, key=lambda port: port.travel)
    assumed = ["power valve shut"] if is_shut and said.valve_open is None else []
    return window(found.crank, highest).opens, assumed
