"""What a line that is not understood may have meant: lines that would be, to type instead.

Nothing is kept on a guess. Start with `guesses`.
"""

from collections.abc import Iterator, Sequence
from difflib import get_close_matches

from ringland.bench.names import Kind, find, spellings
from ringland.bench.reading_words import LEAF, SAID
from ringland.sheet.model import Sheet

AT_MOST = 3  # guesses that are told
ALIKE = 0.75  # of a difflib ratio, above which a word is taken for a slip of the keyboard
SHORTEST = 4  # letters of a word that is compared; shorter ones are like too many others
SIDES = ("off", "on")
LITTLE = ("the", "a", "an", "on", "in", "of", "at", "is", "with", "and", *SAID, *LEAF)

NAMED: tuple[Kind, ...] = ("step", "part", "group", "check", "finding")
READ: tuple[Kind, ...] = ("check", "finding", "group")  # of a line that holds a value


def guesses(sheet: Sheet, words: Sequence[str], verbs: Sequence[str]) -> list[str]:
    """Return lines that may have been meant, the likeliest first."""
    found = [
        *_moved(sheet, words, 1),
        *_turned(sheet, words, verbs),
        *_counted(sheet, words),
        *_respelt(sheet, words, verbs),
        *_holding(sheet, words, READ if _value(words) else NAMED),
    ]
    typed = " ".join(words).casefold()
    return [each for each in dict.fromkeys(found) if each.casefold() != typed][:AT_MOST]


def seen(sheet: Sheet, words: Sequence[str], behind: int) -> list[str]:
    """Return what a line that begins with something else may tell that was seen or looked at.

    behind : how many words that is
    """
    moved = _moved(sheet, words, behind)
    beside = list(_holding(sheet, words[behind:], ("finding", "check"))) if not moved else []
    first = " ".join(words[:behind]).casefold()
    return moved or [each for each in beside if first in each][:AT_MOST]


def _moved(sheet: Sheet, words: Sequence[str], behind: int) -> list[str]:
    """A finding that stands behind other words, put first."""
    runs = _runs(sheet, words, "finding")
    moved = [" ".join(_first(words, at, end)) for at, end, _ in runs if at >= behind]
    return moved or list(_nearly_seen(sheet, words, behind))


def _nearly_seen(sheet: Sheet, words: Sequence[str], behind: int) -> Iterator[str]:
    """A later word is nearly a finding's: the line with that word put right and first."""
    known = [s for s, _ in spellings(sheet, "finding") if " " not in s and len(s) >= SHORTEST]
    for at, word in enumerate(words[behind:], behind):
        for near in get_close_matches(word.casefold(), known, 1, ALIKE):
            if not _begins(near, word.casefold()):
                yield " ".join([near, *words[:at], *words[at + 1 :]])


def _runs(sheet: Sheet, words: Sequence[str], kind: Kind) -> Iterator[tuple[int, int, str]]:
    """Yield where a whole name of a kind stands in the line, from and to, and the name."""
    for at in range(len(words)):
        named = find(sheet, words[at:], (kind,))
        if named is not None:
            yield at, len(words) - len(named.rest), named.name


def _first(words: Sequence[str], at: int, end: int) -> list[str]:
    return [*words[at:end], *words[:at], *words[end:]]


def _turned(sheet: Sheet, words: Sequence[str], verbs: Sequence[str]) -> Iterator[str]:
    """A verb, a check or a group of fasteners that stands behind what belongs to it."""
    for at, word in enumerate(words):
        if at and word.casefold() in verbs:
            yield " ".join(_first(words, at, at + 1))
    for at, end, name in _runs(sheet, words, "check"):
        if at:
            known = {place.casefold().replace("-", "") for place in sheet.checks[name].places}
            rest = [*words[:at], *words[end:]]
            rest.sort(key=lambda word: word.casefold().replace("-", "") not in known)
            yield " ".join([*words[at:end], *rest])
    for at, end, _ in _runs(sheet, words, "group"):
        if at:
            yield " ".join(["torque", *_first(words, at, end)])


def _counted(sheet: Sheet, words: Sequence[str]) -> Iterator[str]:
    """A part and a number without its side, or in another order."""
    numbers = [word for word in words if word.isdigit()]
    said = [word.casefold() for word in words if word.casefold() in SIDES]
    rest = [w for w in words if not w.isdigit() and w.casefold() not in SIDES]
    named = find(sheet, rest, ("part",))
    if len(numbers) == 1 and named is not None and not named.rest:
        yield from (f"{named.name} {side} {numbers[0]}" for side in said or SIDES)


def _respelt(sheet: Sheet, words: Sequence[str], verbs: Sequence[str]) -> Iterator[str]:
    """The beginning of the line is nearly a name or a verb: the line with it put right."""
    kinds: tuple[Kind, ...] = ("check", "finding", "step", "part", "group")
    known = {s for kind in kinds for s, _ in spellings(sheet, kind)} | set(verbs)
    if find(sheet, words, kinds) is not None:
        return
    for length in range(min(len(words), 5), 0, -1):
        said = " ".join(words[:length]).casefold()
        if len(said) < SHORTEST or any(word[:1].isdigit() for word in words[:length]):
            continue
        near = get_close_matches(said, sorted(known), AT_MOST, ALIKE)
        if close := [each for each in near if not _begins(each, said)]:
            yield from (" ".join([each, *words[length:]]) for each in close)
            return


def _begins(name: str, said: str) -> bool:
    """Another word that begins alike is no slip: carbon is not carb."""
    short, long = sorted((name, said), key=len)
    return long.startswith(short) and len(long) - len(short) > 1


def _holding(sheet: Sheet, words: Sequence[str], kinds: Sequence[Kind]) -> Iterator[str]:
    """Names that hold every word, or the beginning of each."""
    wanted = [w.casefold() for w in words if w.casefold() not in LITTLE and not w[:1].isdigit()]
    said = [word.removesuffix("s") for word in wanted]
    if not said or min(map(len, said)) < SHORTEST - 1:
        return
    for kind in kinds:
        for spelling, _ in spellings(sheet, kind):
            parts = spelling.replace("-", " ").split()
            if all(any(part.startswith(word) for part in parts) for word in said):
                yield " ".join([spelling, *(_value(words) if kind == "check" else [])])


def _value(words: Sequence[str]) -> list[str]:
    """Return the words that tell a reading: numbers, words of eye and feel."""
    return [w for w in words if w[:1].isdigit() or w.casefold() in (*SAID, *LEAF)]
