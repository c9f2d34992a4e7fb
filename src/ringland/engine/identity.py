"""The wrong box: do the label, the stamp on the crown and the micrometer name the same piston?

Not here: which piston is wanted (`piston`).
Start with `check_identity`.
"""

from collections.abc import Sequence
from typing import NamedTuple

from ringland.engine.piston import SizeClass
from ringland.engine.refusal import OutOfRange
from ringland.quantity import Estimate
from ringland.quantity.probability import probability_within

SURE = 0.95  # default of ISO 14253-1:2017; below 1 - SURE the micrometer contradicts


class Identity(NamedTuple):
    """What label, stamp and micrometer say about one piston.

    state : "agree", "readings disagree" or "undecided"
    contradictions : who contradicts whom, in words; empty unless they disagree
    by_micrometer : for each class, the probability that the measured size lies in it
    """

    state: str
    contradictions: tuple[str, ...]
    by_micrometer: tuple[tuple[str, float], ...]


def check_identity(
    classes: Sequence[SizeClass],
    *,
    label: str | None = None,
    stamp: str | None = None,
    measured: Estimate | None = None,
) -> Identity:
    """Compare what the box says, what the crown says and what the micrometer says.

    classes : as the maker sells them
    label, stamp : class marks, any case; None where there is none
    measured : skirt diameter [m] where the maker measures it, or None
    returns : agreement, contradiction, or that it cannot be told
    Raises OutOfRange for a mark that is no class, or with fewer than two things to compare.

    Source: probability of a size lying in a class, JCGM 106:2012, 7.4.

    >>> classes = [SizeClass("A", 52.950e-3, 52.960e-3), SizeClass("B", 52.960e-3, 52.970e-3)]
    >>> check_identity(classes, label="A", measured=Estimate(52.966e-3, 1.5e-6)).state
    'readings disagree'
    """
    if sum(said is not None for said in (label, stamp, measured)) < 2:
        raise OutOfRange("label", "two of label, stamp and micrometer are needed to compare them")
    marks = {
        who: _find(classes, who, mark)
        for who, mark in (("label", label), ("stamp", stamp))
        if mark is not None
    }
    against, doubtful = [], False
    if len(marks) == 2 and marks["label"] != marks["stamp"]:
        against.append(f"label says {marks['label'].mark}, stamp says {marks['stamp'].mark}")
    for who, sizes in marks.items():
        if measured is None:
            continue
        chance = probability_within(measured, sizes.low, sizes.high)
        if chance <= 1 - SURE:
            against.append(f"{who} says {sizes.mark}, the micrometer says it is not")
        doubtful |= 1 - SURE < chance < SURE
    state = "readings disagree" if against else "undecided" if doubtful else "agree"
    return Identity(state, tuple(against), _by_micrometer(classes, measured))


def _by_micrometer(
    classes: Sequence[SizeClass], measured: Estimate | None
) -> tuple[tuple[str, float], ...]:
    if measured is None:
        return ()
    return tuple((each.mark, probability_within(measured, each.low, each.high)) for each in classes)


def _find(classes: Sequence[SizeClass], who: str, mark: str) -> SizeClass:
    for each in classes:
        if each.mark.casefold() == mark.strip().casefold():
            return each
    known = ", ".join(each.mark for each in classes) or "none"
    raise OutOfRange(who, f"{who} {mark!r} is no class named here; classes: {known}")
