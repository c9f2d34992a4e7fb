"""Flatness of a face from points, or from a straightedge and feeler along lines."""

from typing import Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.readings import (
    columns_of,
    judged_fields,
    leaf_fields,
    not_judged,
    numbers_of,
)
from ringland.calc.shown import Told, chance, told
from ringland.measure.conformance import Interval, interval_verdict
from ringland.measure.estimates import MeasureError
from ringland.measure.flatness import Zone, lap, least_squares, minimum_zone, straightness
from ringland.measure.form import (
    MOST_PLACES,
    face_within,
    likely_ranges_of_face,
    perfect_face_reading,
)
from ringland.measure.gaps import largest_of
from ringland.quantity.estimate import Estimate
from ringland.quantity.parse import QuantityError, parse_span
from ringland.quantity.units import find_unit

MM = find_unit("mm")
WHICH_LEAF = (
    "write the leaf that enters and the one that does not, 0.05-0.08 mm; max 0.05 mm where that leaf "
    "does not enter, min 0.05 mm where it does and the next is untried"
)
COVERAGE_68 = 0.6827  # the share within one standard uncertainty; half its interval is u


def _compute(inputs: Inputs) -> Answer:
    if (inputs["csv"] is None) == (not inputs["line"]):
        raise BadInputs(
            [("csv", "give a table of x,y,z, or --line for each line under a straightedge")]
        )
    return _of_lines(inputs) if inputs["csv"] is None else _of_points(inputs)


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "line", "csv", "limit")


def _of_points(inputs: Inputs) -> Answer:
    is_face = inputs["of"] == "face"
    names = ("x", "y", "z") if is_face else ("x", "z")
    rows = columns_of(inputs["csv"], "csv", names)
    points = numbers_of(rows, "csv", names)
    try:
        zone = minimum_zone(points) if is_face else straightness(points)
        fitted = least_squares(points)
    except MeasureError as error:
        raise BadInputs([("csv", str(error))]) from None
    say = _told(inputs)
    what = "Flatness" if is_face else "Straightness"
    fields: dict[str, Any] = {
        "minimum_zone_mm": zone.width * 1e3,
        "least_squares_mm": fitted * 1e3,
        "points": len(points),
        "contacts": zone.contacts,
        "high_points": [at + 1 for at in zone.high],
        "low_points": [at + 1 for at in zone.low],
    }
    shown = [
        Row("minimum zone", say(zone.width, 4), f"held by {zone.contacts} points"),
        Row("high points", _points(zone.high)),
        Row("low points", _points(zone.low)),
        Row("least squares", say(fitted, 4), "never less than the minimum zone"),
    ]
    if is_face:
        cut = lap(points)
        fields |= {"lap_deepest_mm": cut.deepest * 1e3, "lap_mean_mm": cut.mean * 1e3}
        shown.append(
            Row("lapping flat takes off", say(cut.deepest, 4), "squish loses as much on a head")
        )
    more, judged, verdict = _judged(inputs, points, zone)
    headline = f"{what} {say.twice(zone.width, 4)} over {len(points)} points{verdict}."
    return Answer(
        headline,
        (*shown, *more),
        _notes(bool(more)),
        fields={**fields, **judged},
        svg=(lambda: _draw(points, zone, headline)) if is_face else None,
    )


def _draw(points: Any, zone: Zone, headline: str) -> str:
    """The face from above, each point with its height over the lower plane."""
    import numpy as np

    from ringland.charts.face import face_chart
    from ringland.charts.style import Words

    x, y, z = np.asarray(points).T
    at, along, across = zone.low_plane
    over = (z - at - along * x - across * y) * 1e6
    said = ", ".join(f"{number} {each:.0f}" for number, each in enumerate(over, 1))
    words = Words(
        headline,
        f"Heights over the lower plane in µm, by point: {said}. Triangles hold the zone.",
        "x, millimetres",
        "y, millimetres",
    )
    return face_chart(words, x * 1e3, y * 1e3, over, high=zone.high, low=zone.low)


def _points(places: tuple[int, ...]) -> str:
    return ", ".join(str(at + 1) for at in places) or "none stands out"


def _notes(simulated: bool) -> tuple[str, ...]:
    zone = "Minimum zone after ISO 1101, tilt removed."
    if not simulated:
        return (zone,)
    return (
        zone,
        "Noise makes a face read less flat than it is: verdict and interval come from a "
        "simulation with the ± of each point.",
    )


def _judged(
    inputs: Inputs, points: list[tuple[float, ...]], zone: Zone
) -> tuple[list[Row], dict[str, Any], str]:
    noise, say = inputs.si("expanded") / 2, _told(inputs)
    upper = inputs.si_or_none("limit")
    if not noise > 0:
        raise BadInputs([("expanded", f"{inputs['expanded']} is what no gauge does: above 0 mm")])
    if len(points) > MOST_PLACES:
        if upper is None:
            return [], {}, ""
        raise BadInputs(
            [("limit", f"a verdict takes at most {MOST_PLACES} points, not {len(points)}")]
        )
    floor = perfect_face_reading(points, noise)
    rows = [Row("a truly flat one would read", say(floor, 4), f"by ± {say(2 * noise, 3)} a point")]
    fields: dict[str, Any] = {"flat_would_read_mm": floor * 1e3}
    (low, high), inner = likely_ranges_of_face(points, noise, (0.95, COVERAGE_68))
    estimate = Estimate(zone.width, (inner[1] - inner[0]) / 2)
    rows.append(Row("true value at 95 %", say.span(low, high, 3), "with that bias taken out"))
    interval = {"probability": 0.95, "low": low * 1e3, "high": high * 1e3}
    if upper is None:
        return rows, fields | not_judged(estimate, MM) | {"interval": interval}, ""
    try:
        found = face_within(points, noise=noise, upper=upper)
    except MeasureError as error:
        raise BadInputs([("limit", str(error))]) from None
    verdict = found.verdict()
    rows.append(
        Row("probability that it conforms", chance(found.probability), f"limit {say(upper, 3)}")
    )
    rows += _settling(verdict, "a gauge with a smaller ±")
    fields |= judged_fields(
        estimate, MM,
        lower=None, upper=upper, probability=found.probability, verdict=verdict,
    )  # fmt: skip
    return rows, fields | {"interval": interval}, f": {verdict}"


def _settling(verdict: str, what: str) -> list[Row]:
    return [Row("to settle it", what, "or treat as beyond")] if verdict == "undecided" else []


def _of_lines(inputs: Inputs) -> Answer:
    lines = _lines(inputs)
    worst = largest_of(lines)
    upper = inputs.si_or_none("limit")
    verdict = "" if upper is None else interval_verdict(worst, lower=None, upper=upper)
    say = _told(inputs)
    return Answer(
        f"Flatness {_bracket(worst, say.twice)} over {_count(lines)}{': ' if verdict else ''}{verdict}.",
        (
            *(Row(f"line {at}", _bracket(line, say)) for at, line in enumerate(lines, 1)),
            *_settling(verdict, "try the limit's own leaf where it is worst"),
        ),
        (
            "A straightedge with a feeler only brackets the value between two leaves.",
            "The limit's own leaf entering means beyond (common practice).",
        ),
        fields={
            "low_mm": None if worst.low is None else worst.low * 1e3,
            "high_mm": None if worst.high is None else worst.high * 1e3,
            "limit_mm": None if upper is None else upper * 1e3,
            "verdict": verdict or None,
            **leaf_fields(worst),
        },
    )


def _lines(inputs: Inputs) -> list[Interval]:
    problems, lines = [], []
    for text in inputs["line"]:
        try:
            span = parse_span(text, "length", default="mm", comma="decimal")
            low, high = (None if end is None else end.si for end in (span.low, span.high))
            if (high is not None and high <= (low or 0.0)) or (low or 0.0) < 0:
                raise QuantityError(f"{text!r}: {WHICH_LEAF}")
            lines.append(Interval(low, high))
        except QuantityError as error:
            problems.append(("line", str(error)))
    if problems:
        raise BadInputs(problems)
    return lines


def _count(lines: list[Interval]) -> str:
    return "1 line" if len(lines) == 1 else f"{len(lines)} lines"


def _bracket(interval: Interval, say: Told) -> str:
    if interval.low is None:
        assert interval.high is not None
        return f"under {say(interval.high, 2)}"
    if interval.high is None:
        return f"from {say(interval.low, 2)} up, the next leaf untried"
    return f"{say(interval.low, 2)} to under {say(interval.high, 2)}"


CALCULATOR = Calculator(
    name="flatness",
    title="Flatness of a face from points: minimum zone and least squares.",
    fields=(
        Field("csv", "csv", "Table with columns x,y,z in mm, or a unit in the heading: z (µm)."),
        Field(
            "line",
            "text",
            'One line under a straightedge: "0.05-0.08 mm" (0.05 enters, 0.08 does not).',
            many=True,
        ),
        Field(
            "of",
            "choice",
            "face (x,y,z) or line (x,z: straightness).",
            default="face",
            choices=("face", "line"),
        ),
        Field("limit", "length", "Flatness allowed.", unit="mm"),
        Field("expanded", "length", "± of one height at 95 %.", default="0.01 mm", unit="mm"),
    ),
    compute=_compute,
    example='flatness --line "0.05-0.08 mm" --line "max 0.03 mm" --limit "0.05 mm"',
)
