"""`ringland demo`: the Oxbow Riding Club's shed, with one job played from its file of lines.

The club and its engine are invented. The shed is left in a folder to play with.
"""

import uuid
from importlib.resources import files
from pathlib import Path
from shlex import quote

import click

from ringland.bench.bench import Bench
from ringland.bench.called import command
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_gauge, add_machine, open_job, read_hours
from ringland.bench.times import instant
from ringland.cli.acts import answer
from ringland.cli.looks import look
from ringland.cli.opening import REFUSED, STORE, Stopped, clock
from ringland.cli.screen import say, width
from ringland.cli.stores import FILE, find_store
from ringland.job.log.entries import Baseline, Gauge
from ringland.job.log.shop import MachineAdded
from ringland.report.layout import columns
from ringland.store import StoreError, open_store

SHEET, LEAFLETS = "tarrow-124.yaml", ("piston-leaflet.yaml", "ring-leaflet.yaml")
MAIN = "oxbow-3"
ADAPTER = "--torque '21 lbf·ft' --wrench '300 mm' --adapter '50 mm' --angle 45"

GAUGES = (
    Gauge("CG-1", "compression gauge", "", "0.1 bar", "0 bar", "20 bar"),
    Gauge("BG-2", "bore gauge", "5 µm", "0.001 mm", "50 mm", "75 mm", set_with="MIC-1"),
    Gauge(
        "MIC-1", "fine micrometer", "3 µm", "0.001 mm", "50 mm", "75 mm", calibrated="2026-02-11"
    ),
    Gauge(
        "FG-1",
        "feeler",
        leaves=tuple(f"{n / 100:.2f} mm" for n in (*range(4, 11), *range(15, 105, 5))),
    ),
    Gauge("DI-1", "dial indicator", "10 µm", "0.01 mm"),
    Gauge("CAL-1", "caliper", "30 µm", "0.01 mm", "0 mm", "150 mm"),
    Gauge("LP-1", "low-pressure gauge", "0.02 bar", "0.01 bar", "0 bar", "1 bar"),
    Gauge("TW-1", "torque wrench", "", "0.25 N·m", "2 N·m", "15 N·m", length="185 mm"),
    Gauge("TW-2", "torque wrench", "", "1 N·m", "10 N·m", "60 N·m", length="300 mm"),
)
# name, hours, scope, reason, variant
MACHINES = (
    ("oxbow-1", "38.2 h", "piston", "hours are up", ""),
    ("oxbow-2", "44.0 h", "piston", "hours are up", ""),
    ("oxbow-3", "41.6 h", "full", "lost compression", ""),
    ("oxbow-4", "29.5 h", "open", "rider says it is down on power", "2020-2022"),
)
RIDDEN = {"oxbow-1": "40.2 h"}  # on the meter when it was handed over


@click.command()
@click.option(
    "--in", "folder", type=click.Path(path_type=Path), default=Path("oxbow"), show_default=True,
    help="The folder that the shed is left in.",
)  # fmt: skip
@click.option(
    "-v", "--verbose", is_flag=True, help="Show every line of the main job as it is played."
)
def demo(folder: Path, verbose: bool) -> None:
    """Build the Oxbow Riding Club's shed and play a job in it."""
    store = folder / FILE
    if store.exists():
        raise Stopped(
            f"{store} is there already. Go on in it:  {command(f'at {MAIN} --store {quote(str(folder))}')}\n"
            f"Or build another:  {command('demo --in OTHER')}",
            REFUSED,
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lines = (f"{name}.lines" for name in ("try", *(machine[0] for machine in MACHINES)))
        for name in (SHEET, *LEAFLETS, *lines):
            text = (files("ringland.demo") / name).read_text(encoding="utf-8")
            (folder / name).write_text(text, encoding="utf-8")
        log = open_store(store)
    except OSError as error:
        raise Stopped(f"{folder}: {error.strerror}", STORE) from None
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    try:
        bench = Bench(log, "Ada", clock, lambda: uuid.uuid4().hex)
        _fill(bench, folder, verbose=verbose)
        _show(bench, folder)
    finally:
        log.close()


def _fill(bench: Bench, folder: Path, *, verbose: bool) -> None:
    first = _bench_at(bench, folder / f"{MACHINES[0][0]}.lines", first=True)
    for gauge in GAUGES:
        add_gauge(first, gauge)
    for name, hours, scope, reason, variant in MACHINES:
        file = folder / f"{name}.lines"
        then = _bench_at(bench, file, first=True)
        machine = MachineAdded(
            name, str((folder / SHEET).resolve()), variant, remark="club loan bike"
        )
        baseline = Baseline("12.6 bar", "CG-1", "2 h")
        add_machine(
            then,
            machine,
            hours=hours,
            baseline=baseline,
            part_hours={"piston": "0 h", "rod": "0 h"},
        )
        job, _ = open_job(then, name, scope=scope, reason=reason)
        play(Prompt(bench, job), file, aloud=verbose and name == MAIN)
        if name in RIDDEN:
            read_hours(_bench_at(bench, file, first=False), name, RIDDEN[name])


def _bench_at(bench: Bench, file: Path, *, first: bool) -> Bench:
    """Return the bench as it was when a file of lines began, or ended: its own time, not today."""
    lines = file.read_text(encoding="utf-8").splitlines()
    times = [line.removeprefix("when ") for line in lines if line.startswith("when ")]
    at = instant(times[0 if first else -1], bench.now())
    return Bench(bench.log, bench.by, lambda: at, bench.new_id)


def play(prompt: Prompt, file: Path, *, aloud: bool = False) -> None:
    """Play a file of lines; each must be understood, since the demo is real input."""
    for line in file.read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        # a leaflet is named as it lies beside the lines
        typed = (
            line.replace("leaflet ", f"leaflet {file.parent}/")
            if line.startswith("renew")
            else line
        )
        reply = prompt.say(typed)
        if aloud and (said := answer(prompt, reply)):
            click.echo(f"> {line}\n{said}")


def _show(bench: Bench, folder: Path) -> None:
    machines, gauges = len(bench.machines()), len(bench.shelf().gauges)
    say(
        f"The Oxbow Riding Club's shed is in {folder}  ({machines} machines, {gauges} gauges, "
        f"1 engine sheet, {len(LEAFLETS)} leaflets; all invented)\n"
    )
    main = bench.find_job(MAIN)
    for job in (*(each for each in bench.jobs() if each != main), main):
        say(("\n" if job == main else "") + look(Prompt(bench, job), "where"))
    say("\n".join(["\nTry:", *columns(_to_try(folder), most=60, width=width())]))


def _to_try(folder: Path) -> list[list[str]]:
    """Return commands that work as they stand, in this folder, and what they are for."""
    store = "" if _is_found(folder) else f" --store {quote(str(folder))}"
    tries = (
        (f"at {MAIN}{store}", "work at it, one short line for each act; ? helps, q leaves"),
        (f"verdicts {MAIN}{store}", "every reading, what it is worth, what to do"),
        (f"prestart oxbow-2{store}", "what still forbids a first start"),
        (f"settings {MAIN}{store}", "gap, gasket, piston, torque, mix, each with its source"),
        (f"serve{store}", "the same jobs as a page in a browser"),
        (f"print oxbow-1 build -o job1.pdf{store}", "the build sheet of a finished job"),
        (f"parts --sheet {folder / SHEET} --scope piston", "at the counter, without any job"),
        (f"calc adapter {ADAPTER}", "one question, without anything"),
    )
    return [[command(words), what] for words, what in tries]


def _is_found(folder: Path) -> bool:
    """Say whether a command finds this shed when nobody names a store."""
    try:
        return find_store(None).path.resolve() == (folder / FILE).resolve()
    except StoreError:
        return False
