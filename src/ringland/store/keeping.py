"""Keeping a SQLite store sound: the check of every row, the backup.

Here: work on the whole file. Not here: reading and appending (`ringland.store.sqlite`).
"""

import sqlite3
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from ringland.store import opening
from ringland.store.errors import Locked, Occupied
from ringland.store.line import checksum, from_columns
from ringland.store.schema import STATEMENTS
from ringland.store.trouble import in_words

_PAGES_AT_ONCE = 2000  # of 4 KiB: another program can write between two steps


def photo_name(content: bytes) -> str:
    """Return the SHA-256 of a photo's content in hex."""
    import hashlib  # loads OpenSSL; most commands need none

    return hashlib.sha256(content).hexdigest()


def is_photo(name: str, content: object) -> bool:
    """Tell whether this is the content that was kept by that name."""
    return isinstance(content, bytes) and photo_name(content) == name


def problem_of_row(
    stream: str, expected: int, seq: int, crc: int, columns: Sequence[Any]
) -> str | None:
    """Say what is wrong with a stored line, if anything.

    expected : the number that comes next in the stream
    columns : id, act, kind, at, by and body as stored
    """
    if seq != expected:
        return f"{stream}: line {expected} is missing; the next one there is {seq}"
    try:
        whole = crc == checksum(stream, seq, columns)
        from_columns(columns)
    except (TypeError, ValueError):  # bytes where text was, or no JSON
        whole = False
    return None if whole else f"{stream}: line {seq} is no longer what was written"


def problems(db: sqlite3.Connection) -> list[str]:
    """Return all that is wrong with the store, in words: file, guards, lines, photos."""
    found: list[str] = []
    for look in (_in_file, _in_schema, _in_lines, _in_photos):
        try:
            found.extend(look(db))
        except (sqlite3.Error, UnicodeDecodeError) as error:
            found.append(f"the file cannot be read any further: {error}")
    return found


def _in_file(db: sqlite3.Connection) -> Iterator[str]:
    for (report,) in db.execute("PRAGMA integrity_check(20)"):
        if report != "ok":
            yield f"the file is damaged: {report}"


def _in_schema(db: sqlite3.Connection) -> Iterator[str]:
    there = {sql for (sql,) in db.execute("SELECT sql FROM sqlite_schema")}
    for statement in STATEMENTS:
        if statement not in there:
            yield f"a table or a guard against changes is missing: {statement.splitlines()[0]}"


def _in_lines(db: sqlite3.Connection) -> Iterator[str]:
    before, number = "", 0
    rows = db.execute(
        'SELECT stream, seq, crc, id, act, kind, at, "by", body FROM line ORDER BY stream, seq'
    )
    for stream, seq, crc, *columns in rows:
        expected = number + 1 if stream == before else 1
        problem = problem_of_row(stream, expected, seq, crc, columns)
        if problem:
            yield problem
        before, number = stream, seq if isinstance(seq, int) else expected


def _in_photos(db: sqlite3.Connection) -> Iterator[str]:
    for name, content in db.execute("SELECT hash, content FROM photo"):
        if not is_photo(name, content):
            yield f"photo {name} is no longer what was kept"


def backup(path: Path, to: Path) -> None:
    """Copy the store to a new file, whole as of one moment, while others may go on using it."""
    part = opening.part_name(to)
    with in_words(to, "the backup was not made"):
        try:
            if not to.exists():
                _copy(path, part)
            opening.publish(part, to)
        except FileExistsError:
            raise Occupied(
                f"{to}: the backup was not made: a file of that name is there already. "
                "Name another."
            ) from None
        finally:
            part.unlink(missing_ok=True)


def _copy(path: Path, part: Path) -> None:
    source = opening.connect(path, create=False)
    try:
        target = sqlite3.connect(part)
        try:
            target.execute("PRAGMA synchronous = EXTRA")
            source.backup(target, pages=_PAGES_AT_ONCE, progress=_patience(path), sleep=0.02)
        finally:
            target.close()
    finally:
        source.close()


def _patience(path: Path) -> Callable[[int, int, int], None]:
    # Python repeats a step that found the store locked, for ever
    waiting_since = time.monotonic()

    def progress(status: int, _remaining: int, _total: int) -> None:
        nonlocal waiting_since
        if status not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            waiting_since = time.monotonic()
        elif time.monotonic() - waiting_since > opening.PATIENCE_S:
            raise Locked(
                f"{path}: the backup was not made: another program keeps the store to itself. "
                "Close it, or wait, and try again."
            )

    return progress
