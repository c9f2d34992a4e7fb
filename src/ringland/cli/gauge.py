"""`ringland gauge`: the shelf."""

from pathlib import Path

import click

from ringland.cli.opening import as_json_option, the_bench, with_store


@click.group()
def gauge() -> None:
    """The gauges on the shelf."""


@gauge.command()
@click.argument("name", metavar="ID")
@click.argument("kind")
@click.option(
    "--error", "permissible_error", default="", help="Permissible error ±, such as '5 µm'."
)
@click.option(
    "--step", "resolution", default="", help="Smallest step it shows, such as '0.001 mm'."
)
@click.option("--from", "low", default="", help="Lower end of its scale.")
@click.option("--to", "high", default="", help="Upper end of its scale.")
@click.option("--leaves", default="", help="Leaves of a feeler set: '0.05 0.10 0.15 mm'.")
@click.option("--set-with", default="", help="Id of the gauge, or the ring, that it is zeroed on.")
@click.option("--calibrated", default="", help="Date of the last calibration.")
@click.option(
    "--length", default="", help="Of a torque wrench: middle of the grip to middle of the drive."
)
@with_store
def add(
    name: str,
    kind: str,
    permissible_error: str,
    resolution: str,
    low: str,
    high: str,
    leaves: str,
    set_with: str,
    calibrated: str,
    length: str,
    store: Path | None,
    by: str | None,
) -> None:
    """Put a gauge on the shelf, or know it better."""
    from ringland.bench.opening import add_gauge
    from ringland.job.log.entries import Gauge

    *numbers, unit = leaves.split() or [""]
    stack = tuple(f"{number} {unit}" for number in numbers) or ((leaves,) if leaves else ())
    made = Gauge(
        name, kind, permissible_error, resolution, low, high, stack, set_with, calibrated, length
    )
    with the_bench(store, by) as bench:
        add_gauge(bench, made)
        click.echo(f"{name}, {kind}, is on the shelf")


@gauge.command("list")
@as_json_option
@with_store
def list_(as_json: bool, store: Path | None, by: str | None) -> None:
    """List the shelf."""
    from ringland.report.json import as_json as rendered
    from ringland.report.layout import columns
    from ringland.report.shelf import shelf_rows, shelf_view

    with the_bench(store, by, create=False) as bench:
        shelf = bench.shelf()
        if as_json:
            click.echo(rendered(list(shelf.gauges.values())))
            return
        lines = shelf_view(shelf, bench.now()[:10])
        told = columns(shelf_rows(lines), indent="")
        told += [f"! {line.overdue}" for line in lines if line.overdue]
        click.echo("\n".join(told) or "No gauge is on the shelf.")
