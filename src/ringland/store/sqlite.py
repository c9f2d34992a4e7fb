"""The log in one SQLite file: lines and photos.

Here: `SqliteLog`, which does what `ringland.store.log.Log` says. Not here: making and recognising
the file (`opening`), its tables (`schema`), the whole-file work (`keeping`).
"""

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import takewhile
from pathlib import Path

from ringland.store import keeping
from ringland.store.errors import Conflict, Damaged, NoPhoto
from ringland.store.line import Line, check_text, checksum, columns_of, from_columns
from ringland.store.opening import connect
from ringland.store.trouble import in_words

_COLUMNS = 'id, act, kind, at, "by", body'


class SqliteLog:
    """A log in one SQLite file; threads share its one connection, programs share its file."""

    def __init__(self, path: Path, *, create: bool = True) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._db = connect(path, create=create)

    def append(self, stream: str, lines: Sequence[Line]) -> int:
        check_text("the stream", stream)
        given = [columns_of(line) for line in lines]
        with self._writing(f"nothing was added to {stream}"):
            last = self._last(stream)
            for columns in given:
                if not self._holds(stream, columns):
                    last += 1
                    self._insert(stream, last, columns)
        return last

    def read(self, stream: str, after: int = 0) -> list[tuple[int, Line]]:
        check_text("the stream", stream)
        after = max(after, 0)
        with self._lock, in_words(self._path, f"{stream} cannot be read"):
            rows = self._db.execute(
                f"SELECT seq, crc, {_COLUMNS} FROM line WHERE stream = ? AND seq > ? ORDER BY seq",
                (stream, after),
            ).fetchall()
        found = []
        for expected, (seq, crc, *columns) in enumerate(rows, start=after + 1):
            problem = keeping.problem_of_row(stream, expected, seq, crc, columns)
            if problem:
                raise Damaged(
                    f"{self._path}: {problem}. Keep the file as it is, and go on from the newest "
                    "backup."
                )
            found.append((seq, from_columns(columns)))
        return found

    def streams(self, prefix: str = "") -> list[str]:
        with self._lock, in_words(self._path, "the streams cannot be listed"):
            rows = self._db.execute(
                "SELECT stream FROM line WHERE seq = 1 AND stream >= ? ORDER BY stream", (prefix,)
            ).fetchall()
        return list(takewhile(lambda name: name.startswith(prefix), (name for (name,) in rows)))

    def last(self, stream: str) -> int:
        with self._lock, in_words(self._path, f"{stream} cannot be read"):
            return self._last(stream)

    def put_photo(self, content: bytes) -> str:
        name = keeping.photo_name(content)
        with self._writing("the photo was not kept"):
            if not self._db.execute("SELECT 1 FROM photo WHERE hash = ?", (name,)).fetchone():
                self._db.execute("INSERT INTO photo VALUES (?, ?)", (name, content))
        return name

    def photo(self, hash: str) -> bytes:  # noqa: A002 - as in Log
        with self._lock, in_words(self._path, "the photo cannot be read"):
            row = self._db.execute("SELECT content FROM photo WHERE hash = ?", (hash,)).fetchone()
        if row is None:
            raise NoPhoto(
                f"{self._path}: there is no photo {hash}. Look in the store that the job was "
                "exported from."
            )
        if not keeping.is_photo(hash, row[0]):
            raise Damaged(
                f"{self._path}: photo {hash} is no longer what was kept. Keep the file as it is, "
                "and take the photo from the newest backup."
            )
        content: bytes = row[0]
        return content

    def check(self) -> list[str]:
        with self._lock:
            return keeping.problems(self._db)

    def backup(self, to: Path) -> None:
        keeping.backup(self._path, to)

    def close(self) -> None:
        with self._lock:
            self._db.close()

    @contextmanager
    def _writing(self, doing: str) -> Iterator[None]:
        with self._lock, in_words(self._path, doing):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:  # SQLite itself may have rolled back already
                    self._db.execute("ROLLBACK")
                raise

    def _last(self, stream: str) -> int:
        row = self._db.execute(
            "SELECT coalesce(max(seq), 0) FROM line WHERE stream = ?", (stream,)
        ).fetchone()
        last: int = row[0]
        return last

    def _holds(self, stream: str, columns: Sequence[str]) -> bool:
        known = self._db.execute(
            f"SELECT stream, {_COLUMNS} FROM line WHERE id = ?", (columns[0],)
        ).fetchone()
        if known is None:
            return False
        names = ("stream", "id", "act", "kind", "at", "by", "body")
        differing = [
            f"{name} {old!r} there, {new!r} now"
            for name, old, new in zip(names, known, (stream, *columns), strict=True)
            if old != new
        ]
        if differing:
            raise Conflict(
                f"{self._path}: line {columns[0]!r} is already in {known[0]}, with other content: "
                f"{'; '.join(differing)}. Nothing was changed. A correction is a new line with an "
                "id of its own."
            )
        return True

    def _insert(self, stream: str, seq: int, columns: Sequence[str]) -> None:
        crc = checksum(stream, seq, columns)
        self._db.execute(
            f"INSERT INTO line (stream, seq, crc, {_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (stream, seq, crc, *columns),
        )
