"""A bench with a small shelf, a machine and one job, on a real store."""

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest

from ringland.bench.bench import Bench
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_gauge, add_machine, open_job
from ringland.job.log.entries import Baseline, Gauge
from ringland.job.log.shop import MachineAdded
from ringland.store import open_store

SHEET = Path(__file__).parents[1] / "stories" / "sheets" / "f-230.yaml"
NOW = "2026-05-02T10:00:00+02:00"

Benches = Callable[[str], Bench]


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    """Open benches by name, each with its own store."""
    opened: list[Bench] = []

    def bench(name: str) -> Bench:
        number = count(1)
        log = open_store(tmp_path / f"{name}.ringland")
        opened.append(Bench(log, "Ada", lambda: NOW, lambda: f"{name}-{next(number)}"))
        return opened[-1]

    yield bench
    for each in opened:
        each.log.close()


@pytest.fixture
def bench(benches: Benches) -> Bench:
    """Return a bench with a shelf, loan-3 and its job 1, a piston kit."""
    made = benches("shop")
    for gauge in (
        Gauge("BG-1", "bore gauge", resolution="0.001 mm"),
        Gauge("MM-1", "fine micrometer", resolution="0.001 mm"),
        Gauge("FG-1", "feeler", leaves=tuple(f"{n / 100:.2f} mm" for n in range(5, 105, 5))),
        Gauge("CG-1", "compression gauge", resolution="0.1 bar"),
    ):
        add_gauge(made, gauge)
    add_machine(
        made,
        MachineAdded("loan-3", str(SHEET)),
        hours="58 h",
        baseline=Baseline("12.4 bar", "CG-1"),
    )
    open_job(made, "loan-3", scope="piston")
    return made


@pytest.fixture
def prompt(bench: Bench) -> Prompt:
    """Return Ada's prompt at job 1."""
    return Prompt(bench, "1")
