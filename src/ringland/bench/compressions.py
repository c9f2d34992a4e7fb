"""A machine's compression over its hours: each reading of its jobs, in percent of its own baseline.

Each is held against the baseline that its job was opened with. A reading on another gauge, or taken
in another way, is listed as not comparable and never drawn into a trend.
"""

from dataclasses import dataclass
from datetime import datetime

from ringland.bench.bench import Bench
from ringland.bench.hours import BY_BASELINE, jobs_of
from ringland.job.due import hours_in
from ringland.job.log.entries import Condition
from ringland.job.readings.cranking import compared
from ringland.job.readings.leaks import of_kind
from ringland.quantity import Estimate


@dataclass(frozen=True, slots=True)
class Compression:
    """One compression reading of a machine.

    at : ISO instant; hours : of the machine when its job was opened [h], None when unknown
    read : what the gauge showed, as text; gauge : on which
    share : of the baseline [-] with its standard uncertainty; None when not comparable
    level : "none", "note", "plan", "stop" by the shop's norms; empty when not comparable
    why : why it is not comparable; empty when it is
    """

    job: str
    at: str
    hours: float | None
    condition: Condition
    read: str
    gauge: str
    share: Estimate | None
    level: str
    why: str


def compressions(bench: Bench, machine: str) -> list[Compression]:
    """Return every compression reading of a machine's jobs, oldest first."""
    found = [each for job in jobs_of(bench, machine) for each in _of_job(bench, job)]
    return sorted(found, key=lambda each: datetime.fromisoformat(each.at))


def _of_job(bench: Bench, job: str) -> list[Compression]:
    case = bench.case(job)
    opened = case.state.opened
    found: list[Compression] = []
    for (check, condition), readings in case.state.readings.items():
        if opened is None or case.book.sheet.checks[check].method != BY_BASELINE:
            continue
        for said in readings:
            pressures = of_kind(said.fact, "pressure")
            if not pressures:
                continue
            share, level, why = None, "", "no baseline yet"
            if opened.baseline is not None:
                try:
                    comparison = compared(case.book, opened.baseline, said.fact)
                    share, level = comparison.share, comparison.level or ""
                    why = "" if comparison.comparable else "; ".join(comparison.reasons)
                except ValueError as error:
                    why = str(error)
            found.append(
                Compression(
                    job,
                    said.at,
                    hours_in(opened.hours),
                    condition,
                    str(pressures[-1]),
                    said.fact.gauge,
                    share,
                    level,
                    why,
                )
            )
    return found
