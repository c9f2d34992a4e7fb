"""The questions about a line of readings: all of them at once, before anything is kept.

Start with `Line`.
"""

from dataclasses import dataclass, field

from ringland.bench.bench import Bench
from ringland.bench.refusal import Asked, Offer
from ringland.job.case import Case
from ringland.job.log.entries import Condition, Gauge
from ringland.job.slips.beside import Last, Typed, beside_slip, copied_slip, sizes_of
from ringland.job.slips.gauge import gauge_slip
from ringland.job.slips.size import Slip, slip_of
from ringland.quantity import Quantity


@dataclass(slots=True)
class Line:
    """The values of one line, each held against its band, its gauge and what it stands beside."""

    case: Case
    check: str
    condition: Condition
    gauge: Gauge | None
    last: Last | None = None
    values: dict[str, float] = field(default_factory=dict)
    slips: list[Slip] = field(default_factory=list)
    typed: list[str] = field(default_factory=list)

    def question(self, place: str, quantity: Quantity) -> str:
        """Return the question about a value, empty where it is plausible."""
        if quantity.unit.kind != self.case.book.sheet.checks[self.check].unit:
            return ""  # minutes of a leak test, the altitude of a compression
        line = {at: size for at, size in self.values.items() if at != place}
        typed = Typed(self.case, self.check, self.condition, place, quantity, line)
        alone = slip_of(self.case, self.check, quantity) or (
            gauge_slip(self.gauge, quantity) if self.gauge else None
        )
        if alone is None:  # a value that is wrong by itself makes no other one doubtful
            self.values[place] = quantity.si
        slip = alone or beside_slip(typed)
        if slip is None:
            return ""
        self.slips.append(slip)
        self.typed.append(quantity.typed)
        return slip.question

    def copied(self) -> str:
        """Return the question whether the whole line was measured today, empty where it was."""
        key = (self.check, self.condition)
        slip = copied_slip(self.case, key, self.values, self.last) if self.last else None
        if slip is None:
            return ""
        self.slips.append(slip)
        return slip.question

    def asked(self) -> Asked:
        """Return all questions as one; answers are offered where there is only one."""
        questions = "\n".join(slip.question for slip in self.slips)
        only = self.slips[0].likely if len(self.slips) == 1 else ()
        about = self.typed[0] if len(self.slips) == len(self.typed) == 1 else ""
        offers = tuple(Offer(each, each) for each in only)
        return Asked(f"{questions} Nothing kept.", offers, about=about)


def last_job(bench: Bench, job: str) -> Last | None:
    """Return what was read in the job of this machine before this one."""
    opened = bench.state(job).opened
    if opened is None or not opened.previous or opened.previous not in bench.jobs():
        return None
    state = bench.state(opened.previous)
    first = state.entries[0].at[:10] if state.entries else ""
    return Last(opened.previous, first, sizes_of(state))
