"""The log on disk: lines in streams, photos; append only.

Here: what a stored line is (`line`), what every store can do (`log`), the SQLite store
(`sqlite`, opened by `open_store`), its default place (`place`), its troubles in words (`errors`).
Not here: what an entry means, and everything computed from entries (`ringland.job`).
Start with `open_store` and `log.Log`.
"""

from pathlib import Path

from ringland.store.errors import (
    Conflict,
    Damaged,
    DiskFailed,
    DiskFull,
    Locked,
    NewerStore,
    NoFolder,
    NoPhoto,
    NoStore,
    NotAStore,
    Occupied,
    ReadOnly,
    StoreError,
    Unstorable,
)
from ringland.store.line import Line
from ringland.store.log import Log
from ringland.store.place import default_path

__all__ = [
    "Conflict",
    "Damaged",
    "DiskFailed",
    "DiskFull",
    "Line",
    "Locked",
    "Log",
    "NewerStore",
    "NoFolder",
    "NoPhoto",
    "NoStore",
    "NotAStore",
    "Occupied",
    "ReadOnly",
    "StoreError",
    "Unstorable",
    "default_path",
    "open_store",
]


def open_store(path: Path, *, create: bool = True) -> Log:
    """Open the store in this file.

    path : the SQLite file; on a local disk, since locks on network folders cannot be relied on
    create : make the file and its folder where there is none
    Raises a `StoreError` that says what is wrong, where, and what to do.
    """
    from ringland.store.sqlite import SqliteLog  # a command that opens no store needs no SQLite

    return SqliteLog(path, create=create)
