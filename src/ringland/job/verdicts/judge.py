"""What each check's readings decide: the verdict, why, and what to do now.

The rule is ISO 14253-1's: within or beyond at the shop's norm of probability (JCGM 106), undecided
between them. Leaves, feel and counts are evidence of their own. A person may overrule.
"""

from collections.abc import Sequence
from dataclasses import replace

from ringland.job.book import Book
from ringland.job.disagree.readings import disagreements
from ringland.job.log.entries import Condition, Indication
from ringland.job.log.fold import State
from ringland.job.readings.values import CONDITIONS, Value, conditions_of, values_of
from ringland.job.verdicts.held import held
from ringland.job.verdicts.pressure import judge_compression, judge_fall
from ringland.job.verdicts.settle import what_would_settle
from ringland.job.verdicts.verdict import Limits, Verdict, Verdicts, Word, limits_of
from ringland.quantity import decimals_for, show_number
from ringland.sheet.model import Check

Key = tuple[str, Condition]
DRAINED: Key = ("coolant out", "as found")
FILLED: Key = ("coolant in", "as fitted")
SAME_FLUID = 0.10  # share by which what goes in may differ from what came out; common practice
BEFORE_THE_STRIP = ("due", "prestart")  # phases of what is read on a whole engine
PROVEN_AT = {"fit": "fitted readings within", "prestart": "tests passed"}  # phase to condition
SIGNS_OF_PLAN = 2.0  # standard uncertainties by which a value differs from its plan


def judge(book: Book, state: State) -> dict[tuple[str, Condition], Verdict]:
    """Return the verdict of each check that belongs to the job, in each condition it is taken in."""
    values = values_of(book, state)
    verdicts: dict[tuple[str, Condition], Verdict] = {}
    for name, check in book.sheet.checks.items():
        taken = {condition for condition in CONDITIONS if (name, condition) in values}
        for condition in sorted(taken | set(conditions_of(check)), key=CONDITIONS.index):
            value = values.get((name, condition))
            if value is None and not book.applies(check.scopes, check.fitted_to):
                continue
            verdict = _with_new_parts(check, state, _verdict(book, state, name, condition, value))
            overruled = state.overruled.get((name, condition))
            verdicts[name, condition] = replace(verdict, overruled=overruled)
    for key, verdict in verdicts.items():
        verdicts[key] = _told_by_number(book, verdicts, verdict)
    _against_drained(verdicts)
    if is_opened(book, state):
        for key, verdict in verdicts.items():
            if key[1] == "as found" and book.sheet.checks[key[0]].phase in BEFORE_THE_STRIP:
                verdicts[key] = replace(verdict, past=True, todo="")
    for contradiction in disagreements(book, state, values):
        for key in _hanging(book, verdicts, contradiction.readings):
            verdicts[key] = replace(
                verdicts[key],
                word="readings disagree",
                p=None,
                settled_by=(),
                reason=contradiction.reason,
                todo=contradiction.todo,
            )
    return verdicts


def is_opened(book: Book, state: State) -> bool:
    """Say whether the strip has begun: nothing can be read any more on the engine as it ran."""
    steps = book.sheet.steps
    return any(name in steps and steps[name].phase == "strip" for name in state.done)


def _against_drained(verdicts: dict[Key, Verdict]) -> None:
    """Say where much less, or more, coolant went in than came out: air, or a leak."""
    drained, filled = (verdicts.get(key) for key in (DRAINED, FILLED))
    out, into = (v.value.estimate if v and v.value else None for v in (drained, filled))
    if out is None or into is None or filled is None or not out.value > 0:
        return
    share = into.value / out.value - 1
    if abs(share) > SAME_FLUID:
        sign = "+" if share > 0 else ""
        said = (
            f"{sign}{show_number(100 * share, 0)} % against what came out: an air pocket or a leak"
        )
        verdicts[FILLED] = replace(filled, plan=said)


def _hanging(book: Book, verdicts: Verdicts, readings: Sequence[Key]) -> list[Key]:
    """The readings that contradict each other, and what is worked out from them."""
    found = [key for key in readings if key in verdicts]
    for (name, condition), verdict in verdicts.items():
        bases = book.sheet.checks[name].of
        of = {(base, c) for base in bases for c in (condition, "as found")}
        plain = {(base, c) for base, c in of if c == condition or _only_found(book, base)}
        if verdict.value is not None and plain & set(readings):
            found.append((name, condition))
    return list(dict.fromkeys(found))


def _only_found(book: Book, check: str) -> bool:
    return book.sheet.checks[check].taken == "as found"


def _with_new_parts(check: Check, state: State, verdict: Verdict) -> Verdict:
    """A worn pin adds play of its own: with the old one only what is within says something."""
    value = verdict.value
    if not check.judged_with or value is None or verdict.word not in ("beyond", "undecided"):
        return verdict
    order = {entry.id: at for at, entry in enumerate(state.entries)}
    read = max((order[each] for each in value.entries), default=0)
    old = [
        part
        for part in check.judged_with
        if not any(order[said.entry] < read for said in state.renewed.get(part, []))
    ]
    if not old:
        return verdict
    return replace(
        verdict,
        word="not comparable",
        p=None,
        settled_by=(),
        reason=f"judged with the old {' and '.join(old)}, which may have play of its own",
        todo=f"judge it again with a new {' and '.join(old)}",
    )


def _told_by_number(book: Book, verdicts: Verdicts, verdict: Verdict) -> Verdict:
    """A feel that nobody was sure of is settled by the number that tells it."""
    check = book.sheet.checks[verdict.check]
    unsure = (
        verdict.word == "undecided"
        and verdict.value is not None
        and verdict.value.said == "not sure"
    )
    number = verdicts.get((check.tells_instead, verdict.condition)) if unsure else None
    if number is None or number.word not in ("within", "within, worn", "beyond"):
        return verdict
    return replace(verdict, word=number.word, reason=f"told by {number.check}", todo=number.todo)


def _verdict(
    book: Book, state: State, name: str, condition: Condition, value: Value | None
) -> Verdict:
    check = book.sheet.checks[name]
    ruling = book.ruling(name, condition)
    blank = Verdict(name, condition, "not measured", value, ruling)
    if value is None:
        return replace(blank, todo=_how(check))
    if value.said in ("not taken", "not measurable"):
        return _of_feel(book, blank, value.said)
    if check.method == "fall":
        return judge_fall(book, state, blank)
    if check.method == "percent of baseline":
        return judge_compression(book, state, blank)
    if value.doubt:
        word: Word = "not comparable" if value.not_comparable else "undecided"
        return replace(blank, word=word, reason=value.doubt, todo=_mended(value.doubt))
    if value.said is not None:
        return _of_feel(book, blank, value.said)
    limits = limits_of(check, ruling.figure, condition) if ruling else None
    if check.limit == "reported":
        return _planned(
            state, replace(blank, word="not judged", reason="reported; judged through others")
        )
    if limits is None:
        through = next((each for each, of in book.sheet.checks.items() if name in of.of), "")
        if ruling is None and through:  # a skirt, a bore: they count in the clearance
            said = f"no limit of its own is given; judged through {through}"
            return _planned(state, replace(blank, word="not judged", reason=said))
        said = (
            "no limit is given for it in the sheet"
            if ruling is None
            else "only a figure for new is given"
        )
        offered = check.common_practice
        todo = f"common practice, not the maker's: {offered}" if offered else "judge it by feel"
        return _planned(state, replace(blank, word="not judged", reason=said, todo=todo))
    return _planned(state, _held(book, state, blank, limits))


def _held(book: Book, state: State, blank: Verdict, limits: Limits) -> Verdict:
    check = book.sheet.checks[blank.check]
    verdict = held(book.norms, blank, limits)
    if verdict.word == "beyond":
        return replace(verdict, todo=_say(check, verdict, limits))
    if verdict.word == "undecided":
        settling = what_would_settle(book, state, verdict)
        return replace(verdict, todo=settling.todo, settled_by=settling.ways)
    return replace(verdict, todo=_how(check)) if verdict.word == "not measured" else verdict


def _say(check: Check, verdict: Verdict, limits: Limits) -> str:
    """What to do beyond a limit; below the lower one it may be something else."""
    value = verdict.value
    read = value and (value.least or value.estimate)
    high = value and value.interval and value.interval.high
    if limits.lower is None or not check.beyond.say_low:
        return check.beyond.say
    low = (read and read.value < limits.lower) or (high and high <= limits.lower)
    return check.beyond.say_low if low else check.beyond.say


def _of_feel(book: Book, blank: Verdict, said: str) -> Verdict:
    check = book.sheet.checks[blank.check]
    match said:
        case "good":
            return replace(blank, word="within", reason="judged by eye and feel")
        case "bad":
            return replace(
                blank, word="beyond", reason="judged by eye and feel", todo=check.beyond.say
            )
        case "not measurable":
            return replace(blank, word="not judged", reason="not measurable here")
        case "not taken":
            remark = blank.value.remark if blank.value else ""
            return replace(blank, reason=remark, todo=_to_sign(book, blank))
    todo = (
        f"measure {check.tells_instead}" if check.tells_instead else "have a second person feel it"
    )
    return replace(
        blank, word="undecided", reason=check.cannot_tell or "not sure by feel", todo=todo
    )


def _to_sign(book: Book, blank: Verdict) -> str:
    """What is left out of the proofs of a build is signed at the hold point that asks for it."""
    if blank.condition != "as fitted":
        return ""
    steps = book.sheet.steps.items()
    asked = PROVEN_AT.get(book.phase_of(blank.check, blank.condition))
    hold = next((name for name, step in steps if asked in step.hold), "")
    return f"to go on without it: sign {hold} because REASON" if hold else ""


def _planned(state: State, verdict: Verdict) -> Verdict:
    """Say beside the verdict when the value is not what was planned, though it may be in limit."""
    planned = state.planned.get(verdict.check)
    if planned is None or verdict.value is None or verdict.value.estimate is None:
        return verdict
    wanted = Indication("value", *_two(planned.fact.value)).quantity
    assert wanted is not None
    estimate = verdict.value.estimate
    off = estimate.value - wanted.si
    if abs(off) <= SIGNS_OF_PLAN * estimate.u:
        return verdict
    unit = wanted.unit
    by = show_number(unit.step_from_si(off), decimals_for(unit.step_from_si(estimate.u)))
    sign = "+" if off > 0 else ""
    return replace(verdict, plan=f"differs from plan: {sign}{by} {unit.name} against {wanted}")


def _two(text: str) -> tuple[str, str]:
    number, _, unit = text.partition(" ")
    return number, unit


def _mended(doubt: str) -> str:
    """What to do about a doubt stands behind its colon, where it has one."""
    todo = doubt.rpartition(": ")[2]
    return todo if todo != doubt else "take the reading again"


def _how(check: Check) -> str:
    return check.words or "take the reading"
