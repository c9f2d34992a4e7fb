"""What comes off goes into bags: one for each step of the strip, in working order."""

from dataclasses import dataclass

from ringland.job.plan import plan
from ringland.job.steps import way_back
from ringland.report.paper.jobfile import JobFile


@dataclass(frozen=True, slots=True)
class Bag:
    """A bag or place on the tray.

    parts : each with its count; back : the step that puts them back
    new : which of them are renewed, so that the old ones are kept apart as proof
    """

    number: str
    step: str
    parts: tuple[tuple[str, int], ...]
    orientation: str
    back: str
    new: tuple[str, ...]


def bags(file: JobFile) -> list[Bag]:
    """Return the bags of a job in the order in which they are filled."""
    case = file.case
    names = [item.name for item in plan(case).items if item.kind == "step"]
    found: list[Bag] = []
    for name in names:
        step = case.steps[name]
        if step.phase != "strip" or not step.off:
            continue
        parts = tuple((part, int(count)) for part, count in step.off.items())
        new = tuple(part for part, _ in parts if part in case.renew)
        back = way_back(name, step, case.steps)
        found.append(Bag(str(len(found) + 1), name, parts, step.orientation, back, new))
    return found
