"""How a pressure was read, in short words that are kept with the reading.

Typed behind the value: `warm throttle open 7 kicks by kick 400 rpm`, `strokes 2.1 4.0 5.6 6.9 bar`,
`slow 8.1 bar 180 rpm`, `air 985 hPa`, `bubbles at ignition seal`. What they do to the answer is told
by `cranking` and `leaks`. Start with `take_out`, which keeps them, and `read_back`.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ringland.gas.causes_table import EVIDENCE
from ringland.quantity import QuantityError, parse_quantity

PLACES = (
    *(place for place in EVIDENCE["bubbles"] if place != "none"),
    "test plug",
    "joint",
    "seal",
)
TEST_PLUG = "test plug"
LEAK_DOWN = "leak-down"
ESCAPES = tuple(each for each in EVIDENCE["leak-down"] if each != "little")
_OPEN, _SHUT = ("open", "wide"), ("shut", "closed", "half")
_NUMBER = re.compile(r"[.,]?\d[\d.,]*$")


class NotUnderstood(ValueError):
    """A circumstance that was begun and not finished, with the form it takes."""


@dataclass(frozen=True, slots=True)
class Circumstances:
    """How a reading was taken, as far as it was noted. SI; None for not noted.

    strokes : what the gauge showed after each stroke [Pa], from the first
    speed : of the crank [rev/s]; slow : (reading [Pa], speed [rev/s]) of a second, slower run
    air : absolute air pressure on the spot [Pa]
    kicks : until the needle stood
    bubbles : where they showed, at a leak test; escapes : where the air of a leak-down went
    """

    warm: bool | None = None
    throttle_open: bool | None = None
    valve_open: bool | None = None
    method: str | None = None
    kicks: int | None = None
    speed: float | None = None
    strokes: tuple[float, ...] = ()
    slow: tuple[float, float] | None = None
    air: float | None = None
    bubbles: tuple[str, ...] = ()
    escapes: tuple[str, ...] = ()


def take_out(words: Sequence[str], method: str) -> tuple[list[str], tuple[str, ...]]:
    """Split the words behind a check into those of its value and its circumstances.

    method : of the check; other checks than cranking and leak tests have none
    Raises NotUnderstood.

    >>> take_out("9.6 bar warm throttle open 7 kicks".split(), "percent of baseline")
    (['9.6', 'bar'], ('warm', 'throttle open', '7 kicks'))
    >>> take_out(".40 .22 bar 6 min bubbles at ignition seal".split(), "fall")
    (['.40', '.22', 'bar', '6', 'min', 'bubbles'], ('bubbles at ignition seal',))
    """
    if method == "fall":
        return _out_of(list(words), _leak_word)
    if method == "percent of baseline":
        left, how = _out_of(list(words), _cranking_word)
        return [*left, *_last_stroke(left, how)], how
    if method == LEAK_DOWN:
        left, how = _out_of(list(words), _leak_down_word)
        alone = len(left) == 1 and _NUMBER.match(left[0])
        return [*left, "%"] if alone else left, how
    return list(words), ()


def _last_stroke(left: Sequence[str], how: Sequence[str]) -> list[str]:
    """Of a pump-up the last stroke is the reading, unless another pressure was typed."""
    strokes = next((each.split() for each in how if each.startswith("strokes ")), [])
    for word, unit in zip(left, (*left[1:], ""), strict=False):
        if _NUMBER.match(word.strip(",")) and _is_pressure(f"{word.strip(',')} {unit}"):
            return []
    return strokes[-2:]


def _is_pressure(text: str) -> bool:
    try:
        parse_quantity(text, "pressure", default="bar")
    except QuantityError:
        return False
    return True


_Taker = Callable[[list[str]], tuple[str, int, list[str]]]


def _out_of(words: list[str], take: _Taker) -> tuple[list[str], tuple[str, ...]]:
    left: list[str] = []
    how: list[str] = []
    while words:
        said, used, instead = take(words)
        if said:
            how.append(said)
        left += instead if used else words[:1]
        del words[: used or 1]
    return left, tuple(how)


def _leak_word(words: list[str]) -> tuple[str, int, list[str]]:
    word = words[0].casefold()
    if word not in ("bubble", "bubbles") or len(words) < 2 or words[1].casefold() != "at":
        return "", 0, []
    rest = " ".join(words[2:]).casefold().removeprefix("the ")
    place = next((each for each in PLACES if rest.startswith(each)), "")
    if not place:
        raise NotUnderstood(f"bubbles at {rest or '?'}: say one of {', '.join(PLACES)}")
    used = 2 + len(place.split()) + (len(words) > 2 and words[2].casefold() == "the")
    return f"bubbles at {place}", used, [] if place == TEST_PLUG else [words[0]]


def _leak_down_word(words: list[str]) -> tuple[str, int, list[str]]:
    said = " ".join(words).casefold().replace(",", "")
    place = next((each for each in ESCAPES if said.startswith(each)), "")
    return place, len(place.split()), []


def _cranking_word(words: list[str]) -> tuple[str, int, list[str]]:  # noqa: C901  # one flat case per word
    word, after = words[0].casefold().strip(","), (words[1] if len(words) > 1 else "").strip(",")
    match word:
        case "warm" | "cold" | "dry":
            return word, 1, []
        case "wet":
            raise NotUnderstood("wet is a test of its own: wet compression 11.0 bar")
        case "throttle" | "valve":
            if after not in _OPEN + _SHUT:
                raise NotUnderstood(f"{word} open or {word} shut?")
            return f"{word} {'open' if after in _OPEN else 'shut'}", 2, []
        case "by" if after in ("kick", "starter", "hand"):
            return f"by {after}", 2, []
        case "air":
            return _quantity("air", words[1:], "pressure")
        case "strokes":
            return _strokes(words)
        case "slow":
            return _slow(words)
    if word.isdigit() and after in ("kick", "kicks"):
        return f"{word} kicks", 2, []
    if _NUMBER.match(word) and after == "rpm":
        return f"{word} rpm", 2, []
    return "", 0, []


def _quantity(name: str, words: list[str], kind: str) -> tuple[str, int, list[str]]:
    text = " ".join(words[:2])
    try:
        return f"{name} {parse_quantity(text, kind)}", 3, []
    except QuantityError as error:
        raise NotUnderstood(f"{name}: {error}") from None


def _strokes(words: list[str]) -> tuple[str, int, list[str]]:
    numbers = []
    for word in words[1:]:
        if not _NUMBER.match(word.strip(",")):
            break
        numbers.append(word.strip(","))
    end = 1 + len(numbers)
    unit = words[end] if len(words) > end else ""
    try:
        for number in numbers:
            parse_quantity(f"{number} {unit}", "pressure")
    except QuantityError as error:
        raise NotUnderstood(f"strokes: {error}") from None
    if len(numbers) < 2:
        raise NotUnderstood("strokes: one number for each kick and the unit, strokes 4.0 6.9 bar")
    _must_rise([parse_quantity(f"{number} {unit}", "pressure").si for number in numbers])
    return f"strokes {' '.join(numbers)} {unit}", end + 1, []


def _must_rise(readings: list[float]) -> None:
    from ringland.gas.reading import Run  # imported late: it needs arrays, and few type strokes

    try:
        Run(tuple(enumerate(readings, 1)), speed=1.0)
    except ValueError as error:
        raise NotUnderstood(str(error)) from None


def _slow(words: list[str]) -> tuple[str, int, list[str]]:
    said = words[1:6]
    text = " ".join(word.strip(",") for word in said if word.casefold() != "at")
    found = re.match(r"(\S+ \S+) (\S+) rpm\b", text)
    if found is None:
        raise NotUnderstood("slow: reading and crank speed, slow 8.1 bar 180 rpm")
    try:
        reading = parse_quantity(found[1], "pressure")
        speed = parse_quantity(f"{found[2]} rpm", "rotation")
    except QuantityError as error:
        raise NotUnderstood(f"slow: {error}") from None
    return f"slow {reading} at {speed}", 5 + ("at" in said), []


def read_back(how: Sequence[str]) -> Circumstances:
    """Return what kept circumstances say.

    >>> read_back(("warm", "400 rpm", "strokes 4.0 6.9 bar")).strokes
    (400000.0, 690000.0)
    """
    escapes = tuple(each for each in how if each in ESCAPES)
    how = [each for each in how if each not in ESCAPES]
    said = set(how)

    def yes_no(yes: str, no: str) -> bool | None:
        return True if yes in said else False if no in said else None

    def after(word: str) -> str | None:
        return next((each.partition(" ")[2] for each in how if each.startswith(f"{word} ")), None)

    kicks = next((int(each.split()[0]) for each in how if each.endswith(" kicks")), None)
    speed = next((each for each in how if each.endswith(" rpm") and not _is_run(each)), None)
    slow, strokes, air = after("slow"), after("strokes"), after("air")
    return Circumstances(
        yes_no("warm", "cold"),
        yes_no("throttle open", "throttle shut"),
        yes_no("valve open", "valve shut"),
        after("by"),
        kicks,
        parse_quantity(speed, "rotation").si if speed else None,
        _pressures(strokes) if strokes else (),
        _run(slow) if slow else None,
        parse_quantity(air, "pressure").si if air else None,
        tuple(each.removeprefix("bubbles at ") for each in how if each.startswith("bubbles at ")),
        escapes,
    )


def _is_run(text: str) -> bool:
    return text.startswith("slow ")


def _pressures(text: str) -> tuple[float, ...]:
    *numbers, unit = text.split()
    return tuple(parse_quantity(f"{number} {unit}", "pressure").si for number in numbers)


def _run(text: str) -> tuple[float, float]:
    reading, _, speed = text.partition(" at ")
    return parse_quantity(reading, "pressure").si, parse_quantity(speed, "rotation").si
