"""One value of a reading: its unit, its comma, its deviation from the size a gauge is set to.

A number without a unit is settled by the unit in use and by what is plausible for the check. Torque
without a unit is always asked.
"""

import re
from dataclasses import dataclass, field
from decimal import Decimal

from ringland.bench.refusal import Asked, Offer, Refused
from ringland.job.case import Case
from ringland.job.log.entries import Gauge
from ringland.job.slips.size import Plausible, plausible, usual_units
from ringland.quantity import (
    AmbiguousNumber,
    MissingUnit,
    Quantity,
    QuantityError,
    find_unit,
    parse_quantity,
)
from ringland.quantity.units import UnitError
from ringland.sheet.model import Check


@dataclass(frozen=True, slots=True)
class Habits:
    """What the person used last: gauge by check, unit by kind. Changed only by the person."""

    gauges: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)


def value_of(
    case: Case, content: Check, check: str, token: str, gauge: Gauge | None, habits: Habits
) -> Quantity:
    """Read one value; settle its unit, its comma, its deviation from the size the gauge is set to."""
    kind = content.unit if content.unit not in ("feel",) else "length"
    allowed = plausible(case, check)
    try:
        return _with_unit(token, kind)
    except MissingUnit as bare:
        return _settled(bare.number, token, kind, check, allowed, gauge, habits)
    except AmbiguousNumber as two:
        decimal = _replaced(token, two.readings[0])
        spoken = habits.units.get(kind) or (_unit_of(gauge) if gauge else "")
        usual = spoken or (allowed.unit.name if allowed else None)
        if allowed and allowed.holds(parse_quantity(decimal, kind, default=usual).si):
            return value_of(case, content, check, decimal, gauge, habits)
        offers = tuple(Offer(each, _replaced(token, each)) for each in two.readings)
        raise Asked(str(two), offers, about=token) from None
    except QuantityError as error:
        raise Refused(f"{check}: {error}") from None


def _replaced(token: str, number: str) -> str:
    return re.sub(r"[+−-]?\d+,\d{3}", number, token, count=1)


def _with_unit(token: str, kind: str) -> Quantity:
    """A test's reading may hold minutes, and a compression's an altitude, beside its pressures."""
    try:
        return parse_quantity(token, kind)
    except MissingUnit:
        raise
    except QuantityError:
        for other in ("time", "length", "temperature", "volume") if kind == "pressure" else ():
            try:
                return parse_quantity(token, other)
            except QuantityError:
                continue
        raise


def _settled(
    number: Decimal,
    token: str,
    kind: str,
    check: str,
    allowed: Plausible | None,
    gauge: Gauge | None,
    habits: Habits,
) -> Quantity:
    if kind == "count":
        return Quantity(number, find_unit("pcs"), token)
    usual = habits.units.get(kind) or (_unit_of(gauge) if gauge else "")
    signed = token[:1] in "+-−" and allowed is not None and allowed.nominal is not None
    if signed:
        assert allowed is not None
        assert allowed.nominal is not None
        unit = find_unit(usual or allowed.unit.name, kind)
        size = Decimal(repr(round(unit.from_si(allowed.nominal), 6)))
        return Quantity(size + number, unit, token)
    if allowed is None:
        if usual:
            return Quantity(number, find_unit(usual, kind), token)
        names = [u.name for u in usual_units(kind)][:4]
        raise Asked(
            f"{check}: {token} in which unit?",
            tuple(Offer(f"{token} {n}", f"{token} {n}") for n in names),
            about=token,
            of_unit=True,
        )
    fitting = [u for u in usual_units(kind) if allowed.holds(u.to_si(number))]
    said = habits.units.get(kind, "")
    in_use = [said, _unit_of(gauge) if gauge else "", allowed.unit.name]
    wanted = [find_unit(name, kind) for name in in_use if name]
    if said:
        return Quantity(number, wanted[0], token)  # said by the person; a slip question follows
    if kind == "torque" and len(fitting) != 1:
        raise Asked(
            _which_unit(check, token),
            tuple(Offer(f"{token} {u.name}", f"{token} {u.name}") for u in fitting),
            about=token,
            of_unit=kind != "torque",  # a torque's unit is asked each time
        )
    for unit in wanted:
        if unit in fitting:
            return Quantity(number, unit, token)
    if kind == "pressure" and len(fitting) == 1:
        return Quantity(number, fitting[0], token)
    return Quantity(number, wanted[-1], token)  # implausible: the slip question says so


def _which_unit(check: str, token: str) -> str:
    return f"{check}: {token} in which unit?"


def _unit_of(gauge: Gauge) -> str:
    for text in (gauge.resolution, gauge.high):
        if text:
            try:
                return parse_quantity(text).unit.name
            except (QuantityError, UnitError):
                continue
    return ""
