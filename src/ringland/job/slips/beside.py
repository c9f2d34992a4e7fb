"""A value beside others: its neighbours in the bore, the other half of a clearance, the last job.

Start with `beside_slip`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from ringland.job.case import Case
from ringland.job.log.entries import Condition, ReadingTaken
from ringland.job.log.fold import State
from ringland.job.slips.digits import one_slip_away
from ringland.job.slips.size import Slip, plausible
from ringland.quantity import Quantity, show_number

NEIGHBOURS_APART = 150e-6  # m; common practice: more between places is typing before it is wear
FAR_TOO_WIDE = 5.0  # times the widest clearance allowed: a slip before it is wear
SAME_TO_THE_DIGIT = 3  # sizes alike in two jobs; two may be chance
Place = tuple[str, Condition, str]


@dataclass(frozen=True, slots=True)
class Last:
    """What was read in the machine's last job: its name, the day, the sizes by place (SI)."""

    job: str
    day: str
    sizes: Mapping[Place, frozenset[float]]


@dataclass(frozen=True, slots=True)
class Typed:
    """A value as it was typed, and what was typed with it.

    line : values of the same line at other places, SI
    """

    case: Case
    check: str
    condition: Condition
    place: str
    quantity: Quantity
    line: Mapping[str, float]


def beside_slip(typed: Typed) -> Slip | None:
    """Ask about a value that does not fit what stands beside it."""
    return _neighbour_slip(typed) or _clearance_slip(typed)


def _neighbour_slip(typed: Typed) -> Slip | None:
    """Ask about a place of a grid that stands far from the places already read."""
    case, quantity = typed.case, typed.quantity
    if case.book.sheet.checks[typed.check].method != "grid":
        return None
    values = [
        read.si
        for said in case.state.readings.get((typed.check, typed.condition), [])
        for indication in said.fact.indications
        if said.fact.place != typed.place and (read := indication.quantity) is not None
    ]
    values += typed.line.values()
    if not values or min(abs(quantity.si - each) for each in values) <= NEIGHBOURS_APART:
        return None
    unit, room = quantity.unit, NEIGHBOURS_APART / 3
    low, high = min(values), max(values)
    alone = f"the other reads {unit.from_si(low):.3f} {unit.name}"
    said = f"the others read {unit.from_si(low):.3f} to {unit.from_si(high):.3f} {unit.name}"
    said = alone if low == high else said
    likely = one_slip_away(quantity, lambda size: low - room <= size <= high + room)
    also = f" Did you mean {likely[0]}?" if likely else ""
    question = f"{typed.check} {typed.place} {quantity}: is that right? {said.capitalize()}.{also}"
    return Slip(question, likely)


def _clearance_slip(typed: Typed) -> Slip | None:
    """Ask where bore less skirt would be negative, or far wider than anything allowed."""
    for name, check in typed.case.book.sheet.checks.items():
        if check.method != "clearance" or typed.check not in check.of:
            continue
        bore, skirt = check.of
        other = _size(typed, skirt if typed.check == bore else bore)
        widest = _widest(typed, name)
        if other is None or widest is None:
            continue
        sign = 1.0 if typed.check == bore else -1.0
        found = sign * (typed.quantity.si - other)
        if 0 <= found <= widest * FAR_TOO_WIDE:
            continue
        low, high = sorted((other, other + sign * widest))
        likely = one_slip_away(typed.quantity, partial(_between, low, high))
        return _clearance_question(typed, (bore, skirt), found, likely)
    return None


def _between(low: float, high: float, size: float) -> bool:
    return low <= size <= high


def _widest(typed: Typed, clearance: str) -> float | None:
    ruling = typed.case.book.ruling(clearance, typed.condition)
    spans = [s for s in (ruling.figure.new, ruling.figure.service) if s] if ruling else []
    return max((span.high.si for span in spans if span.high is not None), default=None)


def _clearance_question(
    typed: Typed, of: tuple[str, str], found: float, likely: tuple[str, ...]
) -> Slip:
    unit = typed.quantity.unit
    said = f"{show_number(abs(unit.step_from_si(found)), 3)} {unit.name}"
    how = (
        f"is wider than the {of[0]} by {said}"
        if found < 0
        else f"is {said} narrower than the {of[0]}"
    )
    also = f" Did you mean {' or '.join(likely)}?" if likely else ""
    question = f"{typed.check} {typed.place}".strip() + f" {typed.quantity}: is that right? "
    return Slip(f"{question}Then the {of[1]} {how}.{also}", likely)


def _size(typed: Typed, check: str) -> float | None:
    """The other half of the clearance: of a bore its least reading."""
    only_found = typed.case.book.sheet.checks[check].taken == "as found"
    condition: Condition = "as found" if only_found else typed.condition
    at_place: dict[str, float] = {}
    for said in typed.case.state.readings.get((check, condition), []):
        read = [i.quantity.si for i in said.fact.indications if i.quantity is not None]
        at_place |= dict.fromkeys([said.fact.place], read[-1]) if read else {}
    return min(at_place.values(), default=None)


# -- the last job ------------------------------------------------------------------------------


def sizes_of(state: State) -> dict[Place, frozenset[float]]:
    """Return the values of a job by check, condition and place."""
    found: dict[Place, frozenset[float]] = {}
    for readings in state.readings.values():
        for said in readings:
            fact = said.fact
            read = frozenset(i.quantity.si for i in fact.indications if i.quantity is not None)
            found[fact.check, fact.condition, fact.place] = read
    return found


def copied_slip(
    case: Case, key: tuple[str, Condition], line: Mapping[str, float], last: Last
) -> Slip | None:
    """Ask whether it was measured today, where sizes equal the last job's to the last digit.

    key : check and condition of the line; line : its values by place, SI
    """
    now = {(*key, place): frozenset([size]) for place, size in line.items()}
    if not _is_size(case, key[0]) or not any(_same(last, at, now[at]) for at in now):
        return None
    now |= {at: sizes for at, sizes in sizes_of(case.state).items() if at not in now}
    read = [
        at for at, sizes in now.items() if sizes and last.sizes.get(at) and _is_size(case, at[0])
    ]
    alike = [at for at in read if _same(last, at, now[at])]
    # one that differs was measured; and it is asked once
    if len(alike) < max(SAME_TO_THE_DIGIT, len(read)) or _answered(case, last):
        return None
    return Slip(
        f"{len(alike)} sizes equal those of job {last.job} ({last.day}) to the last digit. "
        "Measured today?"
    )


def _is_size(case: Case, check: str) -> bool:
    """A bore or a skirt; a leaf may well be the same again."""
    band = plausible(case, check)
    return band is not None and band.nominal is not None


def _same(last: Last, at: Place, sizes: frozenset[float]) -> bool:
    return sizes <= last.sizes.get(at, frozenset())


def _answered(case: Case, last: Last) -> bool:
    facts = (entry.fact for entry in case.state.active())
    return any(isinstance(f, ReadingTaken) and f"of job {last.job} " in f.insisted for f in facts)
