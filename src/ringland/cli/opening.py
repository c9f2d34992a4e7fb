"""Open the bench for a command: the store, the person, the clock; errors to exit codes.

Exit codes: 0 done; 2 not understood or refused, nothing kept; 3 a question must be answered first,
nothing kept; 4 the store cannot be used.
"""

import os
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ringland.bench.refusal import Asked, Refused, Unknown
from ringland.cli.stores import NoneYet, elsewhere, find_store
from ringland.store import StoreError, open_store

if TYPE_CHECKING:  # a sheet's command opens no bench, and need not wait for it
    from ringland.bench.bench import Bench

REFUSED, ASKED, STORE = 2, 3, 4


def store_path(given: Path | None, *, begins: bool = False, or_new: bool = False) -> Path:
    """Return the store's file, and tell which it is where nobody named it.

    begins : the command may be a store's first one, and makes it
    or_new : the same, but a store that is already at hand is taken first
    """
    try:
        found = find_store(given, begins=begins)
    except NoneYet as error:
        if or_new:
            return store_path(given, begins=True)
        raise Stopped(str(error), STORE) from None
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    if found.note:
        click.echo(f"({found.note})", err=True)
    return found.path


@contextmanager
def refusals() -> Iterator[None]:
    """Turn what is refused into its message and exit code."""
    try:
        yield
    except Refused as refused:
        raise Stopped("\n".join(refused.problems), REFUSED) from None


@contextmanager
def the_bench(store: Path | None, by: str | None, *, create: bool = True) -> Iterator["Bench"]:
    """Open the bench, and turn what goes wrong into a message and an exit code."""
    from ringland.bench.bench import Bench

    path = store_path(store, begins=create)
    try:
        log = open_store(path, create=create)
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    try:
        yield Bench(log, by or person(), clock, lambda: uuid.uuid4().hex)
    except Asked as asked:
        offers = "".join(f"\n  {offer.text}" for offer in asked.offers)
        raise Stopped(
            f"{asked.question}{offers}\nType it again as you mean it, or insist with !", ASKED
        ) from None
    except Unknown as unknown:
        there = elsewhere(unknown.name, path) if store is None else ""
        raise Stopped("\n".join(filter(None, [*unknown.problems, there])), REFUSED) from None
    except Refused as refused:
        raise Stopped("\n".join(refused.problems), REFUSED) from None
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    finally:
        log.close()


class Stopped(click.ClickException):
    """A message to the person and the exit code that goes with it."""

    def __init__(self, message: str, code: int) -> None:
        super().__init__(message)
        self.exit_code = code  # type: ignore[misc]  # click declares it once for the class

    def show(self, file: Any = None) -> None:
        """Print the message as it is: it already says what to do."""
        click.echo(self.format_message(), err=True, file=file)


def clock() -> str:
    """Return now with the local offset, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def person() -> str:
    """Return who is at the bench: $RINGLAND_BY, else the user's name on this machine."""
    import getpass

    named = os.environ.get("RINGLAND_BY")
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "unnamed"


def with_store(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --store and --by to a command."""
    store = click.option(
        "--store",
        type=click.Path(path_type=Path),
        help="The store's file or folder [default: $RINGLAND_STORE, one in this folder, or your own].",
    )
    by = click.option("--by", help="Who does it [default: $RINGLAND_BY or your user name].")
    return store(by(command))


as_json_option = click.option("--json", "as_json", is_flag=True, help="Print for a program.")
