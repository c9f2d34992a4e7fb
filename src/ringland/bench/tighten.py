"""From typed words to pulls of a group of fasteners, with the setting for wrench and adapter.

barrel nuts with TW-2 adapter 50 mm at 90      shows the settings
barrel nuts ok                                 all that are left of the stage in hand
barrel nuts 1 ok, 2 ok                         these: a number is the fastener's turn in the order
barrel nuts 2 moved 35, 3 moved 4              how far nuts moved at the check pass
barrel nuts retorque 1 moved 8, 2 moved 6      once more, stone cold, after the first heat
barrel nuts slack because one was set wrong    let off; begins anew
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from ringland.bench.called import command
from ringland.bench.readings import find_gauge
from ringland.bench.refusal import Asked, Offer, Refused
from ringland.fasten.adapter import AdapterError
from ringland.fasten.wrench import WrenchSetting
from ringland.job.case import Case
from ringland.job.log.entries import Fact, FastenerPulled, Gauge, GaugeUsed, GroupSlackened
from ringland.job.log.tightening import Tightening
from ringland.job.settings import Snug, offset_of, stage_settings, torque_of, wrenches
from ringland.job.torques import Progress, torque_got
from ringland.quantity import MissingUnit, QuantityError, parse_quantity, show_pair, units_of

KNOWN = (
    "numbers, ok, stage N, with WRENCH, adapter LENGTH at ANGLE, no adapter, set TORQUE, "
    "moved DEGREES, retorque, by feel, slack"
)


@dataclass(frozen=True, slots=True)
class Hand:
    """The wrench in hand for a group: its id, and the adapter with its angle, as texts with units."""

    wrench: str = ""
    adapter: str = ""
    angle: str = ""


@dataclass(frozen=True, slots=True)
class Tighten:
    """What was asked: the group, the hand, and the pulls or the letting off, if any."""

    group: str
    hand: Hand
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True)
class Instruction:
    """What to do next with a group: progress, each stage's name with its setting or refusal."""

    progress: Progress
    hand: Hand
    stages: tuple[tuple[str, WrenchSetting | str], ...]


def last_hand(case: Case, group: str) -> Hand:
    """Return the wrench and adapter of the group's last pull, so that coming back asks nothing."""
    tightening = case.state.tightening.get(group)
    if tightening is None or tightening.last is None:
        return Hand()
    fact = tightening.last.fact
    return Hand(fact.wrench, fact.adapter, fact.angle)


def tighten(
    case: Case, group: str, words: Sequence[str], hand: Hand, shelf: dict[str, Gauge]
) -> Tighten:
    """Read what was typed behind a group's name. Raises Refused or Asked."""
    said = _Said(list(words), hand, group, case.book.sheet.fasteners[group].count)
    said.read(shelf)
    if said.bare:
        raise _which_unit(case, group, said.bare)
    if said.slack is not None:
        return Tighten(group, said.hand, (GroupSlackened(group, said.slack or "let off"),))
    if not said.pulled:
        return Tighten(group, said.hand)
    return Tighten(group, said.hand, tuple(_pulls(case, group, said, shelf)))


def instruction(case: Case, group: str, hand: Hand, shelf: dict[str, Gauge]) -> Instruction:
    """Return how far a group is and what each stage is set to with the wrench in hand."""
    wrench = next((w for w in wrenches(shelf) if w.name == _wrench(hand, shelf)), None)
    stages = (
        stage_settings(case, group, wrench, offset_of(hand.adapter, hand.angle)) if wrench else []
    )
    return Instruction(
        case.progress(group), replace(hand, wrench=wrench.name if wrench else ""), tuple(stages)
    )


def _wrench(hand: Hand, shelf: dict[str, Gauge]) -> str:
    if hand.wrench:
        return hand.wrench
    known = wrenches(shelf)
    return known[0].name if len(known) == 1 else ""


_UNITS = {u.name.casefold() for kind in ("torque", "length", "angle") for u in units_of(kind)} | {
    "nm", "ft-lb", "ft-lbs", "lb-ft", "lbft", "ftlb", "ft·lb", "in-lb", "in", "degrees",
}  # fmt: skip


@dataclass(slots=True)
class _Said:
    """The words behind a group's name, taken apart."""

    words: list[str]
    hand: Hand
    group: str
    count: int
    bare: str = ""
    adapter_said: bool = False
    numbers: list[int] | None = None
    stage: int | None = None
    setting: str = ""
    moved: dict[int, str] = field(default_factory=dict)
    moved_all: str = ""
    pending: list[int] = field(default_factory=list)
    retorque: bool = False
    by_feel: bool = False
    pulled: bool = False
    slack: str | None = None

    def read(self, shelf: dict[str, Gauge]) -> None:  # noqa: C901  # one flat case for each word
        while self.words:
            word = self.words.pop(0).strip(",;")
            match word.casefold():
                case "" | "and":
                    continue
                case "stage":
                    self.stage = self._number("a stage")
                case "ok" | "done" | "pulled":
                    self.pulled = True
                    self.pending.clear()
                case "retorque":
                    self.retorque = True
                case "by" if self.words and self.words[0].strip(",") == "feel":
                    self.words.pop(0)
                    self.by_feel = self.pulled = True
                case "with":
                    self.hand = replace(
                        self.hand, wrench=find_gauge(self._word("a wrench"), shelf).id
                    )
                case "set":
                    self._set()
                case "moved":
                    self._moved()
                case "no" if self.words and self.words[0].strip(",") == "adapter":
                    self.words.pop(0)
                    self.adapter_said = True
                    self.hand = replace(self.hand, adapter="", angle="")
                case "adapter":
                    self._adapter()
                case "slack" | "slackened" | "loosened" | "loose":
                    self.slack = " ".join(self.words).removeprefix("because").strip()
                    self.words.clear()
                case _ if word.isdigit() and int(word) <= self.count and not self._unit_next():
                    self.numbers = [*(self.numbers or []), int(word)]
                    self.pending.append(int(word))
                case _ if word[:1].isdigit():  # no number of a fastener: then it is a torque
                    self.words.insert(0, word)
                    self._set()
                case _:
                    raise Refused(f"{word!r} is not understood behind a group; known: {KNOWN}")

    def _word(self, what: str) -> str:
        if not self.words:
            raise Refused(f"name {what}")
        return self.words.pop(0).strip(",;")

    def _number(self, what: str) -> int:
        word = self._word(what)
        if not word.isdigit():
            raise Refused(f"{word!r} is not {what}: write a whole number")
        return int(word)

    def _moved(self) -> None:
        """The angle belongs to the numbers just said; to all when none was."""
        angle = self._quantity("angle", "deg")
        self.moved |= dict.fromkeys(self.pending, angle)
        self.moved_all = self.moved_all if self.pending else angle
        self.pending.clear()
        self.pulled = True

    def _set(self) -> None:
        try:
            self.setting = self._quantity("torque")
        except MissingUnit as bare:
            self.bare = str(bare.number)

    def _unit_next(self) -> bool:
        """Say whether a unit stands apart behind the number just taken."""
        return bool(self.words) and self.words[0].strip(",;").casefold() in _UNITS

    def _quantity(self, kind: str, default: str | None = None) -> str:
        """Take a number and, where it stands apart, its unit. Raises MissingUnit or Refused."""
        text = self._word(f"a {kind}")
        if self._unit_next():
            text += f" {self._word('a unit')}"
        try:
            return str(parse_quantity(text, kind, default=default))
        except MissingUnit:
            raise
        except QuantityError as error:
            raise Refused(f"{self.group}: {error}") from None

    def _adapter(self) -> None:
        self.adapter_said = True
        length = self._quantity("length", "mm")
        angle = "0 deg"
        if self.words and self.words[0] in ("at", "@"):
            self.words.pop(0)
            if self.words and self.words[0] == "about":
                self.words.pop(0)
            angle = self._quantity("angle", "deg")
        self.hand = replace(self.hand, adapter=length, angle=angle)


def _which_unit(case: Case, group: str, number: str) -> Asked:
    """Torque without a unit is always asked, with what each unit would make of it."""
    torque = torque_of(case.book, group)
    offers = [f"{number} {unit}" for unit in ("N·m", "lbf·ft")]
    each = " or ".join(show_pair(parse_quantity(offer)) for offer in offers)
    sheet = f" The sheet says {show_pair(torque)}." if torque else ""
    return Asked(f"{group}: {each}?{sheet} Nothing kept.", tuple(Offer(o, o) for o in offers))


def _pulls(case: Case, group: str, said: _Said, shelf: dict[str, Gauge]) -> list[Fact]:
    now = case.progress(group)
    stage = _stage(case, said, now)
    numbers = _numbers(said, now, stage)
    if not said.adapter_said and not said.by_feel:
        _same_geometry(case, now, numbers, said.hand)
    blank = _blank(case, stage, said, shelf)
    facts: list[Fact] = [
        replace(
            blank, position=now.layout.place(number), moved=said.moved.get(number, said.moved_all)
        )
        for number in numbers
    ]
    if blank.wrench and case.state.gauges.get(blank.wrench) != shelf[blank.wrench]:
        facts.insert(0, GaugeUsed(shelf[blank.wrench]))
    return facts


def _stage(case: Case, said: _Said, now: Progress) -> int:
    """Return the stage that is pulled at: the one said, else the one in hand. Raises Refused."""
    group, content = said.group, case.book.sheet.fasteners[said.group]
    if said.retorque:
        _may_retorque(group, now)
    stage = now.stages + 1 if said.retorque else said.stage or now.stage or now.stages
    snugging = stage < len(content.stages)
    if said.by_feel and not content.by_feel and not snugging:
        raise Refused(
            f"{group}: a torque is wanted here; by feel is for snugging and for small screws "
            "that no wrench covers"
        )
    if now.stage is not None and stage > now.stage and not said.by_feel:
        raise Refused(
            f"{group}: stage {now.stage} is not complete: number {', '.join(map(str, now.left))} "
            f"to pull, then stage {stage}"
        )
    if not 1 <= stage <= now.stages + said.retorque:
        raise Refused(f"{group}: stage {stage} is none of 1 to {now.stages}")
    return stage


def _numbers(said: _Said, now: Progress, stage: int) -> Sequence[int]:
    """Return the numbers that were said, else all that are left of the stage. Raises Refused."""
    every = now.left if stage == now.stage else tuple(range(1, now.count + 1))
    numbers = said.numbers or every
    wrong = [n for n in numbers if not 1 <= n <= now.count]
    if wrong:
        raise Refused(f"{said.group}: there is no number {wrong[0]}; the sheet says {now.count}")
    return numbers


def _blank(case: Case, stage: int, said: _Said, shelf: dict[str, Gauge]) -> FastenerPulled:
    """Return a pull at a stage, still without its place. Raises Refused."""
    group = said.group
    setting = "" if said.by_feel else said.setting or _setting(case, group, stage, said.hand, shelf)
    hand = said.hand if setting else Hand()
    wrench = _wrench(hand, shelf) if setting else ""
    blank = FastenerPulled(
        group,
        0,
        stage,
        setting,
        wrench,
        shelf[wrench].length if wrench and hand.adapter else "",
        hand.adapter,
        hand.angle,
        # elsewhere a first stage is only snugged
        said.by_feel and case.book.sheet.fasteners[group].by_feel,
        retorque=said.retorque,
    )
    _with_a_lever(blank)
    return blank


def _may_retorque(group: str, now: Progress) -> None:
    if not now.is_complete:
        raise Refused(
            f"{group}: retorque comes after the first heat, when all stages are done; open now: "
            f"{'; '.join(now.open)}"
        )


def _same_geometry(case: Case, now: Progress, numbers: Sequence[int], hand: Hand) -> None:
    """Ask where a fastener had another adapter or angle before than the one in hand."""
    group = now.group
    pulls = case.state.tightening.get(group, Tightening()).pulls
    before = {
        now.layout.number(place): (pull.fact.adapter, pull.fact.angle)
        for (_, place), pull in sorted(pulls.items())
        if pull.fact.setting
    }
    in_hand = (hand.adapter, hand.angle)
    others = [n for n in numbers if before.get(n, in_hand) != in_hand]
    if others:
        which = ", ".join(map(str, others))
        raise Asked(
            f"{group}: number {which} had {_geometry(*before[others[0]])} before, in hand is "
            f"{_geometry(*in_hand)}. Say which in this line, as in: {group} {others[0]} adapter 50 mm at 90 ok. "
            "Nothing kept."
        )


def _geometry(adapter: str, angle: str) -> str:
    return f"the adapter of {adapter} at {angle}" if adapter else "no adapter"


def _with_a_lever(pull: FastenerPulled) -> None:
    """Refuse an adapter whose setting nobody can work out."""
    if not pull.adapter or not pull.setting:
        return
    if not pull.wrench_length:
        raise Refused(
            f"{pull.group}: with an adapter the length of {pull.wrench or 'the wrench'} counts: measure it from "
            "the middle of the grip to the middle of the drive, then: "
            f"{command('gauge add ... --length')}"
        )
    try:
        torque_got(pull)
    except AdapterError as error:
        raise Refused(f"{pull.group}: {error}") from None


def _setting(case: Case, group: str, stage: int, hand: Hand, shelf: dict[str, Gauge]) -> str:
    """The setting that was computed for the stage, empty where it is only snugged.

    A wrench and a torque are needed for it.
    """
    wrench = next((w for w in wrenches(shelf) if w.name == _wrench(hand, shelf)), None)
    torque = torque_of(case.book, group)
    if torque is None:
        raise Refused(f"{group}: the sheet gives no torque. Say what it was set to: set 21 N·m")
    if wrench is None:
        known = ", ".join(w.name for w in wrenches(shelf))
        known = known or f"none on the shelf: {command('gauge add')}"
        raise Refused(f"{group}, {show_pair(torque)}: with which wrench? with {known}")
    try:
        stages = stage_settings(case, group, wrench, offset_of(hand.adapter, hand.angle))
        found = stages[min(stage, len(stages)) - 1][1]  # a retorque goes to the final value
    except (AdapterError, IndexError) as error:
        raise Refused(f"{group}: {error}") from None
    if isinstance(found, Snug):
        return ""
    if isinstance(found, str):
        raise Refused(f"{group}: {found}")
    return f"{found.mark} {wrench.unit.name}"
