"""From a form to a line of the bench, and from the bench's answer to what the page shows.

A form names a verb of `LINES` and its fields; the line that they make is said to the same prompt
that serves the command line. An act carries the id its device gave it: the same act sent again
changes nothing, another act with that id is refused.
"""

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from ringland.bench.bench import Bench, Outcome
from ringland.bench.lines import Prompt
from ringland.bench.reading_value import Habits
from ringland.bench.readings import Taking
from ringland.bench.refusal import Asked, Offer, Refused
from ringland.bench.tighten import Hand
from ringland.job.log.entries import Condition, Entry
from ringland.quantity import find_unit
from ringland.quantity.units import UnitError
from ringland.report.change import ChangeView, change_view
from ringland.web.shed import Shed

Fields = Mapping[str, str]
LONGEST = 2000  # characters of one field
LATER = 24 * 3600  # s that a device's clock may be ahead


@dataclass(frozen=True, slots=True)
class Act:
    """What a device sends: its own id and time, the person, the verb and its fields."""

    id: str
    at: str
    by: str
    verb: str
    fields: Fields

    @property
    def key(self) -> str:
        """The id under which the act is kept: the device's, and a digest of what it says."""
        said = json.dumps([self.verb, sorted(self.fields.items())], ensure_ascii=False)
        return f"{self.id}-{hashlib.sha256(said.encode()).hexdigest()[:12]}"


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of an act.

    status : kept, kept before (sent again), asked (a question comes first), refused
    problems : what is wrong, or the question; offers : texts to use instead
    """

    status: Literal["kept", "kept before", "asked", "refused"]
    change: ChangeView | None = None
    problems: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()
    entries: tuple[Entry, ...] = ()

    @property
    def code(self) -> int:
        """The HTTP status that says the same."""
        return {"kept": 200, "kept before": 200, "asked": 409, "refused": 422}[self.status]


class OtherContent(Refused):
    """The id of an act came again with another content."""


def do(shed: Shed, job: str, act: Act, *, keep: "Keeper | None" = None) -> Answer:
    """Do one act at a job.

    keep : keeps the act with an open bench instead of saying its line (photos, leaflets)
    """
    try:
        at = checked_time(act.at, shed.now()) if act.at else ""
        with shed.bench(act.by, act=act.key if act.id else "", at=at) as bench:
            before = _kept_before(bench, job, act)
            if before:
                case = bench.case(job)
                return Answer("kept before", change_view(case, case, before), (), (), before)
            reply = keep(bench, job) if keep else _say(bench, job, act)
            if not isinstance(reply, Outcome):
                raise Refused("there is nothing to keep in this")
            change = change_view(reply.before, reply.after, reply.entries)
            return Answer("kept", change, entries=reply.entries)
    except Asked as asked:
        return Answer("asked", problems=(asked.question,), offers=asked.offers)
    except Refused as refused:
        return Answer("refused", problems=refused.problems)
    except UnicodeEncodeError:
        return Answer("refused", problems=("the text holds half a character: type it again",))


Keeper = Callable[[Bench, str], Outcome]


def _kept_before(bench: Bench, job: str, act: Act) -> tuple[Entry, ...]:
    if not act.id:
        return ()
    known = [entry for entry in bench.state(job).entries if entry.act.startswith(f"{act.id}-")]
    if known and known[0].act != act.key:
        raise OtherContent(
            f"the act {act.id} was kept before with another content: send this one with a new id"
        )
    return tuple(known)


def checked_time(at: str, now: str) -> str:
    """Return a device's time. Raises Refused for one that is none, or lies in the future."""
    try:
        time = datetime.fromisoformat(at)
    except ValueError:
        time = None
    if time is None or time.utcoffset() is None or not 2000 <= time.year < 2200:
        raise Refused(f"{at!r} is no time: ISO 8601 with an offset is wanted")
    if (time - datetime.fromisoformat(now)).total_seconds() > LATER:
        raise Refused(f"the device's clock says {at}, which is tomorrow or later: set its clock")
    return time.isoformat(timespec="seconds")


def _say(bench: Bench, job: str, act: Act) -> object:
    if act.verb not in LINES:
        raise Refused(f"{act.verb!r} is nothing that can be done here: {', '.join(LINES)}")
    fields = {name: " ".join(text.split()) for name, text in act.fields.items()}
    long = [name for name, text in fields.items() if len(text) > LONGEST]
    if long:
        raise Refused(f"{long[0]}: longer than {LONGEST} characters: say it shorter")
    prompt = Prompt(bench, job, habits=_habits(fields), taking=_taking(fields))
    name = fields.get("name", "")
    if act.verb == "torque":
        prompt.hands[name] = hand_of(fields)
    line = " ".join(LINES[act.verb](fields).split())
    return prompt.say(f"{line} !" if fields.get("insist") else line)


def hand_of(fields: Fields) -> Hand:
    """Return the wrench and adapter named in a form."""
    adapter = fields.get("adapter", "")
    if not adapter or adapter.strip(" 0") in ("mm", ""):
        return Hand(fields.get("wrench", ""))
    length = adapter if any(c.isalpha() for c in adapter) else f"{adapter} mm"
    angle = fields.get("angle", "") or "90"
    turned = angle if any(c.isalpha() for c in angle) else f"{angle.rstrip('°')} deg"
    return Hand(fields.get("wrench", ""), length, turned)


def _habits(fields: Fields) -> Habits:
    # a bare number is in the unit that stood beside the field: another one is asked about
    unit = fields.get("unit") or fields.get("shown", "")
    if not unit:
        return Habits()
    try:
        found = find_unit(unit)
    except UnitError as error:
        raise Refused(str(error)) from None
    return Habits(units={found.kind: found.name})


def _taking(fields: Fields) -> Taking:
    said: dict[str, Condition] = {"as found": "as found", "as fitted": "as fitted"}
    temperature = fields.get("temperature", "")
    if temperature and not any(c.isalpha() for c in temperature):
        temperature = f"{temperature} °C"
    return Taking(
        gauge=fields.get("gauge", ""),
        temperature=temperature,
        condition=said.get(fields.get("condition", "")),
        remark=fields.get("remark", ""),
    )


# -- lines: one for each verb of a form -----------------------------------------------------------


def _measure(f: Fields) -> str:
    condition = {"as found": "old", "as fitted": "new"}.get(f.get("condition", ""), "measure")
    value = f.get("instead") or f.get("value", "")
    said = [f"{f.get('place', '')} {value} {f.get('word', '')}"] if value or f.get("word") else []
    if f.get("start") or f.get("end"):  # a leak test
        minutes = f.get("minutes", "")
        minutes = f"{minutes} min" if minutes and not minutes[-1].isalpha() else minutes
        said = [
            f"{_bar(f.get('start', ''))} {minutes} {_bar(f.get('end', ''))} {f.get('word', '')}"
        ]
    said += [f"{key[3:]} {text}" for key, text in f.items() if key.startswith("at:") and text]
    if not said:
        raise Refused(f"{f.get('name', 'the reading')}: no value is typed yet")
    return f"{condition} {f.get('name', '')} {' '.join(said)}"


def _bar(text: str) -> str:
    return f"{text} bar" if text and not text[-1].isalpha() else text


def _count(f: Fields) -> str:
    """What was typed of several (`n:off:dowel`), or one part; an empty field was not counted."""
    several = [
        f"{key[2:].partition(':')[2]} {key[2:].partition(':')[0]} {text}"
        for key, text in f.items()
        if key.startswith("n:")
    ]
    if not several and "side" not in f:
        raise Refused("no count is typed yet: type what lies there, 0 for none")
    return f"count {', '.join(several) or ' '.join((f.get('name', ''), f['side'], f.get('count', '')))}"


def _minutes(f: Fields) -> str:
    text = f.get("value", "")
    return f"{text} min" if text and not text[-1].isalpha() else text


def _renew(f: Fields) -> str:
    beside = f"{f.get('label', '')} batch {f['batch']}" if f.get("batch") else f.get("label", "")
    if "leaflet" in beside.casefold().split():
        raise Refused("a leaflet is sent as a file of its own, not named in the label")
    return f"renew {f.get('name', '')} {f.get('count', '')} {beside}"


def _torque(f: Fields) -> str:
    positions = f.get("positions", "")
    what = f.get("word", "ok")
    if what == "slack":
        return f"torque {f.get('name', '')} slack because {f.get('reason') or 'let off'}"
    moved = f"moved {f['moved']}" if f.get("moved") else ""
    stage = f"stage {f['stage']}" if f.get("stage") else ""
    setting = f"set {f['setting']}" if f.get("setting") else ""
    return f"torque {f.get('name', '')} {stage} {positions} {setting} {moved} {what}"


def _because(verb: str) -> Callable[[Fields], str]:
    def line(f: Fields) -> str:
        condition = f.get("condition", "") if verb == "overrule" else ""
        reason = f"because {f['reason']}" if f.get("reason") else ""
        return f"{verb} {f.get('name', '')} {condition} {f.get('value', '')} {reason}"

    return line


def _cause(f: Fields) -> str:
    cause = f.get("other") or f.get("value", "")
    lacks = [] if cause else ["choose the cause, or write another one"]
    if not f.get("reason"):
        lacks.append("write what proves it")
    if lacks:
        raise Refused(*(f"{f.get('name', '')}: {each}" for each in lacks))
    return f"cause {f.get('name', '')} is {cause} because {f['reason']}"


LINES: dict[str, Callable[[Fields], str]] = {
    "measure": _measure,
    "correct": lambda f: f"correct {f.get('name', '')} {f.get('place', '')} {f.get('value', '')}",
    "note": lambda f: f"note {f.get('name', '')} {f.get('where', '')} {f.get('remark', '')}",
    "done": lambda f: f"done {f.get('name', '')} {f.get('remark', '')}",
    "count": _count,
    "found": lambda f: f"found {f.get('name', '')} {f.get('count', '')} {f.get('where', '')}",
    "renew": _renew,
    "torque": _torque,
    "aside": _because("aside"),
    "overrule": _because("overrule"),
    "sign": _because("sign"),
    "cause": _cause,
    "decide": _because("decide"),
    "figure": _because("figure"),
    "resolved": _because("resolved"),
    "expect": lambda f: f"expect {f.get('name', '')} {f.get('value', '')}",
    "timer": lambda f: f"timer {f.get('word', '')} {f.get('name', '')} {_minutes(f)}",
    "undo": lambda _: "undo",
    "safe": lambda f: f"safe {f.get('remark', '')}",
    "hand over": lambda f: f"hand over {f.get('value', '')} {f.get('remark', '')}",
}


def as_act(form: Mapping[str, str], by: str) -> Act:
    """Return the act that a posted form holds."""
    fields = {k: v for k, v in form.items() if k not in ("id", "at", "verb") and v}
    return Act(form.get("id", "")[:80], form.get("at", ""), by, form.get("verb", ""), fields)
