"""Change one thing in a sheet's text and leave every other line and remark as the person wrote it.

Here: notes of the read-back section, and one figure corrected. The changed text is read again: it
must mean the same as before but for the change, or nothing is changed.
"""

from collections.abc import Mapping
from copy import deepcopy

from ringland.sheet.text import BadSheet, Path, Source, Tree, read_source
from ringland.sheet.writing import scalar

SECTION = "read back"


class CannotEdit(ValueError):
    """The text is written in a way that only its writer can change; the message says what to do."""


def with_notes(text: str, notes: Mapping[str, str], *, variant: str | None = None) -> str:
    """Return the text with notes in its read-back section, those of a variant in the variant's.

    Raises CannotEdit.
    """
    above: Path = ("variants", variant) if variant else ()
    for key, note in notes.items():
        source = read_source(text, "the sheet")
        wanted = deepcopy(source.tree)
        _into(wanted, above).setdefault(SECTION, {})[key] = note
        changed = _with_note(text, source, above, key, note)
        text = _checked(changed, wanted, f"  {key}: {note}", SECTION)
    return text


def with_figure(text: str, path: Path, old: str, new: str) -> str:
    """Return the text with a figure corrected: `old`, a part of the value on `path`, becomes `new`.

    Raises CannotEdit.
    """
    source = read_source(text, "the sheet")
    value = _below(source.tree, path)
    if not isinstance(value, str):
        path = path[:-1]  # a fastener's torque inside its line
        value = _below(source.tree, path)
    place = source.places.get(path)
    by_hand = f"{': '.join(path)}: write {new!r} in place of {old!r} by hand"
    if place is None or not isinstance(value, str) or value.count(old) != 1:
        raise CannotEdit(by_hand)
    wanted = deepcopy(source.tree)
    _into(wanted, path[:-1])[path[-1]] = value.replace(old, new)
    lines = text.splitlines(keepends=True)
    line = lines[place.line - 1]
    head, tail = line[: place.column - 1], line[place.column - 1 :]
    if old not in tail:
        raise CannotEdit(by_hand)
    lines[place.line - 1] = head + tail.replace(old, new, 1)
    return _checked("".join(lines), wanted, new, ": ".join(path[:-1]))


def _with_note(text: str, source: Source, above: Path, key: str, note: str) -> str:
    end = "\r\n" if "\r\n" in text else "\n"
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith(("\n", "\r")):
        lines[-1] += end
    section = (*above, SECTION)
    entries = _below(source.tree, section)
    entry = f"{scalar(key)}: {scalar(note)}{end}"
    if not isinstance(entries, dict):
        return "".join(_new_section(lines, source, above, entry, end))
    at = {name: source.places[(*section, name)].line - 1 for name in entries}
    first = lines[min(at.values())]
    indent = first[: len(first) - len(first.lstrip())]
    if key in entries:
        lines[at[key]] = f"{indent}{entry}"
    else:
        lines.insert(max(at.values()) + 1, f"{indent}{entry}")
    return "".join(lines)


def _new_section(lines: list[str], source: Source, above: Path, entry: str, end: str) -> list[str]:
    if not above:
        return [*lines, end, f"{SECTION}:{end}", f"  {entry}"]
    places = [place for path, place in source.places.items() if path[:2] == above and path[2:]]
    first = lines[min(place.line for place in places) - 1]
    indent = first[: len(first) - len(first.lstrip())]
    last = max(place.line for place in places)
    new = [f"{indent}{SECTION}:{end}", f"{indent}  {entry}"]
    return [*lines[:last], *new, *lines[last:]]


def _below(tree: Tree, path: Path) -> object:
    here: object = tree
    for key in path:
        here = here.get(key) if isinstance(here, dict) else None
    return here


def _into(tree: Tree, path: Path) -> Tree:
    for key in path:
        tree = tree[key]
    return tree


def _checked(text: str, wanted: Tree, entry: str, section: str) -> str:
    try:
        if read_source(text, "the sheet").tree == wanted:
            return text
    except BadSheet:
        pass
    raise CannotEdit(f"write it by hand below '{section}:', on a line of its own: {entry.strip()}")
