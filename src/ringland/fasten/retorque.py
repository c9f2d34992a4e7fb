"""Tightening again after the first heat: which joints ask for it, and how.

Here: the advice by kind of joint. Not here: the judgement of moved degrees
(`stages.judge_movement`), the maker's own words, which win. Start with `advice`.
"""

from dataclasses import dataclass
from enum import Enum


class Joint(Enum):
    """The kinds of joint that differ in how they settle."""

    SETTLING_GASKET = "paper or composite gasket"
    METAL_GASKET = "metal gasket"
    O_RING = "O-ring"


@dataclass(frozen=True, slots=True)
class Retorque:
    """What to do with a joint after the first heat.

    retorque : True where it is pulled again, False where it is only checked
    when, how, why : for the person
    log : what is written down
    """

    joint: Joint
    retorque: bool
    when: str
    how: str
    why: str
    log: tuple[str, ...]


_LOG = (
    "moved degrees of each fastener",
    "tool, adapter and angle",
    "temperature of the engine: cold",
    "wet or dry joint",
    "person",
)
_COLD = "Stone cold, after the first full heat cycle; never hot."
_CHECK = (
    "Check only: in order, straight to the value. A nut that does not move stays as it is; do not "
    "loosen one that is tight."
)
# common practice; the manual of the engine wins
_BY_JOINT = {
    Joint.SETTLING_GASKET: Retorque(
        Joint.SETTLING_GASKET,
        True,
        _COLD,
        "In the tightening order. Two schools: straight to the value; or one nut at a time back an "
        "eighth to a quarter turn, then to the value. Never more than one loose. The shop says which.",
        "The gasket settles under heat and the clamp force falls with it.",
        _LOG,
    ),
    Joint.METAL_GASKET: Retorque(
        Joint.METAL_GASKET,
        False,
        _COLD,
        _CHECK,
        "Metal hardly settles; loosening it again and again spoils the joint.",
        _LOG,
    ),
    Joint.O_RING: Retorque(
        Joint.O_RING,
        False,
        _COLD,
        _CHECK,
        "Metal stands on metal beside the ring; nothing settles, and coolant may stand under a nut.",
        _LOG,
    ),
}


def advice(joint: Joint) -> Retorque:
    """What to do with a joint after the first heat.

    Source: common practice; two schools differ on loosening first, and both are named.

    >>> advice(Joint.O_RING).retorque
    False
    """
    return _BY_JOINT[joint]
