"""Two people's readings of one thing side by side: a learner's beside the instructor's.

Here: whether two readings agree within their doubts. Start with `beside`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import hypot

from ringland.job.book import Book
from ringland.job.log.entries import Condition, ReadingTaken
from ringland.job.log.fold import Said, State
from ringland.job.readings.gauging import one_place
from ringland.job.readings.value import Source, work_of
from ringland.quantity import Unit

COVERAGE = 2.0  # k of the expanded uncertainty in the E_n number
LARGEST = 1.0  # |E_n| up to which two results agree


@dataclass(frozen=True, slots=True)
class Pair:
    """What two people read at one place.

    difference : second less first [SI]; unit : to show it in
    number : |E_n|, the difference over both expanded uncertainties together
    """

    place: str
    first: str
    second: str
    difference: float
    unit: Unit
    number: float

    @property
    def agree(self) -> bool:
        """Whether their doubts explain the difference."""
        return self.number <= LARGEST


def beside(book: Book, state: State, check: str, condition: Condition) -> list[Pair]:
    """Return each pair of people who read a check at the same place, in the order of the log.

    Source: E_n = (x1 - x2) / sqrt(U1² + U2²) with U = 2 u (ISO 13528, from memory). What a gauge
    does wrong for both is counted twice, so that the number is on the mild side.
    """
    source = Source(book, state, {}, work_of(book, state))
    by_place: dict[str, dict[str, list[Said[ReadingTaken]]]] = {}
    for said in source.readings(check, condition):
        by_place.setdefault(said.fact.place, {}).setdefault(said.by, []).append(said)
    return [
        pair for place, people in by_place.items() for pair in _pairs(source, check, place, people)
    ]


def _pairs(
    source: Source, check: str, place: str, people: dict[str, list[Said[ReadingTaken]]]
) -> Iterator[Pair]:
    values = {name: one_place(source, check, readings) for name, readings in people.items()}
    for first, second in combinations(values, 2):
        one, other = values[first], values[second]
        if one.estimate is None or other.estimate is None or other.unit is None:
            continue
        difference = other.estimate.value - one.estimate.value
        doubt = COVERAGE * hypot(one.estimate.u, other.estimate.u)
        if doubt:
            number = abs(difference) / doubt
            yield Pair(place, first, second, difference, other.unit, number)
