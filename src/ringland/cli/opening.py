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

from ringland.bench.refusal import Asked, Refused
from ringland.store import StoreError, default_path, open_store

if TYPE_CHECKING:  # a sheet's command opens no bench, and need not wait for it
    from ringland.bench.bench import Bench

REFUSED, ASKED, STORE = 2, 3, 4


def store_path(given: Path | None) -> Path:
    """Return the store's file: --store, $RINGLAND_STORE, else the user's data folder.

    A folder stands for the store in it.
    """
    path = given or Path(os.environ.get("RINGLAND_STORE") or default_path())
    return path / default_path().name if path.is_dir() else path


@contextmanager
def the_bench(store: Path | None, by: str | None, *, create: bool = True) -> Iterator["Bench"]:
    """Open the bench, and turn what goes wrong into a message and an exit code."""
    from ringland.bench.bench import Bench

    try:
        log = open_store(store_path(store), create=create)
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    try:
        yield Bench(log, by or person(), clock, lambda: uuid.uuid4().hex)
    except Asked as asked:
        offers = "".join(f"\n  {offer.text}" for offer in asked.offers)
        raise Stopped(
            f"{asked.question}{offers}\nType it again as you mean it, or insist with !", ASKED
        ) from None
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
        help="The store's file or folder [default: your data folder].",
    )
    by = click.option("--by", help="Who does it [default: $RINGLAND_BY or your user name].")
    return store(by(command))


as_json_option = click.option("--json", "as_json", is_flag=True, help="Print for a program.")
