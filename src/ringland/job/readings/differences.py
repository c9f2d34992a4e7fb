"""Values worked out from others: out-of-round, taper, spread, clearance, largest and smallest.

A difference of sizes read with one gauge on one zero is a form value: noise only makes it larger,
so it is judged by simulation. Errors that bore and skirt share cancel in a clearance.
Start with `clearance`.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot, sqrt

from ringland.job.log.entries import Condition
from ringland.job.readings.gauging import measure_of
from ringland.job.readings.value import Form, Source, Value
from ringland.measure import bore as grids
from ringland.measure.clearance import difference
from ringland.measure.estimates import Budget, MeasureError
from ringland.measure.gauges import noise_of
from ringland.quantity import Estimate, show_number

SAME_WARMTH = 3.0  # K between two parts that are compared; common practice
# gauges that read one diameter at a time
TWO_POINT = ("bore gauge", "telescoping gauge", "inside micrometer", "inside caliper", "caliper")


def largest(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest of the places of the check it is worked out from."""
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    return base and replace(
        derived([base], base.estimate, place=base.place), budget=base.budget, interval=base.interval
    )


def smallest(source: Source, check: str, condition: Condition) -> Value | None:
    """The smallest of the places of the check it is worked out from."""
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    return base and replace(
        derived([base], base.least or base.estimate), budget=base.least_budget or base.budget
    )


def out_of_round(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest difference of two axes at one height."""
    return _form(source, check, condition, by="height")


def taper(source: Source, check: str, condition: Condition) -> Value | None:
    """The largest difference along one axis, by the convention that the sheet names."""
    return _form(source, check, condition, by="axis")


def _form(source: Source, check: str, condition: Condition, *, by: str) -> Value | None:
    base = source.value(source.book.sheet.checks[check].of[0], condition)
    grid = grid_of(source, base, source.book.sheet.checks[check].of[0]) if base else None
    if base is None or grid is None:
        return None
    convention = source.book.sheet.checks[check].convention or "range over heights"
    shown = grids.survey(grid, convention=convention)
    ranges = shown.by_height if by == "height" else shown.by_axis
    if not ranges:
        return None
    worst = max(ranges, key=lambda name: ranges[name])
    noise = repeat_of(source, base, source.book.sheet.checks[check].of[0])
    # the gauge's zero is common to both ends: only what differs from one reading to the next counts
    found = derived([base], Estimate(ranges[worst], noise * sqrt(2)), place=worst)
    form = Form(_groups(grid, by, convention), noise)
    notes = [_convention_words(by, convention), *_apart(source, base)]
    if len({value.gauges for value in base.places.values() if value.estimate}) > 1:
        why = "its places were read with different gauges; a difference needs one gauge on one zero"
        found = replace(found, doubt=f"{why}: read them again", not_comparable=True)
    return replace(found, form=form, notes=tuple(notes))


def _groups(grid: grids.BoreGrid, by: str, convention: str) -> tuple[tuple[float, ...], ...]:
    ends = (grid.heights[0], grid.heights[-1])
    heights = ends if convention == "top minus bottom" and by == "axis" else grid.heights
    if by == "height":
        rows = [[grid.at(height, axis) for axis in grid.axes] for height in grid.heights]
    else:
        rows = [[grid.at(height, axis) for height in heights] for axis in grid.axes]
    return tuple(tuple(each for each in row if each is not None) for row in rows)


def _convention_words(by: str, convention: str) -> str:
    if by == "height":
        return "out-of-round: difference of the axes at one height, the largest of the heights"
    if convention == "top minus bottom":
        return "taper: first height less the last along one axis, the larger of the axes"
    return "taper: range over all heights along one axis, the larger of the axes"


def _apart(source: Source, base: Value) -> list[str]:
    notes = []
    kinds = {source.state.gauges[g].kind for g in base.gauges if g in source.state.gauges}
    if kinds & set(TWO_POINT):
        notes.append(grids.TWO_POINT_BLIND)
    days = sorted({value.day for value in base.places.values() if value.estimate})
    if len(days) > 1:
        notes.append(f"read on {len(days)} days: the gauge's zero may have moved between them")
    return notes


def grid_of(source: Source, base: Value, check: str) -> grids.BoreGrid | None:
    """Return the bore grid of a value, its heights in the order of the sheet; None without one."""
    known = source.book.sheet.checks[check].places
    order = [place for place in known if place in base.places]
    order += [place for place in base.places if place not in known]
    cells: dict[tuple[str, str], float | grids.Hole] = {}
    for place in order:
        height, _, axis = place.partition("-")
        value = base.places[place]
        if not axis:
            continue
        if value.estimate is not None and not value.doubt:
            cells[height, axis] = value.estimate.value
        else:
            is_port = value.said == "not measurable"
            cells[height, axis] = grids.Hole.PORT if is_port else grids.Hole.NOT_MEASURED
    try:
        return grids.grid_of(cells)
    except MeasureError:  # only holes
        return None


def profile_notes(source: Source, found: Value, check: str) -> list[str]:
    """Say the mean diameter at each height, and whether the bore bulges or narrows between."""
    grid = grid_of(source, found, check)
    if grid is None or found.unit is None or len(grid.heights) < 2:
        return []
    shown, unit = grids.survey(grid), found.unit
    means = [f"{h} {show_number(unit.from_si(d), 3)}" for h, d in shown.profile.items()]
    note = f"profile, mean of the axes: {', '.join(means)} {unit.name}"
    if shown.barrel is not None and abs(shown.barrel) > 2 * repeat_of(source, found, check):
        how = "wider" if shown.barrel > 0 else "narrower"
        by = show_number(abs(unit.step_from_si(shown.barrel)), 3)
        note += f"; {by} {unit.name} {how} in the middle than its ends"
    return [note]


def repeat_of(source: Source, value: Value, check: str) -> float:
    """Return the doubt between two readings with one gauge on one zero, SI.

    check : what was read; its usual gauge counts where none was named
    """
    gauge = source.state.gauges.get(value.gauges[0]) if value.gauges else None
    read = [v.estimate for v in (value, *value.places.values()) if v.estimate is not None]
    estimate = read[0]
    try:
        return noise_of(measure_of(gauge, source.book.sheet.checks[check]), estimate.value)
    except MeasureError:
        return estimate.u


def spread(source: Source, check: str, condition: Condition) -> Value | None:
    """Difference between the two places of the check: IGN and CL, where the piston cannot rock."""
    content = source.book.sheet.checks[check]
    base = source.value(content.of[0], condition)
    if base is None:
        return None
    named = content.places or ("IGN", "CL")
    read = [base.places[place].estimate for place in named if place in base.places]
    ends = [each for each in read if each is not None]
    if len(ends) != 2:
        return None
    one, other = ends
    apart = Estimate(abs(one.value - other.value), hypot(one.u, other.u))
    form = Form(((one.value, other.value),), apart.u / sqrt(2))
    return replace(derived([base], apart), form=form)


# -- clearance ---------------------------------------------------------------------------------


def clearance(source: Source, check: str, condition: Condition) -> Value | None:
    """Bore minus skirt: the largest bore for wear, the smallest where the skirt runs for seizure."""
    content = source.book.sheet.checks[check]
    bore, skirt = (source.value(name, condition) for name in content.of)
    if bore is None or skirt is None:
        return None
    for value in (bore, skirt):
        if value.doubt:
            return Value(doubt=value.doubt, not_comparable=value.not_comparable)
    places = {place: v for place, v in bore.places.items() if v.budget is not None}
    if not places or skirt.budget is None:
        return None
    apart, notes = _warmth(source, bore, skirt, content.of)
    if apart:
        return replace(derived([bore, skirt], None), doubt=apart, not_comparable=True)
    zone = {p: v for p, v in places.items() if p.partition("-")[0] in content.zone} or places
    as_read = skirt.warmth is None or any(v.warmth is None for v in places.values())
    # both at 20 °C, or both as read: never one of each
    at = {place: _budget(value, as_read=as_read) for place, value in places.items()}
    wide_at = max(places, key=lambda place: at[place].estimate.value)
    tight_at = min(zone, key=lambda place: at[place].estimate.value)
    skirt_budget = _budget(skirt, as_read=as_read)
    wide, tight = difference(at[wide_at], skirt_budget), difference(at[tight_at], skirt_budget)
    found = derived([bore, skirt], wide.estimate, place=wide_at)
    notes.append(f"for seizure at {tight_at}, for wear at {wide_at}" if tight_at else "")
    return replace(
        found,
        least=tight.estimate,
        budget=wide,
        least_budget=tight,
        notes=tuple(note for note in notes if note),
    )


def _budget(value: Value, *, as_read: bool) -> Budget:
    found = (value.as_read if as_read else None) or value.budget
    assert found is not None
    return found


def _warmth(
    source: Source, bore: Value, skirt: Value, names: Sequence[str]
) -> tuple[str, list[str]]:
    """Say why bore and skirt cannot be compared by their temperatures, and what is to be said."""
    bores = [v.warmth for v in bore.places.values() if v.estimate is not None]
    noted = [each for each in (*bores, skirt.warmth) if each is not None]
    if not noted:
        return "", []
    kelvin = [each.part for each in noted]
    apart = max(kelvin) - min(kelvin)
    if len(noted) <= len(bores):  # one of them was not noted
        missing = names[1] if skirt.warmth is None else names[0]
        far = max(abs(each - 293.15) for each in kelvin)
        if far > source.book.norms.room:
            return f"the temperature of the {missing} was not noted: read it again with its own", []
        return "", [f"the temperature of the {missing} was not noted: both taken as they were read"]
    if apart <= SAME_WARMTH:
        return "", []
    if all(each.at_reference for each in noted):
        return "", [
            f"{names[0]} and {names[1]} were read {apart:.0f} K apart; both are at 20 °C now"
        ]
    return (
        f"{names[0]} and {names[1]} were read {apart:.0f} K apart: "
        "let both parts lie together an hour or two and read again"
    ), []


def derived(bases: Sequence[Value], estimate: Estimate | None, place: str = "") -> Value:
    """Return a value that is worked out from others, with their gauges, entries and doubts."""
    doubted = next((base for base in bases if base.doubt), None)
    return Value(
        estimate,
        place=place,
        unit=bases[0].unit,
        gauges=tuple(dict.fromkeys(gauge for base in bases for gauge in base.gauges)),
        entries=tuple(entry for base in bases for entry in base.entries),
        doubt=doubted.doubt if doubted else "",
        not_comparable=doubted.not_comparable if doubted else False,
    )
