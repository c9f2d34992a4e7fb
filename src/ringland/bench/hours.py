"""A machine's hour book: when each part was last renewed, from its jobs and its own log."""

from datetime import datetime, timedelta

from ringland.bench.bench import Bench
from ringland.job.due import PartHours, hours_in, hours_of_parts
from ringland.job.log.coding import decode
from ringland.job.log.entries import Baseline
from ringland.job.log.shop import HoursRead
from ringland.job.verdicts.verdict import Verdict

LEAST_SPAN = timedelta(weeks=2)  # a shorter time says little of a habit

BY_BASELINE = "percent of baseline"  # the method of a check that is held against the own baseline


def part_hours(bench: Bench, machine: str) -> list[PartHours]:
    """Return the hours of each part that the maker gives an interval for."""
    found = bench.machine(machine)
    renewed: dict[str, float | None] = {
        part: hours_in(text) for part, text in found.part_hours.items()
    }
    book = None
    for job in jobs_of(bench, machine):
        case = bench.case(job)
        book = case.book
        opened = case.state.opened
        hours = hours_in(opened.hours) if opened else None
        renewed |= dict.fromkeys(case.state.renewed, hours)
    if book is None:
        return []
    meter = hours_in(found.hours.hours) if found.hours else None
    return hours_of_parts(book.figures, meter, renewed)


def jobs_of(bench: Bench, machine: str) -> list[str]:
    """Return the jobs of a machine, oldest first."""
    return [
        job
        for job in bench.jobs()
        if (opened := bench.state(job).opened) is not None and opened.machine == machine
    ]


def last_compression(bench: Bench, machine: str) -> Verdict | None:
    """Return the latest verdict on compression against the machine's own baseline."""
    for job in reversed(jobs_of(bench, machine)):
        case = bench.case(job)
        read = [
            (datetime.fromisoformat(case.state.readings[key][-1].at), verdict)
            for key, verdict in case.verdicts.items()
            if case.book.sheet.checks[key[0]].method == BY_BASELINE and key in case.state.readings
        ]
        if read:
            return max(read, key=lambda each: each[0])[1]
    return None


def baseline_of(bench: Bench, machine: str) -> Baseline | None:
    """Return the machine's own reference compression: the one noted or read at the most hours.

    Read means what a new build was read at after its first ride. Where hours are unknown, what was
    read counts before what was noted.
    """
    noted = bench.machine(machine).baseline
    read = _read_on_new_build(bench, machine)
    if read is None or noted is None:
        return read or noted
    later = (hours_in(noted.hours) or 0.0) > (hours_in(read.hours) or 0.0)
    return noted if later else read


def _read_on_new_build(bench: Bench, machine: str) -> Baseline | None:
    for job in reversed(jobs_of(bench, machine)):
        case = bench.case(job)
        for name, check in case.book.sheet.checks.items():
            readings = case.state.readings.get((name, "as fitted"))
            if check.method != BY_BASELINE or not readings:
                continue
            fact = readings[-1].fact
            read = [i.quantity for i in fact.indications if i.quantity is not None]
            pressures = [str(q) for q in read if q.unit.kind == "pressure"]
            heights = [str(q) for q in read if q.unit.kind == "length"]
            if pressures:
                hours = case.state.opened.hours if case.state.opened else ""
                return Baseline(pressures[0], fact.gauge, hours, "".join(heights[:1]))
    return None


def hours_per_week(bench: Bench, machine: str) -> float | None:
    """Return the hours that a machine ran in a week, from its hour meter; None where it tells too little.

    Between the first and the last reading of the meter, which must lie two weeks apart.
    """
    read = []
    for _, line in bench.log.read(f"machine/{machine}"):
        fact = decode(line.kind, line.body)
        if isinstance(fact, HoursRead) and (hours := hours_in(fact.hours)) is not None:
            read.append((datetime.fromisoformat(line.at), hours))
    if len(read) < 2 or read[-1][0] - read[0][0] < LEAST_SPAN:
        return None
    weeks = (read[-1][0] - read[0][0]) / timedelta(weeks=1)
    return (read[-1][1] - read[0][1]) / weeks or None
