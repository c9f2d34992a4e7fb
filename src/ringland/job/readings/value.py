"""What the readings of a check come to, and what it is worked out from.

Here: the value with its doubt and budget, and the source (sheet, state, values so far) that the
methods read. Not here: the methods (`values`), one reading (`gauging`), temperature (`warmth`).
Start with `Value`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from ringland.job.book import Book
from ringland.job.log.entries import Condition, Evidence, ReadingTaken
from ringland.job.log.fold import Said, State
from ringland.measure.conformance import Interval
from ringland.measure.estimates import Budget
from ringland.measure.form import FormConformance, face_within, ranges_within
from ringland.quantity import Estimate, Unit
from ringland.sheet.model import Check

CONDITIONS: tuple[Condition, ...] = ("as found", "as fitted")


@dataclass(frozen=True, slots=True)
class Form:
    """A difference of sizes (out-of-round, taper, spread), which noise only makes larger.

    groups : the sizes among which it is the largest range, SI
    noise : standard uncertainty of each, without what is common to all, SI
    face : instead of groups, the points of a face: x, y, height, SI
    """

    groups: tuple[tuple[float, ...], ...]
    noise: float
    face: tuple[tuple[float, float, float], ...] = ()

    def within(self, upper: float, noise: float | None = None) -> FormConformance:
        """Return how surely it lies within a limit, with its own noise or another gauge's."""
        each = self.noise if noise is None else noise
        if self.face:
            return face_within(self.face, noise=each, upper=upper)
        return ranges_within(self.groups, noise=each, upper=upper)


@dataclass(frozen=True, slots=True)
class Warmth:
    """At what temperature a size was read [K], and whether its value is good for 20 °C."""

    part: float
    at_reference: bool


@dataclass(frozen=True, slots=True)
class Value:
    """What the readings of a check come to, in SI.

    estimate : the value that is judged against an upper limit, or against both
    least : where readings of several places differ, the value judged against a lower limit
    budget, least_budget : what their doubt is made of
    as_read : the budget before it was corrected to 20 °C
    form : a difference that is judged by simulation, because noise only makes it larger
    interval, least_interval : what leaves prove of the largest and of the least gap
    said : evidence without a number ("good", "bad", "not sure", "not taken")
    doubt : why the readings give no value that can be judged, and what to do
    not_comparable : the doubt is that the reading cannot be compared
    places : what was read at each place, in the order of the sheet
    unit : the unit it is printed in
    day : when it was last read, ISO date
    notes : what is said beside it: temperature, calibration, convention
    shown : what was read, in words, where a rule of its own judges it
    """

    estimate: Estimate | None = None
    least: Estimate | None = None
    budget: Budget | None = None
    least_budget: Budget | None = None
    as_read: Budget | None = None
    form: Form | None = None
    interval: Interval | None = None
    least_interval: Interval | None = None
    said: Evidence | None = None
    doubt: str = ""
    not_comparable: bool = False
    place: str = ""
    places: dict[str, "Value"] = field(default_factory=dict)
    unit: Unit | None = None
    gauges: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()
    day: str = ""
    warmth: Warmth | None = None
    remark: str = ""
    notes: tuple[str, ...] = ()
    shown: str = ""


Readings = Sequence[Said[ReadingTaken]]
Method = Callable[["Source", str, Condition], Value | None]


@dataclass(frozen=True, slots=True)
class Source:
    """Sheet and state, and the values worked out so far."""

    book: Book
    state: State
    values: dict[tuple[str, Condition], Value]
    work: "Work"

    def readings(self, check: str, condition: Condition) -> Readings:
        """Return the readings of a check that describe the part as it is now, in their order.

        What was read before work on the part was done tells of a part that is no more so.
        """
        taken = self.state.readings.get((check, condition), [])
        last = {said.fact.place: self.work.before(said.entry, condition) for said in taken}
        return [s for s in taken if self.work.before(s.entry, condition) == last[s.fact.place]]

    def value(self, check: str, condition: Condition) -> Value | None:
        """Return a value worked out before; what is only read as found counts so when fitted."""
        if self.book.sheet.checks[check].taken == "as found":
            condition = "as found"
        return self.values.get((check, condition))


def conditions_of(check: Check) -> tuple[Condition, ...]:
    """Return the conditions in which a check is taken."""
    if check.taken == "both":
        return ("as found", "as fitted")
    return (check.taken,)


@dataclass(frozen=True, slots=True)
class Work:
    """Where in the log work changed parts: repairs always, new parts for what is fitted."""

    order: dict[str, int]
    repairs: tuple[int, ...]
    renewals: tuple[int, ...]

    def before(self, entry: str, condition: Condition) -> int:
        """Return how many changes came before an entry."""
        changes = self.repairs + (self.renewals if condition == "as fitted" else ())
        return sum(change < self.order[entry] for change in changes)


def work_of(book: Book, state: State) -> Work:
    """Return where in the log work changed parts."""
    order = {entry.id: index for index, entry in enumerate(state.entries)}
    steps = book.sheet.steps
    repairs = [
        order[said.entry]
        for name, ticks in state.done.items()
        for said in ticks
        if name in steps and steps[name].only_when_added
    ]
    renewals = [order[said.entry] for renewed in state.renewed.values() for said in renewed]
    return Work(order, tuple(repairs), tuple(renewals))
