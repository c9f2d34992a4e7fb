"""Words to facts that a person answers for: overruling, signing, naming a cause, deciding.

Each function takes the job and the words behind its verb, and returns the facts to keep. All raise
Refused with what is wrong, what is allowed and what to do.
"""

from ringland.bench.names import find, hint, must_find
from ringland.bench.readings import condition_now
from ringland.bench.refusal import Refused
from ringland.job.case import Case
from ringland.job.holds import open_at
from ringland.job.log.entries import (
    CauseNamed,
    Fact,
    FigureTakenOver,
    FindingResolved,
    HoldSigned,
    PartDecided,
    VerdictOverruled,
)
from ringland.sheet.load import sheet_of
from ringland.sheet.text import BadSheet


def because(words: list[str], form: str, *, needed: bool = True) -> tuple[list[str], str]:
    """Split at "because"; the reason is needed where someone answers for it."""
    lowered = [word.casefold() for word in words]
    if "because" in lowered:
        at = lowered.index("because")
        if words[at + 1 :] and words[:at]:
            return words[:at], " ".join(words[at + 1 :])
    if needed:
        raise Refused(f"give the reason: {form}")
    return words, ""


def overrule(case: Case, words: list[str]) -> list[Fact]:
    """A person decides otherwise: `overrule CHECK DECISION because REASON`."""
    what, reason = because(words, "overrule CHECK DECISION because REASON")
    named = must_find(case.book.sheet, what, "check")
    rest = " ".join(named.rest)
    condition = condition_now(case, named.name)
    for said in ("as found", "as fitted"):
        if said in rest:
            condition = "as found" if said == "as found" else "as fitted"
            rest = rest.replace(said, "").strip()
    return [VerdictOverruled(named.name, condition, rest or "accepted", reason)]


def sign(case: Case, words: list[str]) -> list[Fact]:
    """A named person signs why a hold point or stop is passed, where that may be."""
    what, reason = because(words, "sign HOLD because REASON")
    named = find(case.book.sheet, what, ("step",)) or must_find(
        case.book.sheet, what, "finding", "check"
    )
    step = case.book.sheet.steps.get(named.name)
    if step is not None and not step.hold:
        raise Refused(
            f"{named.name} is a step, no hold point: do it, or: aside {named.name} because REASON"
        )
    never = step is not None and step.never_signed
    never = never or any(s.source == named.name and s.never_signed for s in case.brought.stops)
    if never:
        raise Refused(
            f"{named.name} can never be signed away. The honest way out: hand over unstarted"
        )
    standing = [
        stop.source
        for stop in case.brought.open_stops()
        if step is not None and stop.holds_up(step.phase)
    ]
    if standing:
        raise Refused(f"{named.name} stays shut while a stop stands: {', '.join(standing)}")
    for each in open_at(case, named.name) if named.name in case.steps else ():
        if each.never_signed:
            raise Refused(f"{each.what}. Nobody can sign that away: {each.todo}")
    return [HoldSigned(named.name, reason)]


def cause(case: Case, words: list[str]) -> list[Fact]:
    """A damage has a cause: `cause DAMAGE is CAUSE because EVIDENCE`."""
    what, evidence = because(words, "cause DAMAGE is CAUSE because EVIDENCE")
    named = must_find(case.book.sheet, what, "finding", "check")
    cause = " ".join(named.rest).removeprefix("is ").strip(" :")
    if not cause:
        raise Refused("name the cause: cause DAMAGE is CAUSE because EVIDENCE")
    return [CauseNamed(named.name, cause, evidence)]


def decide(case: Case, words: list[str]) -> list[Fact]:
    """What happens with a part: `decide barrel send out because it is oval`."""
    what, reason = because(words, "", needed=False)
    named = must_find(case.book.sheet, what, "part")
    decision, rest = _decision(named.name, " ".join(named.rest))
    return [PartDecided(named.name, decision, reason or rest)]


DECISIONS = ("reuse", "renew", "clean", "dress", "send out")
SAID_FOR = {
    "new": "renew", "replace": "renew", "change": "renew", "buy": "renew",
    "keep": "reuse", "use": "reuse", "stays": "reuse", "good": "reuse", "ok": "reuse",
    "send away": "send out", "sent out": "send out",
}  # fmt: skip


def _decision(part: str, said: str) -> tuple[str, str]:
    """Return the decision and what was said behind it. Raises Refused for one nobody knows.

    A slip here would take a part off the list that is to get, so nothing is read as a decision by
    chance.
    """
    known = {**{each: each for each in DECISIONS}, **SAID_FOR}
    lowered = said.casefold()
    if lowered.startswith("class "):
        return said, ""
    for words in sorted(known, key=len, reverse=True):
        if lowered == words or lowered.startswith((f"{words} ", f"{words},")):
            return known[words], said[len(words) :].strip(" ,")
    which = f"{', '.join(DECISIONS)}, class X"
    if not said:
        raise Refused(f"decide {part} how? {which}")
    raise Refused(f"{part}: {said!r} is none of {which}.{hint(said, known)}")


def resolved(case: Case, words: list[str]) -> list[Fact]:
    """A stop is resolved: `resolved FINDING because HOW IT IS KNOWN`.

    A stop that nobody can sign away is not talked away either: what shows it is noted or measured.
    """
    what, how = because(words, "resolved FINDING because HOW IT IS KNOWN")
    named = must_find(case.book.sheet, what, "finding", "check")
    stop = next((each for each in case.brought.stops if each.source == named.name), None)
    if stop is None:
        raise Refused(f"{named.name} is no open stop in this job")
    if stop.never_signed:
        findings = case.book.sheet.findings
        shown_by = [name for name, each in findings.items() if named.name in each.lifts]
        todo = (
            f"note what shows it: {' or '.join(shown_by)}" if shown_by else "read it again: new ..."
        )
        raise Refused(f"{named.name} is resolved by no word alone: {todo}")
    return [FindingResolved(named.name, how)]


def figure(case: Case, words: list[str]) -> list[Fact]:
    """A figure of the sheet was wrong: the right one is taken over into this job."""
    what, reason = because(words, "figure NAME TEXT because REASON")
    sheet = case.book.sheet
    named = must_find(sheet, what, "check", "group")
    text = " ".join(named.rest)
    path = ("figures", named.name) if named.kind == "check" else ("fasteners", named.name, "torque")
    opened = case.state.opened
    assert opened is not None
    tree = {**opened.sheet, path[0]: {**opened.sheet.get(path[0], {})}}
    if named.kind == "check":
        tree["figures"][named.name] = text
    else:
        tree["fasteners"][named.name] = {**tree["fasteners"][named.name], "torque": text}
    try:
        sheet_of(tree)
    except BadSheet as error:
        raise Refused(*[problem.message for problem in error.problems]) from None
    return [FigureTakenOver(path, text, reason)]
