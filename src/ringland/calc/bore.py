"""Diameters, out-of-round and taper of a bore grid, from a table or from single readings."""

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ringland.calc.calculator import Answer, BadInputs, Calculator, Field, Inputs, Row
from ringland.calc.readings import columns_of, judged_fields, not_judged, refuse
from ringland.calc.shown import Told, chance, told
from ringland.calc.sizes import refuse_slips, slip
from ringland.measure.bore import (
    TWO_POINT_BLIND,
    BoreGrid,
    Hole,
    Place,
    Survey,
    clearances,
    grid_of,
    survey,
)
from ringland.measure.conformance import judge, probability_within
from ringland.measure.estimates import MeasureError
from ringland.measure.settle import Question, needed_u
from ringland.quantity.estimate import Estimate
from ringland.quantity.parse import QuantityError, parse_quantity
from ringland.quantity.units import Quantity, find_unit

if TYPE_CHECKING:
    from ringland.measure.form import FormConformance

MM = find_unit("mm")
BLANK = ("", "-", "–", "?", "not measured")
BLOCKED = ("port", "window", "not measurable", "not measurable here")
DEVIATION = 1e-3  # m: a reading smaller than that is one from the size the gauge was set to
_DEVIATION = "; a deviation needs --set-size, and a place that was not measured stays empty"
OUTLIER = 0.15e-3  # m; two axes further apart are a slip of the pen first, common practice
_READING = r"\s*([^\s=:]+?)-([^\s=:-]+)\s*[=:\s]\s*(.+)$"


def _compute(inputs: Inputs) -> Answer:
    refuse_slips(inputs, {"set-size": "bore", "wear-limit": "bore", "skirt": "bore"})
    cells = _cells(inputs)
    try:
        grid = grid_of(cells)
        shown = survey(grid, convention=inputs["convention"])
    except MeasureError as error:
        raise BadInputs([(_source(inputs), str(error))]) from None
    u = _doubt(inputs)
    say = _told(inputs)
    rows = _profile_rows(grid, shown, say)
    judged, verdict_rows = _judged(inputs, grid, shown, u)
    skirt_rows, skirt_fields = _skirt(inputs, grid)
    notes = (
        f"Taper by the convention {shown.convention!r}; out-of-round at one height at a time "
        "(as workshop manuals print them, common practice).",
        f"Each diameter ± {say(2 * u, 4)} at 95 %; form values are judged by simulation, because "
        "noise makes them read too large.",
        TWO_POINT_BLIND,
    )
    return Answer(
        _headline(shown, say),
        (*rows, *verdict_rows, *skirt_rows),
        notes,
        _slips(shown, say),
        {**_fields(grid, shown), **judged, **skirt_fields},
    )


def _told(inputs: Inputs) -> Told:
    return told(inputs, "length", "reading", "csv", "set-size", "wear-limit", "skirt")


def _source(inputs: Inputs) -> str:
    return "csv" if inputs["csv"] is not None else "reading"


def _doubt(inputs: Inputs) -> float:
    u = inputs.si("expanded") / 2
    if not u > 0:
        raise BadInputs([("expanded", f"{inputs['expanded']} is what no gauge does: above 0 mm")])
    return float(u)


def _cells(inputs: Inputs) -> dict[Place, float | Hole]:
    """The readings of both sources; each problem with its place."""
    found: dict[Place, float | Hole] = {}
    problems: list[tuple[str, str]] = []
    base = inputs["set-size"]
    for source, place, text, unit, where in _texts(inputs, problems):
        if place in found:
            problems.append((source, f"{where}{'-'.join(place)} is given twice: keep one"))
            continue
        try:
            found[place] = _cell(text, unit, base)
        except QuantityError as error:
            problems.append((source, f"{where}{'-'.join(place)}: {error}"))
    if not found and not problems:
        problems.append(("csv", "give a table of height,axis,reading, or --reading H1-X=54.012"))
    for source in ("csv", "reading"):
        refuse(source, [message for name, message in problems if name == source])
    return found


def _texts(
    inputs: Inputs, problems: list[tuple[str, str]]
) -> Sequence[tuple[str, Place, str, str, str]]:
    """Source, place, text, unit and a lead-in for messages, of each reading."""
    found = []
    if inputs["csv"] is not None:
        for row in columns_of(inputs["csv"], "csv", ("height", "axis", "reading")):
            cell = row["reading"]
            place = (row["height"].text, row["axis"].text)
            where = f"line {cell.line}: "
            if all(place):
                found.append(("csv", place, cell.text, cell.unit.name, where))
            else:
                problems.append(("csv", f"{where}name height and axis, as H1 and X"))
    for text in inputs["reading"]:
        match = re.match(_READING, text)
        if match:
            found.append(("reading", (match[1], match[2]), match[3], "mm", ""))
        else:
            problems.append(("reading", f"{text!r}: write height-axis=diameter, as H1-X=54.012"))
    return found


def _cell(text: str, unit: str, base: Quantity | None) -> float | Hole:
    plain = text.strip().casefold()
    if plain in BLANK:
        return Hole.NOT_MEASURED
    if plain in BLOCKED:
        return Hole.PORT
    read = parse_quantity(text, "length", default=unit, comma="decimal")
    if base is not None:
        return float(base.si + read.si)
    if (said := slip(read, "bore")) is not None:
        raise QuantityError(f"{said}{_DEVIATION if abs(read.si) < DEVIATION else ''}")
    return read.si


def _headline(shown: Survey, say: Told) -> str:
    form = ", ".join(
        f"{name} {say(value, 3)}"
        for name, value in (("out-of-round", shown.out_of_round), ("taper", shown.taper))
        if value is not None
    )
    low, high = shown.smallest.diameter, shown.largest.diameter
    spread = f"Bore {say.span(low, high, 3) if low < high else say(low, 3)}"
    return (
        f"{spread}; {form}." if form else f"{spread}; too few readings for out-of-round or taper."
    )


def _profile_rows(grid: BoreGrid, shown: Survey, say: Told) -> list[Row]:
    rows = [
        Row("largest", say(shown.largest.diameter, 3), "-".join(shown.largest.place)),
        Row("smallest", say(shown.smallest.diameter, 3), "-".join(shown.smallest.place)),
    ]
    for height in grid.heights:
        texts = [f"{axis} {_shown(grid.cells.get((height, axis)), say)}" for axis in grid.axes]
        apart = shown.by_height.get(height)
        rows.append(
            Row(height, "  ".join(texts), "" if apart is None else f"out of round {say(apart, 3)}")
        )
    rows += [Row(f"taper along {axis}", say(each, 3)) for axis, each in shown.by_axis.items()]
    if shown.barrel is not None:
        rows.append(Row("barrel", say(shown.barrel, 3), "middle against the ends"))
    return rows


def _shown(cell: float | Hole | None, say: Told) -> str:
    if cell is None or isinstance(cell, Hole):
        return (cell or Hole.NOT_MEASURED).value
    return say.bare(cell, 3)


def _judged(
    inputs: Inputs, grid: BoreGrid, shown: Survey, u: float
) -> tuple[dict[str, Any], list[Row]]:
    fields, rows = _largest(inputs, shown, u)
    for name, part in (("out-of-round", 0), ("taper", 1)):
        found = _form_verdict(inputs, name, grid, part, u)
        if found is not None:
            fields[name.replace("-", "_")] = {
                "probability": found.probability,
                "verdict": found.verdict(),
                "limit_mm": found.upper * 1e3,
            }
            text = f"{found.verdict()} ({chance(found.probability)})"
            rows.append(Row(f"{name} against its limit", text))
    return fields, rows


def _largest(inputs: Inputs, shown: Survey, u: float) -> tuple[dict[str, Any], list[Row]]:
    upper, estimate = inputs.si_or_none("wear-limit"), Estimate(shown.largest.diameter, u)
    if upper is None:
        return {"largest": not_judged(estimate, MM)}, []
    p = probability_within(estimate, lower=None, upper=upper)
    verdict = judge(estimate, lower=None, upper=upper)
    needed = needed_u(Question(estimate.value, None, upper)) if verdict == "undecided" else None
    settling, remark = [], ""
    if needed is not None:
        settling = [{"kind": "smaller doubt", "standard_uncertainty": needed * 1e3}]
        remark = f"± {_told(inputs)(2 * needed, 4)} would settle it, if the value stays"
    judged = judged_fields(
        estimate, MM, lower=None, upper=upper, probability=p, verdict=verdict,
        settled_by=settling,
    )  # fmt: skip
    row = Row("largest against its limit", f"{verdict} ({chance(p)})", remark)
    return {"largest": judged}, [row]


def _form_verdict(
    inputs: Inputs, name: str, grid: BoreGrid, part: int, u: float
) -> "FormConformance | None":
    upper = inputs.si_or_none(f"{name}-limit")
    if upper is None:
        return None
    if not upper > 0:
        raise BadInputs([(f"{name}-limit", f"{inputs[f'{name}-limit']} is no limit: above 0 mm")])
    from ringland.measure.form import ranges_within  # only a limit needs it

    groups: dict[str, list[float]] = {}
    ends = {grid.heights[0], grid.heights[-1]}
    only_ends = name == "taper" and inputs["convention"] == "top minus bottom"
    for place, diameter in grid.measured().items():
        if not only_ends or place[0] in ends:
            groups.setdefault(place[part], []).append(diameter)
    try:
        return ranges_within(list(groups.values()), noise=u, upper=upper)
    except MeasureError as error:
        raise BadInputs([(f"{name}-limit", str(error))]) from None


def _skirt(inputs: Inputs, grid: BoreGrid) -> tuple[list[Row], dict[str, Any]]:
    skirt = inputs.si_or_none("skirt")
    if skirt is None:
        return [], {}
    zone = None if inputs["skirt-zone"] is None else re.split(r"[\s,]+", inputs["skirt-zone"])
    try:
        found = clearances(grid, skirt, skirt_zone=zone)
    except MeasureError as error:
        raise BadInputs([("skirt-zone" if zone else "skirt", str(error))]) from None
    rows = [
        Row(
            f"clearance, {name}",
            _told(inputs)(at.diameter, 3),
            f"{which} bore, at {'-'.join(at.place)}",
        )
        for name, which, at in (
            ("seizure", "smallest", found.seizure),
            ("wear", "largest", found.wear),
        )
    ]
    return rows, {
        "clearance_seizure_mm": found.seizure.diameter * 1e3,
        "clearance_wear_mm": found.wear.diameter * 1e3,
    }


def _slips(shown: Survey, say: Told) -> tuple[str, ...]:
    return tuple(
        f"{height}: the axes differ by {say(apart, 3)}; look for a slip of the pen before "
        "suspecting the cylinder."
        for height, apart in shown.by_height.items()
        if apart > OUTLIER
    )


def _fields(grid: BoreGrid, shown: Survey) -> Mapping[str, Any]:
    def scaled(value: float | None) -> float | None:
        return None if value is None else value * 1e3

    return {
        "largest_mm": shown.largest.diameter * 1e3,
        "largest_at": "-".join(shown.largest.place),
        "smallest_mm": shown.smallest.diameter * 1e3,
        "smallest_at": "-".join(shown.smallest.place),
        "out_of_round_mm": scaled(shown.out_of_round),
        "out_of_round_by_height_mm": {h: v * 1e3 for h, v in shown.by_height.items()},
        "taper_mm": scaled(shown.taper),
        "taper_by_axis_mm": {a: v * 1e3 for a, v in shown.by_axis.items()},
        "taper_convention": shown.convention,
        "profile_mm": {h: v * 1e3 for h, v in shown.profile.items()},
        "barrel_mm": scaled(shown.barrel),
        "not_measurable": [
            "-".join(place) for place, cell in grid.cells.items() if cell is Hole.PORT
        ],
    }


CALCULATOR = Calculator(
    name="bore",
    title="Diameters, out-of-round and taper of a bore grid.",
    fields=(
        Field("csv", "csv", "Table with columns height,axis,reading (mm); port for a window."),
        Field("reading", "text", "One reading, as H1-X=54.012 or H2-Y=port.", many=True),
        Field("set-size", "length", "Size the gauge was set to, if readings are deviations."),
        Field(
            "expanded",
            "length",
            "± of one diameter at 95 %.",
            default="0.005 mm",
            unit="mm",
        ),
        Field(
            "convention",
            "choice",
            "How the sheet takes taper: range over heights, or top minus bottom.",
            default="range over heights",
            choices=("range over heights", "top minus bottom"),
        ),
        Field("wear-limit", "length", "Largest diameter allowed anywhere.", unit="mm"),
        Field("out-of-round-limit", "length", "Limit of out-of-round.", unit="mm"),
        Field("taper-limit", "length", "Limit of taper.", unit="mm"),
        Field("skirt", "length", "Skirt diameter of the piston, for the clearance.", unit="mm"),
        Field("skirt-zone", "text", "Heights that the skirt runs in, as H2,H3; all of them else."),
    ),
    compute=_compute,
    example="bore --reading H1-X=54.012 --reading H1-Y=54.016 --reading H3-X=54.006",
)
