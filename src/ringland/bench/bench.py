"""The open bench: a store, a person, a clock; reads logs, folds them, appends acts."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from shlex import quote

from ringland.bench.called import command
from ringland.bench.names import hint
from ringland.bench.refusal import Unknown
from ringland.job.book import Book, book_of
from ringland.job.case import Case, case_of
from ringland.job.log.coding import decode, encode
from ringland.job.log.entries import Entry, Fact, FigureTakenOver, PartRenewed, Withdrawn
from ringland.job.log.fold import State, fold
from ringland.job.log.shop import Machine, Shelf, ShopFact, machine_of, shelf_of
from ringland.store import Line, Log


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an act changed: the job before and after, and the entries that were kept."""

    before: Case
    after: Case
    entries: tuple[Entry, ...]


@dataclass(slots=True)
class Bench:
    """A person at an open store.

    by : who; now : the clock, ISO 8601 with offset; new_id : a fresh id
    """

    log: Log
    by: str
    now: Callable[[], str]
    new_id: Callable[[], str]
    _states: dict[str, tuple[int, State]] = field(default_factory=dict)
    _books: dict[str, tuple[int, Book]] = field(default_factory=dict)

    # -- looking -------------------------------------------------------------------------------

    def jobs(self) -> list[str]:
        """Return the names of all jobs, in the order they were opened."""
        names = [stream.removeprefix("job/") for stream in self.log.streams("job/")]
        return sorted(names, key=lambda name: (len(name), name))

    def machines(self) -> list[str]:
        """Return the names of all machines."""
        return [stream.removeprefix("machine/") for stream in self.log.streams("machine/")]

    def shelf(self) -> Shelf:
        """Return gauges and norms."""
        return shelf_of(self._shop_facts("shelf"))

    def machine(self, name: str) -> Machine:
        """Return a machine. Raises Refused for a name nobody knows."""
        found = machine_of(self._shop_facts(f"machine/{name}"))
        if found is None:
            add = f" Add it: {command(f'machine add {quote(name)} --sheet FILE')}"
            near = hint(name, self.machines(), add)
            raise Unknown(name, f"there is no machine {name!r}.{near}")
        return found

    def find_job(self, said: str) -> str:
        """Return a job's name from its number or from its machine (then its latest job)."""
        jobs = self.jobs()
        if said in jobs:
            return said
        of_machine = [job for job in jobs if self._machine_of(job) == said]
        if of_machine:
            return of_machine[-1]
        near = hint(said, [*jobs, *self.machines()])
        if said in self.machines():
            near = f" Open one: {command(f'job open {quote(said)} --scope full')}"
        raise Unknown(said, f"there is no job {said!r}.{near}")

    def state(self, job: str) -> State:
        """Return the state of a job, folding only what is new since the last look."""
        seen, state = self._states.get(job, (0, State()))
        new = self.log.read(f"job/{job}", seen)
        if new:
            state = fold([entry_of(line) for _, line in new], state)
            seen = new[-1][0]
            self._states[job] = (seen, state)
        return state

    def case(self, job: str, at: str = "") -> Case:
        """Return a job as it stands now, or as it stood at another time that is keyed in for."""
        state = self.state(job)
        rules = sum(
            isinstance(entry.fact, FigureTakenOver | PartRenewed | Withdrawn)
            for entry in state.entries
        )
        kept, book = self._books.get(job, (-1, None))
        if book is None or kept != rules:
            book = book_of(state)
            self._books[job] = (rules, book)
        return case_of(state, at or self.now(), book)

    # -- keeping -------------------------------------------------------------------------------

    def keep(self, job: str, facts: Sequence[Fact], at: str = "") -> Outcome:
        """Append facts to a job as one act, and return what they changed.

        at : when it happened, for what is keyed in afterwards; empty for now
        """
        before = self.case(job, at)
        entries = self._append(f"job/{job}", facts, at)
        return Outcome(before, self.case(job, at), entries)

    def begin(self, job: str, facts: Sequence[Fact]) -> Case:
        """Begin a job's log with its first facts."""
        self._append(f"job/{job}", facts)
        return self.case(job)

    def keep_shop(self, stream: str, facts: Sequence[ShopFact]) -> None:
        """Append facts to the shelf or to a machine."""
        self._append(stream, facts)

    def entries(self, job: str) -> list[Entry]:
        """Return a job's whole log."""
        return [entry_of(line) for _, line in self.log.read(f"job/{job}")]

    def _append(
        self, stream: str, facts: Sequence[Fact | ShopFact], at: str = ""
    ) -> tuple[Entry, ...]:
        act, at = self.new_id(), at or self.now()
        lines = []
        for fact in facts:
            kind, body = encode(fact)
            lines.append(Line(self.new_id(), act, kind, at, self.by, body))
        self.log.append(stream, lines)
        return tuple(entry_of(line) for line in lines)

    def _shop_facts(self, stream: str) -> list[ShopFact]:
        return [decode(line.kind, line.body) for _, line in self.log.read(stream)]

    def _machine_of(self, job: str) -> str:
        opened = self.state(job).opened
        return opened.machine if opened else ""


def entry_of(line: Line) -> Entry:
    """Return what a stored line of a job says."""
    return Entry(line.id, line.act, line.at, line.by, decode(line.kind, line.body))
