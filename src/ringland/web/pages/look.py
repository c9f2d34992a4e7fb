"""What a page of a job looks at, and the addresses of its things."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ringland.bench.bench import Bench
from ringland.job.case import Case
from ringland.job.log.entries import ReadingTaken
from ringland.report.view import PlanLine, job_view
from ringland.report.words import indication_words
from ringland.web.acts import Act, Answer
from ringland.web.templating import url

Context = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Look:
    """One look at a job.

    name : what the page is about, such as a check or a step; empty for a whole list
    act, answer : what was just posted and what became of it; None on a plain look
    """

    bench: Bench
    job: str
    case: Case
    name: str
    query: Mapping[str, str]
    act: Act | None = None
    answer: Answer | None = None

    @property
    def typed(self) -> Mapping[str, str]:
        """What was typed and not kept, so that it stands in the field again."""
        if self.act is None or self.answer is None or self.answer.change is not None:
            return {}
        return self.act.fields


def base(look: Look, title: str) -> Context:
    """Return what each page of a job shows: where it stands, the answer to what was posted."""
    view = job_view(look.case, look.job)
    return {
        "title": title,
        "job": look.job,
        "view": view,
        "answer": look.answer,
        "act": look.act,
        "read_back": _read_back(look.answer),
        "after": None,  # what an answer offers next, where that is not what the plan has next
        "typed": look.typed,
        "last": look.bench.log.last(f"job/{look.job}"),
        "line_url": lambda line: line_url(look.case, look.job, line),
        "open_url": lambda line: open_url(look.case, look.job, line.kind, line.what),
        "step_url": lambda name: open_url(look.case, look.job, "step", name),
    }


def _read_back(answer: Answer | None) -> str:
    """What was just read, as it stands in the log: each value with the unit it was kept in."""
    facts = [entry.fact for entry in answer.entries] if answer else []
    return "; ".join(
        " ".join(
            filter(
                None, (fact.check, fact.place, ", ".join(map(indication_words, fact.indications)))
            )
        )
        + (f" with {fact.gauge}" if fact.gauge else "")
        for fact in facts
        if isinstance(fact, ReadingTaken)
    )


def line_url(case: Case, job: str, line: PlanLine) -> str:
    """Return the page on which an item of the plan is done."""
    if line.kind == "reading":
        name, _, condition = line.name.rpartition(", ")
        return url("job", job, "check", name) + f"?condition={condition.replace(' ', '%20')}"
    if line.kind == "decision":
        return url("job", job, "check", line.name)
    if line.kind == "cause":
        return url("job", job, "causes")
    if line.kind == "part":
        return url("job", job, "part", line.name)
    step = case.steps.get(line.name)
    if step is not None and step.tighten and step.tighten in case.groups():
        return url("job", job, "tighten", step.tighten)
    return url("job", job, "step", line.name)


def open_url(case: Case, job: str, kind: str, what: str) -> str:
    """Return the page on which a thing that does not hold is put right; nothing where none is.

    kind, what : of the thing, as at a hold point; its sentence begins with the name
    """
    name, _, _ = what.partition(":")
    check = name.removesuffix(", as fitted")
    sheet = case.book.sheet
    if kind == "cause":
        return url("job", job, "causes")
    if kind == "torque" and name in case.groups():
        return url("job", job, "tighten", name)
    if check in sheet.checks:
        suffix = "?condition=as%20fitted" if check != name else ""
        return url("job", job, "check", check) + suffix
    if name in case.steps:
        return url("job", job, "step", name)
    if name in sheet.parts and kind in ("part", "count"):
        return url("job", job, "part", name)
    return url("job", job, "findings") if name in sheet.findings else ""
