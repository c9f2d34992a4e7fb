"""What outlives a job: the wall of machines and jobs, a machine's hour book, the shelf of gauges."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field

from ringland.bench.bench import Bench
from ringland.bench.hours import jobs_of, last_compression, part_hours
from ringland.bench.opening import gauge_kinds
from ringland.bench.refusal import Refused
from ringland.job.log.entries import Gauge
from ringland.report.drawings.verdict import verdict_picture
from ringland.report.shelf import shelf_view
from ringland.report.view import job_view, verdict_line
from ringland.sheet.model import SCOPES
from ringland.web.pages.look import Context


@dataclass(frozen=True, slots=True)
class ShopLook:
    """One look at the shop: the bench, and what went wrong with what was posted.

    name : the machine a page is about; typed : what was typed and not kept
    query : of the address, such as the gauge that is to be told of anew
    """

    bench: Bench
    name: str = ""
    problems: tuple[str, ...] = ()
    done: str = ""
    typed: dict[str, str] | None = None
    query: Mapping[str, str] = field(default_factory=dict)

    def base(self, title: str) -> Context:
        """Return what each page of the shop shows."""
        return {
            "title": title,
            "problems": self.problems,
            "done": self.done,
            "typed": self.typed or {},
        }


def wall(look: ShopLook) -> tuple[str, Context]:
    """Machines and jobs: hours against the maker's interval, what each job asks for."""
    bench = look.bench
    views = {name: job_view(bench.case(name), name) for name in bench.jobs()}
    machines = []
    for name in bench.machines():
        found = bench.machine(name)
        hours = [each for each in part_hours(bench, name) if each.left is not None]
        first = min(hours, key=lambda each: each.left or 0.0, default=None)
        jobs = [views[job] for job in jobs_of(bench, name)]
        machines.append(
            {
                "name": name,
                "hours": found.hours.hours if found.hours else "",
                "first": first,
                "jobs": [view for view in jobs if not view.handed_over],
                "done": sum(bool(view.handed_over) for view in jobs),
            }
        )
    known = {machine["name"] for machine in machines}
    context = look.base("Machines and jobs")
    context |= {
        "machines": machines,
        "others": [view for view in views.values() if view.machine not in known],
        "stops": sum(bool(view.stops) for view in views.values() if not view.handed_over),
        "open": sum(not view.handed_over for view in views.values()),
    }
    return "wall.html", context


def machine(look: ShopLook) -> tuple[str, Context]:
    """One machine: its hour book, its baseline, its jobs, and opening the next one."""
    bench = look.bench
    if look.name not in bench.machines():
        raise Refused(f"there is no machine {look.name!r}")
    found = bench.machine(look.name)
    compression = last_compression(bench, look.name)
    jobs = jobs_of(bench, look.name)
    last = bench.case(jobs[-1]) if jobs else None
    context = look.base(look.name)
    context |= {
        "name": look.name,
        "machine": found,
        "hours": part_hours(bench, look.name),
        "compression": verdict_line(last, compression) if compression and last else None,
        "picture": verdict_picture(compression, "c") if compression else "",
        "jobs": [job_view(bench.case(job), job) for job in reversed(jobs)],
        "scopes": SCOPES,
    }
    return "machine.html", context


def gauges(look: ShopLook) -> tuple[str, Context]:
    """The shelf."""
    context = look.base("Gauges")
    lines = shelf_view(look.bench.shelf(), look.bench.now()[:10])
    context |= {"gauges": lines, "kinds": gauge_kinds()}
    known = look.bench.shelf().gauges.get(look.query.get("gauge", ""))
    if known and not look.problems and not look.done:
        context["typed"] = _as_typed(known)
    return "gauges.html", context


def _as_typed(gauge: Gauge) -> dict[str, str]:
    """What stands on the shelf of a gauge, as it would be typed: the unit once, after the leaves."""
    *leaves, last = gauge.leaves or ("",)
    numbers = [each.partition(" ")[0] for each in leaves]
    return {**asdict(gauge), "gauge": gauge.id, "leaves": " ".join([*numbers, last])}
