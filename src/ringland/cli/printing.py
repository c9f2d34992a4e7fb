"""`ringland print`: papers as PDF, plots as SVG. Reads the store, hands a `JobFile` to the papers."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ringland.bench.bench import Bench
from ringland.bench.called import command
from ringland.cli.opening import REFUSED, STORE, Stopped, clock, refusals, the_bench, with_store
from ringland.report.paper.blocks import SIZES, PaperSize

if TYPE_CHECKING:
    from ringland.report.paper.jobfile import JobFile

WHAT = ("build", "owner", "strip", "labels", "guide", "order", "plots")
PORT = 8124  # where `ringland serve` answers when nothing else is said


@click.command("print")
@click.argument("names", nargs=-1, metavar=f"[JOB] {'|'.join(WHAT)}")
@click.option(
    "-o", "output", type=click.Path(path_type=Path), required=True, help="File; a folder for plots."
)
@click.option("--paper", type=click.Choice(tuple(SIZES)), default="a4", show_default=True)
@click.option(
    "--sheet", "sheet_file", type=click.Path(path_type=Path),
    help="An engine sheet, for a strip list or guide without any job.",
)  # fmt: skip
@click.option("--scope", default="piston", show_default=True, help="With --sheet.")
@click.option("--variant", help="With --sheet: the sheet's variant.")
@click.option("--address", default="", help="Address of the page, for QR codes.")
@click.option(
    "--supplier", "suppliers", multiple=True, metavar="'NAME: PART, PART'",
    help="On the order sheet: who delivers which parts; may be repeated.",
)  # fmt: skip
@with_store
def print_(
    names: tuple[str, ...],
    output: Path,
    paper: str,
    sheet_file: Path | None,
    scope: str,
    variant: str | None,
    address: str,
    suppliers: tuple[str, ...],
    store: Path | None,
    by: str | None,
) -> None:
    """Print a paper of a job: the build sheet, the owner's page, labels ..."""
    what, job = _asked(names, sheet_file)
    if job is None:
        assert sheet_file is not None
        file = _of_sheet(sheet_file, scope, variant)
        _write(output, what, SIZES[paper], file, {})
        return
    with the_bench(store, by, create=False) as bench:
        file = _of_job(bench, bench.find_job(job), address)
        _write(output, what, SIZES[paper], file, _suppliers(file, suppliers))


def _asked(names: tuple[str, ...], sheet_file: Path | None) -> tuple[str, str | None]:
    if not names or names[-1] not in WHAT:
        raise click.UsageError(f"name a paper: {', '.join(WHAT)}")
    if sheet_file is not None:
        if len(names) > 1 or names[0] not in ("strip", "guide"):
            raise click.UsageError("with --sheet, without a job: strip or guide")
        return names[-1], None
    if len(names) != 2:
        raise click.UsageError(f"name a job and a paper: {command('print JOB build -o FILE')}")
    return names[1], names[0]


def _of_job(bench: Bench, job: str, address: str) -> "JobFile":
    from ringland.bench.paperwork import paperwork
    from ringland.report.paper.jobfile import JobFile

    beside = paperwork(bench, job)
    return JobFile(
        bench.case(job),
        job,
        beside.hours,
        beside.meter,
        beside.history,
        beside.photos,
        address or f"http://{socket.gethostname()}:{PORT}",
    )


def _of_sheet(file: Path, scope: str, variant: str | None) -> "JobFile":
    from ringland.bench import sheets
    from ringland.report.paper.jobfile import of_sheet

    with refusals():
        return of_sheet(sheets.load(file, variant).tree, sheets.scope_named(scope), clock())


def _suppliers(file: "JobFile", typed: tuple[str, ...]) -> dict[str, str]:
    from ringland.bench.names import must_find

    found = {}
    for each in typed:
        name, colon, parts = each.partition(":")
        if not colon or not name.strip():
            raise click.UsageError(f"--supplier {each!r}: write 'NAME: PART, PART'")
        for part in parts.split(","):
            known = must_find(file.case.book.sheet, part.split(), "part").name
            found[known] = name.strip()
    return found


def _write(
    output: Path, what: str, size: "PaperSize", file: "JobFile", suppliers: dict[str, str]
) -> None:
    from ringland.report.paper.order import order_sheet
    from ringland.report.paper.papers import PAPERS
    from ringland.report.paper.render import pdf

    if what == "plots":
        _write_plots(output, file)
        return
    try:
        paper = order_sheet(file, suppliers) if what == "order" else PAPERS[what](file)
    except ValueError as error:
        raise Stopped(str(error), REFUSED) from None
    content = pdf(paper, size=size)
    with _writing(output):
        output.write_bytes(content)
    click.echo(f"{output}: {paper.kind}, {paper.title}")


def _write_plots(folder: Path, file: "JobFile") -> None:
    from ringland.report.paper.plots import plots

    found = plots(file)
    if not found:
        raise Stopped(f"{file.about}: too little was read for a plot", REFUSED)
    with _writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        for plot in found:
            assert isinstance(plot.content, str)
            (folder / plot.name).write_text(plot.content, "utf-8")
            click.echo(f"{folder / plot.name}: {plot.caption}")


@contextmanager
def _writing(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise Stopped(f"{path}: {error.strerror}", STORE) from None
