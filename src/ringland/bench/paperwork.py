"""What a paper needs beside the job: the machine's hours and history, and the photos."""

from dataclasses import dataclass, field

from ringland.bench.bench import Bench
from ringland.bench.hours import jobs_of, part_hours
from ringland.job.due import PartHours
from ringland.job.life import Point, life_of
from ringland.store import NoPhoto


@dataclass(frozen=True, slots=True)
class Paperwork:
    """What lies outside a job's own log.

    hours : the machine's parts against the maker's intervals; meter : its hours now, in words
    history : readings of all its jobs; photos : name to content, None for one that is missing
    """

    hours: tuple[PartHours, ...] = ()
    meter: str = ""
    history: tuple[Point, ...] = ()
    photos: dict[str, bytes | None] = field(default_factory=dict)


def paperwork(bench: Bench, job: str) -> Paperwork:
    """Return what a paper of a job needs beside it; a machine that is not known here has no hours."""
    case = bench.case(job)
    machine = case.state.opened.machine if case.state.opened else ""
    names = [said.fact.photo for taken in case.state.photos.values() for said in taken]
    photos = {name: _photo(bench, name) for name in names}
    history = [
        point for other in jobs_of(bench, machine) for point in life_of(bench.case(other), other)
    ]
    if machine not in bench.machines():
        return Paperwork(history=tuple(dict.fromkeys(history)), photos=photos)
    meter = bench.machine(machine).hours
    return Paperwork(
        tuple(part_hours(bench, machine)),
        meter.hours if meter else "",
        tuple(dict.fromkeys(history)),
        photos,
    )


def _photo(bench: Bench, name: str) -> bytes | None:
    try:
        return bench.log.photo(name)
    except NoPhoto:
        return None
