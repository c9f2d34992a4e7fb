"""Leak tests of a job: from the reading and the sheet's rule to fall, drift, leak rate and area.

Not here: the physics (`ringland.gas.pressure_test`), the verdict's words (`pressure`).
Start with `leak_of`; what it tells beyond the verdict is in `what_it_tells`.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from ringland.gas.air import standard_atmosphere
from ringland.gas.leak_profile import COOLING_LIMIT, SEAL_LIMIT, VACUUM_LIMIT, LeakProfile
from ringland.gas.leakdown import equivalent_diameter
from ringland.gas.pressure_test import LeakResult, LeakTest, fall_by_volume, judge_leak_test
from ringland.job.book import Book
from ringland.job.log.entries import ReadingTaken
from ringland.job.log.fold import State
from ringland.job.readings.circumstances import TEST_PLUG, read_back
from ringland.job.readings.gauging import measure_of
from ringland.measure.gauges import allowed_error
from ringland.quantity import Estimate, Quantity, decimals_for, show_number
from ringland.sheet.figures import Profile
from ringland.sheet.model import Check

CASE_TESTS, VACUUM = ("crankcase leak", "crankcase vacuum"), "vacuum"
STANDARD = 101_325.0  # Pa, where nobody noted air pressure or altitude
# One reading against another on the same gauge has the doubt of its steps, not of its scale error.
# Common practice: a low-pressure gauge is read to a fifth of its error.
BETWEEN_TWO = 0.2
HALF_AND_DOUBLE = (0.5, 1.0, 2.0)  # of the volume, to show what a rule "per minute" means


@dataclass(frozen=True, slots=True)
class Leak:
    """A test as judged. volume_from : where the enclosed volume comes from, empty where unknown."""

    test: LeakTest
    rule: LeakProfile
    result: LeakResult
    volume_from: str


def leak_of(book: Book, state: State, check: Check, reading: ReadingTaken) -> Leak | None:
    """Return a leak test judged by the sheet's rule; None where the sheet gives none or a pressure
    is missing. Raises ValueError for a reading that cannot be."""
    pressures = of_kind(reading, "pressure")
    profile = book.figures.tests.get(check.profile)
    if profile is None or len(pressures) < 2:
        return None
    sign = -1.0 if VACUUM in check.profile else 1.0
    rule = _rule(check, profile, vacuum=sign < 0)
    gauge = measure_of(state.gauges.get(reading.gauge), check)
    error = allowed_error(gauge, abs(pressures[0].si))
    times, warmth = of_kind(reading, "time"), of_kind(reading, "temperature")
    volume, volume_from = _volume(book, check, reading)
    test = LeakTest(
        sign * abs(pressures[0].si),
        sign * abs(pressures[-1].si),
        times[0].si if times else profile.time.si,
        ambient=_ambient(reading),
        temperature=warmth[0].si if warmth else 293.15,
        # nobody read it: then a change of some kelvin either way is allowed for, as the room has it
        warmed=warmth[1].si - warmth[0].si if len(warmth) > 1 else None,
        volume=volume,
        u_pressure=error * BETWEEN_TWO,
        bubbles=_bubbles(reading),
    )
    return Leak(test, rule, judge_leak_test(test, rule), volume_from)


def _rule(check: Check, profile: Profile, *, vacuum: bool) -> LeakProfile:
    cooling = profile.pressure.si > SEAL_LIMIT
    limit = VACUUM_LIMIT if vacuum else COOLING_LIMIT if cooling else SEAL_LIMIT
    pressure = -abs(profile.pressure.si) if vacuum else profile.pressure.si
    return LeakProfile(
        check.profile,
        pressure,
        profile.time.si,
        profile.fall.si,
        limit=limit,
        source="engine sheet",
    )


def _bubbles(reading: ReadingTaken) -> str:
    if TEST_PLUG in read_back(reading.how).bubbles:
        return "test plug"
    if any(each.evidence == "bad" for each in reading.indications):
        return "seal or joint"
    seen = any(each.evidence == "good" for each in reading.indications)
    return "none" if seen else "not looked for"


def _volume(book: Book, check: Check, reading: ReadingTaken) -> tuple[float | None, str]:
    """The enclosed volume: as typed, else of the sheet's case and chamber.

    Whatever the piston gives the cylinder it takes from the case: case at top dead centre plus
    chamber is the whole space, wherever it stands. Pipes and hoses up to the plugs are not in it.
    """
    typed = of_kind(reading, "volume")
    if typed:
        return typed[0].si, "as typed"
    case, chamber = (_figure(book, name) for name in ("crankcase volume", "head volume"))
    if check.profile not in CASE_TESTS or case is None or chamber is None:
        return None, ""
    return case + chamber, "case and chamber of the sheet, hoses and ports not counted"


def _figure(book: Book, name: str) -> float | None:
    figure = book.figures.limits.get(name)
    return figure.new.low.si if figure and figure.new and figure.new.low else None


def _ambient(reading: ReadingTaken) -> float:
    said = read_back(reading.how).air
    heights = of_kind(reading, "length")
    if said is not None:
        return said
    return standard_atmosphere(heights[0].si).pressure if heights else STANDARD


def of_kind(reading: ReadingTaken, kind: str) -> list[Quantity]:
    """Return the quantities of a kind among what was read, in order."""
    found = [each.quantity for each in reading.indications]
    return [each for each in found if each is not None and each.unit.kind == kind]


def what_it_tells(book: Book, state: State, check: Check, reading: ReadingTaken) -> tuple[str, ...]:
    """Return in sentences what a leak test tells beyond its verdict, and what it cannot."""
    try:
        found = leak_of(book, state, check, reading)
    except ValueError:
        return ()  # the verdict says why
    if found is None:
        return ()
    return tuple(_sentences(found, check, len(of_kind(reading, "temperature")) > 1))


def _sentences(found: Leak, check: Check, warmth_read: bool) -> Iterator[str]:
    rule, result = found.rule, found.result
    yield (
        f"rule {rule.name}: {_bar(rule.pressure)} for {rule.duration / 60:g} min, fall at most "
        f"{show_number(rule.allowed_fall / 1e5, 3)} bar, no bubble; never beyond {_bar(rule.limit)}"
    )
    if warmth_read:
        yield (
            f"of the fall of {_with_doubt(result.fall)} bar temperature explains "
            f"{_with_doubt(result.drift)}, the leak {_with_doubt(result.leak_fall)}"
        )
    elif result.fall.value:
        yield (
            f"no temperatures read: a change of {show_number(result.explained_by, 1)} K alone would "
            "give this fall. Read the case's warmth at start and end: 21 °C 20 °C"
        )
    yield from (why for why in result.reasons[1:] if "bubbles" in why)
    yield from _area(found)
    if check.cannot_tell:
        yield check.cannot_tell


def _area(found: Leak) -> Iterator[str]:
    test, result = found.test, found.result
    if result.flow is None or result.area is None or test.volume is None:
        if test.volume is None:
            yield "no volume known, so no leak rate: type it, 450 mL, or add it to the sheet"
        return
    area, u = result.area.value, result.area.u
    if area <= 2 * u:
        yield (
            f"leak area under {_two_digits((area + 2 * u) * 1e6)} mm² in "
            f"{test.volume * 1e6:.0f} mL ({found.volume_from})"
        )
        return
    rate, u_rate = result.flow.value * 60e6, result.flow.u * 120e6
    yield (
        f"leak rate {show_number(rate, 1)} ± {show_number(u_rate, 1)} mL/min, effective area "
        f"{_two_digits(area * 1e6)} ± {_two_digits(2e6 * u)} mm² (a clean hole of "
        f"{equivalent_diameter(area) * 1e6:.0f} µm) in {test.volume * 1e6:.0f} mL ({found.volume_from})"
    )
    volumes = [test.volume * share for share in HALF_AND_DOUBLE]
    falls = fall_by_volume(area, test, volumes)
    each = ", ".join(
        f"{volume * 1e6:.0f} mL {show_number(fall / 1e5, 4)} bar"
        for volume, fall in zip(volumes, falls, strict=True)
    )
    yield f"the same leak a minute in {each}: a rule per minute belongs to its volume"


def _two_digits(value: float) -> str:
    return show_number(value, decimals_for(value, 2))


def _bar(pressure: float) -> str:
    return f"{show_number(pressure / 1e5, 2)} bar"


def _with_doubt(estimate: Estimate) -> str:
    return f"{show_number(estimate.value / 1e5, 3)} ± {show_number(2 * estimate.u / 1e5, 3)}"
