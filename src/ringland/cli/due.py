"""`ringland due MACHINE`: hours left by part, and compression against the own baseline."""

from pathlib import Path

import click

from ringland.bench.bench import Bench
from ringland.bench.hours import last_compression, part_hours
from ringland.cli.opening import as_json_option, the_bench, with_store


def due_text(bench: Bench, machine: str, *, as_json: bool = False) -> str:
    """Return when a machine's parts are due."""
    from ringland.report.json import as_json as rendered
    from ringland.report.text import columns

    hours = part_hours(bench, machine)
    compression = last_compression(bench, machine)
    if as_json:
        said = {"word": compression.word, "reason": compression.reason} if compression else None
        fields = [
            {"part": each.part, "run_h": each.run, "interval_h": each.interval, "left_h": each.left}
            for each in hours
        ]
        return rendered({"machine": machine, "parts": fields, "compression": said})
    found = bench.machine(machine)
    meter = found.hours.hours if found.hours else "hours unknown"
    rows = [
        [each.part, "" if each.run is None else f"run {each.run:.1f} h", each.words]
        for each in hours
    ]
    if compression is not None:
        rows.append(["compression", compression.word, compression.reason])
    if not rows:
        rows = [["no intervals in the sheet, and no job yet"]]
    note = "Hours alone never make a verdict; the maker's interval is never stretched."
    return "\n".join([f"{machine}, {meter}", *columns(rows), note])


@click.command()
@click.argument("machine")
@as_json_option
@with_store
def due(machine: str, as_json: bool, store: Path | None, by: str | None) -> None:
    """When a machine is due again, by hours and by drop from its own baseline."""
    with the_bench(store, by, create=False) as bench:
        name = machine
        if name not in bench.machines():
            opened = bench.state(bench.find_job(machine)).opened
            name = opened.machine if opened else machine
        click.echo(due_text(bench, name, as_json=as_json))
