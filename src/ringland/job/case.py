"""Everything that is computed of a job, once: sheet in force, verdicts, consequences, counts."""

from collections.abc import Mapping
from dataclasses import dataclass

from ringland.job.book import Book, book_of
from ringland.job.consequences import Brought, brought
from ringland.job.counts import Tally, tallies
from ringland.job.log.entries import Condition
from ringland.job.log.fold import State
from ringland.job.parts import PartsList, parts_of_job, renewed_parts
from ringland.job.steps import steps_of
from ringland.job.torques import Progress, progress
from ringland.job.verdicts.judge import judge
from ringland.job.verdicts.verdict import Verdict, Verdicts
from ringland.sheet.model import FastenerGroup, Phase, Step


@dataclass(frozen=True, slots=True)
class Case:
    """A job as it stands.

    now : ISO instant at which it is looked at; decides only whether a tightening was broken off
    steps : the steps that apply, by name; done : which of them are done
    renew : parts that are renewed, with the reason
    """

    book: Book
    state: State
    now: str
    verdicts: Verdicts
    brought: Brought
    steps: Mapping[str, Step]
    done: Mapping[str, bool]
    renew: Mapping[str, str]
    tallies: tuple[Tally, ...]

    @property
    def parts(self) -> PartsList:
        """The parts list as it stands."""
        sheet, scope, stopped = self.book.sheet, self.book.scope, self.brought.orders_wait
        return parts_of_job(sheet, scope, self.renew, self.state, self.verdicts, stopped)

    def groups(self) -> dict[str, FastenerGroup]:
        """Return the groups of fasteners that are tightened in this job."""
        wanted = {step.tighten for step in self.steps.values() if step.tighten}
        return {
            name: group
            for name, group in self.book.sheet.fasteners.items()
            if name in wanted and self.book.applies(group.scopes, group.fitted_to)
        }

    def progress(self, group: str) -> Progress:
        """Return how far the tightening of a group is."""
        return progress(self.book, self.state, self.now, group)

    def wanted(self, check: str, condition: Condition) -> bool:
        """Say whether a reading is asked for: it belongs to the job, and its part is there."""
        content = self.book.sheet.checks[check]
        if not self.book.applies(content.scopes, content.fitted_to):
            return check in self.brought.checks
        if not content.needed and check not in self.brought.checks:
            return False
        if content.taken == "both" and content.phase not in ("due", "inspect"):
            # a proof of the new build; before the strip only where something calls for it
            return condition == "as fitted" or check in self.brought.checks
        if condition == "as fitted" and content.taken == "both":
            return any(part in self.renew for part in self._parts_of(check))
        return True

    def _parts_of(self, check: str) -> set[str]:
        content = self.book.sheet.checks[check]
        return {content.part} | {self.book.sheet.checks[base].part for base in content.of}

    def readings_wanted(self, phase: Phase) -> list[Verdict]:
        """Return the verdicts of the readings that a phase asks for, taken or not."""
        return [
            verdict
            for (name, condition), verdict in self.verdicts.items()
            if phase == self.book.phase_of(name, condition) and self.wanted(name, condition)
        ]


def case_of(state: State, now: str, book: Book | None = None) -> Case:
    """Return a job as it stands. `book` saves reading the sheet again when it is at hand."""
    book = book or book_of(state)
    verdicts = judge(book, state)
    found = brought(book, state, verdicts)
    steps = steps_of(book, found.steps)
    done = {name: _is_done(book, state, now, name, step) for name, step in steps.items()}
    decided = {part: said.fact.decision for part, said in state.decided.items()}
    renew = renewed_parts(book.sheet, book.scope, found, decided)
    counted = tuple(tallies(book.sheet.parts, steps, state, done))
    return Case(book, state, now, verdicts, found, steps, done, renew, counted)


def _is_done(book: Book, state: State, now: str, name: str, step: Step) -> bool:
    """A step is done when it was ticked or set aside; one that tightens, when its nuts are tight."""
    if name in state.aside:
        return True
    if step.tighten:
        return progress(book, state, now, step.tighten).is_complete
    return name in state.done
