"""Port windows, blowdown and compression ratios from the sheet's geometry."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from ringland.engine.ports import Port, Window, blowdown, raised, window
from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import Crank
from ringland.engine.volumes import full_ratio, swept_volume, trapped_ratio
from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.settings.number import Number, estimated
from ringland.job.settings.setting import Setting, joined, lacking, page_of
from ringland.job.shape import CHAMBER_DOUBT, CRANK, PORTS, Shape, geometry, shape
from ringland.measure.estimates import MeasureError, resolution
from ringland.measure.propagation import propagate
from ringland.quantity import Estimate, find_unit

GASKET_STEP = 1e-4  # m: what a thicker base gasket does is told per tenth of a millimetre
DEG, TO_ONE = find_unit("deg"), find_unit(":1")
RATIO_OF = ("bore", "stroke", "head volume", "exhaust opens")
FIGURES = {port: figure for figure, (port, _) in PORTS.items()}
PRINTED = "± of angles: the sheet's last digit; castings differ by more"


def ports(case: Case) -> Iterator[Setting]:
    """Return windows, blowdown and ratios as the sheet's heights give them."""
    book = case.book
    try:
        found = shape(book)
        rows = list(_rows(book, found))
    except OutOfRange as refused:
        yield lacking("ports", str(refused), subject="ports")
        return
    if rows:
        yield from rows
    scopes = book.sheet.geometry.get("exhaust opens")
    if found.missing and (rows or (scopes and book.scope in scopes.scopes)):
        why = f"{', '.join(found.missing)} not in the sheet: add it to the figures"
        name = "compression ratio" if rows else "ports and ratio"
        yield lacking(name, why, subject="ports")


def _rows(book: Book, found: Shape) -> Iterator[Setting]:
    crank = found.crank
    if crank is None:
        return
    windows = [window(crank, port) for port in found.ports]
    source = page_of_ports(book)
    for each in windows:
        row = _port(book, crank, each, source)
        yield replace(row, remark=joined(row.remark, PRINTED)) if each is windows[0] else row
    for each in windows:
        transfers = [w for w in windows if w.port.role == "transfer"]
        if each.port.role == "exhaust" and transfers:
            yield _blowdown(book, crank, each, transfers, source)
    if found.clearance is not None and found.bore is not None:
        yield _ratio(book, crank, found.bore, found)


def _port(book: Book, crank: Crank, found: Window, source: str) -> Setting:
    opens = _angle("opens", found.opens, _doubt(book, lambda w: w.opens, found))
    open_ = angle_open(found, _doubt(book, lambda w: w.duration, found))
    higher = window(crank, raised(found.port, GASKET_STEP))
    longer = replace(
        _angle("longer open by 0.1 mm more gasket", higher.duration - found.duration), decimals=1
    )
    return Setting(
        found.port.name,
        f"opens {opens.words} after top, open {open_.words}",
        f"a base gasket 0.1 mm thicker: open {longer.words} longer",
        source,
        subject="ports",
        numbers=(opens, open_, longer),
    )


def _blowdown(
    book: Book, crank: Crank, exhaust: Window, transfers: Sequence[Window], source: str
) -> Setting:
    lead = blowdown(exhaust, transfers)
    first = next(each for each in transfers if each.port.name == lead.transfer)
    thicker = blowdown(
        window(crank, raised(exhaust.port, GASKET_STEP)),
        [window(crank, raised(each.port, GASKET_STEP)) for each in transfers],
    )
    found = _angle("lead", lead.angle, _doubt(book, lambda e, t: t.opens - e.opens, exhaust, first))
    change = replace(_angle("by 0.1 mm more gasket", thicker.angle - lead.angle), decimals=2)
    own = exhaust.port.name
    return Setting(
        "blowdown" if own == "exhaust" else f"blowdown, {own}",
        found.words,
        f"exhaust before transfers; 0.1 mm more gasket changes it by {change.words}",
        source,
        subject="ports",
        numbers=(found, change),
    )


def _ratio(book: Book, crank: Crank, bore: float, found: Shape) -> Setting:
    assert found.clearance is not None
    full = ratio("full", full_ratio(swept_volume(bore, crank.stroke), found.clearance))
    trapped = [
        ratio(f"trapped from {port.name}", trapped_ratio(bore, port.travel, found.clearance))
        for port in found.ports
        if port.role == "exhaust"
    ]
    return Setting(
        "compression ratio",
        f"{full.words} full",
        joined(
            trapped_words(trapped),
            f"± for a chamber {100 * CHAMBER_DOUBT:.0f} % off the sheet's (one standard uncertainty), "
            "common practice",
        ),
        page_of_ratio(book),
        subject="ports",
        numbers=(full, *trapped),
    )


def _doubt(book: Book, angle: Callable[..., float], *windows: Window) -> float | None:
    """Standard uncertainty of an angle from the digits that the sheet prints; None past an end.

    angle : takes the windows
    """
    ports = {f"height{n}": each.port for n, each in enumerate(windows)}
    inputs = {name: _as_printed(book, FIGURES[port.name]) for name, port in ports.items()}

    def model(stroke: float, rod: float, **heights: float) -> float:
        crank = Crank(stroke, rod)
        moved = (Port(ports[n].name, height, ports[n].role) for n, height in heights.items())
        return angle(*(window(crank, each) for each in moved))

    stroke, rod = (_as_printed(book, name) for name in CRANK)
    try:
        return propagate(model, {"stroke": stroke, "rod": rod, **inputs}).estimate.u
    except (OutOfRange, MeasureError):
        return None


def _as_printed(book: Book, name: str) -> Estimate:
    """A figure that is good to its last digit, which is a display's step."""
    figure = geometry(book, name)
    assert figure is not None
    digit = figure.unit.factor.scaleb(int(figure.number.as_tuple().exponent))
    return Estimate(figure.si, resolution(float(digit)))


# -- for these rows and those of a gasket ---------------------------------------------------------


def angle_open(found: Window, u: float | None) -> Number:
    """Return how long a port is open."""
    return _angle("open", found.duration, u)


def doubts_of(book: Book) -> dict[str, float | None]:
    """Return the standard uncertainty [rad] of each port's duration, from the sheet's digits."""
    found = shape(book)
    if found.crank is None:
        return {}
    windows = [window(found.crank, port) for port in found.ports]
    return {each.port.name: _doubt(book, lambda w: w.duration, each) for each in windows}


def ratio(what: str, found: Estimate) -> Number:
    """Return a compression ratio."""
    return estimated(what, found, TO_ONE, 1)


def trapped_words(found: Sequence[Number]) -> str:
    """Return the ratios from each exhaust port on: "trapped 7.6 ± 0.5 from exhaust, ..."."""
    each = [f"{one.words} {one.what.removeprefix('trapped ')}" for one in found]
    return f"trapped {', '.join(each)}" if each else ""


def page_of_ratio(book: Book) -> str:
    """Return where the figures behind a ratio stand."""
    return f"swept over clearance volume; {page_of(book, RATIO_OF)}"


def page_of_ports(book: Book) -> str:
    """Return where the heights behind a port's angles stand."""
    return f"slider-crank; {page_of(book, [*CRANK, *PORTS])}"


def _angle(what: str, angle: float, u: float | None = None) -> Number:
    return Number(DEG, 1, what, angle, u)
