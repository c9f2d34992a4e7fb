"""A machine's hour book: when each part was last renewed, from its jobs and its own log."""

from ringland.bench.bench import Bench
from ringland.job.due import PartHours, hours_in, hours_of_parts
from ringland.job.verdict import Verdict


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
        for key, verdict in bench.case(job).verdicts.items():
            if (
                bench.case(job).book.sheet.checks[key[0]].method == "percent of baseline"
                and verdict.value
            ):
                return verdict
    return None
