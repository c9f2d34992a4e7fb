"""Say in plain words what a YAML parser stumbled over, and where the eye finds it.

The parser names its own states ("while scanning a simple key"); a person needs the sign, the line
and what to write in its place. Here: `plain_words` over one table of what people really type.
"""

from collections.abc import Sequence
from typing import Any

FOLDED = (
    "'>' and '|' are not used in sheets: write 'min 0.30 mm' or 'max 0.60 mm', long text in quotes"
)
LINKED = "'&' and '*' are not used in sheets: write the value out, or put it in quotes"

# (what the parser calls it, whether it is said where it began, what to tell the person)
_SAID: tuple[tuple[str, bool, str], ...] = (
    ("scanning a block scalar", True, FOLDED),
    ("scanning an alias", True, LINKED),
    ("scanning an anchor", True, LINKED),
    ("unknown escape", False, "a backslash in double quotes: use single quotes, or leave it out"),
    ("found unexpected end of stream", True, "the quote that begins here is never closed"),
    (
        "parsing a flow mapping",
        True,
        "the '{' that opens here is not closed, or lacks a ',' inside",
    ),
    (
        "parsing a flow sequence",
        True,
        "the '[' that opens here is not closed, or lacks a ',' inside",
    ),
    (
        "could not find expected ':'",
        True,
        "no ': ' behind the name: write 'name: value' on one line",
    ),
    (
        "but found '<block mapping start>'",
        False,
        "this line stands further in or out than its neighbours: give lines of one group the same indentation",
    ),
    (
        "but found '<scalar>'",
        False,
        "something follows the closing quote: put the whole value in quotes",
    ),
    (
        "but found '-'",
        False,
        "a '-' beside 'name: value' lines: a list stands below its own name, further in",
    ),
    (
        "sequence entries are not allowed",
        False,
        "a list begins on the line below its name, each item behind '- '",
    ),
)
_SIGNS = {
    "@": "a figure comes before its page, as in '0.30 mm @ p 4-31'",
    "%": "a number comes before '%'",
}


def plain_words(error: Any, lines: Sequence[str]) -> tuple[Any, str]:
    """Return where (a mark of the parser) and what is wrong, in a person's words.

    error : a MarkedYAMLError of ruamel.yaml; lines : the lines of the text
    """
    said = f"{error.context or ''}; {error.problem or ''}"
    mark = error.problem_mark or error.context_mark
    if "mapping values are not allowed" in said and mark:
        return mark, _two_colons(mark, lines)
    if "cannot start any token" in said or "expected the node content" in said:
        return mark, _sign(lines[mark.line][mark.column : mark.column + 1] if mark else "")
    for needle, at_start, message in _SAID:
        if needle in said:
            return (error.context_mark if at_start and error.context_mark else mark), message
    return mark, f"not readable as YAML: {error.problem or error.context}"


def _two_colons(mark: Any, lines: Sequence[str]) -> str:
    if ": " in lines[mark.line][: mark.column]:
        return "a ': ' inside a value: put the value in quotes, or leave out the space"
    above = next((line for line in reversed(lines[: mark.line]) if line.strip()), "")
    if ": " not in above:
        return f"the line above this one ({above.strip()!r}) has no ': ' behind its name"
    return "this line stands further in than the one above: give both the same indentation"


def _sign(sign: str) -> str:
    hint = _SIGNS.get(sign, "put it in quotes")
    return f"a value cannot start with {sign!r}: {hint}"
