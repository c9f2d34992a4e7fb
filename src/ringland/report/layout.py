"""Lines on a screen: columns, flowing items and folded sentences, for a width or for none.

width : of the screen, in characters; 0 for what is piped, which is never folded, so that a line
stays a line. Start with `columns`.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

INDENT, GAP = "  ", "  "
ROOM = 24  # the least a last column needs for its words; with less they go below
LABEL = 16  # the longest label that a folded line hangs behind


def columns(
    rows: Iterable[Sequence[str]], *, indent: str = INDENT, most: int = 44, width: int = 0
) -> list[str]:
    """Return rows of cells as aligned lines; a cell longer than `most` does not widen its column.

    Where a row is wider than the screen, its last cell is folded in its column, or stands below.

    >>> columns([["pin", "always renewed"], ["clip", "a used one has lost its spring"]], width=32)
    ['  pin   always renewed', '  clip  a used one has lost its', '        spring']
    """
    return [line for lines in grid(rows, indent=indent, most=most, width=width) for line in lines]


def grid(
    rows: Iterable[Sequence[str]], *, indent: str = INDENT, most: int = 44, width: int = 0
) -> list[list[str]]:
    """Return the lines of each row, aligned as in `columns`."""
    found = [list(row) for row in rows]
    count = max((len(row) for row in found), default=0)
    widths = [
        max((len(row[i]) for row in found if i < len(row) and len(row[i]) <= most), default=0)
        for i in range(count)
    ]
    lines: list[list[str]] = []
    for row in found:
        cells = [f"{cell:<{widths[i]}}" for i, cell in enumerate(row)]
        line = (indent + GAP.join(cells)).rstrip()
        lines.append([line] if not width or len(line) <= width else _folded(cells, indent, width))
    return lines


def _folded(cells: list[str], indent: str, width: int) -> list[str]:
    *first, last = cells
    head = indent + "".join(cell + GAP for cell in first)
    if width - len(head) >= ROOM or not first:
        return _wrap(last, width, head, " " * len(head))
    line = head.rstrip()
    if len(line) > width:  # then the columns are given up
        line = indent + GAP.join(filter(None, (cell.strip() for cell in first)))
    return [*fold(line, width), *below(last, indent + INDENT * 2, width)]


def _wrap(text: str, width: int, first: str, others: str) -> list[str]:
    """Fold between words only: a range such as 0.30-0.38 stays whole."""
    return wrap(
        text, max(width, len(others) + ROOM), initial_indent=first, subsequent_indent=others,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def below(text: str, indent: str, width: int) -> list[str]:
    """Return a sentence under a line, folded where there is a width.

    >>> below("find why it binds", "    ", 0)
    ['    find why it binds']
    """
    if not text:
        return []
    return _wrap(text, width, indent, indent) if width else [indent + text]


def fold(text: str, width: int) -> list[str]:
    """Return the lines of a text, each folded at its words and hanging behind its label.

    >>> fold("  STOP  closing up waits until it runs free", 32)
    ['  STOP  closing up waits until', '        it runs free']
    """
    return [part for line in text.split("\n") for part in _fold(line, width)]


def _fold(line: str, width: int) -> list[str]:
    if not width or len(line) <= width:
        return [line]
    indent = len(line) - len(line.lstrip())
    label = re.match(r"\s*\S+(?: \S+)*?\s{2,}", line)
    hang = label.end() if label and label.end() <= LABEL else indent + 2
    text = line[hang:] if label and hang == label.end() else line[indent:]
    head = line[: len(line) - len(text)]
    return _wrap(text, width, head, " " * hang)


def flow(label: str, items: Sequence[str], width: int) -> Iterator[str]:
    """Yield items behind a label, as many to a line as fit, none broken.

    >>> list(flow("  look  ", ("where", "plan", "parts"), 20))
    ['  look  where', '        plan', '        parts']
    """
    line, gap = label, ""
    for item in items:
        if gap and len(line) + len(gap) + len(item) > width:
            yield line
            line, gap = " " * len(label), ""
        line, gap = f"{line}{gap}{item}", " " * 4
    yield line
