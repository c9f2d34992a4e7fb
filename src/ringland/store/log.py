"""What every store can do. SQLite does it in `ringland.store.sqlite`; tests/store/contract.py
holds each store to it.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from ringland.store.line import Line


class Log(Protocol):
    """An append-only log of lines in streams, with photos; may be shared between threads.

    A stream is named by text, such as "job/31", "machine/oxbow-3" or "shelf". Its lines are
    numbered from 1 without holes. Nothing is ever changed or removed. Each method raises a
    `StoreError` that says what is wrong and what to do.
    """

    def append(self, stream: str, lines: Sequence[Line]) -> int:
        """Append all lines or none; they are on disk when this returns.

        A line that the stream already holds, same id and same content, is passed over, so that
        sending twice changes nothing. Returns the number of the stream's last line (0: none).
        Raises Conflict where the id is known with other content or in another stream.
        """
        ...

    def read(self, stream: str, after: int = 0) -> list[tuple[int, Line]]:
        """Return the lines with a number above `after`, in order; an unknown stream has none."""
        ...

    def streams(self, prefix: str = "") -> list[str]:
        """Return the names of the streams that begin so, sorted by code point."""
        ...

    def last(self, stream: str) -> int:
        """Return the number of the stream's last line; 0 where it has none."""
        ...

    def put_photo(self, content: bytes) -> str:
        """Keep a photo and return its name, the SHA-256 of its content in hex.

        The same content again changes nothing.
        """
        ...

    def photo(self, hash: str) -> bytes:  # noqa: A002 - the word for it
        """Return a photo's content; raises NoPhoto for an unknown name."""
        ...

    def check(self) -> list[str]:
        """Return all that is wrong with what is stored, in words; empty when all is well.

        Reads everything, photos too.
        """
        ...

    def backup(self, to: Path) -> None:
        """Write everything to a new store file; an existing file is never overwritten."""
        ...

    def close(self) -> None:
        """Let go of the store; closing twice is no error."""
        ...
