"""What is said to the person, folded to the width of the screen; what is piped stays as it is."""

import sys
from shutil import get_terminal_size

import click

NARROWEST = 40  # below this nothing is folded further


def width() -> int:
    """Return the screen's width in characters; 0 where the output is piped."""
    if not sys.stdout.isatty():
        return 0
    return max(get_terminal_size().columns, NARROWEST)


def say(text: str, *, plain: bool = False) -> None:
    """Print a text, its lines folded at their words where they are wider than the screen.

    plain : it is for a program; print it as it is
    """
    wide = 0 if plain else width()
    if wide:
        from ringland.report.layout import fold

        text = "\n".join(fold(text, wide))
    click.echo(text)
