"""Names in a sheet that point at nothing: a step that needs a step nobody wrote."""

from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter

from ringland.sheet.figures import Trouble
from ringland.sheet.model import Brings, Sheet
from ringland.sheet.text import Path, did_you_mean


def broken_references(sheet: Sheet) -> list[Trouble]:
    """Return every name that points at nothing, and a circle of needs if there is one."""
    found: list[Trouble] = []
    for path, names, known in _references(sheet):
        found += [
            Trouble(path, f"there is no {name!r}.{did_you_mean(name, known)}")
            for name in names
            if name not in known
        ]
    try:
        TopologicalSorter({name: set(step.needs) for name, step in sheet.steps.items()}).prepare()
    except CycleError as error:
        circle = " needs ".join(reversed(error.args[1]))
        found.append(
            Trouble(("steps", error.args[1][0]), f"these steps wait for each other: {circle}")
        )
    return found


Reference = tuple[Path, Iterable[str], Iterable[str]]


def _references(sheet: Sheet) -> Iterator[Reference]:
    features = sheet.features
    yield ("not fitted",), sheet.not_fitted, features
    for name, step in sheet.steps.items():
        here = ("steps", name)
        yield (*here, "needs"), step.needs, sheet.steps
        yield (*here, "off"), step.off, sheet.parts
        yield (*here, "on"), step.on, sheet.parts
        yield (*here, "checks"), step.checks, sheet.checks
        yield (*here, "goes back"), filter(None, [step.goes_back]), sheet.steps
        yield (*here, "tighten"), filter(None, [step.tighten]), sheet.fasteners
        yield (*here, "fitted to"), filter(None, [step.fitted_to]), features
    for name, check in sheet.checks.items():
        here = ("checks", name)
        yield (*here, "part"), [check.part], sheet.parts
        yield (*here, "of"), check.of, sheet.checks
        yield (*here, "needs"), check.needs, sheet.steps
        yield (*here, "fitted to"), filter(None, [check.fitted_to]), features
        yield from _brought(sheet, (*here, "beyond"), check.beyond)
    for name, finding in sheet.findings.items():
        here = ("findings", name)
        yield (*here, "part"), [finding.part], sheet.parts
        yield (*here, "lifts"), finding.lifts, sheet.findings
        yield from _brought(sheet, (*here, "brings"), finding.brings)
    for name, part in sheet.parts.items():
        yield ("parts", name, "renew with"), part.renew_with, sheet.parts
        yield ("parts", name, "waits for"), part.waits_for, sheet.checks
        yield ("parts", name, "counted by"), filter(None, [part.counted_by]), sheet.fasteners
        yield ("parts", name, "in kit"), filter(None, [part.in_kit]), sheet.kits
    for name, phase in sheet.phases.items():
        yield ("phases", name, "opens after"), phase.opens_after, sheet.steps


def _brought(sheet: Sheet, here: Path, brings: Brings) -> Iterator[Reference]:
    yield (*here, "renew"), brings.renew, sheet.parts
    yield (*here, "orders wait"), brings.orders_wait, sheet.parts
    yield (*here, "steps"), brings.steps, sheet.steps
    yield (*here, "checks"), brings.checks, sheet.checks
