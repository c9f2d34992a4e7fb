"""What each nut got, and what is still open in the tightening of a group."""

from dataclasses import dataclass
from math import degrees

from ringland.fasten.adapter import delivered
from ringland.fasten.sequence import ring_order
from ringland.fasten.stages import Moved, Movement, judge_movement
from ringland.job.book import Book
from ringland.job.entries import FastenerPulled
from ringland.job.fold import State
from ringland.job.tightening import Pull, Tightening, since_break
from ringland.quantity import parse_quantity, show_number
from ringland.sheet.model import FastenerGroup


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a group is.

    stage : the stage in hand, from 1; None when all are pulled
    stages : how many there are, check pass included
    pulled : positions pulled in the stage in hand that count
    next : position to pull next; None when done
    again : why the stage begins again, empty otherwise
    open : what keeps the group from being called tight, in sentences
    """

    group: str
    count: int
    order: tuple[int, ...]
    stage: int | None
    stages: int
    pulled: tuple[int, ...]
    next: int | None
    again: str
    open: tuple[str, ...]

    @property
    def is_complete(self) -> bool:
        """Every fastener has every stage, and nothing about them is open."""
        return self.stage is None and not self.open


def progress(book: Book, state: State, now: str, name: str) -> Progress:
    """Return how far the tightening of a group is."""
    group = book.sheet.fasteners[name]
    tightening = state.tightening.get(name, Tightening())
    stages = stages_in(group, tightening)
    order = order_of(group)
    stage = tightening.stage_in_hand(stages, group.count)
    in_hand = tightening.done_in(stage) if stage else {}
    again = next((why for number, why in tightening.repeat if number == stage), "")
    fresh = since_break(in_hand, now)
    if in_hand and not fresh:
        again = _left_at(in_hand, group, stage or 1)
    in_hand = fresh
    left = [position for position in order if position not in in_hand]
    return Progress(
        name,
        group.count,
        order,
        stage,
        stages,
        tuple(p for p in order if p in in_hand),
        left[0] if stage and left else None,
        again,
        tuple(_open(book, name, tightening, stage, stages)),
    )


def stages_in(group: FastenerGroup, tightening: Tightening) -> int:
    """Return the number of rounds: the stages and the check pass; one for a screw by feel."""
    pulls = tightening.pulls.values()
    if group.by_feel and pulls and all(pull.fact.by_feel for pull in pulls):
        return 1
    return len(group.stages) + (1 if group.check_pass else 0)


def order_of(group: FastenerGroup) -> tuple[int, ...]:
    """Return the tightening order: the maker's list, else crosswise by the trade's patterns."""
    if group.order and group.order[0].isdigit():
        return tuple(int(number) for number in group.order.replace("-", " ").split())
    if group.order == "crosswise" and group.count > 1:
        return ring_order(group.count)
    return tuple(range(1, group.count + 1))


def _left_at(in_hand: dict[int, Pull], group: FastenerGroup, stage: int) -> str:
    last = max(in_hand.values(), key=lambda pull: pull.at)
    return (
        f"{len(in_hand)} of {group.count} were pulled at stage {stage}, "
        f"last by {last.by} at {last.at[11:16]}"
    )


def _open(
    book: Book, name: str, tightening: Tightening, stage: int | None, stages: int
) -> list[str]:
    group = book.sheet.fasteners[name]
    found = []
    if stage is not None:
        pulled = tightening.done_in(stage)
        left = [str(p) for p in order_of(group) if p not in pulled]
        which = "all" if len(left) == group.count else ", ".join(left)
        round_name = "check pass" if group.check_pass and stage == stages else f"stage {stage}"
        found.append(f"{name}: {which} not pulled at {round_name}")
    found += _off_torque(book, name, tightening)
    found += _moved(name, tightening)
    return found


def _off_torque(book: Book, name: str, tightening: Tightening) -> list[str]:
    """Name the fasteners that got another torque than the sheet's.

    Too much counts at any stage, too little from the last stage on.
    """
    figure = book.figures.torques.get(name)
    wanted = figure.new if figure else None
    if wanted is None or wanted.low is None or wanted.high is None:
        return []
    full = len(book.sheet.fasteners[name].stages)
    room = book.norms.torque_tolerance
    mean = (wanted.low.si + wanted.high.si) / 2
    off: dict[int, str] = {}
    for (stage, position), pull in sorted(tightening.pulls.items()):
        if pull.fact.by_feel or not pull.fact.setting:
            continue
        try:
            got = torque_got(pull.fact)
        except ValueError as error:  # a log from elsewhere: an adapter without a length, say
            off[position] = f"a torque that nobody can work out ({error})"
            continue
        too_little = stage >= full and got < wanted.low.si * (1 - room)
        if too_little or got > wanted.high.si * (1 + room):
            share = show_number(100 * (got / mean - 1), 0)
            sign = "+" if got > mean else ""
            off[position] = f"{show_number(got, 1)} N·m ({sign}{share} %)"
    return [
        f"{name}: number {', '.join(str(p) for p in off if off[p] == said)} got {said}: "
        "let all off in steps, look at threads and gasket, begin again"
        for said in dict.fromkeys(off.values())
    ]


def torque_got(fact: FastenerPulled) -> float:
    """Return what the fastener got [N·m] at the setting, with the geometry that was logged.

    Raises AdapterError for a geometry without a lever.
    """
    setting = parse_quantity(fact.setting, "torque").si
    if not fact.adapter:
        return setting
    return delivered(
        setting,
        parse_quantity(fact.wrench_length, "length").si,
        parse_quantity(fact.adapter, "length").si,
        parse_quantity(fact.angle, "angle").si,
    )


def _moved(name: str, tightening: Tightening) -> list[str]:
    """Nuts that moved far, or far more than their fellows in the same round."""
    rounds: dict[int, dict[str, float]] = {}
    for (stage, position), pull in sorted(tightening.pulls.items()):
        if pull.fact.moved:
            angle = parse_quantity(pull.fact.moved, "angle").si
            rounds.setdefault(stage, {})[str(position)] = angle
    return [
        f"{name}: number {each.fastener} moved {degrees(each.angle):.0f}°, {_far(each)}. "
        f"{each.follow_up}"
        for angles in rounds.values()
        for each in judge_movement(angles)
        if each.is_open
    ]


def _far(each: Moved) -> str:
    if each.movement is Movement.OPEN or each.fellows is None:
        return "which is far"
    return f"far more than its fellows' {degrees(each.fellows):.0f}°"
