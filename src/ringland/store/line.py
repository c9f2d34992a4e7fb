"""One entry as it is stored, and its form on disk.

Here: `Line`, its JSON text and its checksum. Not here: what an entry means (`ringland.job`), where
lines are kept (`ringland.store.sqlite`). Start with `Line`.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zlib import crc32

from ringland.store.errors import Unstorable


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as it is stored.

    id : made on the device that took the entry; unique in the store
    act : shared by the entries of one act of a person
    kind : what happened, with the version of its form, such as "reading-taken/1"
    at : when, ISO 8601 with an offset from UTC
    by : the person
    body : the rest, as plain JSON: dicts with text keys, lists, text, numbers, true, false, null
    """

    id: str
    act: str
    kind: str
    at: str
    by: str
    body: dict[str, Any]


def body_text(line: Line) -> str:
    """Return the line's body as the one JSON text that is stored, after checking the line.

    Two bodies have the same text exactly when they are the same (1 and 1.0 are not).
    Raises Unstorable for a line that would not be read back as it was written.

    >>> body_text(Line("a1", "a", "note/1", "2026-05-02T10:00:00+02:00", "Ada", {"b": 1, "a": [2.0]}))
    '{"a":[2.0],"b":1}'
    """
    for name in ("id", "act", "kind", "at", "by"):
        check_text(f"the {name} of line {line.id!r}", getattr(line, name))
    _check_time(line)
    try:
        text = json.dumps(
            line.body, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
        )
        text.encode()
        same = text.startswith("{") and json.loads(text) == line.body
    except (TypeError, ValueError, RecursionError) as error:
        raise Unstorable(f"line {line.id!r}: its body is no plain JSON: {error}") from error
    if not same:
        raise Unstorable(
            f"line {line.id!r}: its body is no plain JSON: it must be a dict, "
            "all keys text, lists instead of tuples"
        )
    return text


def check_text(name: str, value: object) -> None:
    """Raise Unstorable unless the value is text that can be written as UTF-8, and not empty."""
    if not isinstance(value, str) or not value:
        raise Unstorable(f"{name} is {value!r}: it must be text and not empty")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise Unstorable(f"{name} is {value!r}: it holds half a character") from None


def columns_of(line: Line) -> tuple[str, ...]:
    """Return the line as its columns id, act, kind, at, by, body; raises Unstorable."""
    return (line.id, line.act, line.kind, line.at, line.by, body_text(line))


def from_columns(columns: Sequence[str]) -> Line:
    """Return the line whose columns these are."""
    name, act, kind, at, by, body = columns
    return Line(name, act, kind, at, by, json.loads(body))


def checksum(stream: str, seq: int, columns: Sequence[str]) -> int:
    """Return the CRC-32 by which a stored line is known to be as it was written.

    SQLite keeps no checksum of its own; a digit that rots on a card would pass for a reading.
    """
    return crc32(json.dumps([stream, seq, *columns]).encode())


def _check_time(line: Line) -> None:
    try:
        offset = datetime.fromisoformat(line.at).utcoffset()
    except ValueError:
        offset = None
    if offset is None:
        raise Unstorable(
            f"the time of line {line.id!r} is {line.at!r}: it must be ISO 8601 with an offset, "
            "such as 2026-05-02T10:00:00+02:00"
        )
