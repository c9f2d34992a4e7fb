"""One question answered from arguments, without any job: the bench calculators.

Here: what a calculator is (`calculator`) and one module for each, which names its fields and works
out its answer from the numeric rooms. Command line and page are both made from the same fields.
Not here: any formula (numeric rooms), any printing (`ringland.report`).
Start with `calculator.Calculator`; to add one, write its module and name it in `CALCULATORS`.
"""

from importlib import import_module

from ringland.calc.calculator import Calculator

# name on the command line (its module holds `CALCULATOR`) -> the line that `--help` shows
CALCULATORS: dict[str, str] = {
    "adapter": "Set a torque wrench with an offset adapter, or what the nut gets.",
    "air": "Density of moist air, and what altitude and weather do to mixture and power.",
    "bore": "Diameters, out-of-round and taper of a bore grid.",
    "clearance": "Piston clearance from bore and skirt, with what they share.",
    "compression": "What a cranking compression reading can and cannot say.",
    "conformance": "Probability that a value lies within its limits.",
    "convert": "One value in every unit of its kind.",
    "coolant": "Coolant mix by volume: freeze point, drain and refill.",
    "flatness": "Flatness of a face from points: minimum zone and least squares.",
    "gap": "Ring end gap from a leaflet's rule per bore, and what a reading proves.",
    "heatcycle": "Break-in heat cycles: how long an engine needs to cool.",
    "hone": "Cross-hatch angle from spindle speed and stroke.",
    "hotfit": "Clearance and ring gap from cold to hot.",
    "jet": "Direction and size of a mixture change, with its cautions.",
    "leak": "Crankcase and cooling leak tests: rate, area, drift of temperature.",
    "leakdown": "Cylinder leak-down: flow and effective area.",
    "piston": "Which piston class fits a measured bore, and how surely.",
    "ports": "Port timing from heights, and what a gasket changes.",
    "preload": "Clamp force behind a torque, as a range. It never sets a torque.",
    "premix": "Oil for the fuel, any ratio and unit, correcting a can.",
    "ratio": "Swept and clearance volume, full and trapped compression ratio.",
    "ring": "Piston speed and ring acceleration against the flutter table.",
    "sequence": "Tightening order from where the fasteners stand.",
    "squish": "Squish from solder, and which gasket brings it home.",
}


def find(name: str) -> Calculator:
    """Return the calculator of a name in `CALCULATORS`, importing only its own module."""
    module = import_module(f"ringland.calc.{name}")
    found = module.CALCULATOR
    assert isinstance(found, Calculator)
    return found
