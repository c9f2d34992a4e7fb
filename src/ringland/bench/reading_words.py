"""A line of readings taken apart: places, numbers with their units, words of eye and feel."""

import re
from collections.abc import Iterator, Sequence

from ringland.bench.refusal import Refused
from ringland.job.log.entries import Evidence
from ringland.sheet.model import Check

# What people say for an eye, a finger, a hole; the longest first.
SAID: dict[str, tuple[Evidence, str]] = {
    "not measurable here": ("not measurable", ""),
    "not measurable": ("not measurable", ""),
    "not measured": ("not taken", ""),
    "not taken": ("not taken", ""),
    "not sure": ("not sure", ""),
    "no bubble": ("good", ""),
    "no bubbles": ("good", ""),
    "rolls freely": ("good", ""),
    "does not roll": ("bad", ""),
    "unsure": ("not sure", ""),
    "port": ("not measurable", "port"),
    "good": ("good", ""),
    "ok": ("good", ""),
    "fine": ("good", ""),
    "smooth": ("good", ""),
    "none": ("good", ""),
    "free": ("good", ""),
    "bad": ("bad", ""),
    "bubble": ("bad", ""),
    "bubbles": ("bad", ""),
    "click": ("bad", ""),
    "clicks": ("bad", ""),
    "rough": ("bad", ""),
    "cracked": ("bad", ""),
    "binds": ("bad", ""),
}
LEAF = {
    "goes": "goes",
    "go": "goes",
    "enters": "goes",
    "stops": "stops",
    "not": "stops",
    "doesn't": "stops",
}
_PLACE = re.compile(r"([hH]\d)-?([xyXY])$")


def by_place(content: Check, words: Sequence[str]) -> Iterator[tuple[str, list[str]]]:
    """Split the words at names of places; a grid needs one for each value."""
    known = {place.casefold().replace("-", ""): place for place in content.places}
    place = ""
    said: list[str] = []
    for at, word in enumerate(words):
        key = word.casefold().replace("-", "").rstrip(":")
        if key == "in" and _is_inch(words, at):
            said.append(word)
            continue
        if content.places and _PLACE.match(word) and key not in known:
            raise Refused(f"{word} is no place here; places: {', '.join(content.places)}")
        if key not in known:
            said.append(word)
            continue
        if said or place:
            yield place, said
        place, said = known[key], []
    if said or place:
        if not place and content.method in ("grid", "four points"):
            size = "53.21" if content.method == "grid" else "1.02"
            example = f"{content.places[0]} {size} mm"
            raise Refused(f"say where: {', '.join(content.places)}, as in '{example}'")
        yield place, said


def _is_inch(words: Sequence[str], at: int) -> bool:
    """Say whether "in" is the unit of the number before it, not the intake side."""
    number = re.compile(r"[+−-]?[.,]?\d")
    behind = bool(at) and number.match(words[at - 1])
    before = at + 1 < len(words) and number.match(words[at + 1])
    return bool(behind) and not before


def tokens(words: list[str]) -> Iterator[str]:
    """Join numbers with their units, and the words of eye and feel."""
    pending = ""
    index = 0
    while index < len(words):
        said = _said_at(words, index)
        if said:
            if pending:
                yield pending
                pending = ""
            yield said
            index += len(said.split())
            continue
        word = words[index].strip().rstrip(",") if words[index] not in (",", ";") else ""
        index += 1
        if not word or word.casefold() in ("at", "is", "=", "and", "after"):
            continue
        if re.match(r"[+−-]?[.,]?\d", word):
            if pending:
                yield pending
            pending = word
        elif pending:
            pending = f"{pending} {word}"
        else:
            raise Refused(
                f"{word!r} is not understood here: write a number with its unit, or 'not sure'"
            )
    if pending:
        yield pending


def _said_at(words: list[str], index: int) -> str:
    for length in (3, 2, 1):
        phrase = " ".join(words[index : index + length]).casefold().strip(" ,;.")
        if phrase in SAID or (length == 1 and phrase in LEAF):
            return phrase
    return ""
