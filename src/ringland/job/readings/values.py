"""From the readings of a check to one value with its doubt.

Each method of the sheet has one function in `METHODS`; a derived check is worked out from the
values of others. A method returns None where nothing was read.
"""

from collections.abc import Mapping
from dataclasses import replace

from ringland.engine.refusal import OutOfRange
from ringland.engine.squish import PAIRS, Squish, squish_from_solder
from ringland.job.book import Book
from ringland.job.log.entries import Condition, ReadingTaken
from ringland.job.log.fold import Said, State
from ringland.job.readings.differences import (
    clearance,
    largest,
    out_of_round,
    profile_notes,
    repeat_of,
    smallest,
    spread,
    taper,
)
from ringland.job.readings.faces import is_point, of_points
from ringland.job.readings.gauging import SPOKEN, one_place
from ringland.job.readings.value import CONDITIONS, Method, Source, Value, conditions_of, work_of
from ringland.measure import gaps
from ringland.measure.conformance import Interval
from ringland.measure.estimates import add_up
from ringland.quantity import Estimate, show_number

__all__ = ["CONDITIONS", "METHODS", "Value", "conditions_of", "values_of"]


def values_of(book: Book, state: State) -> dict[tuple[str, Condition], Value]:
    """Return the value of each check that was read, or can be worked out, in each condition."""
    source = Source(book, state, {}, work_of(book, state))
    checks = book.sheet.checks
    direct = [name for name, check in checks.items() if not check.of]
    derived = [name for name, check in checks.items() if check.of]
    for name in (*direct, *derived):
        method = METHODS[checks[name].method]
        # a person may read any check again on the new build; what is worked out follows its own
        for condition in CONDITIONS if not checks[name].of else conditions_of(checks[name]):
            value = method(source, name, condition)
            if value is not None:
                source.values[name, condition] = value
    return source.values


def single(source: Source, check: str, condition: Condition) -> Value | None:
    """One value, or one at each of several places: the largest is judged, and the least."""
    readings = source.readings(check, condition)
    if not readings:
        return None
    by_place: dict[str, list[Said[ReadingTaken]]] = {}
    for said in readings:
        by_place.setdefault(said.fact.place, []).append(said)
    points = {place: each for place, each in by_place.items() if is_point(place)}
    if points and is_point(readings[-1].fact.place):
        return _face(source, check, points)
    by_place = {place: each for place, each in by_place.items() if place not in points}
    if "" in by_place and readings[-1].fact.place:
        del by_place[""]  # read place by place since: that tells more than one reading of all
    places = {place: one_place(source, check, each) for place, each in by_place.items()}
    if len(places) == 1:
        return replace(next(iter(places.values())), places=places, place=next(iter(places)))
    return _extremes(places)


def _face(source: Source, check: str, readings: Mapping[str, list[Said[ReadingTaken]]]) -> Value:
    places = {place: one_place(source, check, each) for place, each in readings.items()}
    whole = replace(_extremes(places), doubt="")
    noise = repeat_of(source, whole, check) if whole.estimate else 0.0
    return of_points(whole, places, noise)


def _extremes(places: Mapping[str, Value]) -> Value:
    """Return the value of several places: largest to be judged from above, least from below."""
    whole = Value(
        places=dict(places),
        entries=tuple(entry for value in places.values() for entry in value.entries),
        gauges=tuple(dict.fromkeys(gauge for value in places.values() for gauge in value.gauges)),
        unit=next((value.unit for value in places.values() if value.unit), None),
        day=max(value.day for value in places.values()),
        notes=_notes(places),
    )
    doubtful = [(place, value) for place, value in places.items() if value.doubt]
    if doubtful:
        place, value = doubtful[0]
        said = f"{place}: {value.doubt}"
        return replace(whole, doubt=said, not_comparable=value.not_comparable, place=place)
    if any(value.said == "bad" for value in places.values()):
        return replace(whole, said="bad")
    whole = _of_leaves(whole, [value.interval for value in places.values() if value.interval])
    read = {place: value for place, value in places.items() if value.estimate}
    if not read:
        spoken = [value.said for value in places.values()]
        worst = next((each for each in SPOKEN if each in spoken), None)
        return replace(whole, said=None if whole.interval else worst)
    wide = max(read, key=lambda place: _of(read[place]).value)
    tight = min(read, key=lambda place: _of(read[place]).value)
    return replace(
        whole,
        estimate=read[wide].estimate,
        budget=read[wide].budget,
        least=read[tight].estimate,
        least_budget=read[tight].budget,
        warmth=read[wide].warmth,
        place=wide,
    )


def _notes(places: Mapping[str, Value]) -> tuple[str, ...]:
    """What is said of all places is said once; what is said of one, with its place."""
    said = dict.fromkeys(note for value in places.values() for note in value.notes)
    found = []
    for note in said:
        at = [place for place, value in places.items() if note in value.notes]
        found.append(note if len(at) > 1 else f"{at[0]}: {note}")
    return tuple(found)


def _of(value: Value) -> Estimate:
    assert value.estimate is not None
    return value.estimate


def _of_leaves(whole: Value, lines: list[Interval]) -> Value:
    """The interval of the widest gap, and of the narrowest, over all places."""
    if not lines:
        return whole
    lows = [line.low for line in lines if line.low is not None]
    highs = [line.high for line in lines if line.high is not None]
    least_low = min(lows) if len(lows) == len(lines) else None
    least_high = min(highs, default=None)
    least = Interval(least_low, least_high) if (least_low, least_high) != (None, None) else None
    return replace(whole, interval=gaps.largest_of(lines), least_interval=least)


def grid(source: Source, check: str, condition: Condition) -> Value | None:
    """A bore: as `single`, with its profile."""
    found = single(source, check, condition)
    if found is None or found.estimate is None or found.doubt:
        return found
    return replace(found, notes=(*found.notes, *profile_notes(source, found, check)))


def four_points(source: Source, check: str, condition: Condition) -> Value | None:
    """Squish at EX, IN, IGN, CL: opposite points are averaged, because the piston rocks."""
    found = single(source, check, condition)
    if found is None or found.doubt or found.estimate is None:
        return found
    read = {place: value.estimate for place, value in found.places.items() if value.estimate}
    whole = [place for pair in PAIRS if set(pair) <= set(read) for place in pair]
    if not whole:
        missing = [p for pair in PAIRS if set(pair) & set(read) for p in pair if p not in read]
        why = "one side alone says nothing, because the piston or the head may lean"
        return replace(found, doubt=f"{why}: take {' and '.join(missing)} too")
    # errors of one hand, one solder and one micrometer are common: averaging does not shrink them
    coarsest = max(found.places.values(), key=lambda each: each.estimate.u if each.estimate else 0)
    lines = coarsest.budget.contributions if coarsest.budget else ()
    try:
        shown = squish_from_solder(
            {place: Estimate(read[place].value, 0.0) for place in whole},
            u_shared=add_up(0.0, lines).estimate.u,
        )
    except OutOfRange as refused:
        return replace(found, doubt=str(refused))
    return replace(
        found,
        estimate=shown.height,
        budget=add_up(shown.height.value, lines),
        least=None,
        least_budget=None,
        place="",
        notes=(*found.notes, *_squish_notes(found, shown)),
    )


def _squish_notes(found: Value, shown: Squish) -> list[str]:
    unit = found.unit
    if unit is None:
        return []

    def words(length: float) -> str:
        return f"{show_number(unit.step_from_si(length), 2)} {unit.name}"

    notes = ["mean of opposite points, because the piston rocks on its pin"]
    if shown.rock is not None:
        notes.append(f"EX less IN {words(shown.rock.value)}: how the piston lay, no fault")
    return [*notes, f"thinnest without the rock {words(shown.thinnest)}"]


def as_read(source: Source, check: str, condition: Condition) -> Value | None:
    """Readings that a test's own judgement takes as they are: fall, percent of baseline."""
    readings = source.readings(check, condition)
    if not readings:
        return None
    last = readings[-1]
    read = [i.quantity for i in last.fact.indications if i.quantity]
    spoken = next((i.evidence for i in last.fact.indications if i.evidence in SPOKEN), None)
    return Value(
        said=spoken,
        unit=read[0].unit if read else None,
        gauges=(last.fact.gauge,) if last.fact.gauge else (),
        entries=(last.entry,),
        day=last.at[:10],
        remark=last.fact.remark,
        shown=", ".join(map(str, read)),
    )


METHODS: dict[str, Method] = {
    "single": single,
    "range": single,
    "leaf": single,
    "grid": grid,
    "feel": single,
    "count": single,
    "four points": four_points,
    "spread": spread,
    "largest": largest,
    "smallest": smallest,
    "out-of-round": out_of_round,
    "taper": taper,
    "clearance": clearance,
    "fall": as_read,
    "percent of baseline": as_read,
}
