"""The temperature of a reading: a size corrected to 20 °C, or not comparable.

A size is corrected where the sheet names the part's material; it is not comparable where part and
gauge differ by more than 3 K, or where it was read far from 20 °C and nobody knows the material.
Not here: the correction itself (`ringland.measure.temperature`).
Start with `at_reference`.
"""

from dataclasses import replace
from functools import lru_cache
from math import sqrt

from ringland.engine.expansion import MATERIALS
from ringland.job.book import Book
from ringland.job.log.entries import ReadingTaken
from ringland.job.readings.value import Value, Warmth
from ringland.measure import temperature
from ringland.measure.estimates import Budget, Contribution, MeasureError, add_up, rectangular
from ringland.quantity import Estimate, Unit, parse_quantity, show_number
from ringland.sheet.model import Check

SIZE = 5e-3  # m; what is smaller does not grow by anything that a gauge sees
THERMOMETER = 1.0  # K, half-width; common practice for a shop's thermometer
LAIN_TOGETHER = 1.0  # K, half-width between part and gauge that lay together; common practice
NEAR = 2.0  # K; a measuring room is 20 ± 2 °C, common practice: nearer than that adds only doubt
# steel of gauges, JCGM 100:2008 H.1 (11.5e-6/K); half-width of its kind, common practice
STEEL = Estimate(11.5e-6, 1e-6 / sqrt(3))
WIDEST = 12e-6  # 1/K; between the gauge's steel and any metal of a top end
DECIMALS = {"mm": 3, "in": 5, "thou": 2}
# kinds of metal that a sheet names without the alloy, and what they may be; from `MATERIALS`
KINDS = {
    "alumin": ("4032", "Al-12Si", "2618"),
    "iron": ("grey iron", "ductile iron"),
    "steel": ("stainless ring steel", "alloy steel"),
}


@lru_cache(maxsize=64)
def expansion_of(material: str) -> Estimate | None:
    """Return the linear expansion [1/K] of a material in a sheet's free words, None if unknown.

    A bore that is aluminium and iron (a liner) grows like something between the two.

    >>> round(expansion_of("cast aluminium, plated bore").value * 1e6, 1)
    21.5
    """
    said = material.casefold().replace("aluminum", "aluminium")
    named = [metal for name, metal in MATERIALS.items() if name.casefold() in said]
    if named and not ("alumin" in said and "iron" in said):
        metal = max(named, key=lambda each: len(each.name))
        return Estimate(metal.expansion, rectangular(metal.half_width))
    kinds = [kind for kind in KINDS if kind in said]
    metals = [MATERIALS[name] for kind in kinds for name in KINDS[kind]]
    if not metals:
        return None
    low = min(metal.expansion - metal.half_width for metal in metals)
    high = max(metal.expansion + metal.half_width for metal in metals)
    return Estimate((low + high) / 2, rectangular((high - low) / 2))


def at_reference(book: Book, check: Check, reading: ReadingTaken, found: Value) -> Value:
    """Return a value at 20 °C with the doubt that temperature adds, or as not comparable."""
    budget, unit = found.budget, found.unit
    is_size = unit is not None and unit.kind == "length" and budget is not None
    if not reading.temperature or not is_size or abs(_value(budget)) < SIZE:
        return found
    assert budget is not None
    assert unit is not None
    part = parse_quantity(reading.temperature, "temperature", default="°C").si
    gauge = part
    if reading.gauge_temperature:
        gauge = parse_quantity(reading.gauge_temperature, "temperature", default="°C").si
    excess = part - gauge
    if abs(excess) > temperature.EQUAL_WITHIN:
        warmer = "warmer" if excess > 0 else "colder"
        why = (
            f"the {check.part} was {abs(excess):.0f} K {warmer} than the gauge: "
            "let both lie together an hour or two and read again"
        )
        return replace(found, doubt=why, not_comparable=True)
    expansion = expansion_of(book.sheet.materials.get(check.part, ""))
    try:
        if expansion is None:
            return _uncorrected(book, check, found, budget, part)
        return _corrected(found, budget, unit, (gauge, excess), expansion)
    except MeasureError as error:
        return replace(found, doubt=str(error), not_comparable=True)


def _value(budget: Budget | None) -> float:
    return budget.estimate.value if budget else 0.0


def _uncorrected(book: Book, check: Check, found: Value, budget: Budget, part: float) -> Value:
    """Near 20 °C an unknown material only adds doubt; far from it nothing can be said."""
    away = part - temperature.REFERENCE
    if abs(away) > book.norms.room:
        why = (
            f"read at {part - 273.15:.0f} °C, and the sheet names no material of the {check.part}: "
            f"read it again near 20 °C, or name it in the sheet under materials"
        )
        return replace(found, doubt=why, not_comparable=True)
    doubt = rectangular(budget.estimate.value * WIDEST * abs(away))
    line = Contribution("part_expansion", doubt)
    whole = add_up(budget.estimate.value, [*budget.contributions, line])
    note = (
        f"read at {part - 273.15:.0f} °C, not corrected: no material of the {check.part} is named"
    )
    return replace(
        found,
        estimate=whole.estimate,
        budget=whole,
        as_read=budget,
        warmth=Warmth(part, False),
        notes=(*found.notes, note),
    )


def _corrected(
    found: Value, budget: Budget, unit: Unit, kelvin: tuple[float, float], expansion: Estimate
) -> Value:
    """kelvin : of the gauge, and by how much the part is warmer [K]."""
    gauge, excess = kelvin
    conditions = temperature.Conditions(
        Estimate(gauge, rectangular(THERMOMETER)),
        Estimate(excess, rectangular(LAIN_TOGETHER)),
        expansion,
        STEEL,
    )
    cold = temperature.at_reference(budget.estimate, conditions)
    lines = [line for line in cold.contributions if line.name != "reading"]
    # the reading's own lines stay apart, so that what another reading shares with them can cancel
    whole = add_up(cold.estimate.value, [*budget.contributions, *lines])
    off = cold.estimate.value - budget.estimate.value
    if abs(gauge + excess - temperature.REFERENCE) <= NEAR:
        left = Contribution("not corrected to 20 °C", abs(off))
        whole = add_up(budget.estimate.value, [*budget.contributions, *lines, left])
        warmth = Warmth(gauge + excess, True)
        return replace(found, estimate=whole.estimate, budget=whole, as_read=budget, warmth=warmth)
    shift = unit.step_from_si(off)
    decimals = DECIMALS.get(unit.name, 4)
    sign = "+" if shift > 0 else ""
    note = (
        f"corrected from {gauge + excess - 273.15:.0f} °C to 20 °C by "
        f"{sign}{show_number(shift, decimals)} {unit.name}"
    )
    return replace(
        found,
        estimate=whole.estimate,
        budget=whole,
        as_read=budget,
        warmth=Warmth(gauge + excess, True),
        notes=(*found.notes, note),
    )
