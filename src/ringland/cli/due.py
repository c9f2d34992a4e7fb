"""`ringland due MACHINE`: hours left by part, and compression against the own baseline."""

from pathlib import Path

import click

from ringland.bench.bench import Bench
from ringland.bench.compressions import Compression, compressions
from ringland.bench.hours import last_compression, part_hours
from ringland.cli.opening import (
    REFUSED,
    STORE,
    Stopped,
    as_json_option,
    the_bench,
    with_store,
)
from ringland.cli.screen import say, width


def due_text(bench: Bench, machine: str, *, as_json: bool = False) -> str:
    """Return when a machine's parts are due."""
    from ringland.report.json import as_json as rendered
    from ringland.report.layout import columns

    hours = part_hours(bench, machine)
    compression = last_compression(bench, machine)
    history = compressions(bench, machine)
    if as_json:
        said = {"word": compression.word, "reason": compression.reason} if compression else None
        fields = [
            {"part": each.part, "run_h": each.run, "interval_h": each.interval, "left_h": each.left}
            for each in hours
        ]
        return rendered(
            {
                "machine": machine,
                "parts": fields,
                "compression": said,
                "compression_history": [_point(each) for each in history],
            }
        )
    found = bench.machine(machine)
    meter = found.hours.hours if found.hours else "hours unknown"
    rows = [
        [each.part, "" if each.run is None else f"run {each.run:.1f} h", each.words]
        for each in hours
    ]
    if compression is not None:
        rows.append(["compression", compression.word, compression.reason])
    rows += [_history_row(each) for each in history]
    if not rows:
        rows = [["no intervals in the sheet, and no job yet"]]
    note = "Hours alone never make a verdict; the maker's interval is never stretched."
    return "\n".join([f"{machine}, {meter}", *columns(rows, width=width()), note])


def _history_row(each: Compression) -> list[str]:
    from ringland.report.pressures import share_words

    hours = "hours unknown" if each.hours is None else f"{each.hours:.1f} h"
    fitted = "new build" if each.condition == "as fitted" else "as found"
    said = "not comparable: " + each.why if each.share is None else share_words(each.share)
    named = {"note": "note", "plan": "plan", "stop": "stop"}.get(each.level, "")
    level = f", the shop's norm: {named}" if named else ""
    of = "" if each.share is None else " of its baseline"
    return [f"  {each.at[:10]}", hours, f"{each.read} {fitted}: {said}{of}{level}"]


def _point(each: Compression) -> dict[str, object]:
    from ringland.quantity import parse_quantity

    return {
        "job": each.job,
        "at": each.at,
        "hours_h": each.hours,
        "condition": each.condition,
        "value_Pa": parse_quantity(each.read).si,
        "gauge": each.gauge,
        "share": None if each.share is None else each.share.value,
        "share_u": None if each.share is None else each.share.u,
        "level": each.level,
        "not_comparable": each.why,
    }


def _draw(bench: Bench, machine: str, file: Path) -> None:
    """Draw percent of baseline over hours, with the shop's levels."""
    from ringland.job.book import norms_of
    from ringland.report.pressures import over_hours_svg

    norms = norms_of(bench.shelf().norms)
    levels = [
        (name, 1 - drop)
        for name, drop in (("note", norms.note), ("plan", norms.plan), ("stop", norms.stop))
    ]
    points = [
        (each.hours, each.share)
        for each in compressions(bench, machine)
        if each.hours is not None and each.share is not None
    ]
    try:
        file.write_text(over_hours_svg(machine, points, levels), encoding="utf-8")
    except ValueError as error:
        raise Stopped(str(error), REFUSED) from None
    except OSError as error:
        raise Stopped(f"{file}: {error.strerror}", STORE) from None


@click.command()
@click.argument("machine")
@click.option(
    "--calendar", type=click.Path(path_type=Path, dir_okay=False), help="Write a calendar file."
)
@click.option(
    "--per-week", default="", help="Hours it runs in a week [default: by its hour meter]."
)
@click.option(
    "--svg", type=click.Path(path_type=Path, dir_okay=False), help="Draw compression over hours."
)
@as_json_option
@with_store
def due(
    machine: str,
    calendar: Path | None,
    per_week: str,
    svg: Path | None,
    as_json: bool,
    store: Path | None,
    by: str | None,
) -> None:
    """When a machine is due again, by hours and by drop from its own baseline."""
    with the_bench(store, by, create=False) as bench:
        name = machine
        if name not in bench.machines():
            opened = bench.state(bench.find_job(machine)).opened
            name = opened.machine if opened else machine
        if svg is not None:
            _draw(bench, name, svg)
        if calendar is not None:
            click.echo(_write_calendar(bench, name, calendar, per_week))
            return
        say(due_text(bench, name, as_json=as_json), plain=as_json)


def _write_calendar(bench: Bench, machine: str, file: Path, typed: str) -> str:
    """Write the days on which parts come due; say which, and at what use."""
    from datetime import datetime

    from ringland.bench.hours import hours_per_week
    from ringland.job.due import hours_in
    from ringland.quantity import QuantityError
    from ringland.report.calendar import calendar, due_events

    try:
        per_week = hours_in(typed) if typed else hours_per_week(bench, machine)
        if per_week is None:
            raise Stopped(
                f"{machine}: its hour meter was not read over two weeks yet. Say how much it runs: "
                "--per-week '2 h'",
                REFUSED,
            )
        now = datetime.fromisoformat(bench.now())
        parts = part_hours(bench, machine)
        events = due_events(machine, parts, per_week=per_week, today=now.date())
    except (QuantityError, ValueError) as error:
        raise Stopped(f"--per-week: {error}", REFUSED) from None
    try:
        file.write_bytes(calendar(events, now).encode())
    except OSError as error:
        raise Stopped(f"{file}: {error.strerror}", STORE) from None
    days = [f"  {event.day.isoformat()}  {event.summary}" for event in events]
    unknown = [f"  no day    {part.part}: {part.words}" for part in parts if part.left is None]
    return "\n".join([f"{file}: {len(events)} days, at {per_week:.1f} h a week", *days, *unknown])
