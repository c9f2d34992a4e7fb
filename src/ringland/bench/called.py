"""What the program is called where it was started, so that a hint can be typed as it stands."""

import os

CALLED = "RINGLAND_CALLED"  # set by ./bench of a checkout to what was typed


def program() -> str:
    """Return the program's name as it was typed: `./bench` in a checkout, else `ringland`."""
    return os.environ.get(CALLED) or "ringland"


def command(words: str) -> str:
    """Return a command as it is typed here.

    >>> command("job list").endswith(" job list")
    True
    """
    return f"{program()} {words}"
