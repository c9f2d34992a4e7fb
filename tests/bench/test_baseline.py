"""A machine's own reference compression: the one of the most hours counts."""

from pathlib import Path

import pytest

from ringland.bench.bench import Bench
from ringland.bench.hours import baseline_of
from ringland.bench.opening import add_machine, set_baseline
from ringland.bench.refusal import Refused
from ringland.job.log.entries import Baseline
from ringland.job.log.shop import MachineAdded
from ringland.store import open_store


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    ids = iter(range(1000))
    log = open_store(tmp_path / "bench.ringland")
    return Bench(log, "Ada", lambda: "2026-05-02T09:00:00+00:00", lambda: str(next(ids)))


def test_a_later_baseline_is_the_reference_from_then_on(bench: Bench) -> None:
    add_machine(
        bench, MachineAdded("red"), hours="10 h", baseline=Baseline("12.4 bar", "CG-1", "2 h")
    )
    set_baseline(bench, "red", Baseline("12.1 bar", "CG-2", "10 h"), "another gauge")
    found = baseline_of(bench, "red")
    assert found is not None
    assert (found.value, found.gauge) == ("12.1 bar", "CG-2")


def test_a_baseline_that_is_no_pressure_is_refused(bench: Bench) -> None:
    add_machine(bench, MachineAdded("red"))
    with pytest.raises(Refused, match="baseline"):
        set_baseline(bench, "red", Baseline("12.1 mm", "CG-2"))
    assert baseline_of(bench, "red") is None
