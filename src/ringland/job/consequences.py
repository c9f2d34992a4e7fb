"""What findings and verdicts bring: parts renewed, steps and checks added, stops, causes to name."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ringland.job.book import Book
from ringland.job.log.fold import State
from ringland.job.verdicts.verdict import Verdicts
from ringland.sheet.model import Brings, Phase


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that forbids work until an entry resolves it.

    source : the finding, or the check whose verdict is beyond
    signed : who signed it away and why; empty when nobody did, or nobody can
    """

    source: str
    sentence: str
    blocks: tuple[Phase, ...]
    never_signed: bool
    signed: str = ""

    def holds_up(self, phase: Phase) -> bool:
        """Say whether work of a phase waits for this stop."""
        return not self.signed and phase in self.blocks


@dataclass(frozen=True, slots=True)
class Brought:
    """All consequences in force; each name with the finding or check that brought it.

    orders_wait : parts whose order waits for a stop
    """

    renew: dict[str, str] = field(default_factory=dict)
    steps: dict[str, str] = field(default_factory=dict)
    checks: dict[str, str] = field(default_factory=dict)
    orders_wait: dict[str, str] = field(default_factory=dict)
    stops: tuple[Stop, ...] = ()
    damages: tuple[str, ...] = ()

    def open_stops(self) -> tuple[Stop, ...]:
        """Return the stops that nobody resolved or signed."""
        return tuple(stop for stop in self.stops if not stop.signed)


def brought(book: Book, state: State, verdicts: Verdicts) -> Brought:
    """Return what the findings and verdicts of a job bring."""
    found = Brought()
    stops: list[Stop] = []
    damages: list[str] = []
    for source, brings in _sources(book, state, verdicts):
        for part in brings.renew:
            found.renew.setdefault(part, source)
        for step in brings.steps:
            found.steps.setdefault(step, source)
        for check in brings.checks:
            found.checks.setdefault(check, source)
        if brings.stop and source not in state.resolved:
            stops.append(_stop(state, source, brings))
            for part in () if stops[-1].signed else brings.orders_wait:
                found.orders_wait.setdefault(part, source)
        if brings.needs_cause:
            damages.append(source)
    for part in state.explained:
        for step in book.sheet.parts[part].when_found if part in book.sheet.parts else ():
            found.steps.setdefault(step, f"{part} found")
    return replace(found, stops=tuple(stops), damages=tuple(damages))


def _sources(book: Book, state: State, verdicts: Verdicts) -> Iterator[tuple[str, Brings]]:
    lifted = _lifted(book, state)
    for name in state.noted:  # what was found stays true when its stop is resolved
        if name in book.sheet.findings:
            brings = book.sheet.findings[name].brings
            yield name, _without_stop(brings) if name in lifted else brings
    for verdict in verdicts.values():
        if not verdict.is_bad:
            continue
        check = book.sheet.checks[verdict.check]
        if verdict.condition == "as found":
            # a new part ends the stop of the old one, and so does work that was proven
            proven = verdicts.get((verdict.check, "as fitted"))
            gone = check.part in state.renewed or (proven is not None and proven.is_good)
            yield verdict.check, _without_stop(check.beyond) if gone else check.beyond
        else:
            yield verdict.check, check.beyond.model_copy(update={"renew": (), "needs_cause": False})


def _without_stop(brings: Brings) -> Brings:
    return brings.model_copy(update={"stop": "", "orders_wait": ()})


def _lifted(book: Book, state: State) -> set[str]:
    """Return the findings whose stop a later finding resolves ("runs free" after "binds")."""
    order = {entry.id: index for index, entry in enumerate(state.entries)}
    return {
        name
        for lifter, said in state.findings.items()
        if lifter in book.sheet.findings
        for name in book.sheet.findings[lifter].lifts
        if name in state.noted and order[state.noted[name].entry] < order[said.entry]
    }


def _stop(state: State, source: str, brings: Brings) -> Stop:
    signature = state.signed.get(source)
    signed = (
        ""
        if signature is None or brings.never_signed
        else f"{signature.by}: {signature.fact.reason}"
    )
    return Stop(source, brings.stop, brings.blocks, brings.never_signed, signed)
