"""At the bench: killed, disk full, folder read-only. What was acknowledged is there, nothing half."""

import json
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from ringland.job.log.coding import decode
from ringland.job.log.entries import GaugeUsed, ReadingTaken
from ringland.store import open_store
from tests.faults.measurer import reading
from tests.stories.shop import Shop

ROOT = Path(__file__).parents[2]
MEASURER = "tests.faults.measurer"
ROUNDS = 6
STORE = 4  # the documented exit code of a store that cannot be used


@pytest.fixture
def shop() -> Iterator[Shop]:
    """Return a shop with one job, in a folder that other users can enter; pytest's is closed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        made = Shop(folder)
        made.open("loan-3", "f-230")
        yield made
        folder.chmod(0o755)


def measurer(shop: Shop, *arguments: object) -> list[str]:
    """Take readings until the measurer ends by itself; return what it said."""
    ran = subprocess.run(
        [sys.executable, "-m", MEASURER, str(shop.store), *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert "Traceback" not in ran.stderr
    return ran.stdout.splitlines()


def readings(shop: Shop) -> list[str]:
    """Return what the store holds of the skirt, after looking whether all of it is sound."""
    with closing(open_store(shop.store, create=False)) as log:
        assert log.check() == []
        facts = [decode(line.kind, line.body) for _, line in log.read("job/1")]
    known = {fact.gauge.id for fact in facts if isinstance(fact, GaugeUsed)}
    taken = [fact for fact in facts if isinstance(fact, ReadingTaken)]
    assert {fact.gauge for fact in taken} <= known, "a reading came without its gauge"
    return [each.typed for fact in taken for each in fact.indications]


def acknowledged_before_a_kill(shop: Shop, pause_s: float) -> int:
    """Measure in a loop, kill it a while after its first readings; return how many it had said."""
    with subprocess.Popen(
        [sys.executable, "-m", MEASURER, str(shop.store), "100000"],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as running:
        assert running.stdout is not None
        said: list[str] = []
        while sum(line.startswith("kept ") for line in said) < 3:
            said.append(running.stdout.readline())
            assert said[-1], "it ended by itself"
        time.sleep(pause_s)
        running.send_signal(signal.SIGKILL)
        said += running.stdout.readlines()
    assert running.returncode == -signal.SIGKILL
    # a torn last line was not acknowledged
    return sum(line.startswith("kept ") and line.endswith("\n") for line in said)


def test_readings_that_were_acknowledged_are_there_after_kill_9(shop: Shop) -> None:
    chance = random.Random(230)
    expected: list[str] = []
    for _ in range(ROUNDS):
        acknowledged = acknowledged_before_a_kill(shop, chance.uniform(0, 0.1))
        mine = readings(shop)[len(expected) :]
        # one more may have been kept just before it could be acknowledged
        assert len(mine) - acknowledged in (0, 1)
        assert mine == [reading(n) for n in range(len(mine))]
        expected += mine
    assert readings(shop) == expected
    assert json.loads(shop("job", "show", "1", "--json"))["job"] == "1", "and the job goes on"


def test_a_disk_that_refuses_is_named_and_keeps_what_was_kept(shop: Shop) -> None:
    size = shop.store.stat().st_size
    *_, trouble = measurer(shop, 1000, "at-most", size + 30_000)
    assert trouble.startswith(f"exit {STORE}: {shop.store}: nothing was added to job/1")
    assert "the disk refused" in trouble
    kept = readings(shop)
    assert kept == [reading(n) for n in range(len(kept))]
    assert len(kept) > 3
    shop("measure", "1", "piston", "skirt", "64.950 mm")  # with room again it goes on
    assert len(readings(shop)) == len(kept) + 1


@pytest.mark.parametrize("file_mode", [0o444, 0o666])
def test_a_read_only_folder_is_named_and_nothing_is_half_kept(shop: Shop, file_mode: int) -> None:
    before = shop.store.read_bytes()
    shop.store.chmod(file_mode)
    shop.folder.chmod(0o555)
    said = measurer(shop, 1, "without-rights")
    assert said[-1].startswith(f"exit {STORE}: {shop.store}: ")
    assert "Allow it, or choose another place." in said[-1]
    assert shop.store.read_bytes() == before
    shop.folder.chmod(0o755)
    shop.store.chmod(0o644)
    assert readings(shop) == []
