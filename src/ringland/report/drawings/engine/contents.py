"""The cutaway as the table of contents of a job: which mark stands for which parts, in which state."""

from collections.abc import Callable
from dataclasses import dataclass

from ringland.job.case import Case
from ringland.job.verdicts.verdict import Verdict
from ringland.report.drawings.engine.draw import draw_engine
from ringland.report.drawings.engine.geometry import Geometry
from ringland.report.drawings.engine.marks import Item
from ringland.report.drawings.signs import STATES, WORDS
from ringland.report.words import value_words
from ringland.sheet.figures import Figures

NEW = "new one in hand"
ANGLE = 140.0  # degrees: both ports open, so that they are seen
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """One numbered mark: the parts it stands for; where its number stands and its leader ends."""

    name: str
    parts: tuple[str, ...]
    left: bool
    below_deck: float  # of the number [mm]
    to: Callable[[Geometry, float], Point]  # geometry, height of the deck
    rides: bool = False


def _crown(g: Geometry, deck: float) -> float:
    return deck - g.deck_clearance


# in the order of the strip
MARKS = (
    Mark("Plug", ("plug",), False, -64, lambda _, deck: (6.5, deck + 41)),
    Mark("Head", ("head",), True, -64, lambda _, deck: (-57.5, deck + 16)),
    Mark(
        "Head joint",
        ("head o-ring", "head washer"),
        True,
        -21.5,
        lambda _, deck: (-45.6, deck + 1.4),
    ),
    Mark(
        "Power valve",
        ("power valve", "side valve", "valve shaft", "stop plate", "link shim"),
        True,
        21,
        lambda g, deck: (-42, _crown(g, deck) - g.exhaust_roof + 5),
    ),
    Mark("Barrel", ("barrel",), True, 106, lambda g, deck: (-81, _crown(g, deck) - g.stroke - 13)),
    Mark(
        "Base joint",
        ("base gasket", "dowel"),
        True,
        149,
        lambda g, deck: (-60.5, deck - g.barrel - 0.5),
    ),
    Mark(
        "Piston", ("piston", "clip"), False, 21, lambda g, deck: (20.5, _crown(g, deck) + 2.2), True
    ),
    Mark("Ring", ("ring",), False, -21.5, lambda g, deck: (25.6, _crown(g, deck) - 5.4), True),
    Mark(
        "Pin and small end",
        ("pin", "small-end bearing"),
        False,
        64,
        lambda g, deck: (8.7, _crown(g, deck) - g.compression_height),
        True,
    ),
    Mark("Bottom end", ("rod", "crank", "case"), True, 192, lambda g, _: (-11 - g.stroke / 2, -24)),
    Mark("Reed block", ("reeds", "reed block"), False, 180, lambda _, __: (60, 22)),
)
# the worst first; what is not measured stands before what is good
WORST = (
    "stop", "beyond", "disagree", "undecided", "incomparable", "unmeasured", "worn", "within", "neutral",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list below the drawing: it says the same as its mark."""

    number: int
    name: str
    part: str
    state: str
    word: str
    note: str


@dataclass(frozen=True, slots=True)
class Cutaway:
    """The drawing, its list, and what of it is not drawn to this engine's figures."""

    svg: str
    rows: tuple[Row, ...]
    angle: float
    assumed: tuple[str, ...]
    valve: bool


def cutaway(case: Case, address: Callable[[str], str]) -> Cutaway:
    """Return the cutaway of a job's engine.

    address : part to the page that its mark leads to
    """
    sheet = case.book.sheet
    g, assumed = geometry_of(case.book.figures)
    deck = g.stroke / 2 + g.rod + g.compression_height + g.deck_clearance
    out = max((g.bore - 53.2) / 2, g.stroke / 2 - 28.0)
    rows: list[Row] = []
    items: list[Item] = []
    for mark in MARKS:
        parts = [p for p in mark.parts if p in sheet.parts and sheet.has(sheet.parts[p].fitted_to)]
        if not parts:
            continue
        state, part, note = _state(case, parts)
        number = len(rows) + 1
        word = _word(state, note)
        rows.append(Row(number, mark.name, part, state, word, note if note != word else ""))
        x = -97 - out if mark.left else 91 + out
        items.append(
            Item(
                number,
                mark.name,
                address(part),
                state,
                word,
                mark.to(g, deck),
                (x, deck - mark.below_deck),
                mark.rides,
            )
        )
    valve = sheet.has("power valve")
    title = f"{sheet.engine}, section through the cylinder, exhaust left, intake right"
    svg = draw_engine(g, ANGLE, items=tuple(items), title=title, valve=valve)
    return Cutaway(svg, tuple(rows), ANGLE, assumed, valve)


def geometry_of(figures: Figures) -> tuple[Geometry, tuple[str, ...]]:
    """Return the geometry to draw, and the names of figures that the sheet does not give."""
    names = {
        "bore": "bore",
        "stroke": "stroke",
        "rod length": "rod",
        "exhaust opens": "exhaust_roof",
        "transfers open": "transfer_roof",
        "deck height": "deck_clearance",
    }
    given: dict[str, float] = {}
    for name, field in names.items():
        figure = figures.limits.get(name)
        if figure is not None and figure.nominal is not None:
            given[field] = figure.nominal * 1000
    assumed = tuple(name for name, field in names.items() if field not in given)
    found = Geometry(**given)
    sound = (
        20 < found.bore < 120
        and 20 < found.stroke < 120
        and found.rod > found.stroke * 0.9
        and found.exhaust_roof < found.transfer_roof < found.stroke
    )
    return (found, assumed) if sound else (Geometry(), tuple(names))


def _state(case: Case, parts: list[str]) -> tuple[str, str, str]:
    """The worst state among some parts, the part it belongs to, and one line about it."""
    found = [_part_state(case, part) for part in parts]
    worst = min(range(len(parts)), key=lambda i: WORST.index(found[i][0]))
    return found[worst][0], parts[worst], found[worst][1]


def _part_state(case: Case, part: str) -> tuple[str, str]:
    checks = case.book.sheet.checks
    findings = case.book.sheet.findings
    for stop in case.brought.open_stops():
        source = checks.get(stop.source) or findings.get(stop.source)
        if source is not None and source.part == part:
            return "stop", stop.source
    renewed = part in case.state.renewed
    verdicts = [
        verdict
        for (name, condition), verdict in case.verdicts.items()
        if checks[name].part == part
        and case.wanted(name, condition)
        and (condition == "as fitted" or not (renewed and checks[name].taken == "both"))
    ]
    ranked = sorted(verdicts, key=lambda v: (WORST.index(_short(v)), bool(checks[v.check].of)))
    note = "to be renewed, none in hand" if part in case.renew else ""
    note = NEW if renewed else note
    if not ranked:
        return "neutral", note
    worst = ranked[0]
    value = value_words(worst.value)
    said = f"{worst.check} {value}".strip() if value else f"{worst.check} to read"
    return _short(worst), note or said


def _word(state: str, note: str) -> str:
    """A part that nothing is measured on is renewed or left; it is not "not judged"."""
    if state != "neutral":
        return WORDS[state]
    if not note:
        return "nothing to read"
    return "renewed" if note == NEW else "to renew"


def _short(verdict: Verdict) -> str:
    return "within" if verdict.overruled else STATES[verdict.word]
