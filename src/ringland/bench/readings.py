"""From typed words to a reading: values with units, leaves, places, words of eye and feel.

A number without a unit is settled by the unit in use and by what is plausible for the check; what
is not plausible is asked about and nothing is kept. Torque without a unit is always asked.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from ringland.bench.doubtful import Line
from ringland.bench.refusal import Asked, Offer, Refused
from ringland.job.case import Case
from ringland.job.circumstances import LEAK_DOWN, NotUnderstood, take_out
from ringland.job.entries import (
    Condition,
    Evidence,
    Fact,
    Gauge,
    GaugeUsed,
    Indication,
    ReadingTaken,
)
from ringland.job.slips import Plausible, plausible, usual_units
from ringland.job.slips_beside import Last
from ringland.quantity import (
    AmbiguousNumber,
    MissingUnit,
    Quantity,
    QuantityError,
    find_unit,
    parse_quantity,
)
from ringland.quantity.units import UnitError
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
_LEAF = {
    "goes": "goes",
    "go": "goes",
    "enters": "goes",
    "stops": "stops",
    "not": "stops",
    "doesn't": "stops",
}
_PLACE = re.compile(r"([hH]\d)-?([xyXY])$")


NOT_OURS = "-"  # a reading that came by message, taken with a gauge nobody here knows


@dataclass(frozen=True, slots=True)
class Habits:
    """What the person used last: gauge by check, unit by kind. Changed only by the person."""

    gauges: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Taking:
    """How a reading is taken: beside the words with the values.

    gauge : id of the gauge that was named; `NOT_OURS` for one that is not on the shelf
    """

    gauge: str = ""
    temperature: str = ""
    condition: Condition | None = None
    remark: str = ""
    insist: bool = False
    gauge_temperature: str = ""


def take(
    case: Case,
    check: str,
    words: Sequence[str],
    taking: Taking,
    habits: Habits,
    shelf: dict[str, Gauge],
    *,
    last: Last | None = None,
) -> list[Fact]:
    """Return the facts of one or several readings of a check.

    words : values and words as typed, such as ("H1X", "53.214"), (".29", "goes"), ("not", "sure")
    last : what was read in the machine's last job, to ask "measured today?"
    Raises Refused, or Asked where something must be settled first.
    """
    content = case.book.sheet.checks[check]
    if content.of:
        raise Refused(f"{check} is worked out from {' and '.join(content.of)}: read those")
    condition = taking.condition or condition_now(case, check)
    gauge = gauge_for(content, taking, habits, shelf)
    try:
        kind = LEAK_DOWN if content.unit == "share" else content.method
        words, how = take_out(words, kind)
    except NotUnderstood as error:
        raise Refused(f"{check}: {error}") from None
    line = Line(case, check, condition, gauge, last)
    readings = [replace(reading, how=how) for reading in _readings(line, words, taking, habits)]
    if copied := line.copied():
        readings = [replace(reading, insisted=reading.insisted or copied) for reading in readings]
    if line.slips and not taking.insist:
        raise line.asked()
    if not readings:
        raise Refused(f"{check}: nothing to keep. {_usage(content)}")
    facts: list[Fact] = []
    if gauge is not None and case.state.gauges.get(gauge.id) != gauge:
        facts.append(GaugeUsed(gauge))
    return [*facts, *readings]


def condition_now(case: Case, check: str) -> Condition:
    """Return what a reading taken now is of: the new part once one is in hand, else as found."""
    content = case.book.sheet.checks[check]
    if content.taken != "both":
        return content.taken
    if content.phase not in ("due", "inspect"):  # a test: of the new build once the strip began
        begun = any(case.done[name] and step.off for name, step in case.steps.items())
        return "as fitted" if begun else "as found"
    return "as fitted" if content.part in case.state.renewed else "as found"


def _usage(content: Check) -> str:
    if content.places:
        return f"Name the place and the value, as in '{content.places[0]} 53.21 mm'."
    return "Write the value with its unit, or a word such as 'good', 'bad', 'not sure'."


def gauge_for(
    content: Check, taking: Taking, habits: Habits, shelf: dict[str, Gauge]
) -> Gauge | None:
    """Return the gauge that is named, the one used last, or the only one of the best kind."""
    if taking.gauge == NOT_OURS:
        return None
    if taking.gauge:
        return find_gauge(taking.gauge, shelf)
    for kind in content.gauges:
        last = habits.gauges.get(kind)
        if last and last in shelf:
            return shelf[last]
    of_kind = [g for kind in content.gauges for g in shelf.values() if g.kind == kind]
    same = {g.kind for g in of_kind}
    # the only gauge of the best kind is the one meant; of several the person names one
    best = [g for g in of_kind if g.kind == next((k for k in content.gauges if k in same), "")]
    return best[0] if len(best) == 1 else None


def find_gauge(said: str, shelf: dict[str, Gauge]) -> Gauge:
    """Return a gauge by its id, or by its kind where there is one of it. Raises Refused."""
    by_id = {each.id.casefold(): each for each in shelf.values()}
    if said.casefold() in by_id:
        return by_id[said.casefold()]
    of_kind = [g for g in shelf.values() if said.casefold() in g.kind]
    if len(of_kind) == 1:
        return of_kind[0]
    known = ", ".join(f"{g.id} ({g.kind})" for g in shelf.values()) or "none: ringland gauge add"
    which = "several gauges are" if of_kind else "no gauge is"
    raise Refused(f"{which} called {said!r}. On the shelf: {known}")


def _readings(
    line: Line, words: Sequence[str], taking: Taking, habits: Habits
) -> Iterator[ReadingTaken]:
    content = line.case.book.sheet.checks[line.check]
    blank = ReadingTaken(
        line.check,
        line.condition,
        (),
        gauge=line.gauge.id if line.gauge else "",
        temperature=taking.temperature,
        remark=taking.remark,
        gauge_temperature=taking.gauge_temperature,
    )
    for place, said in _by_place(content, words):
        indications, insisted = _indications(line, content, place, said, habits)
        if indications:
            yield replace(blank, place=place, indications=tuple(indications), insisted=insisted)


def _by_place(content: Check, words: Sequence[str]) -> Iterator[tuple[str, list[str]]]:
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
            first = content.places[0]
            raise Refused(f"say where: {', '.join(content.places)}, as in '{first} 53.21'")
        yield place, said


def _is_inch(words: Sequence[str], at: int) -> bool:
    """Say whether "in" is the unit of the number before it, not the intake side."""
    number = re.compile(r"[+−-]?[.,]?\d")
    behind = bool(at) and number.match(words[at - 1])
    before = at + 1 < len(words) and number.match(words[at + 1])
    return bool(behind) and not before


def _indications(
    line: Line, content: Check, place: str, words: list[str], habits: Habits
) -> tuple[list[Indication], str]:
    found: list[Indication] = []
    insisted = ""
    for token in _tokens(words):
        if token in SAID:
            evidence, typed = SAID[token]
            found.append(Indication(evidence, typed=typed or token))
            continue
        if token in _LEAF:
            if not found or found[-1].evidence != "value":
                raise Refused(f"'{token}' follows a leaf, as in '0.30 {token}'")
            found[-1] = replace(found[-1], evidence="goes" if _LEAF[token] == "goes" else "stops")
            continue
        quantity = _quantity(line.case, content, line.check, token, line.gauge, habits)
        insisted = line.question(place, quantity) or insisted
        found.append(Indication("value", _digits(quantity), quantity.unit.name, token))
    return found, insisted


_WORD = re.compile(r"[^\W\d_%°\"″].*", re.UNICODE)


def _tokens(words: list[str]) -> Iterator[str]:
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
        if phrase in SAID or (length == 1 and phrase in _LEAF):
            return phrase
    return ""


def _digits(quantity: Quantity) -> str:
    return str(quantity.number)


def _quantity(
    case: Case, content: Check, check: str, token: str, gauge: Gauge | None, habits: Habits
) -> Quantity:
    """Read one value; settle its unit, its comma, its deviation from the size the gauge is set to."""
    kind = content.unit if content.unit not in ("feel",) else "length"
    allowed = plausible(case, check)
    try:
        return _with_unit(token, kind)
    except MissingUnit as bare:
        return _settled(bare.number, token, kind, check, allowed, gauge, habits)
    except AmbiguousNumber as two:
        decimal = _replaced(token, two.readings[0])
        usual = allowed.unit.name if allowed else None
        if allowed and allowed.holds(parse_quantity(decimal, kind, default=usual).si):
            return _quantity(case, content, check, decimal, gauge, habits)
        offers = tuple(Offer(each, _replaced(token, each)) for each in two.readings)
        raise Asked(str(two), offers) from None
    except QuantityError as error:
        raise Refused(f"{check}: {error}") from None


def _replaced(token: str, number: str) -> str:
    return re.sub(r"[+−-]?\d+,\d{3}", number, token, count=1)


def _with_unit(token: str, kind: str) -> Quantity:
    """A test's reading may hold minutes, and a compression's an altitude, beside its pressures."""
    try:
        return parse_quantity(token, kind)
    except MissingUnit:
        raise
    except QuantityError:
        for other in ("time", "length", "temperature", "volume") if kind == "pressure" else ():
            try:
                return parse_quantity(token, other)
            except QuantityError:
                continue
        raise


def _settled(
    number: Decimal,
    token: str,
    kind: str,
    check: str,
    allowed: Plausible | None,
    gauge: Gauge | None,
    habits: Habits,
) -> Quantity:
    if kind == "count":
        return Quantity(number, find_unit("pcs"), token)
    usual = habits.units.get(kind) or (_unit_of(gauge) if gauge else "")
    signed = token[:1] in "+-−" and allowed is not None and allowed.nominal is not None
    if signed:
        assert allowed is not None
        assert allowed.nominal is not None
        unit = find_unit(usual or allowed.unit.name, kind)
        size = Decimal(repr(round(unit.from_si(allowed.nominal), 6)))
        return Quantity(size + number, unit, token)
    if allowed is None:
        if usual:
            return Quantity(number, find_unit(usual, kind), token)
        names = [u.name for u in usual_units(kind)][:4]
        raise Asked(
            f"{check}: {token} in which unit?",
            tuple(Offer(f"{token} {n}", f"{token} {n}") for n in names),
        )
    fitting = [u for u in usual_units(kind) if allowed.holds(u.to_si(number))]
    said = habits.units.get(kind, "")
    in_use = [said, _unit_of(gauge) if gauge else "", allowed.unit.name]
    wanted = [find_unit(name, kind) for name in in_use if name]
    if said:
        return Quantity(number, wanted[0], token)  # said by the person; a slip question follows
    if kind == "torque" and len(fitting) != 1:
        raise Asked(
            _which_unit(check, token),
            tuple(Offer(f"{token} {u.name}", f"{token} {u.name}") for u in fitting),
        )
    for unit in wanted:
        if unit in fitting:
            return Quantity(number, unit, token)
    if kind == "pressure" and len(fitting) == 1:
        return Quantity(number, fitting[0], token)
    return Quantity(number, wanted[-1], token)  # implausible: the slip question says so


def _which_unit(check: str, token: str) -> str:
    return f"{check}: {token} in which unit?"


def _unit_of(gauge: Gauge) -> str:
    for text in (gauge.resolution, gauge.high):
        if text:
            try:
                return parse_quantity(text).unit.name
            except (QuantityError, UnitError):
                continue
    return ""
