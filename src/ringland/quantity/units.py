"""The closed table of units that manuals, gauges and people in this trade use.

Factors are exact: NIST SP 811:2008, Appendix B.8, and the definitions behind it
(inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s^2).
"""

from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from typing import NamedTuple

INCH = Decimal("0.0254")  # m, exact
POUND_FORCE = Decimal("0.45359237") * Decimal("9.80665")  # N, exact
KILOGRAM_FORCE = Decimal("9.80665")  # N, exact
PSI = POUND_FORCE / INCH**2
US_GALLON = 231 * INCH**3  # m^3, exact
IMPERIAL_GALLON = Decimal("0.00454609")  # m^3, exact
INCH_OF_MERCURY = Decimal("3386.389")  # Pa, conventional, NIST SP 811 B.8


class UnitError(ValueError):
    """A unit nobody here knows, or one of the wrong kind."""


class Unit(NamedTuple):
    """One unit: its printed name, its kind, and SI value = number * factor + offset."""

    name: str
    kind: str
    factor: Decimal
    offset: Decimal = Decimal(0)

    def to_si(self, number: Decimal) -> float:
        """Return the SI value of a number in this unit, rounded once."""
        return float(number * self.factor + self.offset)

    def from_si(self, value: float) -> float:
        """Return the number in this unit of an SI value."""
        return (value - float(self.offset)) / float(self.factor)

    def step_from_si(self, difference: float) -> float:
        """Return the number in this unit of a difference (an offset does not apply)."""
        return difference / float(self.factor)


class Quantity(NamedTuple):
    """A number with its unit, and the text it was read from."""

    number: Decimal
    unit: Unit
    typed: str = ""

    @property
    def si(self) -> float:
        """The value in the SI unit of its kind."""
        return self.unit.to_si(self.number)

    def __str__(self) -> str:
        return f"{self.number} {self.unit.name}"


def _every() -> Iterator[tuple[Unit, str]]:
    d = Decimal

    def unit(
        name: str, kind: str, factor: Decimal, aliases: str = "", offset: str = "0"
    ) -> tuple[Unit, str]:
        return Unit(name, kind, factor, d(offset)), aliases

    yield unit("mm", "length", d("0.001"), "millimetre|millimetres|millimeter|millimeters")
    yield unit("µm", "length", d("0.000001"), "um|micron|microns|micrometre|micrometres")
    yield unit("cm", "length", d("0.01"))
    yield unit("m", "length", d(1), "metre|metres|meter|meters")
    yield unit("in", "length", INCH, 'inch|inches|"|″|”')
    yield unit("thou", "length", INCH / 1000, "mil|mils")
    yield unit("ft", "length", INCH * 12, "foot|feet")
    yield unit("N·m", "torque", d(1), "nm|newton metre|newton metres|newtonmeter")
    yield unit(
        "lbf·ft",
        "torque",
        POUND_FORCE * INCH * 12,
        "ftlb|ftlbs|ftlbf|lbft|lbsft|footpound|footpounds|poundfoot|poundfeet",
    )
    yield unit(
        "lbf·in",
        "torque",
        POUND_FORCE * INCH,
        "inlb|inlbs|inlbf|lbin|lbsin|inchpound|inchpounds|poundinch",
    )
    yield unit("kgf·m", "torque", KILOGRAM_FORCE, "kgm|mkg|mkgf|mkp|kpm")
    yield unit("kgf·cm", "torque", KILOGRAM_FORCE / 100, "kgcm|cmkg|cmkgf")
    yield unit("daN·m", "torque", d(10), "danm")
    yield unit("bar", "pressure", d(100000), "bars")
    yield unit("mbar", "pressure", d(100), "millibar")
    yield unit("Pa", "pressure", d(1), "pascal")
    yield unit("hPa", "pressure", d(100))
    yield unit("kPa", "pressure", d(1000))
    yield unit("MPa", "pressure", d(1000000))
    yield unit("psi", "pressure", PSI, "psig|psia|lb/in2|lbf/in2|lb/in²")
    yield unit("kgf/cm²", "pressure", KILOGRAM_FORCE * 10000, "kgf/cm2|kg/cm2|kg/cm²|at")
    yield unit("inHg", "pressure", INCH_OF_MERCURY, "in hg|inches of mercury")
    yield unit("mL", "volume", d("0.000001"), "cc|cm3|cm³|millilitre|millilitres|milliliter")
    yield unit("L", "volume", d("0.001"), "l|litre|litres|liter|liters|dm3|dm³")
    yield unit("US fl oz", "volume", US_GALLON / 128, "usfloz|floz us")
    yield unit(
        "imp fl oz", "volume", IMPERIAL_GALLON / 160, "impfloz|imperial fl oz|uk fl oz|floz imp"
    )
    yield unit("US gal", "volume", US_GALLON, "us gallon|us gallons")
    yield unit(
        "imp gal", "volume", IMPERIAL_GALLON, "imperial gal|imperial gallon|imperial gallons|uk gal"
    )
    yield unit("°C", "temperature", d(1), "c|degc|ºc|celsius|deg c", "273.15")
    yield unit("K", "temperature", d(1), "kelvin")
    yield unit(
        "°F",
        "temperature",
        d(5) / d(9),
        "f|degf|ºf|fahrenheit|deg f",
        str(d("273.15") - d(32) * 5 / 9),
    )
    yield unit("h", "time", d(3600), "hr|hrs|hour|hours")
    yield unit("min", "time", d(60), "minute|minutes|mins")
    yield unit("s", "time", d(1), "sec|second|seconds")
    yield unit(
        "rpm", "rotation", d(1) / 60, "1/min|rev/min|r/min|min-1|min⁻¹"
    )  # SI here: revolutions per second
    yield unit("deg", "angle", d("0.017453292519943295769236907684886"), "°|degree|degrees|º")
    yield unit("rad", "angle", d(1), "radian|radians")
    yield unit("N", "force", d(1), "newton|newtons")
    yield unit("kN", "force", d(1000))
    yield unit("lbf", "force", POUND_FORCE, "lb|lbs")
    yield unit("kgf", "force", KILOGRAM_FORCE, "kp")
    yield unit("g", "mass", d("0.001"), "gram|grams")
    yield unit("kg", "mass", d(1))
    yield unit(":1", "ratio", d(1), "to 1|:1")
    yield unit("%", "share", d("0.01"), "percent|per cent|pct")
    yield unit("", "count", d(1), "pcs|pieces|off|x")
    yield unit("mm²", "area", d("0.000001"), "mm2")
    yield unit("mL/min", "flow", d("0.000001") / 60, "cc/min|cm³/min")


# One measure that two countries fill differently: the person is asked.
ASKED = {
    "floz": ("US fl oz", "imp fl oz"),
    "ounce": ("US fl oz", "imp fl oz"),
    "ounces": ("US fl oz", "imp fl oz"),
    "oz": ("US fl oz", "imp fl oz"),
    "gal": ("US gal", "imp gal"),
    "gallon": ("US gal", "imp gal"),
    "gallons": ("US gal", "imp gal"),
}

_DROPPED = str.maketrans("", "", " \u00a0\u202f·⋅•*.-_")
_SAME = str.maketrans({"μ": "µ", "−": "-"})


def _key(spelling: str) -> str:
    return spelling.translate(_SAME).translate(_DROPPED).casefold()


@cache
def _table() -> tuple[tuple[Unit, str], ...]:
    return tuple(_every())


@cache
def _by_key() -> dict[str, Unit]:
    found: dict[str, Unit] = {}
    for unit, aliases in _table():
        for spelling in (unit.name, *filter(None, aliases.split("|"))):
            found.setdefault(_key(spelling), unit)
    return found


def find_unit(spelling: str, kind: str | None = None) -> Unit:
    """Return the unit of a spelling, however it is dotted, dashed or cased.

    kind : the kind asked for, such as "length"; None takes any
    Raises UnitError that names what was typed and what would do.

    >>> find_unit("ft-lb").name, find_unit("Nm").name, find_unit("kg/cm2").name
    ('lbf·ft', 'N·m', 'kgf/cm²')
    """
    key = _key(spelling)
    if key in ASKED:
        either = " or ".join(ASKED[key])
        raise UnitError(f"{spelling!r} is filled differently in two countries: write {either}")
    unit = _by_key().get(key)
    if unit is None and kind == "torque" and key in ("ft", "in"):
        # said at the bench: "21 foot" when a torque is asked for
        unit = _by_key()[f"{key}lb"]
    if unit is None:
        from difflib import get_close_matches  # only a misspelling pays for it

        names = [u.name for u in units_of(kind)] if kind else [u.name for u, _ in _table()]
        near = get_close_matches(spelling, names, 1, 0.5)
        hint = f"; did you mean {near[0]}?" if near else ""
        raise UnitError(
            f"{spelling!r} is not a unit known here{hint or ';'} "
            f"known: {', '.join(filter(None, names))}"
        )
    if kind is not None and unit.kind != kind:
        if kind == "torque" and unit.name in ("ft", "in"):
            return _by_key()[f"{unit.name}lb"]
        names = [u.name for u in units_of(kind)]
        raise UnitError(
            f"{unit.name} is a {unit.kind}; here a {kind} is asked for, in {', '.join(names)}"
        )
    return unit


def units_of(kind: str) -> list[Unit]:
    """Return the units of a kind, the commonest first."""
    return [unit for unit, _ in _table() if unit.kind == kind]
