"""Open jobs, add machines and gauges: the facts of what outlives or begins a job."""

from collections.abc import Mapping
from pathlib import Path

from ringland.bench import sheets
from ringland.bench.bench import Bench
from ringland.bench.hours import baseline_of, jobs_of
from ringland.bench.names import hint
from ringland.bench.refusal import Refused
from ringland.job.case import Case
from ringland.job.log.entries import Baseline, Fact, Gauge, GaugeUsed, JobOpened
from ringland.job.log.shop import (
    BaselineSet,
    GaugeShelved,
    HoursRead,
    MachineAdded,
    PartHoursNoted,
    ShopFact,
)
from ringland.job.readings.gauging import measure_of, permissible_error
from ringland.job.settings.wrenches import wrenches
from ringland.measure.gauges import HABITS
from ringland.quantity import QuantityError, parse_quantity

# Tools of the shelf that measure nothing themselves.
OTHER_KINDS = ("cap tester", "leak-down tester", "thermometer", "protractor", "eye")


def gauge_kinds() -> list[str]:
    """Return the kinds of gauge that can be on the shelf."""
    return [*HABITS, *OTHER_KINDS]


def add_gauge(bench: Bench, gauge: Gauge) -> Gauge:
    """Put a gauge on the shelf, or know it better. Raises Refused with every problem."""
    problems = []
    if gauge.kind not in gauge_kinds():
        near = hint(gauge.kind, gauge_kinds(), f" Known: {', '.join(gauge_kinds())}")
        problems.append(f"{gauge.kind!r} is no kind of gauge here.{near}")
    kind = HABITS[gauge.kind].quantity if gauge.kind in HABITS else None
    for what in ("permissible_error", "resolution", "low", "high"):
        text = getattr(gauge, what)
        try:
            if text and what == "permissible_error":
                permissible_error(text, kind)
            elif text:
                parse_quantity(text, kind)
        except QuantityError as error:
            problems.append(f"{what.replace('_', ' ')}: {error}")
    for what, text in (("length", gauge.length), *(("leaf", leaf) for leaf in gauge.leaves)):
        try:
            if text:
                parse_quantity(text, "length")
        except QuantityError as error:
            problems.append(f"{what} {text}: {error}")
    problems += [] if problems else _unusable(gauge)
    if problems:
        raise Refused(*problems)
    bench.keep_shop("shelf", [GaugeShelved(gauge)])
    return gauge


def _unusable(gauge: Gauge) -> list[str]:
    """Say what makes a gauge that reads well one by one impossible as a whole."""
    is_wrench = gauge.kind == "torque wrench"
    scale = [gauge.low, gauge.high, *([gauge.resolution] if is_wrench else [])]
    if is_wrench and not all(scale):
        return ["say its scale, or no setting can be told: from 10 N·m, to 60 N·m, step 1 N·m"]
    if len({parse_quantity(each).unit for each in scale if each}) > 1:
        return [f"its scale is {', '.join(filter(None, scale))}: write it in one unit"]
    try:
        if gauge.kind in HABITS:
            measure_of(gauge)
        wrenches({gauge.id: gauge})
    except ValueError as error:
        return [str(error)]
    return []


def add_machine(
    bench: Bench,
    machine: MachineAdded,
    *,
    hours: str = "",
    baseline: Baseline | None = None,
    part_hours: Mapping[str, str] | None = None,
) -> None:
    """Add a machine, or note more of one. Raises Refused."""
    if not machine.name or set(machine.name) & set("/ \t"):
        raise Refused(f"{machine.name!r}: name a machine in one word, such as oxbow-3")
    problems = [
        *_unreadable("altitude", machine.altitude, "length"),
        *_unreadable("hours", hours, "time"),
        *_unreadable("baseline", baseline.value if baseline else "", "pressure"),
    ]
    for part, text in (part_hours or {}).items():
        problems += _unreadable(f"hours of the {part}", text, "time", default="h")
    if machine.sheet:
        sheet = sheets.load(Path(machine.sheet), machine.variant or None).sheet
        for part in set(part_hours or {}) - set(sheet.parts):
            problems.append(f"the engine has no part {part!r}.{hint(part, list(sheet.parts))}")
    if problems:
        raise Refused(*problems)
    facts: list[ShopFact] = [machine]
    facts += [HoursRead(hours)] if hours else []
    facts += [BaselineSet(baseline)] if baseline else []
    facts += [PartHoursNoted(part, text) for part, text in (part_hours or {}).items()]
    bench.keep_shop(f"machine/{machine.name}", facts)


def _unreadable(what: str, text: str, kind: str, *, default: str | None = None) -> list[str]:
    try:
        if text:
            parse_quantity(text, kind, default=default)
    except QuantityError as error:
        return [f"{what}: {error}"]
    return []


def set_baseline(bench: Bench, machine: str, baseline: Baseline, reason: str = "") -> None:
    """Note a machine's own reference compression from now on. Raises Refused."""
    bench.machine(machine)
    problems = [
        *_unreadable("baseline", baseline.value, "pressure"),
        *_unreadable("hours", baseline.hours, "time"),
        *_unreadable("altitude", baseline.altitude, "length"),
    ]
    if problems:
        raise Refused(*problems)
    bench.keep_shop(f"machine/{machine}", [BaselineSet(baseline, reason)])


def read_hours(bench: Bench, machine: str, hours: str) -> None:
    """Keep a reading of the hour meter. Raises Refused where it runs backwards."""
    before = bench.machine(machine).hours
    try:
        now = parse_quantity(hours, "time", default="h")
    except QuantityError as error:
        raise Refused(f"hours: {error}") from None
    if before and parse_quantity(before.hours, "time").si > now.si:
        raise Refused(f"{now} is less than the {before.hours} read before: hours do not go back")
    bench.keep_shop(f"machine/{machine}", [HoursRead(str(now))])


def open_job(
    bench: Bench,
    machine: str,
    *,
    scope: str,
    reason: str = "",
    hours: str = "",
    sheet: Path | None = None,
) -> tuple[str, Case]:
    """Open a job on a machine with its own copy of the sheet. Raises Refused.

    returns : the job's name, which is the next number, and the job
    """
    found = bench.machine(machine)
    known = sheets.scope_named(scope)
    file = sheet or (Path(found.added.sheet) if found.added.sheet else None)
    if file is None:
        raise Refused(f"{machine} has no engine sheet: name one with --sheet FILE")
    loaded = sheets.load(file, found.added.variant or None)
    if hours:
        read_hours(bench, machine, hours)
        found = bench.machine(machine)
    shelf = bench.shelf()
    opened = JobOpened(
        machine,
        known,
        reason,
        loaded.tree,
        found.hours.hours if found.hours else "",
        baseline_of(bench, machine),
        dict(shelf.norms) or None,
        (jobs_of(bench, machine) or [""])[-1],
    )
    job = _next(bench)
    # the shelf as it is today: settings and verdicts of the job do not change with it later
    facts: list[Fact] = [opened, *(GaugeUsed(gauge) for gauge in shelf.gauges.values())]
    return job, bench.begin(job, facts)


def _next(bench: Bench) -> str:
    numbers = [int(job) for job in bench.jobs() if job.isdigit()]
    return str(max(numbers, default=0) + 1)
