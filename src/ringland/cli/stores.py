"""Which store a command works on when nobody names one, and which other store knows a name.

The first of these that there is: --store; $RINGLAND_STORE; a store in the current folder; the
user's own in the data folder; the only store one folder below, as `ringland demo` leaves it. What
begins something of one's own (a machine, a gauge) never goes into a store one folder below.
Any store that was neither named nor the user's own is told before it is used.
"""

import os
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from shlex import quote

from ringland.bench.called import command
from ringland.store import StoreError, default_path, open_store

FILE = default_path().name


@dataclass(frozen=True, slots=True)
class Found:
    """The store's file, and what is told about it; empty where it was named or is the user's own."""

    path: Path
    note: str = ""


class NoneYet(StoreError):
    """There is no store to look at."""


class Several(StoreError):
    """More than one store could be meant."""


def find_store(given: Path | None, *, begins: bool = False) -> Found:
    """Return the store to work on. Raises NoneYet, or Several.

    begins : the command may be a store's first one, and makes it
    """
    if named := given or os.environ.get("RINGLAND_STORE"):
        path = Path(named)
        return Found(path / FILE if path.is_dir() else path)
    own, here = default_path(), Path(FILE)
    if here.is_file() and not (own.is_file() and here.samefile(own)):
        return Found(here, f"store: {FILE} in this folder")
    if own.is_file():
        return Found(own)
    below = sorted(Path().glob(f"*/{FILE}"))
    if begins:
        left = f"; the one in {below[0].parent} is left alone" if below else ""
        return Found(own, f"a new store: {own}{left}")
    if len(below) == 1:
        return Found(below[0], f"store: {below[0]}, the only one here")
    if below:
        which = ", ".join(f"--store {quote(str(each.parent))}" for each in below)
        raise Several(f"several stores are here; say which: {which}")
    raise NoneYet(
        f"there is no store yet: none named, none in this folder, none at {own}\n"
        f"Begin one:  {command('machine add NAME --sheet FILE')}\n"
        f"Or try an invented shop:  {command('demo')}"
    )


def elsewhere(name: str, path: Path) -> str:
    """Return which other store at hand has a job or machine of this name, as a hint; or nothing."""
    for other in _others(path):
        if {f"machine/{name}", f"job/{name}"} & _streams(other):
            folder = other.parent if other.name == FILE else other
            return f"The store {other} has {name}: add --store {quote(str(folder))}"
    return ""


def _streams(path: Path) -> set[str]:
    """The machines and jobs of a store; none of one that cannot be read."""
    try:
        with closing(open_store(path, create=False)) as log:
            return {*log.streams("machine/"), *log.streams("job/")}
    except StoreError:
        return set()


def _others(path: Path) -> Iterator[Path]:
    for each in (Path(FILE), default_path(), *sorted(Path().glob(f"*/{FILE}"))):
        if each.is_file() and each.resolve() != path.resolve():
            yield each
