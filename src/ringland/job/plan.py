"""What to do next, and why: everything that is left, in an order that respects every need.

The plan is a graph. Its nodes are the steps, the readings, the decisions, the causes to name and
the new parts to have in hand; an edge says what must be done before. A node is ready when all it
needs is done and no stop or hold point keeps its phase closed.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from graphlib import TopologicalSorter
from typing import Literal

from ringland.job.case import Case
from ringland.job.holds import open_at
from ringland.job.verdicts.verdict import Verdict
from ringland.sheet.model import PHASES, Phase

Kind = Literal["step", "hold", "reading", "decision", "cause", "part"]
ItemState = Literal["done", "ready", "waits"]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing of the plan.

    id : kind and name, unique: "step:head off", "reading:bore, as found"
    needs : ids that must be done before
    waits_for : what keeps it from being ready, in words
    asks : a hold point that waits for nothing but what a person can settle now
    """

    id: str
    kind: Kind
    name: str
    phase: Phase
    words: str = ""
    minutes: int = 0
    needs: tuple[str, ...] = ()
    done: bool = False
    waits_for: tuple[str, ...] = ()
    asks: bool = False

    @property
    def state(self) -> ItemState:
        """Done, ready or waiting."""
        if self.done:
            return "done"
        return "waits" if self.waits_for else "ready"


@dataclass(frozen=True, slots=True)
class Plan:
    """All items in working order. `next` is what to do now; `phase` is where the job is."""

    items: tuple[Item, ...]

    @property
    def next(self) -> Item | None:
        """The first item that can be done now; else the first that waits; None when all is done.

        A hold point that asks the person comes before work of a later phase.
        """
        left = [item for item in self.items if not item.done]
        ready = next((item for item in left if item.state == "ready"), None)
        asks = next((item for item in left if item.asks), None)
        if asks and (ready is None or PHASES.index(asks.phase) < PHASES.index(ready.phase)):
            return asks
        return ready or next(iter(left), None)

    @property
    def phase(self) -> Phase:
        """The phase of the first item that is left."""
        left = [item.phase for item in self.items if not item.done]
        return min(left, key=PHASES.index) if left else "record"

    def ready(self) -> list[Item]:
        """Return what can be done now, in order."""
        return [item for item in self.items if item.state == "ready"]


def plan(case: Case) -> Plan:
    """Return the plan of a job."""
    items = {item.id: item for item in _items(case)}
    items = {key: replace(item, needs=_present(case, item, items)) for key, item in items.items()}
    ordered = [items[key] for key in _in_order(items)]
    done = {item.id for item in ordered if item.done}
    return Plan(tuple(item if item.done else _blocked(case, item, items, done) for item in ordered))


def _items(case: Case) -> Iterator[Item]:
    yield from _steps(case)
    yield from _readings(case)
    yield from _decisions(case)
    yield from _causes(case)
    yield from _new_parts(case)


def _steps(case: Case) -> Iterator[Item]:
    for name, step in case.steps.items():
        needs = [f"step:{need}" for need in step.needs]
        needs += [
            f"reading:{check}, {c}" for check in step.checks for c in ("as found", "as fitted")
        ]
        if step.hold:
            done = not open_at(case, name) and all(case.done.get(need, True) for need in step.needs)
            yield Item(f"step:{name}", "hold", name, step.phase, step.words, 0, tuple(needs), done)
            continue
        done = case.done[name]
        yield Item(
            f"step:{name}", "step", name, step.phase, step.words, step.minutes, tuple(needs), done
        )


def _readings(case: Case) -> Iterator[Item]:
    for verdict in case.verdicts.values():
        check = case.book.sheet.checks[verdict.check]
        if check.of or not case.wanted(verdict.check, verdict.condition):
            continue  # derived values follow from the readings
        phase = case.book.phase_of(verdict.check, verdict.condition)
        needs = [f"step:{need}" for need in check.needs]
        if verdict.condition == "as fitted":
            needs.append(f"part:{check.part}")
        elif check.taken == "both" and check.phase not in ("due", "inspect"):
            needs = []  # before the strip nothing of the build can be needed
        name = f"{verdict.check}, {verdict.condition}"
        done = _is_read(case, verdict)
        yield Item(f"reading:{name}", "reading", name, phase, check.words, 0, tuple(needs), done)


def _is_read(case: Case, verdict: Verdict) -> bool:
    if (
        verdict.past
        or verdict.overruled
        or (verdict.value is not None and verdict.value.said == "not taken")
    ):
        return True
    if verdict.word == "not measured" or (verdict.word == "readings disagree"):
        return False
    places = case.book.sheet.checks[verdict.check].places
    value = verdict.value
    if not places or value is None or len(value.places) < 2:
        return value is not None
    return set(places) <= set(value.places)


def _decisions(case: Case) -> Iterator[Item]:
    for verdict in case.readings_wanted("inspect"):
        if verdict.word not in ("undecided", "not comparable"):
            continue
        part = case.book.sheet.checks[verdict.check].part
        done = bool(verdict.overruled) or part in case.state.decided or part in case.renew
        needs = (f"reading:{verdict.check}, {verdict.condition}",)
        todo = verdict.todo or verdict.reason
        yield Item(
            f"decision:{verdict.check}", "decision", verdict.check, "decide", todo, 0, needs, done
        )


def _causes(case: Case) -> Iterator[Item]:
    for damage in case.brought.damages:
        content = case.book.sheet.findings.get(damage)
        words = f"likely: {content.likely}" if content and content.likely else "name its cause"
        yield Item(
            f"cause:{damage}", "cause", damage, "decide", words, done=damage in case.state.causes
        )


def _new_parts(case: Case) -> Iterator[Item]:
    for line in case.parts.lines():
        needs = tuple(f"reading:{check}, as found" for check in line.waits_for)
        yield Item(f"part:{line.name}", "part", line.name, "fit", line.why, 0, needs, line.in_hand)


def _present(case: Case, item: Item, items: Mapping[str, Item]) -> tuple[str, ...]:
    """Needs of steps that are not part of this job fall back to what those steps need."""
    found: dict[str, None] = {}
    pending = list(item.needs)
    seen: set[str] = set()
    while pending:
        need = pending.pop(0)
        if need in seen:
            continue
        seen.add(need)
        if need in items:
            found[need] = None
            continue
        absent = case.book.sheet.steps.get(need.removeprefix("step:"))
        if absent is not None:
            pending += [f"step:{before}" for before in absent.needs]
    opens = case.book.sheet.phases.get(item.phase)
    for hold in opens.opens_after if opens else ():
        if f"step:{hold}" in items and hold != item.name:
            found[f"step:{hold}"] = None
    return tuple(found)


def _in_order(items: Mapping[str, Item]) -> Iterable[str]:
    """Topological order; among what is free, by phase, then as the sheet has it.

    A hold point that nothing of its phase waits for closes the phase, after its readings.
    """
    read = {item.phase for item in items.values() if item.kind == "reading"}
    needed = {(item.phase, need) for item in items.values() for need in item.needs}

    def closes(item: Item) -> bool:
        return item.kind == "hold" and item.phase in read and (item.phase, item.id) not in needed

    rank = {
        key: (PHASES.index(item.phase), closes(item), index)
        for index, (key, item) in enumerate(items.items())
    }
    sorter = TopologicalSorter({key: item.needs for key, item in items.items()})
    sorter.prepare()
    free: list[str] = list(sorter.get_ready())
    while free:
        key = min(free, key=lambda each: rank[each])
        free.remove(key)
        yield key
        sorter.done(key)
        free += sorter.get_ready()


def _blocked(case: Case, item: Item, items: Mapping[str, Item], done: set[str]) -> Item:
    waits = [items[need].name for need in item.needs if need not in done]
    waits += [f"stop: {s.source}" for s in case.brought.open_stops() if s.holds_up(item.phase)]
    asks = False
    if item.kind == "hold":
        opens = open_at(case, item.name)
        asks = not waits and any(each.kind != "part" for each in opens)
        waits += [each.what for each in opens]
        waits = waits or ["nothing"]
    return replace(item, waits_for=tuple(dict.fromkeys(waits)), asks=asks)
