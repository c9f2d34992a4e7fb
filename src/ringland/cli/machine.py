"""`ringland machine`: add, list, show, hours, baseline."""

from pathlib import Path
from shlex import quote

import click

from ringland.bench.called import command
from ringland.cli.opening import as_json_option, the_bench, with_store
from ringland.cli.screen import say


@click.group()
def machine() -> None:
    """Machines, their hours and their baselines."""


@machine.command()
@click.argument("name")
@click.option("--sheet", type=click.Path(path_type=Path), help="Its engine sheet.")
@click.option("--variant", default="", help="The sheet's variant.")
@click.option("--hours", default="", help="Hour meter, such as '41.6 h'.")
@click.option("--altitude", default="", help="Where it is measured, such as '600 m'.")
@click.option("--baseline", default="", help="Its own reference compression, such as '12.4 bar'.")
@click.option("--baseline-gauge", default="", help="The gauge that the baseline was read with.")
@click.option(
    "--part-hours",
    multiple=True,
    metavar="PART=HOURS",
    help="Hours of the machine when a part was renewed.",
)
@with_store
def add(
    name: str,
    sheet: Path | None,
    variant: str,
    hours: str,
    altitude: str,
    baseline: str,
    baseline_gauge: str,
    part_hours: tuple[str, ...],
    store: Path | None,
    by: str | None,
) -> None:
    """Add a machine."""
    from ringland.bench.opening import add_machine
    from ringland.job.log.entries import Baseline
    from ringland.job.log.shop import MachineAdded

    reference = Baseline(baseline, baseline_gauge, hours, altitude) if baseline else None
    for each in part_hours:
        if "=" not in each:
            raise click.UsageError(f"{each!r}: write a part and its hours, as in piston=41.6 h")
    parts = dict(each.split("=", 1) for each in part_hours)
    path = str(sheet.resolve()) if sheet else ""
    with the_bench(store, by) as bench:
        added = MachineAdded(name, path, variant, altitude)
        add_machine(bench, added, hours=hours, baseline=reference, part_hours=parts)
        if reference and not baseline_gauge:
            say(
                "The baseline's gauge is not noted, and only readings on the same one compare. "
                f"Note it: {command(f'machine baseline {quote(name)} {quote(baseline)} --gauge ID')}"
            )
        click.echo(f"{name} added.  next   {command(f'job open {quote(name)} --scope full')}")


@machine.command("list")
@as_json_option
@with_store
def list_(as_json: bool, store: Path | None, by: str | None) -> None:
    """List the machines."""
    from ringland.bench.hours import jobs_of
    from ringland.report.json import as_json as rendered
    from ringland.report.layout import columns

    with the_bench(store, by, create=False) as bench:
        rows = []
        for name in bench.machines():
            found = bench.machine(name)
            hours = found.hours.hours if found.hours else "hours unknown"
            jobs = jobs_of(bench, name)
            rows.append([name, hours, f"jobs {', '.join(jobs)}" if jobs else "no job yet"])
        click.echo(rendered(rows) if as_json else "\n".join(columns(rows, indent="")))


@machine.command()
@click.argument("name")
@as_json_option
@with_store
def show(name: str, as_json: bool, store: Path | None, by: str | None) -> None:
    """Show a machine: hours by part, jobs, baseline."""
    from ringland.bench.hours import baseline_of
    from ringland.cli.due import due_text

    with the_bench(store, by, create=False) as bench:
        bench.machine(name)
        click.echo(due_text(bench, name, as_json=as_json))
        baseline = baseline_of(bench, name)
        if baseline and not as_json:
            click.echo(f"baseline {baseline.value} on {baseline.gauge or 'a gauge not noted'}")


@machine.command()
@click.argument("name")
@click.argument("hours")
@with_store
def hours(name: str, hours: str, store: Path | None, by: str | None) -> None:
    """Keep a reading of the hour meter."""
    from ringland.bench.opening import read_hours

    with the_bench(store, by, create=False) as bench:
        read_hours(bench, name, hours)
        click.echo(f"{name}: {hours} kept")


@machine.command()
@click.argument("name")
@click.argument("pressure")
@click.option("--gauge", default="", help="The gauge it was read with.")
@click.option("--hours", default="", help="Hours of the machine then; else its last reading.")
@click.option("--altitude", default="", help="Where it was read, such as '600 m'.")
@click.option("--reason", default="", help="Why it is the reference from now on.")
@with_store
def baseline(
    name: str,
    pressure: str,
    gauge: str,
    hours: str,
    altitude: str,
    reason: str,
    store: Path | None,
    by: str | None,
) -> None:
    """Note the machine's own reference compression from now on."""
    from ringland.bench.opening import set_baseline
    from ringland.job.log.entries import Baseline

    with the_bench(store, by, create=False) as bench:
        found = bench.machine(name)
        at = hours or (found.hours.hours if found.hours else "")
        set_baseline(bench, name, Baseline(pressure, gauge, at, altitude), reason)
        click.echo(
            f"{name}: {pressure} on {gauge or 'a gauge not noted'} is its baseline from here on"
        )
