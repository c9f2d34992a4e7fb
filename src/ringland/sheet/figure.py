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


def parse_figure(text: str, kind: str) -> Figure:
    """Read a figure of a kind ("length", "torque" ...). Raises QuantityError with the place.

    >>> figure = parse_figure("0.30-0.38 mm, max 0.60 @ p 4-31", "length")
    >>> str(figure.new), str(figure.service), figure.page
    ('0.30-0.38 mm', 'max 0.60 mm', 'p 4-31')
    """
    said, _, page = text.partition("@")
    clauses = _clauses(said)
    if not clauses:
        raise QuantityError("no figure: write a number and a unit, such as 0.35 mm")
    unit = next(
        (found[1].strip() for _, c in clauses if (found := _UNIT_AT_END.search(_PER.sub("", c)))),
        None,
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
            service = _both(service, span)
        elif new is None:
            new = span
        else:
            raise QuantityError(
                f"{clause.strip()!r} is a second value: write 'max' or 'min' before a limit in service",
                at,
            )
    return Figure(new, service, per_bore, page.strip(), text.strip())


def _clauses(said: str) -> list[tuple[int, str]]:
    # a decimal comma has no space behind it, a comma between clauses has
    found = []
    at = 0
    for part in re.split(r"(?:,\s+|;)", said):
        at = said.index(part, at)
        if part.strip():
            found.append((at, part))
        at += len(part)
    return found


def _span(clause: str, kind: str, unit: str | None) -> Span:
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


def _both(first: Span | None, second: Span) -> Span:
    if first is None:
        return second
    return Span(first.low or second.low, first.high or second.high)


CONDITIONS = ("dry", "oiled", "greased", "thread locker", "as its sheet says")
ORDERS = ("crosswise", "in turn", "any order")
_COUNT = re.compile(
    r"(\d+)\s*[×x*]\s*(M\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d+(?:[.,]\d+)?)?)$", re.IGNORECASE
)
_ORDER_LIST = re.compile(r"order\s+(\d+(?:[\s-]+\d+)+)$", re.IGNORECASE)


def parse_fastener(text: str) -> dict[str, str]:
    """Take apart a fastener's line into the fields of its long form. Raises QuantityError.

    >>> parse_fastener("4 × M8, 21 lbf·ft, crosswise @ p 4-40")
    {'count': '4', 'thread': 'M8', 'torque': '21 lbf·ft @ p 4-40', 'order': 'crosswise'}
    """
    said, _, page = text.partition("@")
    fields: dict[str, str] = {}
    for at, clause in _clauses(said):
        if found := _COUNT.match(clause.strip()):
            fields["count"], fields["thread"] = found[1], found[2]
            continue
        name, value = _fastener_field(clause.strip(), at)
        fields[name] = value
    if page.strip() and "torque" in fields:
        fields["torque"] += f" @ {page.strip()}"
    return fields


def _fastener_field(clause: str, at: int) -> tuple[str, str]:
    if clause.lower() in CONDITIONS:
        return "condition", clause.lower()
    if clause.lower() in ORDERS:
        return "order", clause.lower()
    if found := _ORDER_LIST.match(clause):
        return "order", found[1]
    try:
        parse_span(clause, "torque")
    except QuantityError as error:
        words = ", ".join((*ORDERS, *CONDITIONS))
        raise QuantityError(
            f"{clause!r} is neither a count and thread (4 × M8), nor a torque (21 lbf·ft), nor one of "
            f"{words}: {error}",
            at,
        ) from None
    return "torque", clause
