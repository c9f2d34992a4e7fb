"""Opening a SQLite store: making it, recognising it, refusing what it is not.

Here: everything until a connection to a good store stands. Not here: reading and appending
(`ringland.store.sqlite`). Start with `connect`.
"""

import errno
import os
import sqlite3
import time
from contextlib import closing, suppress
from pathlib import Path

from ringland.store.errors import Damaged, NewerStore, NoFolder, NoStore, NotAStore, StoreError
from ringland.store.schema import APPLICATION_ID, OLDEST_SQLITE, SETTINGS, STATEMENTS, VERSION
from ringland.store.trouble import in_words

PATIENCE_S = 5.0  # how long to wait for another program that has the store


def connect(path: Path, *, create: bool) -> sqlite3.Connection:
    """Return a connection to the store in this file, which has been recognised as one.

    create : make the file and its folder where there is none; a file that is there is never
        overwritten, not even an empty one
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise StoreError(
            f"this Python brings SQLite {sqlite3.sqlite_version}; "
            f"a store needs {'.'.join(map(str, OLDEST_SQLITE))} or newer. Use a newer Python."
        )
    with in_words(path, "the store cannot be opened"):
        if create and not path.exists():
            _make(path)
        _see_file(path)
        db = _dial(path)
        try:
            _recognise(db, path)
        except BaseException:
            db.close()
            raise
    return db


def publish(part: Path, to: Path) -> None:
    """Give a finished file its name, at once and whole; raises FileExistsError, never overwrites.

    part : the finished file, in the same folder; that name may stay
    """
    try:
        os.link(part, to)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links, as on many cards
        if to.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(to)) from None
        part.rename(to)


def part_name(path: Path) -> Path:
    """Return a name beside the file, for the time until it is finished."""
    return path.with_name(f"{path.name}.{os.getpid()}-{time.monotonic_ns()}.part")


def _dial(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw",
        uri=True,
        timeout=PATIENCE_S,
        isolation_level=None,  # transactions are begun and ended in plain sight
        check_same_thread=False,  # the log holds a lock of its own
    )
    try:
        for setting in SETTINGS:
            db.execute(setting)
    except BaseException:
        db.close()
        raise
    return db


def _make(path: Path) -> None:
    """Make a store that is whole from the moment it has its name, even if this is killed."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NoFolder(
            f"{path.parent}: this folder for the store cannot be made: "
            f"{error.strerror}. Make it, or choose another place."
        ) from error
    part = part_name(path)
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o666))
        with closing(_dial(part)) as db:
            db.execute("BEGIN EXCLUSIVE")
            for statement in STATEMENTS:
                db.execute(statement)
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            db.execute(f"PRAGMA user_version = {VERSION}")
            db.execute("COMMIT")
        with suppress(FileExistsError):  # another program was faster; its store is as good
            publish(part, path)
    finally:
        part.unlink(missing_ok=True)


def _see_file(path: Path) -> None:
    if path.is_dir():
        raise NotAStore(f"{path}: this is a folder, not a store. Name the file in it.")
    if not path.exists():
        raise NoStore(f"{path}: there is no store here. Look for a slip in the name.")
    if path.stat().st_size == 0:
        raise NotAStore(
            f"{path}: the file is empty, so it is no store. If it held one, go on from the newest "
            "backup; if not, delete the file and try again."
        )


def _recognise(db: sqlite3.Connection, path: Path) -> None:
    if db.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise NotAStore(
            f"{path}: this database belongs to something else. It is left alone; name another file."
        )
    version = db.execute("PRAGMA user_version").fetchone()[0]
    if version > VERSION:
        raise NewerStore(
            f"{path}: this store has form {version}, from a newer Ringland; this one knows forms "
            f"up to {VERSION}. Update Ringland; the store is left as it is."
        )
    if version < 1:
        raise Damaged(
            f"{path}: this store says it has form {version}, and there is none before 1. "
            "Keep the file as it is, and go on from the newest backup."
        )
