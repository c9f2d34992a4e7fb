"""The figures of a sheet, read: limits of checks, geometry, torques, classes, gaskets, tests.

Here: every text with a number in a sheet becomes a value, with its kind known from the check or
geometry it belongs to; and which figure rules where several speak (`Figures.ruling`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from ringland.quantity import Quantity, QuantityError, Span, parse_quantity, parse_span
from ringland.sheet.figure import Figure, parse_figure
from ringland.sheet.model import Leaflet, Sheet
from ringland.sheet.text import Path, did_you_mean


@dataclass(frozen=True, slots=True)
class Profile:
    """The rule of a test: start pressure, time to hold, allowed fall; printed with its result."""

    pressure: Quantity
    time: Quantity
    fall: Quantity
    page: str
    typed: str


@dataclass(frozen=True, slots=True)
class Ruling:
    """The figure that rules a check, whose it is, and the one it outranked."""

    figure: Figure
    source: str
    outranked: Figure | None = None
    outranked_source: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A text of the sheet that is no figure: on which path, at which character, and why."""

    path: Path
    message: str
    at: int = 0


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of one sheet, read."""

    limits: Mapping[str, Figure] = field(default_factory=dict)
    torques: Mapping[str, Figure] = field(default_factory=dict)
    classes: Mapping[str, Span] = field(default_factory=dict)
    gaskets: tuple[Quantity, ...] = ()
    tests: Mapping[str, Profile] = field(default_factory=dict)
    hours: Mapping[str, Figure] = field(default_factory=dict)

    @property
    def bore(self) -> Quantity | None:
        """The standard bore of the sheet."""
        figure = self.limits.get("bore")
        return figure.new.low if figure and figure.new else None

    def own(self, name: str) -> Figure | None:
        """Return the sheet's own figure of a check, a rule per bore worked out."""
        figure = self.limits.get(name)
        if figure is None or not figure.per_bore:
            return figure
        return figure.at_bore(self.bore) if self.bore else None


def read_figures(sheet: Sheet) -> tuple[Figures, list[Trouble]]:
    """Read all texts with numbers of a sheet; what cannot be read comes back as trouble."""
    troubles: list[Trouble] = []

    def reading(section: str, texts: Mapping[str, str], read: object) -> dict[str, object]:
        found: dict[str, object] = {}
        for name, text in texts.items():
            try:
                found[name] = read(name, text)  # type: ignore[operator]  # a reader of (name, text)
            except QuantityError as error:
                troubles.append(Trouble((section, name), str(error), error.at))
        return found

    limits = reading("figures", sheet.figures, lambda name, text: _limit(sheet, name, text))
    torques = reading(
        "fasteners",
        {name: group.torque for name, group in sheet.fasteners.items() if group.torque},
        lambda _, text: parse_figure(text, "torque"),
    )
    classes = reading(
        "piston classes", sheet.piston_classes, lambda _, text: parse_span(text, "length")
    )
    hours = reading("hours", sheet.hours, lambda _, text: parse_figure(text, "time"))
    tests = reading("tests", sheet.tests, lambda _, text: parse_profile(text))
    gaskets = reading(
        "base gaskets",
        {str(index): text for index, text in enumerate(sheet.base_gaskets)},
        lambda _, text: parse_quantity(text, "length"),
    )
    figures = Figures(limits, torques, classes, tuple(gaskets.values()), tests, hours)  # type: ignore[arg-type]
    return figures, troubles


def kind_of(sheet: Sheet, name: str) -> str | None:
    """Return the kind of unit that a figure of this name has, or None when nobody knows it."""
    if name in sheet.checks:
        return sheet.checks[name].unit
    if name in sheet.geometry:
        return sheet.geometry[name].unit
    return None


def canonical(sheet: Sheet, name: str) -> str:
    """Return the sheet's own name of a check typed by another of its names."""
    word = name.strip().casefold()
    if word in sheet.checks or word in sheet.geometry:
        return word
    for known, check in sheet.checks.items():
        if word in (also.casefold() for also in check.also_called):
            return known
    return name.strip()


def _limit(sheet: Sheet, name: str, text: str) -> Figure:
    kind = kind_of(sheet, name)
    if kind is None:
        known = [*sheet.checks, *sheet.geometry]
        raise QuantityError(f"no check or measure has this name.{did_you_mean(name, known)}")
    return parse_figure(text, kind)


def parse_profile(text: str) -> Profile:
    """Read a test's rule. Raises QuantityError.

    >>> profile = parse_profile("0.40 bar, 6 min, fall max 0.05 bar @ p 7-3")
    >>> str(profile.pressure), str(profile.time), str(profile.fall)
    ('0.40 bar', '6 min', '0.05 bar')
    """
    said, _, page = text.partition("@")
    clauses = [clause.strip() for clause in said.split(", ") if clause.strip()]
    if len(clauses) != 3:
        raise QuantityError(
            "write pressure, time and allowed fall, as in '0.40 bar, 6 min, fall max 0.05 bar'"
        )
    fall = clauses[2].removeprefix("fall").strip().removeprefix("max").strip()
    pressure = parse_quantity(clauses[0], "pressure")
    return Profile(
        pressure,
        parse_quantity(clauses[1], "time"),
        parse_quantity(
            "0 bar" if fall in ("none", "no", "0") else fall, "pressure", default=pressure.unit.name
        ),
        page.strip(),
        text.strip(),
    )


def read_leaflet(leaflet: Leaflet, sheet: Sheet) -> tuple[dict[str, Figure], list[Trouble]]:
    """Read a part sheet's figures with the kinds of the engine sheet."""
    found: dict[str, Figure] = {}
    troubles: list[Trouble] = []
    for name, text in leaflet.figures.items():
        try:
            found[canonical(sheet, name)] = _limit(sheet, canonical(sheet, name), text)
        except QuantityError as error:
            troubles.append(Trouble(("figures", name), str(error), error.at))
    return found, troubles


def ruling(
    figures: Figures, name: str, leaflets: Mapping[str, Mapping[str, Figure]]
) -> Ruling | None:
    """Return which figure rules a check: a fitted part's leaflet before the engine sheet.

    leaflets : leaflet's title to its figures, only of parts that are fitted
    """
    own = figures.own(name)
    for title, found in leaflets.items():
        figure = found.get(name)
        if figure is not None and (not figure.per_bore or figures.bore is not None):
            return Ruling(
                figure.at_bore(figures.bore) if figures.bore else figure,
                title,
                own,
                "engine sheet" if own else "",
            )
    return Ruling(own, "engine sheet") if own else None


def not_given(sheet: Sheet, figures: Figures) -> Iterator[str]:
    """Yield the checks in the sheet whose limit is not given."""
    for name, check in sheet.checks.items():
        if check.unit in ("feel", "count") or check.limit in ("feel", "reported"):
            continue
        if not sheet.has(check.fitted_to) or check.method == "percent of baseline":
            continue
        if check.profile:
            if check.profile not in figures.tests:
                yield name
        elif name not in figures.limits:
            yield name
