"""Port windows, blowdown and compression ratios from the sheet's geometry."""

from collections.abc import Iterator, Sequence

from ringland.engine.ports import Window, blowdown, raised, window
from ringland.engine.refusal import OutOfRange
from ringland.engine.slider_crank import Crank
from ringland.engine.volumes import full_ratio, swept_volume, trapped_ratio
from ringland.job.book import Book
from ringland.job.case import Case
from ringland.job.settings.setting import DEGREE, Setting, joined, page_of
from ringland.job.shape import CHAMBER_DOUBT, CRANK, PORTS, Shape, shape
from ringland.quantity import Estimate, show_number

GASKET_STEP = 1e-4  # m: what a thicker base gasket does is told per tenth of a millimetre


def ports(case: Case) -> Iterator[Setting]:
    """Return windows, blowdown and ratios as the sheet's heights give them."""
    book = case.book
    try:
        found = shape(book)
        rows = list(_rows(book, found))
    except OutOfRange as refused:
        yield Setting("ports", "", missing=str(refused), subject="ports")
        return
    if rows:
        yield from rows
    scopes = book.sheet.geometry.get("exhaust opens")
    if found.missing and (rows or (scopes and book.scope in scopes.scopes)):
        why = f"{', '.join(found.missing)} not in the sheet: add it to the figures"
        name = "compression ratio" if rows else "ports and ratio"
        yield Setting(name, "", missing=why, subject="ports")


def _rows(book: Book, found: Shape) -> Iterator[Setting]:
    crank = found.crank
    if crank is None:
        return
    windows = [window(crank, port) for port in found.ports]
    source = page_of(book, [*CRANK, *PORTS])
    for each in windows:
        higher = window(crank, raised(each.port, GASKET_STEP))
        more = (higher.duration - each.duration) / DEGREE
        yield Setting(
            each.port.name,
            f"opens {degrees(each.opens)} after top, open {degrees(each.duration)}",
            f"a base gasket 0.1 mm thicker: open {show_number(more, 1)}° longer",
            source,
            subject="ports",
        )
    yield from _blowdowns(crank, windows, source)
    if found.clearance is not None and found.bore is not None:
        yield _ratio(book, crank, found.bore, found)


def _blowdowns(crank: Crank, windows: Sequence[Window], source: str) -> Iterator[Setting]:
    transfers = [each for each in windows if each.port.role == "transfer"]
    for exhaust in windows:
        if exhaust.port.role != "exhaust" or not transfers:
            continue
        lead = blowdown(exhaust, transfers).angle
        thicker = blowdown(
            window(crank, raised(exhaust.port, GASKET_STEP)),
            [window(crank, raised(each.port, GASKET_STEP)) for each in transfers],
        ).angle
        change = show_number((thicker - lead) / DEGREE, 2)
        name = "blowdown" if exhaust.port.name == "exhaust" else f"blowdown, {exhaust.port.name}"
        remark = f"exhaust before transfers; 0.1 mm more gasket changes it by {change}°"
        yield Setting(name, degrees(lead), remark, source, subject="ports")


def _ratio(book: Book, crank: Crank, bore: float, found: Shape) -> Setting:
    assert found.clearance is not None
    full = full_ratio(swept_volume(bore, crank.stroke), found.clearance)
    trapped = [
        f"{ratio_words(trapped_ratio(bore, port.travel, found.clearance))} from {port.name}"
        for port in found.ports
        if port.role == "exhaust"
    ]
    return Setting(
        "compression ratio",
        f"{ratio_words(full)} full",
        joined(
            f"trapped {', '.join(trapped)}" if trapped else "",
            f"± for a chamber within {100 * CHAMBER_DOUBT:.0f} % of the sheet's, common practice",
        ),
        page_of(book, ["bore", "stroke", "head volume", "exhaust opens"]),
        subject="ports",
    )


def degrees(angle: float) -> str:
    """Return a crank angle in degrees, one decimal."""
    return f"{show_number(angle / DEGREE, 1)}°"


def ratio_words(ratio: Estimate) -> str:
    """Return a compression ratio with its ± at 95 %."""
    return f"{show_number(ratio.value, 1)} ± {show_number(2 * ratio.u, 1)}"
