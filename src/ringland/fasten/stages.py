"""The stages of one tightening, and what the nuts' movement at the check pass says.

Here: the torque of each stage, the judgement of moved degrees. Not here: the order within a stage
(`sequence`), the wrench's setting (`wrench`), the log of pulls and what an interruption does (the
job's). Start with `stages_of`.
"""

from collections.abc import Mapping, Sequence
from enum import Enum
from math import isfinite, radians
from typing import NamedTuple

SHARES = (0.30, 0.65, 1.00)  # of the final torque; common practice: 30 %, 60 to 70 %, 100 %
SETTLED = radians(5)  # common practice: at the check a nut moves less than about 5 degrees
OPEN = radians(30)  # common practice: a nut that moves more is an open question
# Ringland's own reading of "far more than its fellows", for which the trade gives no number:
FAR_TIMES = 3.0  # times the middle value of the others
FAR_MORE = radians(10)  # and so much more than it


class Stage(NamedTuple):
    """One round over all fasteners.

    number : from 1
    share : of the final torque [1]
    torque : at the nut [N·m]
    final : the nut keeps this value; below 20 % of a wrench it is refused (a snugging stage is not)
    check : a second round at the full value, in the same order, to see what still moves
    """

    number: int
    share: float
    torque: float
    final: bool
    check: bool

    @property
    def name(self) -> str:
        """What it is called at the bench."""
        return "check" if self.check else f"{self.share:.0%}".replace("%", " %")


def stages_of(torque: float, *, shares: Sequence[float] = SHARES) -> tuple[Stage, ...]:
    """The stages up to a final torque, and the check pass after them.

    torque : final value at the nut [N·m], above 0
    shares : rising shares of it, the last one 1
    Raises ValueError.

    Source: common practice; the maker's own stages win.

    >>> [(stage.name, round(stage.torque, 2)) for stage in stages_of(30)]
    [('30 %', 9.0), ('65 %', 19.5), ('100 %', 30.0), ('check', 30.0)]
    """
    if not (isfinite(torque) and torque > 0):
        raise ValueError(f"the final torque is {torque:g} N·m: it is above 0")
    rising = all(a < b for a, b in zip((0.0, *shares), shares, strict=False))
    if not shares or not rising or shares[-1] != 1:
        raise ValueError(
            f"the stages are {', '.join(f'{share:g}' for share in shares) or 'none'}: "
            "they rise from above 0 to exactly 1, the full value"
        )
    rounds = tuple(
        Stage(number, share, share * torque, share == 1, False)
        for number, share in enumerate(shares, 1)
    )
    return (*rounds, Stage(len(rounds) + 1, 1.0, float(torque), True, True))


class Movement(Enum):
    """What a nut's turn at the check pass says."""

    SETTLED = "settled"
    SETTLING = "settling"
    MORE_THAN_FELLOWS = "far more than its fellows"
    OPEN = "open question"


class Moved(NamedTuple):
    """How one fastener moved and what follows.

    angle : turned before the wrench answered [rad]
    fellows : the middle value of the others [rad]; None where there are none
    follow_up : what to do now; empty where it settled
    """

    fastener: str
    angle: float
    fellows: float | None
    movement: Movement
    follow_up: str

    @property
    def is_open(self) -> bool:
        """True where the joint may not be called tightened yet."""
        return self.movement in (Movement.OPEN, Movement.MORE_THAN_FELLOWS)


_FOLLOW_UP = {
    Movement.SETTLED: "",
    Movement.SETTLING: "One more pass at the full value, in the same order. A nut that keeps "
    "moving means a settling gasket, a dirty thread or a pulled stud.",
    Movement.MORE_THAN_FELLOWS: "Back this one off alone and look: thread, washer, stud, a nut at "
    "the end of its thread. Then pull it again through all stages.",
    Movement.OPEN: "Stop at this nut. Look for a pulled thread, a stud that turns with its nut, a "
    "gasket or dowel out of place. Nothing is called tight until it is explained.",
}


def judge_movement(angles: Mapping[str, float]) -> tuple[Moved, ...]:
    """Judge how far each fastener turned at the check pass (or at a cold retorque).

    angles : fastener to the angle it turned before the full value was reached [rad], 0 or more
    returns : one judgement for each, in the order given
    Raises ValueError.

    Source: common practice for 5 and 30 degrees; "far more than its fellows" is more than three
    times the middle value of the others and more than 10 degrees above it (this program's rule).

    >>> from math import radians
    >>> judged = judge_movement({"1": radians(2), "2": radians(3), "3": radians(19)})
    >>> [each.movement.value for each in judged]
    ['settled', 'settled', 'far more than its fellows']
    """
    for name, angle in angles.items():
        if not (isfinite(angle) and angle >= 0):
            raise ValueError(
                f"fastener {name} turned {angle:g} rad: an angle of 0 or more is asked"
            )
    return tuple(_judge(name, angle, angles) for name, angle in angles.items())


def _judge(name: str, angle: float, angles: Mapping[str, float]) -> Moved:
    others = [each for other, each in angles.items() if other != name]
    from statistics import median  # slow to import, and the order needs none

    fellows = median(others) if others else None
    if angle > OPEN:
        movement = Movement.OPEN
    elif fellows is not None and angle > max(FAR_TIMES * fellows, fellows + FAR_MORE):
        movement = Movement.MORE_THAN_FELLOWS
    elif angle >= SETTLED:
        movement = Movement.SETTLING
    else:
        movement = Movement.SETTLED
    return Moved(name, angle, fellows, movement, _FOLLOW_UP[movement])
