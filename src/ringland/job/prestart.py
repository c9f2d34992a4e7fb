"""What still forbids the first start."""

from ringland.job.case import Case
from ringland.job.holds import Open, open_at, stops_resolved, torque_complete
from ringland.sheet.model import PHASES

BEFORE = PHASES[: PHASES.index("start")]


def prestart(case: Case) -> list[Open]:
    """Return everything that must hold before the first start and does not, the worst first.

    Hold points may be signed by a named person; tightening, rags and the stops that can never be
    signed away stay in the list whoever signs.
    """
    found: dict[str, Open] = {}
    for name, step in case.steps.items():
        if step.hold and step.phase in BEFORE:
            found |= {each.what: each for each in open_at(case, name)}
    for each in (*stops_resolved(case), *torque_complete(case)):
        found[each.what] = each
    for name, step in case.steps.items():
        if step.phase in ("build", "prestart") and not step.hold and not case.done[name]:
            if step.tighten and step.tighten in case.groups():
                continue  # its fasteners are in the list one by one
            found[name] = Open("step", f"{name}: not done", step.words)
    return sorted(found.values(), key=lambda each: (not each.never_signed, _ORDER.index(each.kind)))


_ORDER = [
    "stop",
    "torque",
    "count",
    "test",
    "witness",
    "cause",
    "decision",
    "reading",
    "part",
    "step",
]
