"""The figures of a sheet, read: limits of checks, geometry, torques, classes, gaskets, tests.

Here: every text with a number in a sheet becomes a value, with its kind known from the check or
geometry it belongs to; and which figure rules where several speak (`Figures.ruling`).
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from ringland.quantity import Quantity, QuantityError, Span, parse_quantity, parse_span
from ringland.sheet.figure import Figure, clauses_of, parse_figure, split_page
from ringland.sheet.model import Leaflet, Sheet
from ringland.sheet.text import Path, did_you_mean

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Profile:
    """The rule of a test: start pressure, time to hold, allowed fall; printed with its result."""

    pressure: Quantity
    time: Quantity
    fall: Quantity
    page: str
    typed: str


ENGINE_SHEET = "engine sheet"


@dataclass(frozen=True, slots=True)
class Ruling:
    """The figure that rules a check, whose it is, and the one it outranked."""

    figure: Figure
    source: str
    outranked: Figure | None = None
    outranked_source: str = ""

    def outranks(self, value: str) -> str:
        """Say whose figure this one outranks, and its value."""
        of = "'s" if self.outranked_source == ENGINE_SHEET else ":"
        return f"outranks the {self.outranked_source}{of} {value}"


@dataclass(frozen=True, slots=True)
class Trouble:
    """A text of the sheet that is no figure: on which path, at which character, and why.

    of_name : the name is wrong, not what stands behind it
    """

    path: Path
    message: str
    at: int = 0
    of_name: bool = False


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

    def reading(
        section: str, texts: Mapping[str, str], read: Callable[[str, str], T]
    ) -> dict[str, T]:
        found: dict[str, T] = {}
        for name, text in texts.items():
            try:
                found[name] = read(name, text)
            except QuantityError as error:
                path = (section, name, "torque") if section == "fasteners" else (section, name)
                troubles.append(_trouble(path, error))
        return found

    torques = {name: group.torque for name, group in sheet.fasteners.items() if group.torque}
    gaskets = {str(index): text for index, text in enumerate(sheet.base_gaskets)}
    reading("fluids", sheet.fluids, lambda _, text: _fluid(text))
    figures = Figures(
        reading("figures", sheet.figures, lambda name, text: read_limit(sheet, name, text)),
        reading("fasteners", torques, lambda _, text: read_torque(text)),
        reading("piston classes", sheet.piston_classes, lambda _, text: parse_span(text, "length")),
        tuple(
            reading(
                "base gaskets", gaskets, lambda _, text: parse_quantity(text, "length")
            ).values()
        ),
        reading("tests", sheet.tests, lambda _, text: parse_profile(text)),
        reading("hours", sheet.hours, lambda _, text: parse_figure(text, "time")),
    )
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
    return next((own for said, own in spelled(sheet) if word == said.casefold()), name.strip())


def read_limit(sheet: Sheet, name: str, text: str) -> Figure:
    """Read the figure of a check or measure of the sheet. Raises QuantityError."""
    kind = kind_of(sheet, name)
    if kind is None:
        known = [name for name, _ in spelled(sheet)]
        raise _WrongName(f"no check or measure has this name.{did_you_mean(name, known)}")
    if kind in ("feel", "count"):
        raise _WrongName(f"{name} is judged by {kind}: it has no figure. Take the line away")
    figure = parse_figure(text, kind)
    if name in sheet.checks:
        _must_agree(figure, sheet.checks[name].limit)
    return figure


def _must_agree(figure: Figure, limit: str) -> None:
    """Refuse a limit that contradicts what is new, or the side on which the check wears."""
    new, service = figure.new, figure.service
    ends = [end for span in (new, service) if span for end in (span.low, span.high) if end]
    below_zero = next((end for end in ends if end.number < 0), None)
    if below_zero is not None:
        raise QuantityError(f"{below_zero} is below zero, which no check of this kind can be")
    top = service.high if service else None
    if figure.nominal == 0 or (top is not None and top.number == 0):
        raise QuantityError("a blank is not zero: write the figure, or take the line away")
    if service is None:
        return
    if limit == "upper" and service.high is None:
        raise QuantityError(f"this only grows with wear: write 'max {service.low}' for its limit")
    if limit == "lower" and service.low is None:
        raise QuantityError(
            f"this only shrinks with wear: write 'min {service.high}' for its limit"
        )
    if new is None:
        return
    if service.high and new.high and service.high.si < new.high.si:
        raise QuantityError(f"the limit (max {service.high}) lies below what is new ({new})")
    if service.low and new.low and service.low.si > new.low.si:
        raise QuantityError(f"the limit (min {service.low}) lies above what is new ({new})")


def spelled(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Yield each spelling of each check and measure, with the sheet's own name."""
    for name, check in sheet.checks.items():
        yield from ((word, name) for word in (name, *check.also_called))
    yield from ((name, name) for name in sheet.geometry)


def parse_profile(text: str) -> Profile:
    """Read a test's rule. Raises QuantityError.

    >>> profile = parse_profile("0.40 bar, 6 min, fall max 0.05 bar @ p 7-3")
    >>> str(profile.pressure), str(profile.time), str(profile.fall)
    ('0.40 bar', '6 min', '0.05 bar')
    """
    said, page = split_page(text)
    clauses = clauses_of(said)
    if len(clauses) != 3:
        raise QuantityError(
            "write pressure, time and allowed fall, as in '0.40 bar, 6 min, fall max 0.05 bar'"
        )
    pressure = _quantity(clauses[0], "pressure")
    time = _quantity(clauses[1], "time")
    at, last = clauses[2]
    fall = re.sub(r"(?i)^(?:fall\b)?\s*(?:max\b)?\s*", "", last)
    if fall.lower() in ("none", "no", "0"):
        fall = f"0 {pressure.unit.name}"
    allowed = _quantity((at + len(last) - len(fall), fall), "pressure")
    return Profile(pressure, time, allowed, page, text.strip())


def _quantity(clause: tuple[int, str], kind: str) -> Quantity:
    at, text = clause
    try:
        return parse_quantity(text, kind)
    except QuantityError as error:
        error.at += max(at, 0)
        raise


def _fluid(text: str) -> str:
    """A fluid's line is kept as typed; a number that begins it must say of what it is so many."""
    said, _ = split_page(text)
    first = clauses_of(said)
    if not first:
        raise QuantityError("nothing is written here: write the fluid, or take the line away")
    if re.fullmatch(r"[\d.,/\s]+", first[0][1]):
        raise QuantityError(
            f"{first[0][1]} has no unit: add one of mL, L, US fl oz, or write a ratio such as 40:1"
        )
    return text


def read_torque(text: str) -> Figure:
    """Read a torque: one value or a range. Raises QuantityError."""
    figure = parse_figure(text, "torque")
    span = figure.new
    if span is None:
        raise QuantityError("a torque is one value or a range, as in 21 lbf·ft or 20-24 N·m")
    if span.low and span.low.number <= 0:
        raise QuantityError(f"{span.low} is no torque; blank is not zero")
    return figure


def read_leaflet(leaflet: Leaflet, sheet: Sheet) -> tuple[dict[str, Figure], list[Trouble]]:
    """Read a part sheet's figures with the kinds of the engine sheet."""
    found: dict[str, Figure] = {}
    troubles: list[Trouble] = []
    for name, text in leaflet.figures.items():
        try:
            own = canonical(sheet, name)
            if own in found:
                raise _WrongName(f"another name of {own!r}, which stands here already. Keep one")
            found[own] = read_limit(sheet, own, text)
        except QuantityError as error:
            troubles.append(_trouble(("figures", name), error))
    return found, troubles


class _WrongName(QuantityError):
    """A figure under a name that nothing here has."""


def _trouble(path: Path, error: QuantityError) -> Trouble:
    return Trouble(path, str(error), error.at, isinstance(error, _WrongName))


def ruling(
    figures: Figures,
    name: str,
    leaflets: Mapping[str, Mapping[str, Figure]],
    source: str = ENGINE_SHEET,
) -> Ruling | None:
    """Return which figure rules a check: a fitted part's leaflet before the engine sheet.

    leaflets : leaflet's title to its figures, only of parts that are fitted
    source : whose the sheet's figure is; a job may have taken over another
    """
    own = figures.own(name)
    for title, found in leaflets.items():
        figure = found.get(name)
        if figure is not None and (not figure.per_bore or figures.bore is not None):
            return Ruling(
                figure.at_bore(figures.bore) if figures.bore else figure,
                title,
                own,
                source if own else "",
            )
    return Ruling(own, source) if own else None


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
