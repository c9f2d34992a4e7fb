"""What came off against what should have, and what goes back on.

A missing piece is closed only by an entry that explains it, never by a new part.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ringland.job.log.fold import State
from ringland.sheet.model import Part, Step

Side = str  # "off" or "on"


@dataclass(frozen=True, slots=True)
class Tally:
    """One part, counted on one side.

    expected : by the steps of the sheet; said : counted by a person, None when nobody did
    due : the steps that hold it are done, so that a count is owed
    explained : losses that were explained
    """

    part: str
    side: Side
    expected: int
    said: int | None
    due: bool
    explained: int
    must_count: bool

    @property
    def is_open(self) -> bool:
        """Not counted though it must be, or counted and different without explanation."""
        if self.said is None:
            return self.due and self.must_count
        return self.said + (self.explained if self.side == "off" else 0) != self.expected

    @property
    def missing(self) -> int:
        """How many are not accounted for; negative for more than the sheet knows of."""
        if self.said is None:
            return self.expected if self.is_open else 0
        return self.expected - self.said - (self.explained if self.side == "off" else 0)

    def question(self) -> str:
        """Say what is open, in words."""
        if self.said is None:
            return f"{self.part}: not counted {self.side}; the sheet says {self.expected}"
        if self.missing < 0:
            return f"{self.part}: {self.said} {self.side}; the sheet says only {self.expected}"
        where = "find it" if self.side == "off" else "put it in, or say why not"
        return f"{self.part}: {self.said} of {self.expected} {self.side}: {where}"


def tallies(
    parts: Mapping[str, Part], steps: Mapping[str, Step], state: State, done: Mapping[str, bool]
) -> list[Tally]:
    """Return the tally of each part on each side, in the order of the steps.

    steps : the steps of this job; done : name of a step to whether it is done
    """
    expected: dict[tuple[str, Side], int] = {}
    due: dict[tuple[str, Side], bool] = {}
    for name, step in steps.items():
        for side, counts in (("off", step.off), ("on", step.on)):
            for part, count in counts.items():
                assert count != "all"  # `steps_of` put numbers for it
                expected[part, side] = expected.get((part, side), 0) + count
                due[part, side] = due.get((part, side), False) or done[name]
    for part, side in state.counted:
        expected.setdefault((part, side), parts[part].count if part in parts else 0)
    return [
        Tally(
            part,
            side,
            count,
            state.counted[part, side].fact.count if (part, side) in state.counted else None,
            due.get((part, side), True),
            sum(said.fact.count for said in state.explained.get(part, [])),
            part in parts and parts[part].counted,
        )
        for (part, side), count in expected.items()
    ]
