"""Find what a person means by the words typed: a check, finding, step, part or group of fasteners."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from ringland.bench.refusal import Refused
from ringland.sheet.model import Sheet

Kind = Literal["check", "finding", "step", "part", "group"]


@dataclass(frozen=True, slots=True)
class Named:
    """What was named, and the words that are left after the name."""

    kind: Kind
    name: str
    rest: tuple[str, ...]


def spellings(sheet: Sheet, kind: Kind) -> Iterator[tuple[str, str]]:
    """Yield each spelling of each name of a kind, with the sheet's own name."""
    tables: dict[Kind, Mapping[str, object]] = {
        "check": sheet.checks,
        "finding": sheet.findings,
        "step": sheet.steps,
        "part": sheet.parts,
        "group": sheet.fasteners,
    }
    for name, content in tables[kind].items():
        yield name.casefold(), name
        for also in getattr(content, "also_called", ()):
            yield also.casefold(), name


def find(sheet: Sheet, words: Sequence[str], kinds: Sequence[Kind]) -> Named | None:
    """Return what the longest run of leading words names, trying the kinds in order.

    A plural or a missing plural is overlooked, and the order of words; dashes count as spaces.
    """
    for length in range(len(words), 0, -1):
        said = " ".join(words[:length]).casefold().replace("-", " ").rstrip(",;:")
        for kind in kinds:
            for spelling, name in spellings(sheet, kind):
                plain = spelling.replace("-", " ")
                same_words = length > 1 and set(said.split()) == set(plain.split())
                if said in (plain, f"{plain}s") or f"{said}s" == plain or same_words:
                    return Named(kind, name, tuple(words[length:]))
    return None


def must_find(sheet: Sheet, words: Sequence[str], *kinds: Kind) -> Named:
    """Return what is named, or refuse with the nearest names.

    Raises Refused.
    """
    found = find(sheet, words, kinds)
    if not words:
        raise Refused(f"which {' or '.join(kinds)}? Write its name behind; ? shows examples")
    if found is None:
        said = " ".join(words)
        known = {spelling: name for kind in kinds for spelling, name in spellings(sheet, kind)}
        raise Refused(f"no {' or '.join(kinds)} is called {said!r} here.{hint(said, known)}")
    return found


def hint(said: str, known: Mapping[str, str] | Sequence[str], otherwise: str = "") -> str:
    """Return " Did you mean head off or head on?"; where nothing is near, what else to do.

    known : names, or spellings with the name each stands for
    """
    near = dict.fromkeys(_near(said, known))
    return f" Did you mean {' or '.join(near)}?" if near else otherwise


def _near(said: str, known: Mapping[str, str] | Sequence[str]) -> list[str]:
    """Return the one nearest by its letters, else up to three that hold the first word."""
    words = said.casefold().split()
    candidates = list(known)
    holding = [each for each in candidates if words and words[0] in each.split()][:3]
    for length in range(len(words), 0, -1):
        close = get_close_matches(" ".join(words[:length]), candidates, 1, 0.7)
        if close and close[0] not in holding:
            return [known[close[0]] if isinstance(known, Mapping) else close[0]]
    return holding
