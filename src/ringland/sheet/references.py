"""Names in a sheet that point at nothing: a step that needs a step nobody wrote."""

from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from ringland.sheet.fastener import trouble_with_order, trouble_with_places
from ringland.sheet.figures import Trouble
from ringland.sheet.model import Brings, FastenerGroup, Finding, Part, Sheet, Supply
from ringland.sheet.readback import keys_of
from ringland.sheet.text import Path, did_you_mean


def broken_references(sheet: Sheet) -> list[Trouble]:
    """Return every name that points at nothing, and a circle of needs if there is one."""
    found: list[Trouble] = []
    for path, names, known in _references(sheet):
        found += [
            Trouble(path, f"there is no {name!r}.{_nearest(name, known)}", of_name=name == path[-1])
            for name in names
            if name not in known
        ]
    found += _loose_fasteners(sheet)
    try:
        TopologicalSorter({name: set(step.needs) for name, step in sheet.steps.items()}).prepare()
    except CycleError as error:
        circle = " needs ".join(reversed(error.args[1]))
        found.append(
            Trouble(("steps", error.args[1][0]), f"these steps wait for each other: {circle}")
        )
    return found


def _loose_fasteners(sheet: Sheet) -> Iterator[Trouble]:
    """A torque under a name that no step tightens would be typed and never used."""
    tightened = {step.tighten for step in sheet.steps.values()} - {""}
    for name, group in sheet.fasteners.items():
        if tightened and name not in tightened:
            near = did_you_mean(name, tightened) or f" Groups: {', '.join(sorted(tightened))}"
            yield Trouble(("fasteners", name), f"no step tightens {name!r}.{near}", of_name=True)
        if wrong := trouble_with_order(group.order, group.count):
            yield Trouble(("fasteners", name, "order"), wrong)
        wrong, at = trouble_with_places(group.at, group.count) if group.at else ("", 0)
        if wrong:
            yield Trouble(("fasteners", name, "at"), wrong, at)


def _nearest(name: str, known: Iterable[str]) -> str:
    """The nearest known name; where none is near and they are few, all of them."""
    known = list(known)
    few = f" There are: {', '.join(known)}" if 0 < len(known) <= 12 else ""
    return did_you_mean(name, known) or few


Reference = tuple[Path, Iterable[str], Iterable[str]]


def _references(sheet: Sheet) -> Iterator[Reference]:
    yield ("not fitted",), sheet.not_fitted, sheet.features
    yield from _of_steps(sheet)
    yield from _of_checks(sheet)
    for name, finding in sheet.findings.items():
        here = ("findings", name)
        yield (*here, "part"), [finding.part], sheet.parts
        yield (*here, "lifts"), finding.lifts, sheet.findings
        yield from _brought(sheet, (*here, "brings"), finding.brings)
    for name, part in sheet.parts.items():
        yield ("parts", name, "renew with"), part.renew_with, sheet.parts
        yield ("parts", name, "waits for"), part.waits_for, sheet.checks
        yield ("parts", name, "when found"), part.when_found, sheet.steps
        yield ("parts", name, "in kit"), _if_any(part.in_kit), sheet.kits
        yield ("parts", name, "counted by"), _if_any(part.counted_by), sheet.fasteners
    for name, phase in sheet.phases.items():
        yield ("phases", name, "opens after"), phase.opens_after, sheet.steps
    fitted: dict[str, Mapping[str, Part | Supply | Finding | FastenerGroup]] = {
        "parts": sheet.parts,
        "tools": sheet.tools,
        "supplies": sheet.supplies,
        "findings": sheet.findings,
        "fasteners": sheet.fasteners,
    }
    for section, content in fitted.items():
        for name, each in content.items():
            yield (section, name, "fitted to"), _if_any(each.fitted_to), sheet.features
    yield from _of_figures(sheet)


def _if_any(name: str) -> list[str]:
    return [name] if name else []


def _of_steps(sheet: Sheet) -> Iterator[Reference]:
    for name, step in sheet.steps.items():
        here = ("steps", name)
        yield (*here, "needs"), step.needs, sheet.steps
        yield (*here, "off"), step.off, sheet.parts
        yield (*here, "on"), step.on, sheet.parts
        yield (*here, "checks"), step.checks, sheet.checks
        yield (*here, "goes back"), _if_any(step.goes_back), sheet.steps
        yield (*here, "tighten"), _if_any(step.tighten), sheet.fasteners
        yield (*here, "fitted to"), _if_any(step.fitted_to), sheet.features


def _of_checks(sheet: Sheet) -> Iterator[Reference]:
    for name, check in sheet.checks.items():
        here = ("checks", name)
        yield (*here, "part"), [check.part], sheet.parts
        yield (*here, "of"), check.of, sheet.checks
        yield (*here, "needs"), check.needs, sheet.steps
        yield (*here, "judged with"), check.judged_with, sheet.parts
        yield (*here, "tells instead"), _if_any(check.tells_instead), sheet.checks
        yield (*here, "fitted to"), _if_any(check.fitted_to), sheet.features
        yield from _brought(sheet, (*here, "beyond"), check.beyond)


def _of_figures(sheet: Sheet) -> Iterator[Reference]:
    """What figures are for; a sheet without checks of its own has nothing to hold them against."""
    profiles = {check.profile for check in sheet.checks.values()} - {""}
    if profiles:
        yield from ((("tests", name), [name], profiles) for name in sheet.tests)
    if sheet.parts:
        yield from ((("hours", name), [name], sheet.parts) for name in sheet.hours)
    yield from ((("read back", name), [name], keys_of(sheet)) for name in sheet.read_back)
    for index, question in enumerate(sheet.questions):
        known = [*sheet.checks, *sheet.geometry, *sheet.fasteners]
        yield ("questions", str(index), "figure"), [question.figure], known


def _brought(sheet: Sheet, here: Path, brings: Brings) -> Iterator[Reference]:
    yield (*here, "renew"), brings.renew, sheet.parts
    yield (*here, "orders wait"), brings.orders_wait, sheet.parts
    yield (*here, "steps"), brings.steps, sheet.steps
    yield (*here, "checks"), brings.checks, sheet.checks
