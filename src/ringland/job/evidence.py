"""What a job knows that tells on a cause: findings, verdicts, tests and counts as evidence.

Here: from the names of the common sheet to the words of the table of causes. Not here: the table
and its ranking (`ringland.gas.causes`). What was found on the old parts counts; the new build's own
readings do not, since they tell nothing of the damage. Start with `evidence_of`.
"""

from collections.abc import Callable, Iterator

from ringland.gas.causes_table import EVIDENCE, Evidence
from ringland.job.case import Case
from ringland.job.log.fold import Reading
from ringland.job.readings.circumstances import read_back
from ringland.job.readings.cranking import compared
from ringland.job.readings.leaks import of_kind
from ringland.job.verdicts.verdict import Verdict

# finding of the common sheet -> evidence; a picture on the piston has the same name in both
FINDINGS: dict[str, tuple[Evidence, ...]] = {
    "coolant clean patch": (("piston", "steam-clean patch"),),
    "needle missing": (("needles", "one missing"),),
    "metal specks": (("plug", "silver specks"), ("plug", "steel flecks")),  # which, nobody said
    "glitter in the gear oil": (("gear oil", "glitter"),),
    "glazed": (("bore", "glazed"),),
    "plating flaked": (("bore", "plating gone"),),
    "overheated": (("coolant", "boiled"),),
    "milky gear oil": (("gear oil", "milky"),),
    "gear oil falling": (("gear oil", "level falls"),),
    "plug peppered": (("plug", "black dots"),),
    "plug wet and black": (("plug", "wet and black"),),
    "idle hangs": (("idle", "hangs high"),),
    "ignition seal leaks": (("bubbles", "ignition seal"),),
    "cracked intake rubber": (("bubbles", "intake rubber"),),
    "dust past the filter": (("filter", "dust past it"),),
    "fuel without oil": (("fuel", "no oil in it"),),
    "lean jetting": (("fuel", "jetted lean"),),
    "weak fuel": (("fuel", "old or weak"),),
    "early timing": (("ignition", "timing early"),),
    "hot plug": (("ignition", "plug too hot"),),
    "short warm-up": (("warm-up", "too short"),),
    "reused clip": (("pin clips", "reused"),),
    "power valve binds": (("power valve", "binds"),),
    "reed chipped": (("reeds", "chipped"),),
    "loose nut": (("base nuts", "one loose"),),
    "clip gap sideways": (("pin clips", "gap sideways"),),
}
GOOD = ("within", "within, worn")
# check -> evidence when it is good, when it is beyond; None for what tells nothing
BY_WORD: dict[str, tuple[Evidence | None, Evidence | None]] = {
    "crankcase leak": (("leak test", "passes"), ("leak test", "fails")),
    "crankcase vacuum": (None, ("leak test", "fails")),
    "cooling leak": (None, ("coolant", "pressure test fails")),
    "bore": (("bore", "within"), ("bore", "beyond")),
    "port edges": (("port edges", "broken smooth"), ("port edges", "sharp")),
    "bridge": (None, ("port edges", "bridge proud")),
    "head flatness": (("head face", "flat"), ("head face", "beyond")),
    "top face": (None, ("head face", "beyond")),
    "big end": (("bottom end", "sound"), ("bottom end", "click felt")),
    "big end radial": (("bottom end", "sound"), ("bottom end", "click felt")),
    "play from below": (None, ("bottom end", "knock")),
    "power valve travel": (("power valve", "free"), ("power valve", "binds")),
    "reed edges": (("reeds", "sound"), ("reeds", "chipped")),
    "reed tips": (None, ("reeds", "gap open")),
    "filter path": (("filter", "sealed"), ("filter", "dust past it")),
}
LEVELS = {
    "none": "near baseline",
    "note": "noted drop",
    "plan": "planned drop",
    "stop": "stop drop",
}
# wet over dry: between the two the oil's own volume may be all, common practice
NO_RISE, BIG_RISE = 1.05, 1.5
LITTLE = 0.10  # share lost in a leak-down that counts as little, common practice

Sources = dict[Evidence, str]


def evidence_of(case: Case) -> Sources:
    """Return what the job knows, in the table's words, each with what it comes from."""
    found: Sources = {}
    for gather in GATHERED:
        for fact, source in gather(case):
            assert fact[1] in EVIDENCE[fact[0]], fact
            found.setdefault(fact, source)
    return found


def _findings(case: Case) -> Iterator[tuple[Evidence, str]]:
    for name in case.state.noted:
        if name in EVIDENCE["piston"]:
            yield ("piston", name), f"seen: {name}"
        for fact in FINDINGS.get(name, ()):
            yield fact, f"seen: {name}"


def _verdicts(case: Case) -> Iterator[tuple[Evidence, str]]:
    for (name, condition), verdict in case.verdicts.items():
        told = BY_WORD.get(name)
        if told is None or condition != "as found" or verdict.value is None:
            continue
        good, bad = told
        fact = good if verdict.word in GOOD else bad if verdict.word == "beyond" else None
        if name == "crankcase leak" and verdict.word == "undecided":
            fact = ("leak test", "undecided")
        if fact is not None:
            yield fact, f"{name}: {verdict.word}"


def _fits(case: Case) -> Iterator[tuple[Evidence, str]]:
    """Clearance and gap as they were: below the least of new parts, within, or beyond."""
    for name, thing, small in (
        ("piston to barrel", "clearance", "below new minimum"),
        ("ring end gap", "ring gap", "too small"),
    ):
        verdict = case.verdicts.get((name, "as found"))
        if verdict is None or verdict.value is None:
            continue
        ruling = case.book.ruling(name, "as found")
        new = ruling.figure.new if ruling else None
        value = verdict.value.least or verdict.value.estimate
        if value and new and new.low and value.value < new.low.si:
            yield (thing, small), f"{name}: under the least of new parts"
        elif verdict.word in (*GOOD, "beyond"):
            yield (
                (thing, "beyond" if verdict.word == "beyond" else "within"),
                f"{name}: {verdict.word}",
            )


def _compression(case: Case) -> Iterator[tuple[Evidence, str]]:
    key: Reading = ("cranking compression", "as found")
    readings, opened = case.state.readings.get(key), case.state.opened
    if not readings or opened is None:
        return
    verdict: Verdict = case.verdicts[key]
    if opened.baseline is not None:
        try:
            found = compared(case.book, opened.baseline, readings[-1].fact)
        except ValueError:
            return
        if found.level is not None:
            yield ("compression", LEVELS[found.level]), f"compression {verdict.reason}"
            return
    yield ("compression", "not comparable"), f"compression: {verdict.reason}"


def _wet(case: Case) -> Iterator[tuple[Evidence, str]]:
    dry, wet = (
        case.state.readings.get((name, "as found"))
        for name in ("cranking compression", "wet compression")
    )
    if not dry or not wet:
        return
    pressures = [of_kind(each[-1].fact, "pressure") for each in (dry, wet)]
    if not all(pressures):
        return
    rise = pressures[1][-1].si / pressures[0][-1].si
    if rise < NO_RISE or rise > BIG_RISE:
        word = "no rise" if rise < NO_RISE else "big rise"
        yield ("wet compression", word), f"wet over dry {rise:.2f}; a hint only"


def _tests(case: Case) -> Iterator[tuple[Evidence, str]]:
    """Where bubbles showed, where the air of a leak-down went."""
    for (name, condition), readings in case.state.readings.items():
        check = case.book.sheet.checks[name]
        if condition != "as found" or check.method != "fall":
            continue
        fact = readings[-1].fact
        said = read_back(fact.how)
        for place in said.bubbles:
            if place in EVIDENCE["bubbles"]:
                yield ("bubbles", place), f"{name}: bubbles at {place}"
        if check.profile == "crankcase leak" and any(
            each.evidence == "good" for each in fact.indications
        ):
            yield ("bubbles", "none"), f"{name}: no bubble"
        for place in said.escapes:
            yield ("leak-down", place), f"leak-down: {place}"
        shares = of_kind(fact, "share")
        if shares and shares[-1].si < LITTLE:
            yield ("leak-down", "little"), f"leak-down {shares[-1]}"


def _cap(case: Case) -> Iterator[tuple[Evidence, str]]:
    verdict = case.verdicts.get(("cap opening", "as found"))
    if verdict is None or verdict.word != "beyond" or verdict.value is None:
        return
    estimate, limits = verdict.value.estimate, verdict.limits
    if estimate and limits and limits.lower is not None and estimate.value < limits.lower:
        yield ("coolant", "cap opens early"), "cap opening: beyond"


def _counts(case: Case) -> Iterator[tuple[Evidence, str]]:
    for tally in case.tallies:
        if tally.part == "dowel" and tally.side == "off" and ("dowel", "off") in case.state.counted:
            word = "one missing" if tally.is_open else "all there"
            yield ("dowels", word), f"dowels counted: {word}"


GATHERED: tuple[Callable[[Case], Iterator[tuple[Evidence, str]]], ...] = (
    _findings,
    _verdicts,
    _fits,
    _compression,
    _wet,
    _tests,
    _cap,
    _counts,
)
