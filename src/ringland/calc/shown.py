"""How the calculators print lengths, pressures, temperatures, torques, angles, doubts, chances.

A person who typed inches is told inches, with millimetres in brackets: see `Told`.
"""

import re
from collections.abc import Callable, Iterator
from math import degrees
from typing import Any, NamedTuple

from ringland.calc.calculator import Inputs
from ringland.quantity import (
    Estimate,
    Quantity,
    Unit,
    UnitError,
    decimals_beside,
    find_unit,
    show_number,
)

COVERAGE = 2.0  # standard uncertainties printed after ±, about 95 %
THOU_UP_TO = 0.00254  # m: from a tenth of an inch on, a person who counts in thou says inches

HOME = {"length": "mm", "pressure": "bar", "temperature": "°C", "torque": "N·m"}
AS_HOME = (0, 1, 2, 3, 4)
INCHES = (2, 3, 4, 4, 5)  # a gauge in inches shows 0.0001
# unit that may lead -> its decimals where the home unit has 0, 1, 2, 3, 4; the unit in brackets
# and its decimals
LEADS: dict[str, tuple[tuple[int, ...], str, tuple[int, ...]]] = {
    "mm": (AS_HOME, "in", INCHES),
    "in": (INCHES, "mm", (0, 1, 3, 3, 4)),
    "thou": ((0, 0, 1, 1, 2), "mm", (0, 1, 3, 3, 4)),
    "bar": (AS_HOME, "psi", (0, 0, 1, 2, 3)),
    "psi": ((0, 0, 1, 2, 3), "bar", AS_HOME),
    "kPa": ((0, 0, 0, 1, 2), "bar", AS_HOME),
    "kgf/cm²": (AS_HOME, "bar", AS_HOME),
    "N·m": (AS_HOME, "lbf·ft", AS_HOME),
    "lbf·ft": (AS_HOME, "N·m", AS_HOME),
    "lbf·in": ((0, 0, 1, 2, 3), "N·m", AS_HOME),
    "kgf·m": ((1, 2, 3, 4, 5), "N·m", AS_HOME),
    "°C": (AS_HOME, "°F", AS_HOME),
    "°F": (AS_HOME, "°C", AS_HOME),
}
_IN_TEXT = r"\d\s*([^\W\d_]+|[\"″”])"  # a unit behind a number: "H1-X=2.126 in"
_IN_HEADING = r"[^\W\d_]+|[\"″”]"  # any word of it: "x,y,z (thou)"


class Told(NamedTuple):
    """How values of one kind are told to one person. Decimals are those of mm, bar, °C or N·m.

    lead : the unit that comes first
    both : whether the other system's follows in brackets

    >>> inch, metric = Told(find_unit("in"), both=True), Told(find_unit("mm"), both=False)
    >>> inch(0.0012), metric(0.0012)
    ('0.0472 in (1.200 mm)', '1.20 mm')
    >>> inch.doubt(Estimate(0.0012, 15e-6)), metric.span(0.001, 0.0014)
    ('0.0472 ± 0.0012 in (1.200 ± 0.030 mm)', '1.00 to 1.40 mm')
    """

    lead: Unit
    both: bool

    def __call__(self, value: float, decimals: int = 2) -> str:
        """One value [SI]: "1.20 mm", or "0.0472 in (1.200 mm)"."""
        return self._say(value, decimals, lambda unit, d: show_number(unit.from_si(value), d))

    def doubt(self, estimate: Estimate, decimals: int = 2) -> str:
        """A value [SI] with its ± at about 95 %: "1.20 ± 0.03 mm"."""

        def words(unit: Unit, places: int) -> str:
            margin = unit.step_from_si(COVERAGE * estimate.u)
            places = decimals_beside(margin, places)
            return f"{show_number(unit.from_si(estimate.value), places)} ± {show_number(margin, places)}"

        return self._say(estimate.value, decimals, words)

    def span(self, low: float, high: float, decimals: int = 2) -> str:
        """From one value [SI] to another: "1.00 to 1.40 mm"."""

        def words(unit: Unit, places: int) -> str:
            ends = (show_number(unit.from_si(end), places) for end in (low, high))
            return " to ".join(dict.fromkeys(ends))  # one where both print alike

        return self._say(high, decimals, words)

    def change(self, step: float, decimals: int = 2) -> str:
        """A difference [SI] that always carries its sign: "+0.10 mm"."""
        return self._say(step, decimals, lambda unit, d: signed(unit.step_from_si(step), d))

    def change_span(self, low: float, high: float, decimals: int = 2) -> str:
        """From one difference [SI] to another, each with its sign: "+0.10 to +0.30 mm"."""

        def words(unit: Unit, places: int) -> str:
            ends = (signed(unit.step_from_si(end), places) for end in (low, high))
            return " to ".join(ends)

        return self._say(high, decimals, words)

    def bare(self, value: float, decimals: int = 2) -> str:
        """One value [SI] without its unit, where a table's other cells say it."""
        return self.alone(value, decimals).split(" ")[0]

    @property
    def alone(self) -> "Told":
        """The same in the leading unit only: for a drawing, which has no room for both."""
        return self._replace(both=False)

    @property
    def twice(self) -> "Told":
        """The same in both systems: for the value that a gauge of either is held against."""
        return self._replace(both=True)

    def _say(self, size: float, decimals: int, words: Callable[[Unit, int], str]) -> str:
        lead = self.lead
        if lead.name == "thou" and abs(size) >= THOU_UP_TO:
            lead = find_unit("in")
        own, other, others = LEADS[lead.name]
        said = f"{words(lead, own[decimals])} {lead.name}"
        if not self.both:
            return said
        return f"{said} ({words(find_unit(other), others[decimals])} {other})"


def told(inputs: Inputs, kind: str, *names: str) -> Told:
    """Return how to tell values of a kind to the person who typed these inputs.

    names : fields without a default, the one that matters most first: its unit leads. Another
        system's unit anywhere among them puts both into every answer
    """
    typed = [unit for name in names for unit in _units(inputs[name]) if unit.kind == kind]
    home = find_unit(HOME[kind])
    leads = [unit if unit.name in LEADS else home for unit in typed] or [home]
    return Told(leads[0], any(unit != home for unit in leads))


def _units(typed: Any) -> Iterator[Unit]:
    if isinstance(typed, Quantity):
        yield typed.unit
    elif isinstance(typed, tuple):
        for each in typed:
            yield from _units(each)
    elif isinstance(typed, str):
        heading, is_table, _ = typed.partition("\n")
        for spelling in re.findall(_IN_HEADING if is_table else _IN_TEXT, heading):
            try:
                yield find_unit(spelling)
            except UnitError:
                continue  # a word like any other


def deg(angle: float, decimals: int = 1) -> str:
    """Return an angle [rad] in degrees.

    >>> deg(3.141592653589793)
    '180.0°'
    """
    return f"{show_number(degrees(angle), decimals)}°"


def deg_change(angle: float) -> str:
    """Return a change of angle [rad] in degrees with its sign, two decimals.

    >>> deg_change(0.01)
    '+0.57°'
    """
    return signed(degrees(angle), 2) + "°"


def signed(value: float, decimals: int) -> str:
    """Return a number that always carries its sign, but for zero.

    >>> signed(0.1, 2), signed(-0.1, 2), signed(0.0, 2)
    ('+0.10', '−0.10', '0.00')
    """
    shown = show_number(value, decimals)
    return f"+{shown}" if value > 0 and float(shown) else shown


def chance(probability: float) -> str:
    """Return a probability in per cent, never as a certainty; to a tenth where verdicts turn.

    >>> chance(0.9999), chance(0.9188), chance(0.876), chance(0.0)
    ('over 99.9 %', '91.9 %', '88 %', 'under 0.1 %')
    """
    if probability > 0.999:
        return "over 99.9 %"
    if probability < 0.001:
        return "under 0.1 %"
    tight = probability > 0.9 or probability < 0.1
    return f"{show_number(probability * 100, 1 if tight else 0)} %"
