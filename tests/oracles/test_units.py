"""Units against NIST SP 811, exact definitions, and the library pint on canonical spellings."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.quantity import Quantity, find_unit, parse_quantity

EXACT = 1e-15  # factors that are exact by definition: only the float's own rounding
PRINTED = 5e-7  # NIST SP 811 prints seven figures

# NIST SP 811:2008, Appendix B.8 (printed figures) ; bold there means exact
NIST = [
    ("1 in", 2.54e-2),
    ("1 thou", 2.54e-5),  # mil (0.001 in)
    ("1 ft", 3.048e-1),
    ("1 lbf·ft", 1.355818),
    ("1 lbf·in", 1.129848e-1),
    ("1 kgf·m", 9.80665),
    ("1 psi", 6.894757e3),
    ("1 kgf/cm²", 9.80665e4),
    ("1 bar", 1e5),
    ("1 mbar", 1e2),
    ("1 inHg", 3.386389e3),
    ("1 US gal", 3.785412e-3),
    ("1 US fl oz", 2.957353e-5),
    ("1 imp gal", 4.54609e-3),
    ("1 imp fl oz", 2.841306e-5),
    ("1 L", 1e-3),
    ("1 lbf", 4.448222),
    ("1 kgf", 9.80665),
    ("1 deg", 1.745329e-2),
    ("1 rpm", 1 / 60),  # here revolutions per second; SP 811 gives rad/s
    ("1 h", 3.6e3),
    ("1 min", 6.0e1),
]
# exact by definition of inch, pound and standard gravity
DEFINED = [
    ("1 lbf·ft", 1.3558179483314004),
    ("1 lbf·in", 0.1129848290276167),
    ("1 kgf·m", 9.80665),
    ("1 psi", 6894.757293168361),
    ("1 kgf/cm²", 98066.5),
    ("1 in", 0.0254),
    ("1 US fl oz", 29.5735295625e-6),
    ("1 imp fl oz", 28.4130625e-6),
    ("1 US gal", 3785.411784e-6),
    ("1 imp gal", 4546.09e-6),
]
# our name -> the canonical spelling in pint, its SI unit
PINT = {
    "mm": ("millimeter", "meter"),
    "µm": ("micrometer", "meter"),
    "cm": ("centimeter", "meter"),
    "in": ("inch", "meter"),
    "thou": ("thou", "meter"),
    "ft": ("foot", "meter"),
    "lbf·ft": ("force_pound * foot", "newton * meter"),
    "lbf·in": ("force_pound * inch", "newton * meter"),
    "kgf·m": ("kilogram_force * meter", "newton * meter"),
    "kgf·cm": ("kilogram_force * centimeter", "newton * meter"),
    "daN·m": ("decanewton * meter", "newton * meter"),
    "bar": ("bar", "pascal"),
    "mbar": ("millibar", "pascal"),
    "kPa": ("kilopascal", "pascal"),
    "psi": ("psi", "pascal"),
    "kgf/cm²": ("kilogram_force / centimeter ** 2", "pascal"),
    "mL": ("milliliter", "meter ** 3"),
    "L": ("liter", "meter ** 3"),
    "US fl oz": ("fluid_ounce", "meter ** 3"),
    "imp fl oz": ("imperial_fluid_ounce", "meter ** 3"),
    "US gal": ("gallon", "meter ** 3"),
    "imp gal": ("imperial_gallon", "meter ** 3"),
    "°C": ("degree_Celsius", "kelvin"),
    "°F": ("degree_Fahrenheit", "kelvin"),
    "h": ("hour", "second"),
    "min": ("minute", "second"),
    "deg": ("degree", "radian"),
    "kN": ("kilonewton", "newton"),
    "lbf": ("force_pound", "newton"),
    "kgf": ("kilogram_force", "newton"),
    "g": ("gram", "kilogram"),
    "mm²": ("millimeter ** 2", "meter ** 2"),
    "mL/min": ("milliliter / minute", "meter ** 3 / second"),
}


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize(("typed", "si"), NIST)
def test_factors_are_those_printed_in_nist_sp_811(typed: str, si: float) -> None:
    assert parse_quantity(typed).si == pytest.approx(si, rel=PRINTED)


@pytest.mark.parametrize(("typed", "si"), DEFINED)
def test_factors_follow_from_the_definitions_to_the_last_digit(typed: str, si: float) -> None:
    assert parse_quantity(typed).si == pytest.approx(si, rel=EXACT)


@pytest.mark.parametrize(
    ("typed", "kelvin"),
    [
        ("0 °C", 273.15),
        ("32 °F", 273.15),
        ("212 °F", 373.15),
        ("-40 °F", 233.15),
        ("-40 °C", 233.15),
    ],
)
def test_temperatures_meet_at_their_fixed_points(typed: str, kelvin: float) -> None:
    """Exact by definition of the scales."""
    assert parse_quantity(typed).si == pytest.approx(kelvin, rel=EXACT)


@pytest.mark.parametrize("name", sorted(PINT))
def test_a_unit_is_the_one_pint_knows(name: str, registry: "pint.UnitRegistry[float]") -> None:
    spelling, si = PINT[name]
    for number in ("1", "27", "0.35", "1234.5"):
        ours = Quantity(Decimal(number), find_unit(name)).si
        unit = registry.parse_units(spelling)
        theirs = registry.Quantity(float(number), unit).to(si).magnitude
        assert ours == pytest.approx(theirs, rel=1e-12), (number, name)


@settings(deadline=None, max_examples=100)
@given(
    st.just(pint.UnitRegistry()),
    st.sampled_from([name for name in PINT if name not in ("°C", "°F")]),
    st.decimals(min_value="0.001", max_value="99999", places=3),
)
def test_any_number_converts_as_pint_converts_it(
    registry: "pint.UnitRegistry[float]", name: str, number: Decimal
) -> None:
    spelling, si = PINT[name]
    theirs = registry.Quantity(float(number), registry.parse_units(spelling)).to(si).magnitude
    assert Quantity(number, find_unit(name)).si == pytest.approx(theirs, rel=1e-12)
