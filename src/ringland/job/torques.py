"""What each nut got, and what is still open in the tightening of a group."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees

from ringland.fasten.adapter import delivered
from ringland.fasten.stages import Moved, Movement, judge_movement
from ringland.job.book import Book
from ringland.job.layout import Layout, layout_of
from ringland.job.log.entries import FastenerPulled
from ringland.job.log.fold import State
from ringland.job.log.tightening import Pull, Tightening, since_break
from ringland.quantity import parse_quantity, show_number
from ringland.sheet.model import FastenerGroup


@dataclass(frozen=True, slots=True)
class OutOfTurn:
    """A number that was pulled at a stage while another, lower one was still to come."""

    stage: int
    number: int
    instead_of: int


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a group is, in numbers: each fastener's turn in the order, from 1.

    stage : the stage in hand, from 1; None when all are pulled
    stages : how many there are, check pass included
    pulled : numbers pulled in the stage in hand that count
    next : number to pull next; None when done
    again : why the stage begins again, empty otherwise and once it was begun
    to_pull : what is still to pull, in a sentence; empty when all are pulled
    wrong : what is wrong with what was pulled, in sentences
    out_of_turn : of all stages, what was pulled before its turn
    """

    group: str
    count: int
    layout: Layout
    stage: int | None
    stages: int
    pulled: tuple[int, ...]
    next: int | None
    again: str
    to_pull: str
    wrong: tuple[str, ...]
    out_of_turn: tuple[OutOfTurn, ...]

    @property
    def open(self) -> tuple[str, ...]:
        """What keeps the group from being called tight, in sentences."""
        return (self.to_pull, *self.wrong) if self.to_pull else self.wrong

    @property
    def is_complete(self) -> bool:
        """Every fastener has every stage, and nothing about them is open."""
        return self.stage is None and not self.open

    @property
    def left(self) -> tuple[int, ...]:
        """The numbers still to pull in the stage in hand, in their order."""
        return tuple(n for n in range(1, self.count + 1) if n not in self.pulled)


def progress(book: Book, state: State, now: str, name: str) -> Progress:
    """Return how far the tightening of a group is."""
    group, layout = book.sheet.fasteners[name], layout_of(book.sheet, name)
    tightening = state.tightening.get(name, Tightening())
    stages = stages_in(group, tightening)
    stage = tightening.stage_in_hand(stages, group.count)
    in_hand = tightening.done_in(stage) if stage else {}
    fresh = since_break(in_hand, now)
    left = [place for place in layout.order if place not in fresh]
    return Progress(
        name,
        group.count,
        layout,
        stage,
        stages,
        layout.numbers(fresh),
        layout.number(left[0]) if stage and left else None,
        _again(layout, tightening, stage, in_hand) if stage and not fresh else "",
        _to_pull(name, group, layout.numbers(in_hand), stage, stages) if stage else "",
        (*_off_torque(book, layout, name, tightening), *_moved(layout, name, tightening)),
        tuple(_out_of_turn(layout, tightening, stage, fresh)),
    )


def _out_of_turn(
    layout: Layout, tightening: Tightening, in_hand: int | None, fresh: dict[int, Pull]
) -> Iterator[OutOfTurn]:
    if layout.is_free:
        return
    for stage in sorted({stage for stage, _ in tightening.pulls}):
        left = list(layout.order)
        for place in fresh if stage == in_hand else tightening.done_in(stage):
            if place in left and place != left[0]:
                yield OutOfTurn(stage, layout.number(place), layout.number(left[0]))
            left = [each for each in left if each != place]


def stages_in(group: FastenerGroup, tightening: Tightening) -> int:
    """Return the number of rounds: the stages and the check pass; one for a screw by feel."""
    pulls = tightening.pulls.values()
    if group.by_feel and pulls and all(pull.fact.by_feel for pull in pulls):
        return 1
    return len(group.stages) + (1 if group.check_pass else 0)


def _again(layout: Layout, tightening: Tightening, stage: int, broken: dict[int, Pull]) -> str:
    """Say why a stage begins again in which nothing counts: a break, or two who claim one fastener."""
    if broken:
        last = max(broken.values(), key=lambda pull: pull.at)
        return (
            f"{len(broken)} of {len(layout.order)} were pulled at stage {stage}, "
            f"last by {last.by} at {last.at[11:16]}"
        )
    for claim in tightening.claims:
        if claim.stage == stage:
            number = layout.number(claim.position)
            return f"{' and '.join(claim.people)} both say they pulled number {number}"
    return ""


def _to_pull(
    name: str, group: FastenerGroup, pulled: tuple[int, ...], stage: int, stages: int
) -> str:
    left = [str(n) for n in range(1, group.count + 1) if n not in pulled]
    round_name = "check pass" if group.check_pass and stage == stages else f"stage {stage}"
    if len(left) < group.count:
        return f"{name}: number {', '.join(left)} not pulled at {round_name}"
    return f"{name}: not pulled {f'at {round_name} ' if stage > 1 else ''}yet"


def _off_torque(book: Book, layout: Layout, name: str, tightening: Tightening) -> list[str]:
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
    for (stage, place), pull in sorted(tightening.pulls.items()):
        if pull.fact.by_feel or not pull.fact.setting:
            continue
        try:
            got = torque_got(pull.fact)
        except ValueError as error:  # a log from elsewhere: an adapter without a length, say
            off[layout.number(place)] = f"a torque that nobody can work out ({error})"
            continue
        too_little = stage >= full and got < wanted.low.si * (1 - room)
        if too_little or got > wanted.high.si * (1 + room):
            share = show_number(100 * (got / mean - 1), 0)
            sign = "+" if got > mean else ""
            off[layout.number(place)] = f"{show_number(got, 1)} N·m ({sign}{share} %)"
    return [
        f"{name}: number {', '.join(str(n) for n in sorted(off) if off[n] == said)} got {said}: "
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


def _moved(layout: Layout, name: str, tightening: Tightening) -> list[str]:
    """Nuts that moved far, or far more than their fellows in the same round."""
    rounds: dict[int, dict[str, float]] = {}
    for (stage, place), pull in sorted(tightening.pulls.items()):
        if pull.fact.moved:
            angle = parse_quantity(pull.fact.moved, "angle").si
            rounds.setdefault(stage, {})[str(layout.number(place))] = angle
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
