"""A store that another program keeps to itself is waited for, then named as locked."""

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from ringland.store import Locked, Log, open_store, opening
from tests.faults.appender import line


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bench.ringland"
    with closing(open_store(path)) as log:
        log.append("job/1", [line("a", 0)])
    return path


@pytest.fixture
def other(path: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(path, isolation_level=None, check_same_thread=False)) as other:
        yield other


@pytest.mark.parametrize(
    "use",
    [
        lambda log: log.append("job/1", [line("b", 0)]),
        lambda log: log.read("job/1"),
        lambda log: log.streams(),
        lambda log: log.put_photo(b"photo"),
    ],
)
def test_a_locked_store_is_named_and_left_as_it_was(
    path: Path,
    other: sqlite3.Connection,
    use: Callable[[Log], object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(opening, "PATIENCE_S", 0.1)
    with closing(open_store(path)) as log:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(Locked, match=r"keeps the store to itself\. Close it"):
            use(log)
        with pytest.raises(Locked, match="the store cannot be opened: another program"):
            open_store(path)
        other.execute("ROLLBACK")
        assert log.read("job/1") == [(1, line("a", 0))]
        assert log.append("job/1", [line("b", 0)]) == 2


def test_a_reader_in_the_way_of_a_commit_leaves_nothing_half_done(
    path: Path, other: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PATIENCE_S", 0.1)
    with closing(open_store(path)) as log:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM line").fetchone()  # a shared lock until the end
        with pytest.raises(Locked):
            log.append("job/1", [line("b", 0)])
        other.execute("COMMIT")
        assert log.append("job/1", [line("b", 0)]) == 2


def test_a_short_lock_is_waited_for(path: Path, other: sqlite3.Connection) -> None:
    with closing(open_store(path)) as log:
        other.execute("BEGIN EXCLUSIVE")
        release = threading.Timer(0.3, other.execute, ["COMMIT"])
        release.start()
        begun = time.monotonic()
        assert log.append("job/1", [line("b", 0)]) == 2
        assert time.monotonic() - begun > 0.2
        release.join()
