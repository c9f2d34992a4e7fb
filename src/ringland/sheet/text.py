"""Read a sheet's YAML as plain text values, each with its line and column.

Every scalar is text: `1.10` stays "1.10" and `no` stays "no". Anchors, aliases, tags, folded text,
several documents, duplicate keys, tabs and comments behind a value are refused, since each of them
makes a figure mean something other than what the eye reads.
Start with `read_source`.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from ringland.sheet.yaml_words import FOLDED, LINKED, plain_words

MOST_BYTES = 1_000_000
MOST_DEPTH = 12

Path = tuple[str, ...]
Tree = dict[str, Any]  # of str, list and dict


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands: file, line and column, both from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a sheet: where, on which path, what, and what to do."""

    place: Place
    path: Path
    message: str

    def __str__(self) -> str:
        path = ": ".join(self.path)
        return f"{self.place}: {path + ': ' if path else ''}{self.message}"


class BadSheet(ValueError):
    """A sheet that cannot be used, with all its problems."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Source:
    """The tree of one file, and where each value and name of it stands.

    places : of each value, and of each group the name above it; names : of each name, by its path
    in the file; written : the path in the file of what was moved when layers were laid
    """

    tree: Tree
    places: Mapping[Path, Place]
    written: Mapping[Path, Path] = field(default_factory=dict)
    names: Mapping[Path, Place] = field(default_factory=dict)


def read_source(text: str, file: str) -> Source:
    """Return the tree of a sheet's text. Raises BadSheet.

    >>> read_source("engine: Tarrow 124\\nyears: 2016", "s.yaml").tree
    {'engine': 'Tarrow 124', 'years': '2016'}
    """
    text = text.removeprefix("\ufeff")
    problems = [*_too_large(text, file), *_no_text(text, file), *_tabs(text, file)]
    if problems:
        raise BadSheet(problems)
    reader = _Reader(file)
    tree = reader.read(text)
    problems = reader.problems + list(_comments_behind_values(text, file))
    if not problems and (not isinstance(tree, dict) or not tree):
        what = "nothing is written here yet: " if not text.strip() else ""
        problems = [
            Problem(
                Place(file, 1, 1), (), f"{what}a sheet starts with a line such as 'engine: NAME'"
            )
        ]
    if problems:
        raise BadSheet(problems)
    return Source(tree, reader.places, names=reader.names)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return " Did you mean X?" for the nearest known word, or nothing.

    >>> did_you_mean("ring end gab", ["ring end gap", "bore"])
    ' Did you mean ring end gap?'
    """
    from difflib import get_close_matches  # only a misspelling pays for it

    near = get_close_matches(word, list(known), 1, 0.6)
    return f" Did you mean {near[0]}?" if near else ""


def _too_large(text: str, file: str) -> Iterator[Problem]:
    if len(text.encode()) > MOST_BYTES:
        yield Problem(
            Place(file, 1, 1),
            (),
            f"larger than {MOST_BYTES:,} bytes: a sheet is a few pages of text",
        )


# what YAML and the eye take for text: no control signs, no odd line breaks
_NO_TEXT = (
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


def _no_text(text: str, file: str) -> Iterator[Problem]:
    if found := re.search(_NO_TEXT, text):
        before = text[: found.start()].splitlines() or [""]
        at = Place(file, len(before), len(before[-1]) + 1)
        yield Problem(
            at,
            (),
            f"a sign that is no text (U+{ord(found[0]):04X}): save the sheet as plain UTF-8 text",
        )


def _tabs(text: str, file: str) -> Iterator[Problem]:
    for number, line in enumerate(text.splitlines(), 1):
        if (column := line.find("\t")) >= 0:
            yield Problem(Place(file, number, column + 1), (), "a tab: use spaces")


_BEHIND = re.compile(r"^(?P<before>\s*(?:- )?[^#'\"]*[:-]\s+[^\s#'\"][^#'\"]*?)\s+#")


def _comments_behind_values(text: str, file: str) -> Iterator[Problem]:
    for number, line in enumerate(text.splitlines(), 1):
        if found := _BEHIND.match(line):
            at = Place(file, number, found.end())
            yield Problem(
                at,
                (),
                "what follows '#' is not read. Put a remark on its own line, or the value in quotes",
            )


class _Reader:
    """Builds the tree from parser events, so that depth and anchors are seen before any growth."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.places: dict[Path, Place] = {}
        self.names: dict[Path, Place] = {}
        self.documents = 0

    def read(self, text: str) -> Any:
        from ruamel.yaml import YAML
        from ruamel.yaml.error import MarkedYAMLError, YAMLError

        try:
            return self._documents(iter(YAML(typ="safe", pure=True).parse(text)))
        except _Stop:
            return {}
        except MarkedYAMLError as error:
            mark, message = plain_words(error, text.splitlines())
            at = Place(self.file, mark.line + 1, mark.column + 1) if mark else None
            self.problems.append(Problem(at or Place(self.file, 1, 1), (), message))
        except YAMLError as error:
            self.problems.append(
                Problem(Place(self.file, 1, 1), (), f"not readable as text: {error}")
            )
        return {}

    def _documents(self, events: Iterator[Any]) -> Any:
        tree: Any = {}
        for event in events:
            name = type(event).__name__
            if name == "DocumentStartEvent":
                self.documents += 1
                if self.documents > 1:
                    self._refuse(event, (), "a second document ('---'): one sheet, one file")
            elif name in ("MappingStartEvent", "SequenceStartEvent", "ScalarEvent", "AliasEvent"):
                tree = self._node(event, events, ())
        return tree

    def _refuse(self, event: Any, path: Path, message: str) -> None:
        self.problems.append(Problem(self._place(event), path, message))
        raise _Stop

    def _place(self, event: Any, *, inside: bool = False) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1 + inside)

    def _node(self, event: Any, events: Iterator[Any], path: Path) -> Any:
        self.places[path] = self._place(event, inside=getattr(event, "style", None) in ("'", '"'))
        name = type(event).__name__
        if name == "AliasEvent" or event.anchor is not None:
            self._refuse(
                event,
                path,
                LINKED,
            )
        if event.ctag is not None and str(event.ctag) not in ("", "None", "!"):
            self._refuse(
                event,
                path,
                f"the tag {event.ctag} is not used in sheets: take it away, or put the value in quotes",
            )
        if len(path) > MOST_DEPTH:
            self._refuse(event, path[:3], f"nested deeper than {MOST_DEPTH} levels")
        if name == "ScalarEvent":
            if event.style in (">", "|"):
                self._refuse(event, path, FOLDED)
            return event.value
        if name == "SequenceStartEvent":
            return self._list(events, path)
        return self._mapping(events, path)

    def _list(self, events: Iterator[Any], path: Path) -> list[Any]:
        found: list[Any] = []
        for event in events:
            if type(event).__name__ == "SequenceEndEvent":
                break
            found.append(self._node(event, events, (*path, str(len(found)))))
        return found

    def _mapping(self, events: Iterator[Any], path: Path) -> Tree:
        found: Tree = {}
        for event in events:
            if type(event).__name__ == "MappingEndEvent":
                break
            if type(event).__name__ != "ScalarEvent":
                self._refuse(
                    event, path, "a key is one plain word or several, such as 'ring end gap'"
                )
            key = event.value
            if not key:
                self._refuse(event, path, "a ':' without a name before it")
            below = (*path, key)
            if key in found:
                first = self.places[below]
                self.problems.append(
                    Problem(
                        self._place(event),
                        below,
                        f"stands here a second time; the first is in line {first.line}. Keep one",
                    )
                )
            at = self.names[below] = self._place(event)
            value = self._node(next(events), events, below)
            if not isinstance(value, str) or not value:
                self.places[below] = at
            found[key] = value
        return found


class _Stop(Exception):
    """Reading ends here; the problem is already noted."""
