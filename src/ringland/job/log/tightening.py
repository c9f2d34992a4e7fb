"""How far a group of fasteners is tightened, and what makes a stage begin again.

A stage counts when every fastener was pulled in it without a long break. Three things void a
stage in hand: a break longer than `LONGEST_BREAK`, two people who both say they pulled the same
fastener, and the group being let off (which starts the whole group anew).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from ringland.job.log.entries import Entry, FastenerPulled

LONGEST_BREAK = timedelta(minutes=10)  # common practice: after a break the stage is repeated


@dataclass(frozen=True, slots=True)
class Pull:
    """One fastener pulled, by whom and when."""

    fact: FastenerPulled
    at: str
    by: str


@dataclass(frozen=True, slots=True)
class Claim:
    """Two people who both say they pulled one fastener: the stage is void."""

    stage: int
    position: int
    people: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Tightening:
    """The pulls of one group since it was last let off.

    pulls : those that count, by (stage, position), in the order they were made
    claims : of stages that must be pulled again from the first fastener
    last : the last pull of any kind
    void_act : the act that made two people claim one fastener; the rest of it does not count
    """

    pulls: dict[tuple[int, int], Pull] = field(default_factory=dict)
    claims: tuple[Claim, ...] = ()
    last: Pull | None = None
    void_act: str = ""

    def done_in(self, stage: int) -> dict[int, Pull]:
        """Return the pulls of a stage by position."""
        return {position: pull for (s, position), pull in self.pulls.items() if s == stage}

    def is_complete(self, stage: int, count: int) -> bool:
        """Say whether each of `count` fasteners was pulled at a stage."""
        return len(self.done_in(stage)) >= count

    def stage_in_hand(self, stages: int, count: int) -> int | None:
        """Return the first stage that is not complete, from 1; None when all are."""
        return next((s for s in range(1, stages + 1) if not self.is_complete(s, count)), None)


def pulled(before: Tightening, fact: FastenerPulled, entry: Entry) -> Tightening:
    """Return the tightening after one more pull, which `entry` tells of."""
    pull = Pull(fact, entry.at, entry.by)
    if entry.act == before.void_act:
        return replace(before, last=pull)
    in_stage = before.done_in(fact.stage)
    fresh = since_break(in_stage, entry.at)
    claims = tuple(each for each in before.claims if each.stage != fact.stage)
    same = fresh.get(fact.position)
    if same is not None and same.by != entry.by:
        claim = Claim(fact.stage, fact.position, (same.by, entry.by))
        pulls = _without(before.pulls, fact.stage)
        return Tightening(pulls, (*claims, claim), pull, entry.act)
    pulls = dict(before.pulls)
    if fact.position not in in_stage and len(fresh) < len(in_stage):
        pulls = _without(pulls, fact.stage) | {(fact.stage, p): each for p, each in fresh.items()}
    pulls.pop((fact.stage, fact.position), None)  # pulled again, it comes last
    pulls[fact.stage, fact.position] = pull
    return Tightening(pulls, before.claims, pull)


def since_break(in_stage: Mapping[int, Pull], now: str) -> dict[int, Pull]:
    """Return the pulls of a stage that is not complete which no break parts from now.

    A stage begun again from its first fastener after a break holds older pulls of the others;
    they do not count.
    """
    found: set[int] = set()
    after = now
    for position, pull in sorted(in_stage.items(), key=lambda each: each[1].at, reverse=True):
        if is_broken(pull.at, after):
            break
        found.add(position)
        after = pull.at
    return {position: pull for position, pull in in_stage.items() if position in found}


def is_broken(last: str, now: str) -> bool:
    """Say whether the time between two ISO instants is longer than a stage may rest."""
    return datetime.fromisoformat(now) - datetime.fromisoformat(last) > LONGEST_BREAK


def _without(pulls: dict[tuple[int, int], Pull], stage: int) -> dict[tuple[int, int], Pull]:
    """What is left when a stage is void: the later ones rested on it, so they are void too."""
    return {key: pull for key, pull in pulls.items() if key[0] < stage}
