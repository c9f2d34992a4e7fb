"""Torque of each group: wrench and mark, what the nut gets, stages, order, retorque, by feel."""

from collections.abc import Iterator
from dataclasses import replace

from ringland.fasten.adapter import AdapterError
from ringland.fasten.retorque import Joint, advice
from ringland.fasten.wrench import TorqueWrench, WrenchRefused, WrenchSetting, choose, set_for
from ringland.job.case import Case
from ringland.job.layout import Layout, layout_of
from ringland.job.settings.number import PLAIN, Number, as_typed
from ringland.job.settings.setting import ADD_IT, Setting, joined, lacking, on_page
from ringland.job.settings.wrenches import (
    Snug,
    offset_of,
    setting_numbers,
    setting_words,
    stage_settings,
    torque_of,
    wrenches,
)
from ringland.quantity import Quantity, Span, show_pair
from ringland.sheet.model import FastenerGroup

JOINTS = {
    "settling gasket": Joint.SETTLING_GASKET,
    "metal": Joint.METAL_GASKET,
    "o-ring": Joint.O_RING,
}
DEVIATION = "± of the wrench by ISO 6789"

Hand = tuple[str, str, str]  # wrench, adapter, angle as they were logged


def torques(case: Case) -> Iterator[Setting]:
    """Return the rows of each group that is tightened in this job."""
    shelf = wrenches(case.state.gauges)
    for name, group in case.groups().items():
        torque, figure = torque_of(case.book, name), case.book.figures.torques.get(name)
        if torque is None or figure is None:
            legal = "by feel is legal here, and is recorded as such" if group.by_feel else ""
            how = joined(legal, ADD_IT.format(name))
            yield lacking(name, "no torque in the sheet", remark=how, subject="torque")
            continue
        hands = _hands(case, name)
        words, at_wrench = _final(shelf, torque, group, hands)
        count = Number(PLAIN, 0, "count", float(group.count))
        head = f"{count.words} × {group.thread}, " if group.thread else f"{count.words} ×, "
        wanted = _wanted(torque, figure.new)
        middle = f"the middle of the sheet's {wanted.allowed}" if wanted.limits else ""
        condition = f", {group.condition}" if group.condition else ""
        yield Setting(
            name,
            f"{head}{show_pair(torque)}{condition}",
            joined(words, middle, _condition(group)),
            on_page(case.book.source("fasteners", name), figure.page),
            subject="torque",
            numbers=(wanted, *at_wrench, count),
        )
        yield from _stages(case, name, shelf, torque, hands)
        yield from _order(layout_of(case.book.sheet, name))
        yield from _retorque(group)


def _wanted(torque: Quantity, span: Span | None) -> Number:
    """The torque of the sheet; of a range its middle, within its ends."""
    is_range = span is not None and span.low != span.high
    return replace(as_typed("torque", torque), limits=span if is_range else None)


def _condition(group: FastenerGroup) -> str:
    if group.condition:
        how = {"thread locker": "with thread locker"}
        said = how.get(group.condition, f"for {group.condition} threads")
        return f"the value holds {said} and is never converted"
    return "" if group.by_feel else "the sheet does not say whether dry or oiled"


def _best(
    shelf: list[TorqueWrench], torque: Quantity, group: FastenerGroup
) -> tuple[str, tuple[Number, ...]]:
    if not shelf:
        return "no torque wrench on the shelf: gauge add", ()
    choice = choose(shelf, torque.si)
    if choice.suited:
        return setting_words(choice.suited[0]), setting_numbers(choice.suited[0])
    refused = "; ".join(reason for _, reason in choice.refused)
    return f"by feel, recorded as such: {refused}" if group.by_feel else refused, ()


def _final(
    shelf: list[TorqueWrench], torque: Quantity, group: FastenerGroup, hands: dict[Hand, list[int]]
) -> tuple[str, tuple[Number, ...]]:
    """The final setting with the wrench in hand, else with the best; adapters have a row each."""
    if any(adapter for _, adapter, _ in hands):
        return "", ()
    return _best([each for each in shelf if (each.name, "", "") in hands] or shelf, torque, group)


def _hands(case: Case, group: str) -> dict[Hand, list[int]]:
    """The wrenches and adapters that this group was pulled with, with the numbers they pulled."""
    layout = layout_of(case.book.sheet, group)
    tightening = case.state.tightening.get(group)
    hands: dict[Hand, list[int]] = {}
    for pull in tightening.pulls.values() if tightening else ():
        fact = pull.fact
        if fact.wrench:
            numbers = hands.setdefault((fact.wrench, fact.adapter, fact.angle), [])
            if layout.number(fact.position) not in numbers:
                numbers.append(layout.number(fact.position))
    return hands


def _stages(
    case: Case,
    group: str,
    shelf: list[TorqueWrench],
    torque: Quantity,
    hands: dict[Hand, list[int]],
) -> Iterator[Setting]:
    by_name = {each.name: each for each in shelf}
    if not hands:
        suited = choose(shelf, torque.si).suited if shelf else ()
        hands = {(suited[0].wrench.name, "", ""): []} if suited else {}
    content = case.book.sheet.fasteners[group]
    one_stage = len(content.stages) == 1 and not content.check_pass
    for (wrench, adapter, angle), numbers in hands.items():
        found = by_name.get(wrench)
        if found is None or (one_stage and not adapter):
            continue
        which = f" on number {', '.join(map(str, sorted(numbers)))}" if adapter else ""
        geometry = f"adapter {adapter} at {angle}{which}" if adapter else ""
        try:
            offset = offset_of(adapter, angle)
            stages = stage_settings(case, group, found, offset)
            final = set_for(found, torque.si, offset=offset) if adapter else None
        except (WrenchRefused, AdapterError) as refused:
            why = f"{wrench}: {refused}"
            yield lacking("  stages", why, remark=geometry, subject="torque")
            continue
        marks = [_stage(name, said) for name, said in stages if isinstance(said, WrenchSetting)]
        set_to = {each.what: each.digits for each in marks}
        words = ", ".join(f"{name} {_said(said, set_to.get(name))}" for name, said in stages)
        yield Setting(
            "  stages",
            f"{words} {found.unit.name}",
            joined(setting_words(final) if final else f"on {wrench}", geometry),
            DEVIATION,
            subject="torque",
            numbers=(*marks, *(setting_numbers(final) if final else ())),
        )


def _stage(name: str, said: WrenchSetting) -> Number:
    return replace(setting_numbers(said)[0], what=name)


def _said(said: WrenchSetting | str, mark: str | None) -> str:
    if mark is not None:
        return f"set {mark}"
    return "snug" if isinstance(said, Snug) else "refused"


def _order(layout: Layout) -> Iterator[Setting]:
    if len(layout.order) > 2 and not layout.is_free:
        how = joined(layout.view, "loosen in reverse", layout.taken)
        yield Setting("  order", layout.turns, how, layout.source, subject="torque")


def _retorque(group: FastenerGroup) -> Iterator[Setting]:
    joint = JOINTS.get(group.joint.casefold())
    if joint is None:
        return
    found = advice(joint)
    yield Setting(
        "  retorque",
        "pull again, stone cold" if found.retorque else "check only, stone cold",
        f"{joint.value}, after the first full heat cycle. {found.how}",
        "common practice; the maker's manual wins",
        subject="torque",
    )
