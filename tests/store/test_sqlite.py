"""The SQLite store keeps the contract, and its file refuses changes by itself."""

import sqlite3
import subprocess
import sys
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest

from ringland.store import open_store
from ringland.store.sqlite import SqliteLog
from tests.store.contract import LogContract, OpenLog, line


class TestSqliteLog(LogContract):
    """The contract on a file on disk."""

    @pytest.fixture
    def open_log(self, tmp_path: Path) -> OpenLog:
        return partial(open_store, tmp_path / "bench.ringland")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return the file of a store with two lines and a photo, closed."""
    path = tmp_path / "bench.ringland"
    with closing(open_store(path)) as log:
        log.append("job/1", [line("a", gap=0.35), line("b", gap=0.36)])
        log.put_photo(b"photo")
    return path


COLUMNS = '(stream, seq, id, act, kind, at, "by", body, crc)'


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE line SET body = '{}' WHERE seq = 1",
        "UPDATE OR REPLACE line SET id = 'b' WHERE seq = 1",
        "DELETE FROM line",
        "DELETE FROM line WHERE seq = 2",
        f"INSERT OR REPLACE INTO line {COLUMNS} VALUES ('job/1', 2, 'c', 'x', 'x', 'x', 'x', '', 0)",
        f"REPLACE INTO line {COLUMNS} VALUES ('job/1', 3, 'a', 'x', 'x', 'x', 'x', '{{}}', 0)",
        f"INSERT INTO line {COLUMNS} VALUES ('job/1', 4, 'd', 'x', 'x', 'x', 'x', '{{}}', 0)",
        f"INSERT INTO line {COLUMNS} VALUES ('job/2', 0, 'd', 'x', 'x', 'x', 'x', '{{}}', 0)",
        f"INSERT INTO line {COLUMNS} VALUES ('job/2', 1, 'd', NULL, 'x', 'x', 'x', '{{}}', 0)",
        f"INSERT INTO line {COLUMNS} VALUES ('job/2', 1, 'd', 'x', 'x', 'x', 'x', x'00', 0)",
        "UPDATE photo SET content = x'00'",
        "DELETE FROM photo",
        "INSERT OR REPLACE INTO photo SELECT hash, x'00' FROM photo",
    ],
)
def test_the_database_itself_refuses_changes(path: Path, change: str) -> None:
    with (
        closing(sqlite3.connect(path, isolation_level=None)) as other,
        pytest.raises(sqlite3.IntegrityError),
    ):
        other.execute(change)
    with closing(open_store(path)) as log:
        assert log.read("job/1") == [(1, line("a", gap=0.35)), (2, line("b", gap=0.36))]
        assert log.check() == []


def test_each_commit_is_flushed_to_the_disk(path: Path) -> None:
    with closing(SqliteLog(path)) as log:
        asked = {
            name: log._db.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "fullfsync", "busy_timeout")
        }
    assert asked == {
        "journal_mode": "delete",
        "synchronous": 3,
        "fullfsync": 1,
        "busy_timeout": 5000,
    }


def test_a_store_that_was_set_to_a_write_ahead_log_is_set_back(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other:
        assert other.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    with closing(open_store(path)) as log:
        log.append("job/1", [line("c")])
        assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_streams_are_found_without_reading_all_lines(path: Path) -> None:
    with closing(SqliteLog(path)) as log:
        plan = log._db.execute(
            "EXPLAIN QUERY PLAN "
            "SELECT stream FROM line WHERE seq = 1 AND stream >= 'job/' ORDER BY stream"
        ).fetchall()
    assert [step[3] for step in plan] == ["SEARCH line USING COVERING INDEX first_line (stream>?)"]


def test_a_command_that_opens_no_store_loads_no_sqlite() -> None:
    asked = (
        "import sys, ringland.store; print([m for m in ('sqlite3', 'hashlib') if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
