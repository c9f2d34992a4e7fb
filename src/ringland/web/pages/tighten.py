"""Tighten a group: the joint from above, the setting for the wrench in hand, one tap for each nut."""

from ringland.bench.refusal import Refused
from ringland.bench.tighten import Hand, instruction
from ringland.fasten.wrench import WrenchSetting
from ringland.job.layout import Layout
from ringland.job.log.tightening import Tightening
from ringland.job.settings import torque_of, wrenches
from ringland.job.torques import Progress
from ringland.quantity import show, show_pair
from ringland.report.change import tightening_words, turn_cautions
from ringland.report.drawings.joint import joint_picture
from ringland.web.acts import hand_of
from ringland.web.pages.look import Context, Look, base

ANGLES = (("90", "square: no correction"), ("0", "in line"), ("45", "slanting"), ("180", "back"))


def tighten(look: Look) -> tuple[str, Context]:
    """The page of one group. Raises Refused for a group that is not tightened in this job."""
    case = look.case
    if look.name not in case.groups():
        raise Refused(f"{look.name!r} is no group that is tightened in this job")
    group = case.book.sheet.fasteners[look.name]
    shelf = look.bench.shelf().gauges
    hand = _hand(look)
    torque = torque_of(case.book, look.name)
    error = ""
    try:
        found = instruction(case, look.name, hand, shelf)
    except ValueError as refused:  # of the wrench or the adapter: the joint is shown without
        error = str(refused)
        found = instruction(case, look.name, Hand(), shelf)
    hand, now = found.hand, found.progress
    rows = [_stage(name, setting) for name, setting in found.stages]
    current = rows[min(now.stage or len(rows), len(rows)) - 1] if rows else None
    context = base(look, look.name)
    context |= {
        "name": look.name,
        "group": group,
        "torque": show_pair(torque) if torque else "",
        "progress": now,
        "stage_name": stage_name(now, group.check_pass),
        "hand": hand,
        "wrenches": wrenches(shelf),
        "angles": ANGLES,
        "error": error,
        "stages": rows,
        "current": current,
        "words": tightening_words(case, look.name, known=now),
        # an answer without scripts has just said it
        "cautions": [] if look.act and look.act.verb == "torque" else turn_cautions(now),
        "picture": joint_picture(now.layout, _tight(now), now.next, _title(look, now)),
        "measure_wrench": bool(hand.adapter) and not _length(look, hand.wrench),
        "caption": caption(now.layout),
        "pulls": _pulls(look, now),
        "aloud": _aloud(look.name, now, current),
    }
    return "tighten.html", context


def caption(layout: Layout) -> str:
    """Say what the numbers are, from where one looks, and what is taken for granted."""
    seen = f"Seen from {layout.seen_from or 'above'}."
    if layout.is_free:
        order = "No order is asked for."
    else:
        order = (
            f"Each carries its turn, 1 first: {layout.source}. Loosen from the last to the first."
        )
    taken = f"{layout.taken[0].upper()}{layout.taken[1:]}." if layout.taken else ""
    return " ".join(filter(None, [seen, order, taken]))


def stage_name(now: Progress, check_pass: bool) -> str:
    """Say which round it is."""
    if now.stage is None:
        return "all stages done"
    if check_pass and now.stage == now.stages:
        return "check pass, nothing may turn far"
    return f"stage {now.stage} of {now.stages}"


def _hand(look: Look) -> Hand:
    """The wrench and adapter: as posted, as asked for, else as at the last pull of this group."""
    said = look.act.fields if look.act and look.act.verb == "torque" else look.query
    if said.get("wrench") or said.get("adapter"):
        return hand_of(said)
    last = look.case.state.tightening.get(look.name, Tightening()).last
    if last is None or last.fact.by_feel:
        return Hand()
    return Hand(last.fact.wrench, last.fact.adapter, last.fact.angle)


def _stage(name: str, setting: WrenchSetting | str) -> Context:
    if isinstance(setting, str):
        snug = setting.startswith("snug by feel")
        empty = {"set": "", "unit": "", "gets": ""}
        return {"name": name, **empty, "refused": setting, "by_feel": snug}
    unit = setting.wrench.unit
    return {
        "name": name,
        "set": str(setting.mark),
        "unit": unit.name,
        "gets": show(setting.torque, unit, 1),
        "refused": "",
        "by_feel": False,
    }


def _tight(now: Progress) -> tuple[int, ...]:
    """The numbers drawn as tightened: those of the stage in hand, all of them once it is over."""
    return tuple(range(1, now.count + 1)) if now.is_complete else tuple(now.pulled)


def _length(look: Look, wrench: str) -> str:
    gauge = look.bench.shelf().gauges.get(wrench)
    return gauge.length if gauge else ""


def _title(look: Look, now: Progress) -> str:
    following = f"number {now.next} is next" if now.next else "nothing is left to pull"
    done = ", ".join(map(str, _tight(now))) or "none"
    seen = f"{look.name}, {now.layout.turns}, {now.layout.view}"
    return f"{seen}; tightened in this stage {done}; {following}"


def _pulls(look: Look, now: Progress) -> list[Context]:
    tightening = look.case.state.tightening.get(look.name, Tightening())
    in_hand = tightening.done_in(now.stage) if now.stage else {}
    rows = []
    for number in range(1, now.count + 1):
        pull = in_hand.get(now.layout.place(number)) if number in now.pulled else None
        rows.append({"number": number, "pull": pull, "next": number == now.next})
    return rows


def _aloud(name: str, now: Progress, current: Context | None) -> str:
    if now.next is None or current is None or not current["set"]:
        return ""
    unit = current["unit"].replace("N·m", "newton metres").replace("lbf·ft", "pound feet")
    return f"{name}, number {now.next}. Set {current['set']} {unit}."
