"""Where the fasteners of a group stand, and in which turn each is pulled.

A fastener has one number wherever a person meets it: its turn, 1 for the first. The log keeps its
place instead (`FastenerPulled.position`: as the sheet lists the places, else clockwise from the
exhaust), so that a log means the same fastener whatever order is worked out from it. `Layout` is the
one bridge between the two. Start with `layout_of`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import degrees, radians

from ringland.fasten.sequence import crosswise, even_ring, on_rings
from ringland.sheet.fastener import OUTER, parse_places
from ringland.sheet.model import FastenerGroup, Sheet

TURNS = {"left": 90, "right": 270}  # deg clockwise from the exhaust, by the side of the ignition


@dataclass(frozen=True, slots=True)
class Layout:
    """A group of fasteners as it is looked at.

    rings : angles clockwise from the exhaust, or from the top of `seen_from` [deg]; inner ring first
    order : the places in the order they are pulled, from 1 as the log keeps them
    is_placed : the sheet says where they stand; otherwise an even ring is taken
    is_free : no order is asked for
    source : whose order it is
    ignition : "left" or "right" with the exhaust toward the viewer; empty when the sheet does not say
    seen_from : empty where it lies about the bore and is seen from above
    """

    rings: tuple[tuple[float, ...], ...]
    order: tuple[int, ...]
    is_placed: bool
    is_free: bool
    source: str
    ignition: str = ""
    seen_from: str = ""

    def number(self, place: int) -> int:
        """Return the number of the fastener at a place: its turn.

        A place that the sheet does not have, in a log from elsewhere, keeps what the log calls it.
        """
        return self.order.index(place) + 1 if place in self.order else place

    def place(self, number: int) -> int:
        """Return the place of the fastener with a number."""
        return self.order[number - 1]

    def numbers(self, places: Iterable[int]) -> tuple[int, ...]:
        """Return the numbers of some places, rising."""
        return tuple(sorted(map(self.number, places)))

    def stands(self, number: int) -> tuple[int, float]:
        """Return on which ring, from 0, and at which angle [deg] a number stands."""
        flat = [(ring, angle) for ring, angles in enumerate(self.rings) for angle in angles]
        return flat[self.place(number) - 1]

    @property
    def turns(self) -> str:
        """Where each number stands: "1 at 45°, 2 at 225°"."""
        where = [self.stands(number) for number in range(1, len(self.order) + 1)]
        digits = 1 if self.is_placed else 0  # what is only taken is not told to a tenth
        said = [f"{round(angle, digits):g}°{f' {OUTER}' if ring else ''}" for ring, angle in where]
        return ", ".join(f"{number} at {each}" for number, each in enumerate(said, 1))

    @property
    def view(self) -> str:
        """How the angles are counted, and from where one looks."""
        if self.seen_from:
            return f"clockwise from the top, seen from {self.seen_from}"
        side = f", ignition side at {TURNS[self.ignition]}°" if self.ignition else ""
        return f"clockwise from the exhaust, seen from above{side}"

    @property
    def taken(self) -> str:
        """What is taken for granted because the sheet does not say it."""
        if self.is_placed or len(self.order) < 3:
            return ""
        return "an even ring is taken: the sheet does not say where they stand"


def layout_of(sheet: Sheet, name: str) -> Layout:
    """Return where a group's fasteners stand and their order; the maker's own order wins."""
    group = sheet.fasteners[name]
    ignition = "" if sheet.ignition_side == "not said" else sheet.ignition_side
    rings = (
        parse_places(group.at)
        if group.at
        else (tuple(degrees(angle) for angle in even_ring(group.count)),)
    )
    order, source = _order(group, rings)
    return Layout(
        rings,
        order,
        is_placed=bool(group.at),
        is_free=group.order == "any order",
        source=source,
        ignition=ignition,
        seen_from=group.seen_from,
    )


def _order(
    group: FastenerGroup, rings: tuple[tuple[float, ...], ...]
) -> tuple[tuple[int, ...], str]:
    if group.order[:1].isdigit():
        return tuple(
            int(each) for each in group.order.replace("-", " ").split()
        ), "the maker's order"
    if group.order != "crosswise":
        return tuple(range(1, group.count + 1)), group.order
    places = on_rings(*(tuple(map(radians, ring)) for ring in rings))
    inner = len(rings[0])
    known = [each for each in (range(inner), range(inner, group.count)) if each]
    order = crosswise(places, known_rings=known)
    return tuple(place + 1 for place in order), "crosswise, common practice"
