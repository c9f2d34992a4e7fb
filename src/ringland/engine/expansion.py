"""What the metals of a top end grow by, each with its source, and a part at its temperature.

Not here: fits (`hotfit`). A plated bore grows like the aluminium under its plating.
Start with `MATERIALS` and `part_of`.
"""

from math import hypot, inf, sqrt
from typing import NamedTuple

from ringland.engine.refusal import OutOfRange
from ringland.quantity import Estimate

ZERO_CELSIUS = 273.15  # K, exact
COLDEST, HOTTEST = 223.15, 673.15  # K, -50 to 400 °C: where these mean expansions are of use

HANDBOOK = "Callister, Materials Science and Engineering, Table B.6 (near 20 °C)"
MAKER = "a piston maker's material sheet, mean from 20 to 200 °C"
MEMORY = "from memory"
# a handbook prints one figure for a kind of metal; alloys and treatments of the kind differ by this
ONE_FIGURE = 0.05  # share of the value, half-width, common practice


class Material(NamedTuple):
    """A metal, its linear expansion [1/K] and how far its kind may differ (half-width) [1/K]."""

    name: str
    expansion: float
    half_width: float
    source: str


def _table() -> dict[str, Material]:
    rows = [
        ("grey iron", 11.4, None, HANDBOOK),
        ("ductile iron", 10.9, 0.3, HANDBOOK),  # 10.6 to 11.2
        ("carbon steel", 11.7, None, HANDBOOK),  # 1020
        ("alloy steel", 12.3, None, HANDBOOK),  # 4140
        ("stainless ring steel", 10.2, None, HANDBOOK),  # 440A
        ("cast aluminium", 21.5, None, HANDBOOK),  # 356
        ("Al-12Si", 21.0, 0.5, MAKER),  # 20.5 to 21.5
        ("Al-18Si", 19.0, 0.5, MEMORY),  # 18.5 to 19.5
        ("4032", 19.4, None, "a handbook's table of wrought aluminium alloys"),
        ("2618", 22.3, None, MEMORY),
    ]
    return {
        name: Material(
            name, ppm * 1e-6, (ppm * ONE_FIGURE if half is None else half) * 1e-6, source
        )
        for name, ppm, half, source in rows
    }


MATERIALS = _table()


class Part(NamedTuple):
    """A part with its expansion [1/K] and its temperature [K], both with their doubt."""

    expansion: Estimate
    temperature: Estimate

    def strain(self, cold: float) -> Estimate:
        """Growth per length from the cold temperature [K] on; negative where it is colder.

        Source: mean linear expansion; JCGM 100:2008, 5.1.2.
        """
        rise = self.temperature.value - cold
        doubt = hypot(rise * self.expansion.u, self.expansion.value * self.temperature.u)
        return Estimate(self.expansion.value * rise, doubt, inf)


def part_of(material: str, temperature: float, *, half_width: float = 0.0) -> Part:
    """A part of a material in the table, at a temperature known within a half-width.

    material : name in `MATERIALS`
    temperature : [K], -50 to 400 °C
    half_width : how far the temperature may be off [K], rectangular
    Raises OutOfRange.

    >>> part = part_of("cast aluminium", 393.15)
    >>> round(part.strain(293.15).value * 1e3, 3)
    2.15
    """
    if material not in MATERIALS:
        raise OutOfRange(
            "material",
            f"{material!r} is not in the table: {', '.join(MATERIALS)}; or give its figure",
        )
    require_temperature("temperature", temperature)
    if not half_width >= 0:
        raise OutOfRange("half_width", f"half-width is {half_width:g} K: give 0 K or more")
    metal = MATERIALS[material]
    return Part(
        Estimate(metal.expansion, metal.half_width / sqrt(3)),
        Estimate(temperature, half_width / sqrt(3)),
    )


def require_temperature(name: str, temperature: float) -> None:
    """Refuse a temperature [K] outside -50 to 400 °C, where these mean expansions say nothing.

    Raises OutOfRange.
    """
    if not COLDEST <= temperature <= HOTTEST:
        raise OutOfRange(
            name,
            f"{name} is {temperature - ZERO_CELSIUS:g} °C: −50 °C to 400 °C; check the unit",
        )
