"""A program killed in the midst of its work loses nothing that it had acknowledged.

A kill shows that an append is whole or absent. It does not cut the power: that a commit is flushed
to the disk is asked of SQLite in tests/store/test_sqlite.py.
"""

import random
import signal
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

from ringland.store import open_store
from tests.faults.appender import line

APPENDER = Path(__file__).with_name("appender.py")
ROUNDS = 12
ENDLESS = "1000000"


def acknowledged_before_a_kill(path: Path, name: str, pause_s: float) -> list[str]:
    """Run the appender on the store, kill it a while after its first lines, return its acks."""
    with subprocess.Popen(
        [sys.executable, APPENDER, path, name, ENDLESS], stdout=subprocess.PIPE, text=True
    ) as appender:
        assert appender.stdout is not None
        said = [appender.stdout.readline() for _ in range(5)]
        time.sleep(pause_s)
        appender.send_signal(signal.SIGKILL)
        said += appender.stdout.readlines()
    assert appender.returncode == -signal.SIGKILL
    # a torn last line was not acknowledged
    return [each.removeprefix("kept ").strip() for each in said if each.endswith("\n")]


def test_what_was_acknowledged_is_there_after_kill_9(tmp_path: Path) -> None:
    path, chance = tmp_path / "bench.ringland", random.Random(124)
    expected: list[str] = []
    for n in range(ROUNDS):
        acknowledged = acknowledged_before_a_kill(path, f"round{n}", chance.uniform(0, 0.02))
        assert len(acknowledged) >= 5
        with closing(open_store(path, create=False)) as log:
            read = log.read("job/1")
            assert log.check() == []
        mine = [each for _, each in read if each.id.startswith(f"round{n}-")]
        # one more may have been kept just before it could be acknowledged
        assert len(mine) - len(acknowledged) in (0, 1)
        assert mine == [line(f"round{n}", k) for k in range(len(mine))]
        assert [each.id for each in mine[: len(acknowledged)]] == acknowledged
        expected += [each.id for each in mine]
    assert [each.id for _, each in read] == expected


def test_a_kill_while_the_store_is_made_leaves_a_whole_store_or_none(tmp_path: Path) -> None:
    chance = random.Random(53)
    for n in range(8):
        folder = tmp_path / f"{n}"
        maker = subprocess.Popen(
            [sys.executable, APPENDER, folder / "bench.ringland", "a", "0"],
            stdout=subprocess.DEVNULL,
        )
        while not folder.exists() and maker.poll() is None:
            time.sleep(0.0002)
        time.sleep(chance.uniform(0, 0.004))
        maker.kill()
        maker.wait()
        with closing(open_store(folder / "bench.ringland")) as log:
            assert log.append("job/1", [line("a", 0)]) == 1
            assert log.check() == []
