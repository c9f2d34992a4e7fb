"""A disk that is full or may not be written to is named, and nothing is half recorded."""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from ringland.store import DiskFull, Unstorable, open_store
from ringland.store.sqlite import SqliteLog
from tests.faults.appender import line

APPENDER = Path(__file__).with_name("appender.py")


def appender(*arguments: object, before: tuple[str, ...] = ()) -> list[str]:
    """Run the appender until its trouble, and return what it said."""
    ran = subprocess.run(
        [*before, sys.executable, APPENDER, *map(str, arguments)], capture_output=True, text=True
    )
    assert (ran.returncode, ran.stderr) == (4, "")
    return ran.stdout.splitlines()


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """Return a folder that other users can enter; pytest's own is closed to them."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def test_a_limit_on_the_file_keeps_what_was_kept(tmp_path: Path) -> None:
    path = tmp_path / "bench.ringland"
    *kept, trouble, held = appender(path, "a", 1000, "at-most", 100_000)
    assert kept
    assert trouble.startswith(f"DiskFailed: {path}: nothing was added to job/1: the disk refused")
    assert held == f"held {len(kept)}, problems []"
    with closing(open_store(path)) as log:
        assert [f"kept {each.id}" for _, each in log.read("job/1")] == kept
        assert log.append("job/1", [line("b", 0)]) == len(kept) + 1


def test_a_full_database_keeps_what_was_kept(tmp_path: Path) -> None:
    with closing(SqliteLog(tmp_path / "bench.ringland")) as log:
        log.append("job/1", [line("a", 0)])
        log._db.execute("PRAGMA max_page_count = 12")  # SQLite then says what a full disk says
        with pytest.raises(DiskFull, match=r"nothing was added to job/1: the disk is full\. Make"):
            log.append("job/1", [line("b", n) for n in range(100)])
        with pytest.raises(DiskFull, match="the photo was not kept: the disk is full"):
            log.put_photo(bytes(100_000))
        assert log.read("job/1") == [(1, line("a", 0))]
        assert log.check() == []
        assert log.append("job/1", [line("c", 0)]) == 2


def test_a_full_disk_keeps_what_was_kept(tmp_path: Path) -> None:
    # a file system of 256 KiB in a namespace of the appender's own: gone when it ends
    unshare = ("unshare", "--mount", "--map-root-user")
    if not shutil.which("unshare") or subprocess.run([*unshare, "true"]).returncode:
        pytest.skip("this system lets nobody make a small file system to fill")
    path = tmp_path / "bench.ringland"
    *kept, trouble, held = appender(path, "a", 1000, "on-tmpfs", tmp_path, before=unshare)
    assert len(kept) > 20
    assert trouble.startswith(f"DiskFull: {path}: nothing was added to job/1: the disk is full.")
    assert held == f"held {len(kept)}, problems []"


def test_a_backup_to_a_full_place_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "bench.ringland"
    with closing(open_store(path)) as log:
        log.put_photo(bytes(200_000))
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, hard))
        try:
            with pytest.raises(Exception, match="the backup was not made: the disk refused"):
                log.backup(tmp_path / "copy")
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert [each.name for each in tmp_path.iterdir()] == [path.name]
        assert log.check() == []


def test_a_photo_beyond_sqlites_limit_is_refused(tmp_path: Path) -> None:
    with closing(SqliteLog(tmp_path / "bench.ringland")) as log:
        log._db.setlimit(0, 1000)  # SQLITE_LIMIT_LENGTH, else a gigabyte
        with pytest.raises(Unstorable, match="too big for the store"):
            log.put_photo(bytes(2000))
        assert log.check() == []


def test_a_read_only_folder_can_be_read_but_not_added_to(open_folder: Path) -> None:
    path = open_folder / "bench.ringland"
    with closing(open_store(path)) as log:
        log.append("job/1", [line("a", 0)])
    for file_mode in (0o444, 0o666):  # with a writable file, the journal beside it is refused
        path.chmod(file_mode)
        open_folder.chmod(0o555)
        trouble, held = appender(path, "b", 1, "without-rights")
        assert trouble.startswith(f"ReadOnly: {path}: nothing was added to job/1: ")
        assert trouble.split(" [")[0].endswith("Allow it, or choose another place.")
        assert held == "held 1, problems []"
        open_folder.chmod(0o755)


@pytest.mark.parametrize("inside", ["bench.ringland", "shop/bench.ringland"])
def test_no_store_is_made_in_a_read_only_folder(open_folder: Path, inside: str) -> None:
    open_folder.chmod(0o555)
    ran = subprocess.run(
        [sys.executable, APPENDER, open_folder / inside, "a", "1", "without-rights"],
        capture_output=True,
        text=True,
    )
    said = ran.stdout.splitlines()[0]
    assert said.startswith(("ReadOnly: ", "NoFolder: "))
    assert str(open_folder) in said
    assert "Permission denied" in said
    assert "choose another place" in said
    assert list(open_folder.iterdir()) == []


def test_a_file_that_may_not_be_read_is_said_to_be_so(open_folder: Path) -> None:
    path = open_folder / "bench.ringland"
    open_store(path).close()
    path.chmod(0o000)
    ran = subprocess.run(
        [sys.executable, APPENDER, path, "a", "1", "without-rights"], capture_output=True, text=True
    )
    assert ran.stdout.startswith(f"ReadOnly: {path}: the store cannot be opened: the file cannot")
    assert os.stat(path).st_size > 0
