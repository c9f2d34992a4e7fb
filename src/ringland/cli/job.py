"""`ringland job`: open, list, show, export, import."""

from pathlib import Path

import click

from ringland.bench.called import command
from ringland.bench.lines import Prompt
from ringland.cli.looks import look
from ringland.cli.opening import as_json_option, the_bench, with_store
from ringland.cli.screen import say, width


@click.group()
def job() -> None:
    """Open, list, show, export and import jobs."""


@job.command("open")
@click.argument("machine")
@click.option("--scope", default="open", show_default=True, help="ring, piston, full or open.")
@click.option(
    "--sheet", type=click.Path(path_type=Path), help="Another engine sheet than the machine's."
)
@click.option("--hours", default="", help="Hour meter, such as '41.6 h'.")
@click.option("--reason", default="", help="Why the job is done.")
@with_store
def open_(
    machine: str,
    scope: str,
    sheet: Path | None,
    hours: str,
    reason: str,
    store: Path | None,
    by: str | None,
) -> None:
    """Open a job on a machine, with its own copy of the sheet."""
    from ringland.bench.opening import open_job
    from ringland.report.text import parts_text
    from ringland.report.view import parts_view

    with the_bench(store, by, create=False) as bench:
        name, case = open_job(bench, machine, scope=scope, reason=reason, hours=hours, sheet=sheet)
        say(look(Prompt(bench, name), "where"))
        parts = parts_view(case.parts)
        say(parts_text(parts, title="What to get before the strip", things=False, width=width()))
        click.echo(f"tools and supplies: {command(f'parts {name} --all')}")
        click.echo(f"  next   {command(f'at {name}')}")


@job.command("list")
@click.option("--figure", help="Only jobs in which this figure rules, with its text.")
@as_json_option
@with_store
def list_(figure: str | None, as_json: bool, store: Path | None, by: str | None) -> None:
    """List the jobs; with --figure those that a figure touched."""
    from ringland.bench.names import must_find
    from ringland.report.json import as_json as rendered
    from ringland.report.layout import columns
    from ringland.report.view import job_view

    with the_bench(store, by, create=False) as bench:
        found = []
        for name in bench.jobs():
            case = bench.case(name)
            view = job_view(case, name)
            row = {"job": name, "machine": view.machine, "scope": view.scope, "phase": view.phase}
            row["stops"] = str(len(view.stops))
            row["state"] = view.handed_over or ("safe" if view.safe else "open")
            if figure:
                check = must_find(case.book.sheet, figure.split(), "check", "group").name
                row["figure"] = case.book.sheet.figures.get(check, "not given")
                touched = [
                    k for k, v in case.verdicts.items() if k[0] == check and v.value is not None
                ]
                row["judged"] = (
                    ", ".join(condition for _, condition in touched) or "nothing read yet"
                )
            found.append(row)
        rows = [list(map(_told, row, row.values())) for row in found]
        lines = columns(rows, indent="", width=width())
        say(rendered(found) if as_json else "\n".join(lines), plain=as_json)


def _told(name: str, value: str) -> str:
    """Return a field of the list as a person reads it."""
    from ringland.report.words import ended_words

    if name == "stops":
        return "" if value == "0" else f"{value} stop{'' if value == '1' else 's'}"
    if name == "state" and value in ("started", "unstarted"):
        return ended_words(value)
    return value


@job.command()
@click.argument("name", metavar="JOB")
@as_json_option
@with_store
def show(name: str, as_json: bool, store: Path | None, by: str | None) -> None:
    """Show where a job stands."""
    with the_bench(store, by, create=False) as bench:
        say(look(Prompt(bench, bench.find_job(name)), "where", as_json=as_json), plain=as_json)


@job.command()
@click.argument("name", metavar="JOB")
@click.option(
    "-o", "output", type=click.Path(path_type=Path, dir_okay=False), help="File; else printed."
)
@with_store
def export(name: str, output: Path | None, store: Path | None, by: str | None) -> None:
    """Write a job as one JSON Lines file, without loss."""
    from ringland.bench.exchange import export_job

    with the_bench(store, by, create=False) as bench:
        text = "\n".join(export_job(bench, bench.find_job(name))) + "\n"
        if output is None:
            click.echo(text, nl=False)
        else:
            output.write_text(text, encoding="utf-8")
            click.echo(f"{output}: {len(text.splitlines()) - 1} lines")


@job.command()
@click.argument("name", metavar="JOB")
@click.option(
    "-o", "output", type=click.Path(path_type=Path, dir_okay=False), help="File; else printed."
)
@with_store
def readings(name: str, output: Path | None, store: Path | None, by: str | None) -> None:
    """Write a job's readings as CSV."""
    from ringland.report.csv import readings_csv

    with the_bench(store, by, create=False) as bench:
        job_name = bench.find_job(name)
        text = readings_csv(bench.case(job_name), job_name)
        if output is None:
            click.echo(text, nl=False)
        else:
            output.write_text(text, encoding="utf-8", newline="")
            click.echo(f"{output}: {text.count(chr(10)) - 1} lines")


@job.command("import")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@with_store
def import_(file: Path, store: Path | None, by: str | None) -> None:
    """Keep a job from its JSON Lines file."""
    from ringland.bench.exchange import import_job

    with the_bench(store, by) as bench:
        name, count = import_job(bench, file.read_text(encoding="utf-8"))
        click.echo(f"job {name}: {count} entries")
