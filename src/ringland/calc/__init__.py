"""One question answered from arguments, without any job: the bench calculators.

Here: what a calculator is (`calculator`) and one module for each, which names its fields and works
out its answer from the numeric rooms. Command line and page are both made from the same fields.
Not here: any formula (numeric rooms), any printing (`ringland.report`).
Start with `calculator.Calculator`; to add one, write its module and name it in `CALCULATORS`.
"""

from importlib import import_module

from ringland.calc.calculator import Calculator

# name on the command line -> the module that holds `CALCULATOR`; imported when it is used
CALCULATORS: dict[str, str] = {}


def find(name: str) -> Calculator:
    """Return the calculator of a name in `CALCULATORS`, importing only its own module."""
    module = import_module(f"ringland.calc.{CALCULATORS[name]}")
    found = module.CALCULATOR
    assert isinstance(found, Calculator)
    return found
