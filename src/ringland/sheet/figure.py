"""What a manual says of one thing, as typed: "0.30-0.38 mm, max 0.60 mm @ p 4-31".

A figure holds the span when new, the limit in service, and where it stands in the manual. It may
be a rule per bore, as ring makers print it: "0.004-0.0065 × bore".
"""

import re
from dataclasses import dataclass, replace

from ringland.quantity import Quantity, QuantityError, Span, parse_span

_PER = re.compile(r"\s*[×x*]\s*bore\s*$", re.IGNORECASE)
_SERVICE = re.compile(r"\s*(?:limit|service)\s+", re.IGNORECASE)
_ONE_SIDED = re.compile(r"\s*(max|min|at most|at least|up to|under|over)\b", re.IGNORECASE)
_UNIT_AT_END = re.compile(r"[\d.,/]\s*([^\d\s.,;/±@-][^\d,;±@]*)$")
_PAGE = re.compile(r"\s+(?:pages?|pp?)\b\.?\s*(?=[A-Za-z]{0,2}-?\d)", re.IGNORECASE)
_SIGN = re.compile(r"\s*(>=|<=|≥|≤|>|<)")


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure.

    new : what it is or may be when new or as built; one value is a span of no width
    service : what it may reach in service
    per_bore : the numbers are shares of the bore
    page : where it stands, as typed
    typed : the text
    """

    new: Span | None
    service: Span | None
    per_bore: bool
    page: str
    typed: str

    @property
    def nominal(self) -> float | None:
        """The one value of a figure that has one when new, in SI."""
        if self.new is None or self.new.low is None or self.new.high is None:
            return None
        return self.new.low.si if self.new.low.number == self.new.high.number else None

    def at_bore(self, bore: Quantity) -> "Figure":
        """Return a rule per bore worked out for one bore; any other figure as it is."""
        if not self.per_bore:
            return self
        spans = [
            s and Span(_times(s.low, bore), _times(s.high, bore)) for s in (self.new, self.service)
        ]
        return replace(self, new=spans[0], service=spans[1], per_bore=False)


def _times(share: Quantity | None, bore: Quantity) -> Quantity | None:
    return share and Quantity(share.number * bore.number, bore.unit, share.typed)


def split_page(text: str) -> tuple[str, str]:
    """Take the place in the manual off the end of a text.

    >>> split_page("0.30-0.38 mm @ p 4-31"), split_page("21 N·m p. 4-40"), split_page("9 mm")
    (('0.30-0.38 mm', 'p 4-31'), ('21 N·m', 'p. 4-40'), ('9 mm', ''))
    """
    said, sign, page = text.partition("@")
    if not sign and (found := _PAGE.search(text)):
        said, page = text[: found.start()], text[found.start() :]
    return said.rstrip(), page.strip()


def parse_figure(text: str, kind: str, *, default: str | None = None) -> Figure:
    """Read a figure of a kind ("length", "torque" ...). Raises QuantityError with the place.

    default : name of the unit meant where no clause names one; None refuses bare numbers

    >>> figure = parse_figure("0.30-0.38 mm, max 0.60 @ p 4-31", "length")
    >>> str(figure.new), str(figure.service), figure.page
    ('0.30-0.38 mm', 'max 0.60 mm', 'p 4-31')
    """
    said, page = split_page(text)
    clauses = clauses_of(said)
    if not clauses:
        raise QuantityError(
            "no figure here: write number and unit, or take the line away; blank is not zero"
        )
    unit = next(
        (found[1].strip() for _, c in clauses if (found := _UNIT_AT_END.search(_PER.sub("", c)))),
        default,
    )
    new: Span | None = None
    service: Span | None = None
    per_bore = any(_PER.search(clause) for _, clause in clauses)
    for at, clause in clauses:
        try:
            span = _span(clause, "share of bore" if per_bore else kind, unit)
        except QuantityError as error:
            error.at += at
            raise
        if _SERVICE.match(clause) or _ONE_SIDED.match(clause):
            service = _both(service, span, at)
        elif new is None:
            new = span
        else:
            raise QuantityError(
                f"{clause.strip()!r} is a second value: write 'max' or 'min' before a limit in service",
                at,
            )
    return Figure(new, service, per_bore, page, text.strip())


def clauses_of(said: str) -> list[tuple[int, str]]:
    """Return the clauses of a text without page, each with the character it begins at."""
    # a decimal comma has a digit behind it, a comma between clauses a space or a word
    found = []
    at = 0
    for part in re.split(r",\s+|,(?=[^\W\d])|;", said):
        at = said.index(part, at)
        if part.strip():
            found.append((at + len(part) - len(part.lstrip()), part.strip()))
        at += len(part)
    return found


def _span(clause: str, kind: str, unit: str | None) -> Span:
    if sign := _SIGN.match(clause):
        word = "max" if sign[1][0] in "<≤" else "min"
        rest = clause[sign.end() :].strip()
        raise QuantityError(f"{sign[1]!r} is not used in sheets: write '{word} {rest}'")
    text = (
        _SERVICE.sub("max ", clause, count=1)
        if re.match(r"\s*(limit|service)\s+[\d.]", clause, re.I)
        else _SERVICE.sub("", clause, count=1)
    )
    if kind == "share of bore":
        return parse_span(_PER.sub("", text) + " pcs" if not _has_unit(text) else text, "count")
    return parse_span(text, kind, default=unit)


def _has_unit(text: str) -> bool:
    return bool(_UNIT_AT_END.search(_PER.sub("", text)))


def _both(first: Span | None, second: Span, at: int) -> Span:
    if first is None:
        return second
    if (first.low and second.low) or (first.high and second.high):
        raise QuantityError("a second limit of the same side: keep one", at)
    return Span(first.low or second.low, first.high or second.high)


def figure_text(figure: Figure) -> str:
    """Return a figure as it is written in a sheet, without its page.

    >>> figure_text(parse_figure(".30-.38, max 0,6 mm", "length"))
    '0.30-0.38 mm, max 0.6 mm'
    """
    if figure.per_bore:
        return split_page(figure.typed)[0]
    new = [_span_text(figure.new)] if figure.new else []
    service = figure.service or Span(None, None)
    sides = (("min", service.low), ("max", service.high))
    return ", ".join([*new, *(f"{side} {_end_text(end)}" for side, end in sides if end)])


def _span_text(span: Span) -> str:
    low, high = span.low, span.high
    if low is None or high is None:
        return str(span)
    if low.number == high.number and low.unit == high.unit:
        return _end_text(low)
    if low.unit == high.unit:
        return f"{low.number:f}-{_end_text(high)}"
    return f"{_end_text(low)}-{_end_text(high)}"


def _end_text(end: Quantity) -> str:
    return f"{end.number:f} {end.unit.name}"


def ends_of(figure: Figure) -> list[Quantity]:
    """Return the different numbers of a figure, in the order they are written."""
    spans = (span for span in (figure.new, figure.service) if span)
    ends = [end for span in spans for end in (span.low, span.high) if end]
    return list({(end.number, end.unit.name): end for end in ends}.values())
