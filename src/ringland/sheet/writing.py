"""Write a new engine sheet, as short as a person would type it, from the answers that were given.

Here: the draft that answers are collected in, its YAML text, the name of its file.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ringland.sheet.asking import Taken
from ringland.sheet.fastener import fastener_line
from ringland.sheet.figure import figure_text
from ringland.sheet.figures import read_limit, read_torque
from ringland.sheet.model import Sheet

# a text that YAML and the eye read alike without quotes
_PLAIN = re.compile(r"[^\W_](?:[^\s:#]|:(?=\S)|#(?<=\S#)| (?=[^\s#]))*")


@dataclass(slots=True)
class Draft:
    """What was answered so far.

    extends : the common sheet; not_fitted : None when it is as the common sheet has it
    taken : figure or group of fasteners to its answer
    """

    engine: str = ""
    extends: str = ""
    not_fitted: tuple[str, ...] | None = None
    taken: dict[str, Taken] = field(default_factory=dict)


def together(first: Taken | None, second: Taken) -> Taken:
    """Return two answers on one figure as one: new from one question, the limit from another."""
    if first is None:
        return second
    figure = replace(
        second.figure,
        new=second.figure.new or first.figure.new,
        service=second.figure.service or first.figure.service,
    )
    pages = ", ".join(dict.fromkeys(page for page in (first.page, second.page) if page))
    return Taken(figure, pages, {**first.fastener, **second.fastener})


def line_of(sheet: Sheet, name: str, taken: Taken) -> str:
    """Return the line of a figure or a group of fasteners. Raises QuantityError if it is unsound.

    The text is read again as the sheet's loader will, so that what is written can be loaded.
    """
    text = figure_text(taken.figure)
    page = f" @ {taken.page}" if taken.page else ""
    if name not in sheet.fasteners:
        read_limit(sheet, name, text + page)
        return text + page
    read_torque(text)
    return fastener_line(taken.fastener, text) + page


def sheet_text(draft: Draft, sheet: Sheet) -> str:
    """Return the YAML text of a draft; `sheet` is the common sheet it extends."""
    return "".join(f"{line}\n" for line in _lines(draft, sheet))


def _lines(draft: Draft, sheet: Sheet) -> Iterator[str]:
    yield f"engine: {scalar(draft.engine)}"
    yield f"extends: {draft.extends}"
    if draft.not_fitted is not None:
        yield f"not fitted: {', '.join(draft.not_fitted) or '[]'}"
    for section, names in (
        ("figures", sheet.checks.keys() | sheet.geometry.keys()),
        ("fasteners", sheet.fasteners.keys()),
    ):
        given = [name for name in draft.taken if name in names]
        if given:
            yield f"{section}:"
        for name in given:
            yield f"  {scalar(name)}: {scalar(line_of(sheet, name, draft.taken[name]))}"


def scalar(text: str) -> str:
    """Return a text as it is written behind 'name: ', in quotes only where YAML needs them.

    >>> scalar("Tarrow 124"), scalar("Mike's: the red one")
    ('Tarrow 124', "'Mike''s: the red one'")
    """
    if _PLAIN.fullmatch(text):
        return text
    return "'" + text.replace("'", "''") + "'"


def file_name(engine: str) -> str:
    """Return the name of an engine's file.

    >>> file_name("Tarrow 124 (2016)"), file_name("???")
    ('tarrow-124-2016.yaml', 'engine.yaml')
    """
    words = re.findall(r"[^\W_]+", engine.casefold())
    return f"{'-'.join(words)[:60] or 'engine'}.yaml"
