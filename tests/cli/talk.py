"""Talk to `ringland sheet` as a person does: answers typed in."""

from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner, Result

from ringland.cli.sheet import sheet


def ringland_sheet(*words: str | Path, typed: str = "") -> Result:
    return CliRunner().invoke(sheet, [str(word) for word in words], input=typed)


def lines(*typed: str | type[BaseException]) -> Callable[[str], str]:
    """Answers one by one; an exception among them is raised."""
    left = iter(typed)

    def ask(_: str) -> str:
        said = next(left)
        if isinstance(said, str):
            return said
        raise said

    return ask
