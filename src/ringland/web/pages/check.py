"""Take a reading: one check at a time, one place at a time; its verdict and what it changed."""

from ringland.bench.reading_value import Habits
from ringland.bench.readings import Taking, condition_now, gauge_for
from ringland.bench.refusal import Refused
from ringland.job.beside import beside
from ringland.job.case import Case
from ringland.job.log.entries import Condition, Corrected, Gauge, ReadingTaken
from ringland.job.plan import plan
from ringland.job.slips.size import plausible, usual_units
from ringland.quantity import QuantityError, parse_quantity, show, units_of
from ringland.report.change import fact_words
from ringland.report.drawings.verdict import verdict_picture
from ringland.report.view import PlanLine, VerdictLine, plan_line, verdict_line
from ringland.report.words import indication_words, value_words
from ringland.sheet.model import Check
from ringland.web.pages.look import Context, Look, base

USUAL_UNITS = {
    "length": "mm",
    "pressure": "bar",
    "torque": "N·m",
    "volume": "mL",
    "time": "min",
    "angle": "deg",
    "temperature": "°C",
}
STEPS = ("µm", "thou")  # units of a smallest step or a ±, not of what a gauge shows
ASKED = "torque"  # a bare number of this kind is asked about: ft and N·m differ too little to tell
RELATED = 4  # pictures beside the check's own
# what an eye or a finger says; the same words as at the prompt
FEEL = (("good", "Good"), ("bad", "Bad"), ("not sure", "Not sure"))
LEAF = (("goes", "Goes in"), ("stops", "Does not go"))
NONE = (("not measurable here", "Not measurable here"), ("not taken", "Leave it out"))


def check(look: Look) -> tuple[str, Context]:
    """The page of one check. Raises Refused for a name that nobody knows."""
    sheet = look.case.book.sheet
    if look.name not in sheet.checks:
        raise Refused(f"there is no check {look.name!r} in this sheet")
    content = sheet.checks[look.name]
    condition = _condition(look)
    verdict = look.case.verdicts.get((look.name, condition))
    context = base(look, look.name)
    place = _place(look, content, condition)
    gauge = _gauge(look, content)
    units = _units(content)
    following = _following(look, condition)
    context |= {
        "check": content,
        "name": look.name,
        "condition": condition,
        "both": content.taken == "both",
        "place": place,
        "cells": _cells(look, content, condition),
        "gauges": _gauges(look, content),
        "wanted": _wanted(look, content) if units else "",
        "gauge": gauge,
        "unit": _unit(look, content, gauge),
        "units": units,
        "shows": {each: own for each in look.bench.shelf().gauges if (own := _shows(look, each))},
        "answers": _answers(content),
        "verdict": verdict_line(look.case, verdict) if verdict else None,
        "picture": verdict_picture(verdict, "v") if verdict else "",
        "readings": _readings(look, condition),
        "derived": _derived(look, condition),
        "beside": _beside(look, condition),
        "following": following,
        "after": following if not _unread(look, content, condition) else False,
        "asks": verdict is not None and _decision_is_open(look.case, look.name),
        "grid": content.method == "grid",
        "timer": look.case.state.timers.get(look.name),
    }
    return "check.html", context


def _condition(look: Look) -> Condition:
    said = look.query.get("condition") or (look.act.fields.get("condition") if look.act else "")
    known: dict[str | None, Condition] = {"as found": "as found", "as fitted": "as fitted"}
    if said in known:
        return known[said]
    return condition_now(look.case, look.name)


def _answers(content: Check) -> tuple[tuple[str, str], ...]:
    if content.unit == "feel" or content.method == "feel":
        return (*FEEL, *NONE)
    if content.method == "leaf":
        return (*LEAF, *NONE)
    if content.method == "fall":
        return (("good", "Held, no bubble"), ("bad", "Bubbles seen"))
    return NONE


def _place(look: Look, content: Check, condition: Condition) -> str:
    """The place to read next: as typed, as asked for, else the first without a reading.

    Once a reading is kept the page goes on, though its address still asks for the place.
    """
    kept = look.act if look.act and not look.typed and look.act.verb == "measure" else None
    for said in (look.typed.get("place"), "" if kept else look.query.get("place")):
        if said in content.places:
            return str(said)
    last = kept.fields.get("place", "") if kept else ""
    return next(iter([*_unread(look, content, condition), last, *content.places[-1:]]), "")


def _unread(look: Look, content: Check, condition: Condition) -> list[str]:
    """The places still to read. Where a leaf went in, the next leaf is tried at the same place."""
    verdict = look.case.verdicts.get((look.name, condition))
    settled = verdict is not None and verdict.word == "beyond"
    last = {
        said.fact.place: said.fact.indications[-1].evidence
        for said in look.case.state.readings.get((look.name, condition), [])
        if said.fact.indications
    }
    return [
        place
        for place in content.places
        if place not in last or (last[place] == "goes" and not settled)
    ]


def _decision_is_open(case: Case, name: str) -> bool:
    return any(
        item.kind == "decision" and item.name == name and not item.done for item in plan(case).items
    )


def _cells(look: Look, content: Check, condition: Condition) -> list[Context]:
    read = {}
    for said in look.case.state.readings.get((look.name, condition), []):
        read[said.fact.place] = said
    cells = []
    for place in content.places:
        taken = read.get(place)
        last = taken.fact.indications[-1] if taken and taken.fact.indications else None
        cells.append(
            {
                "place": place,
                "shown": indication_words(last) if last else "",
                "hole": last is not None and last.evidence == "not measurable",
                "by": taken.by if taken else "",
            }
        )
    return cells


def _gauges(look: Look, content: Check) -> dict[str, list[Gauge]]:
    shelf = look.bench.shelf().gauges.values()
    fitting = [gauge for kind in content.gauges for gauge in shelf if gauge.kind == kind]
    others = [gauge for gauge in shelf if gauge not in fitting]
    return {"fitting": fitting, "others": others}


def _wanted(look: Look, content: Check) -> str:
    """The kind of gauge this is read with, where none that reads it is on the shelf."""
    kinds = [kind for kind in content.gauges if kind != "eye"]
    on_shelf = {gauge.kind for gauge in look.bench.shelf().gauges.values()}
    return kinds[0] if kinds and not on_shelf & set(kinds) else ""


def _last_gauge(look: Look, content: Check) -> str:
    """The gauge this check, or one that the same gauges serve, was last read with."""
    shelf = look.bench.shelf().gauges
    own, other = "", ""
    for (name, _), readings in look.case.state.readings.items():
        for said in readings:
            gauge = shelf.get(said.fact.gauge)
            if gauge is not None and gauge.kind in content.gauges:
                own, other = (gauge.id, other) if name == look.name else (own, gauge.id)
    return own or other


def _gauge(look: Look, content: Check) -> str:
    """The gauge as typed, as last used for this check, else the one that the bench would take."""
    said = look.typed.get("gauge") or _last_gauge(look, content)
    if said:
        return said
    own = gauge_for(content, Taking(), Habits(), look.bench.shelf().gauges)
    return own.id if own else ""


def _units(content: Check) -> list[str]:
    """The units a gauge of the bench reads this check in, the usual one first; none for feel."""
    if content.unit == "feel":
        return []
    names = [unit.name for unit in usual_units(content.unit)]
    usual = USUAL_UNITS.get(content.unit, "")
    return sorted(names, key=lambda name: name != usual)


def _unit(look: Look, content: Check, gauge: str) -> str:
    """The unit that a bare number is taken in: as chosen, as the gauge shows, as the sheet has it."""
    said = look.act.fields.get("unit", "") if look.act and look.act.verb == "measure" else ""
    names = [unit.name for unit in units_of(content.unit)] if content.unit != "feel" else []
    if said in names:
        return said
    if content.unit == ASKED:
        return ""
    for own in (_shows(look, gauge), _read_in(look)):
        if own in names:
            return own
    allowed = plausible(look.case, look.name)
    return allowed.unit.name if allowed else USUAL_UNITS.get(content.unit, "")


def _read_in(look: Look) -> str:
    """The unit in which this check was last read, without a gauge that tells."""
    read = [
        said for (name, _), each in look.case.state.readings.items() if name == look.name
        for said in each if not said.fact.gauge and said.fact.indications
    ]  # fmt: skip
    return read[-1].fact.indications[-1].unit if read else ""


def _shows(look: Look, gauge: str) -> str:
    """The unit on a gauge's scale; empty where its entry on the shelf does not tell."""
    known = look.bench.shelf().gauges.get(gauge)
    for text in (known.high, known.resolution) if known else ():
        try:
            unit = parse_quantity(text).unit.name if text else ""
        except QuantityError:
            continue
        if unit and unit not in STEPS:
            return unit
    return ""


def _readings(look: Look, condition: Condition) -> list[Context]:
    """Every reading of the check with who took it: a learner's beside the instructor's."""
    rows = []
    for entry in look.case.state.entries:
        fact = entry.fact.fact if isinstance(entry.fact, Corrected) else entry.fact
        if not isinstance(fact, ReadingTaken) or fact.check != look.name:
            continue
        if fact.condition != condition:
            continue
        rows.append(
            {
                "at": entry.at,
                "by": entry.by,
                "place": fact.place,
                "said": ", ".join(map(indication_words, fact.indications)),
                "gauge": fact.gauge,
                "temperature": fact.temperature,
                "remark": fact.remark,
                "insisted": fact.insisted,
                "gone": entry.id in look.case.state.inactive,
                "words": fact_words(entry.fact),
            }
        )
    return rows


def _derived(look: Look, condition: Condition) -> list[tuple[VerdictLine, str]]:
    """What is worked out from this check, each with its picture."""
    found: list[tuple[VerdictLine, str]] = []
    for (name, said), verdict in look.case.verdicts.items():
        of = look.case.book.sheet.checks[name].of
        if look.name in of and said == condition and value_words(verdict.value):
            picture = verdict_picture(verdict, f"d{len(found)}")
            found.append((verdict_line(look.case, verdict), picture))
    return found[:RELATED]


def _beside(look: Look, condition: Condition) -> list[Context]:
    """Two people at one place: how far apart they read, and whether their doubts explain it."""
    return [
        {
            "where": f" at {pair.place}" if pair.place else "",
            "who": (pair.first, pair.second),
            "apart": show(abs(pair.difference), pair.unit, 3),
            "agree": pair.agree,
        }
        for pair in beside(look.case.book, look.case.state, look.name, condition)
    ]


def _following(look: Look, condition: Condition) -> PlanLine | None:
    """The reading to take after this one, else whatever is next."""
    ready = plan(look.case).ready()
    here = (("reading", f"{look.name}, {condition}"), ("decision", look.name))
    other = [item for item in ready if (item.kind, item.name) not in here]
    reading = [item for item in other if item.kind == "reading"]
    return next((plan_line(look.case, item) for item in [*reading, *other]), None)
