"""The check finds what was changed behind the store's back."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest

from ringland.store import Damaged, Locked, open_store, opening
from tests.store.contract import line

PHOTO = sha256(b"photo").hexdigest()
Behind = Callable[[str], None]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bench.ringland"
    with closing(open_store(path)) as log:
        log.append("job/1", [line("a", gap=0.35), line("b", gap=0.36), line("c")])
        log.put_photo(b"photo")
    return path


@pytest.fixture
def behind(path: Path) -> Behind:
    """Change the file as no store would: guards off first, back on after."""

    def change(statement: str) -> None:
        with closing(sqlite3.connect(path, isolation_level=None)) as db:
            asked = db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
            guards = asked.fetchall()
            for name, _ in guards:
                db.execute(f"DROP TRIGGER {name}")
            db.execute(statement)
            for _, sql in guards:
                db.execute(sql)

    return change


@pytest.mark.parametrize(
    ("statement", "problem"),
    [
        ("UPDATE line SET body = '{\"gap\":0.53}' WHERE id = 'a'", "line 1 is no longer what"),
        ("UPDATE line SET body = '{' WHERE id = 'a'", "line 1 is no longer what"),
        ("UPDATE line SET \"by\" = 'Bea' WHERE id = 'a'", "line 1 is no longer what"),
        ("UPDATE line SET stream = 'job/2' WHERE id = 'c'", "job/2: line 1 is missing"),
        ("UPDATE line SET stream = 'job/2', seq = 1 WHERE id = 'c'", "line 1 is no longer what"),
        ("DELETE FROM line WHERE id = 'b'", "job/1: line 2 is missing; the next one there is 3"),
    ],
)
def test_a_changed_line_is_found_and_not_read(
    path: Path, behind: Behind, statement: str, problem: str
) -> None:
    behind(statement)
    with closing(open_store(path)) as log:
        assert len(log.check()) == 1
        assert problem in log.check()[0]
        with pytest.raises(Damaged, match=f"{problem}.*newest backup"):
            log.read("job/2" if log.last("job/2") else "job/1")


def test_a_changed_photo_is_found(path: Path, behind: Behind) -> None:
    behind("UPDATE photo SET content = x'00'")
    with closing(open_store(path)) as log:
        assert log.check() == [f"photo {PHOTO} is no longer what was kept"]
        with pytest.raises(Damaged, match="take the photo from the newest backup"):
            log.photo(PHOTO)


def test_a_missing_guard_is_found(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("DROP TRIGGER line_stays")
    with closing(open_store(path)) as log:
        (problem,) = log.check()
    assert "a guard against changes is missing: CREATE TRIGGER line_stays" in problem


def test_a_backup_of_a_busy_store_is_whole(path: Path, tmp_path: Path) -> None:
    with closing(open_store(path)) as log, closing(open_store(path)) as other:
        for n in range(20):
            other.append("job/2", [line(f"{n}")])
            log.backup(tmp_path / f"copy-{n}")
            with closing(open_store(tmp_path / f"copy-{n}")) as copy:
                assert (copy.last("job/2"), copy.check()) == (n + 1, [])


def test_a_backup_does_not_wait_for_ever(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "PATIENCE_S", 0.1)
    connect = opening.connect
    with closing(open_store(path)) as log, closing(sqlite3.connect(path)) as other:

        def connect_just_before_the_lock(path: Path, *, create: bool) -> sqlite3.Connection:
            db = connect(path, create=create)
            other.execute("BEGIN EXCLUSIVE")
            return db

        monkeypatch.setattr(opening, "connect", connect_just_before_the_lock)
        with pytest.raises(Locked, match=r"the backup was not made: .* Close it, or wait"):
            log.backup(tmp_path / "copy")
        with pytest.raises(Locked, match=r"the store cannot be opened: .* Close it, or wait"):
            connect(path, create=False)
    assert [each.name for each in tmp_path.iterdir()] == [path.name]
