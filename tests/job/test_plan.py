"""The plan never offers what its needs do not allow, and a job can be finished by what it offers."""

import random
from collections.abc import Iterator

import pytest
from hypothesis import given, settings

from ringland.job.case import Case, case_of
from ringland.job.holds import open_at
from ringland.job.log.entries import (
    Condition,
    Entry,
    Fact,
    FastenerPulled,
    PartRenewed,
    PartsCounted,
    StepDone,
)
from ringland.job.log.fold import fold
from ringland.job.plan import Item, plan
from ringland.job.prestart import prestart
from ringland.sheet.model import Sheet
from tests.job.logs_of_facts import logs
from tests.job.making import AT, book, bore, case, felt, opened, read, strip, value

SHEET: Sheet = book().sheet


def after(log: list[Entry]) -> Case:
    start = Entry("open", "open", AT, "Ada", opened())
    return case_of(fold([start, *log]), log[-1].at if log else AT, book())


def before(name: str, steps: set[str]) -> Iterator[str]:
    """The steps of this job that must come first; what is absent passes on its own needs."""
    for need in SHEET.steps[name].needs if name in SHEET.steps else ():
        if need in steps:
            yield need
        else:
            yield from before(need, steps)


def is_done(job: Case, name: str) -> bool:
    if job.steps[name].hold:
        return not open_at(job, name) and all(job.done.get(n, True) for n in job.steps[name].needs)
    return job.done[name]


@settings(deadline=None, max_examples=150)
@given(log=logs(most=25))
def test_a_step_is_offered_only_when_all_before_it_is_done(log: list[Entry]) -> None:
    job = after(log)
    stopped = {phase for stop in job.brought.open_stops() for phase in stop.blocks}
    for item in plan(job).ready():
        assert item.phase not in stopped, item.name
        assert not item.waits_for
        opens = SHEET.phases[item.phase].opens_after
        for hold in opens:
            assert hold not in job.steps or hold == item.name or is_done(job, hold), item.name
        if item.kind == "step":
            for need in before(item.name, set(job.steps)):
                assert is_done(job, need), f"{item.name} is offered before {need}"


@settings(deadline=None, max_examples=40)
@given(log=logs(most=25))
def test_the_plan_puts_nothing_before_what_it_needs(log: list[Entry]) -> None:
    whole = plan(after(log))
    seen: set[str] = set()
    for item in whole.items:
        assert set(item.needs) <= seen, item.name
        seen.add(item.id)
    assert len(seen) == len(whole.items)


@settings(deadline=None, max_examples=40)
@given(log=logs(most=25))
def test_there_is_always_a_next_thing_until_all_is_done(log: list[Entry]) -> None:
    whole = plan(after(log))
    if any(not item.done for item in whole.items):
        assert whole.next is not None
        assert not whole.next.done
    else:
        assert whole.next is None


GOOD_VALUES = {
    ("piston skirt", "as found"): "64.918 mm",
    ("piston skirt", "as fitted"): "64.953 mm",
    ("ring end gap", "as found"): "0.50 mm",
    ("ring end gap", "as fitted"): "0.32 mm",
}


def answer(job: Case, item: Item) -> Iterator[Fact]:
    """Do what the plan offers, well."""
    if item.kind == "step":
        group = job.steps[item.name].tighten
        if not group:
            yield StepDone(item.name)
        count = job.book.sheet.fasteners[group].count if group else 0
        torque = job.book.sheet.fasteners[group].torque if group else ""
        stages = job.progress(group).stages if group else 0
        for stage in range(1, stages + 1):
            for position in range(1, count + 1):
                yield FastenerPulled(group, position, stage, torque if stage >= stages - 1 else "")
    elif item.kind == "part":
        yield PartRenewed(item.name)
    elif item.kind == "reading":
        yield from reading(item.name)


def reading(name: str) -> Iterator[Fact]:
    check, _, condition = name.rpartition(", ")
    fitted: Condition = "as fitted" if condition == "as fitted" else "as found"
    if check == "bore":
        yield from bore(H1X="65.016", H1Y="65.021", H2X="65.014", H3X="65.010", H3Y="65.012")
        yield read("bore", felt("not measurable"), place="H2-Y")
    elif check == "squish":
        for place, mm in (("EX", "1.24"), ("IN", "1.16"), ("IGN", "1.19"), ("CL", "1.21")):
            yield read(check, f"{mm} mm", place=place, condition="as fitted")
    elif check == "ring end gap":
        for place in ("bottom", "top"):
            yield read(check, GOOD_VALUES[check, fitted], place=place, condition=fitted)
    elif (check, fitted) in GOOD_VALUES:
        yield read(check, GOOD_VALUES[check, fitted], condition=fitted)
    elif SHEET.checks[check].method == "fall":
        told = (value("0.40 bar"), value("0.39 bar"), value("6 min"), felt("good"))
        yield read(check, *told, condition=fitted)
    else:
        yield read(check, felt("good"), condition=fitted)


def owed(job: Case) -> Iterator[Fact]:
    for tally in job.tallies:
        if tally.is_open:
            yield PartsCounted(tally.part, "off" if tally.side == "off" else "on", tally.expected)


@pytest.mark.parametrize("seed", range(3))
def test_a_job_is_finished_by_doing_what_is_offered_in_any_order(seed: int) -> None:
    chance = random.Random(seed)
    log: list[Entry] = []

    def do(facts: list[Fact], by: str = "Ada") -> Case:
        log.extend(Entry(f"{len(log) + n}", f"{len(log)}", AT, by, f) for n, f in enumerate(facts))
        return after(log)

    job = do([])
    for _ in range(400):
        ready = plan(job).ready()
        if ready:
            item = chance.choice(ready)
            job = do(list(answer(job, item)))
            if item.name == "second clip in":
                job = do([StepDone(item.name)], by="Ben")
        elif counts := list(owed(job)):
            job = do(counts)
        else:
            break
    left = [(item.name, item.waits_for) for item in plan(job).items if not item.done]
    assert left == []
    assert prestart(job) == []


def test_a_stop_takes_what_it_blocks_out_of_the_offer() -> None:
    from ringland.job.log.entries import FindingNoted

    job = case(FindingNoted("metal specks"))
    states = {item.name: item for item in plan(job).items}
    assert "stop: metal specks" in states["first clip in"].waits_for
    assert states["engine cold"].state == "ready", "taking it apart may go on"


def test_the_hold_point_that_asks_comes_before_later_work() -> None:
    earlier = [StepDone(n) for n, s in case().steps.items() if s.phase in ("due", "get")]
    job = case(*earlier, *strip())
    found = plan(job).next
    assert found is not None
    assert (found.name, found.state) == ("all accounted for", "waits")
    assert "dowel: not counted off; the sheet says 2" in found.waits_for


def test_the_phase_is_that_of_the_first_thing_left() -> None:
    assert plan(case()).phase == "due"
    earlier = [StepDone(n) for n, s in case().steps.items() if s.phase in ("due", "get")]
    assert plan(case(*earlier)).phase == "strip"
    assert plan(case(*earlier, *strip())).phase == "strip", "nothing is counted yet"


def test_the_test_plugs_come_out_after_the_leak_test() -> None:
    names = [item.name for item in plan(case()).items]
    assert names.index("crankcase leak, as fitted") < names.index("springs and clamps")
