"""The engine's shape as far as its sheet gives it: crank, ports, clearance volume.

Here: from the names of the common sheet's geometry to what the numeric rooms ask for. Not here: what
follows from it (`settings`, `cranking`). Start with `shape`.
"""

from dataclasses import dataclass
from math import inf

from ringland.engine.ports import Port, Role
from ringland.engine.slider_crank import Crank
from ringland.engine.stack import Layout
from ringland.job.book import Book
from ringland.quantity import Estimate, Quantity

VALVE_SHUT = "exhaust with valve shut"
# figure of the common sheet's geometry -> name of the port, role
PORTS: dict[str, tuple[str, Role]] = {
    "exhaust opens": ("exhaust", "exhaust"),
    "exhaust opens with valve shut": (VALVE_SHUT, "exhaust"),
    "side exhaust opens": ("side exhaust", "exhaust"),
    "transfers open": ("transfers", "transfer"),
}
CRANK = ("stroke", "rod length")
WANTED = (*CRANK, "exhaust opens", "transfers open", "head volume")
CHAMBER_DOUBT = 0.04  # standard uncertainty of a chamber against its sheet, share; common practice


@dataclass(frozen=True, slots=True)
class Shape:
    """What the sheet gives, in SI; None and left out where it does not. `missing` names that."""

    bore: float | None
    crank: Crank | None
    ports: tuple[Port, ...]
    clearance: Estimate | None
    missing: tuple[str, ...]

    @property
    def layout(self) -> Layout | None:
        """The engine around its gaskets, or None where stroke, rod or bore is not given."""
        if self.crank is None or self.bore is None:
            return None
        return Layout(self.crank, self.bore, self.clearance, self.ports)


def shape(book: Book) -> Shape:
    """Return the shape that a sheet gives. Raises OutOfRange for one that cannot be."""
    stroke, rod = (geometry(book, name) for name in CRANK)
    given = {name: figure for name in PORTS if (figure := geometry(book, name)) is not None}
    volume, bore = geometry(book, "head volume"), book.figures.bore
    return Shape(
        bore.si if bore else None,
        Crank(stroke.si, rod.si) if stroke and rod else None,
        tuple(Port(PORTS[name][0], figure.si, PORTS[name][1]) for name, figure in given.items()),
        Estimate(volume.si, CHAMBER_DOUBT * volume.si, inf) if volume else None,
        tuple(name for name in WANTED if geometry(book, name) is None),
    )


def geometry(book: Book, name: str) -> Quantity | None:
    """Return a figure of the engine's geometry, or None where the sheet does not give it."""
    figure = book.figures.limits.get(name)
    return figure.new.low if figure and figure.new else None
