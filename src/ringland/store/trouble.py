"""SQLite's and the system's error codes in words for the person.

Here: the tables from codes to `StoreError`s. Start with `in_words`.
"""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ringland.store.errors import (
    Damaged,
    DiskFailed,
    DiskFull,
    Locked,
    NoFolder,
    NotAStore,
    ReadOnly,
    StoreError,
    Unstorable,
)

_RESTORE = "Keep the file as it is, and go on from the newest backup."

_BY_CODE: dict[int, tuple[type[StoreError], str]] = {
    sqlite3.SQLITE_BUSY: (
        Locked,
        "another program keeps the store to itself. Close it, or wait, and try again.",
    ),
    sqlite3.SQLITE_LOCKED: (Locked, "the store is in use. Try again."),
    sqlite3.SQLITE_FULL: (DiskFull, "the disk is full. Make room and try again."),
    sqlite3.SQLITE_IOERR: (
        DiskFailed,
        "the disk refused. Look for free space, a quota, a loose card or a failing disk, "
        "then try again.",
    ),
    sqlite3.SQLITE_READONLY: (
        ReadOnly,
        "the file or its folder does not allow writing. Allow it, or choose another place.",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        ReadOnly,
        "the file cannot be opened or its folder does not allow writing. Allow it, or choose "
        "another place.",
    ),
    sqlite3.SQLITE_PERM: (ReadOnly, "access is not permitted. Allow it, or choose another place."),
    sqlite3.SQLITE_CORRUPT: (Damaged, f"the file is damaged. {_RESTORE}"),
    sqlite3.SQLITE_NOTADB: (
        NotAStore,
        f"this is no Ringland store, or its beginning is damaged. If it was one: {_RESTORE}",
    ),
    sqlite3.SQLITE_TOOBIG: (Unstorable, "it is too big for the store. Make it smaller."),
}

_BY_ERRNO: dict[int, type[StoreError]] = {
    errno.ENOSPC: DiskFull,
    errno.EDQUOT: DiskFull,
    errno.EACCES: ReadOnly,
    errno.EPERM: ReadOnly,
    errno.EROFS: ReadOnly,
    errno.EIO: DiskFailed,
    errno.EFBIG: DiskFailed,
}


@contextmanager
def in_words(path: Path, doing: str) -> Iterator[None]:
    """Turn errors of SQLite and of the system into `StoreError`s.

    path : the file concerned, named first in the message
    doing : what failed, such as "nothing was added to job/31"
    """
    try:
        yield
    except sqlite3.Error as error:
        raise _of_sqlite(error, f"{path}: {doing}") from error
    except UnicodeDecodeError as error:  # SQLite's own message quotes what is no longer text
        raise Damaged(f"{path}: {doing}: the file is damaged. {_RESTORE}") from error
    except OverflowError as error:
        raise Unstorable(f"{path}: {doing}: it is too big for the store: {error}") from error
    except OSError as error:
        kind = _BY_ERRNO.get(error.errno or 0, NoFolder)
        raise kind(
            f"{path}: {doing}: {error.strerror or error}. Put that right, or choose another place."
        ) from error


def _of_sqlite(error: sqlite3.Error, where: str) -> StoreError:
    # the low byte is the kind of error, the rest is detail (SQLite's extended result codes)
    code = getattr(error, "sqlite_errorcode", None)
    if code is None and "decode" in str(error):  # text that is no longer UTF-8
        code = sqlite3.SQLITE_CORRUPT
    kind, advice = _BY_CODE.get((code or 0) & 0xFF, (StoreError, f"{error}."))
    name = getattr(error, "sqlite_errorname", type(error).__name__)
    return kind(f"{where}: {advice} [{name}]")
