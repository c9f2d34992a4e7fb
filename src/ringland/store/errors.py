"""What can go wrong with a store, in words for the person: what, where, what to do.

Here: one class per trouble; all are `StoreError`. Not here: how SQLite's codes become these
(`ringland.store.trouble`).
"""


class StoreError(Exception):
    """Something is wrong with the store or its surroundings; the message says what to do."""


class Conflict(StoreError):
    """An id that the store already holds came again with other content."""


class Unstorable(StoreError, ValueError):
    """A line, stream or photo that cannot be stored and read back as it was."""


class Occupied(StoreError):
    """A file is already where a new one should be written."""


class NoFolder(StoreError):
    """The folder that should hold the store cannot be made or entered."""


class NoStore(StoreError):
    """There is no store where one was expected."""


class NotAStore(StoreError):
    """The file is something else, or too damaged to be recognised."""


class NewerStore(StoreError):
    """The store was written by a newer version of Ringland."""


class Damaged(StoreError):
    """The file is a store, but what it holds is no longer what was written."""


class Locked(StoreError):
    """Another program kept the store to itself for too long."""


class ReadOnly(StoreError):
    """The file or its folder does not allow writing."""


class DiskFull(StoreError):
    """There is no room left for what should be written."""


class DiskFailed(StoreError):
    """The disk, or a limit set on it, refused to read or write."""


class NoPhoto(StoreError):
    """The store holds no photo by that hash."""
