"""The order sheet: what to get, per supplier, with the readings that decide a size."""

from collections.abc import Iterator, Mapping, Sequence

from ringland.report.paper.blocks import (
    Blanks,
    Block,
    Cell,
    Facts,
    Heading,
    Keep,
    Paper,
    Text,
    listed,
    section,
    table,
)
from ringland.report.paper.jobfile import JobFile
from ringland.report.view import PartLine, parts_view, settings_view, verdict_line

UNNAMED = ""  # parts whose supplier nobody has named


def order_sheet(file: JobFile, suppliers: Mapping[str, str] | None = None) -> Paper:
    """Return the order sheet of a job.

    suppliers : part to who delivers it; parts without one stand under a blank to be filled in
    """
    view = parts_view(file.case.parts)
    lines = [line for line in (*view.first, *view.second) if not line.in_hand]
    now = [line for line in lines if not line.waits_for]
    title = f"{sum(line.count for line in now)} pieces of {len(now)} parts to order"
    blocks = (*_head(file), *_orders(file, now, suppliers or {}), *_later(lines), *_beside(file))
    return Paper("order sheet", title, file.about, file.date, blocks)


def _head(file: JobFile) -> Iterator[Block]:
    sheet = file.case.book.sheet
    yield Facts(
        (
            ("machine", file.opened.machine or "–"),
            ("engine", f"{sheet.engine}, {sheet.years}".rstrip(", ")),
            ("job", file.job or "–"),
            ("date", file.date),
        ),
        columns=2,
    )


def _orders(
    file: JobFile, lines: Sequence[PartLine], suppliers: Mapping[str, str]
) -> Iterator[Block]:
    found: dict[str, list[PartLine]] = {}
    for line in lines:
        found.setdefault(suppliers.get(line.name, UNNAMED), []).append(line)
    if not found:
        yield Text("Nothing is to be ordered now.")
    for supplier in sorted(found, key=lambda name: (name == UNNAMED, name)):
        yield Heading(supplier or "Supplier not named yet")
        if not supplier:
            yield Blanks(("supplier",), 2)
        yield table(
            ("pcs", "part", "for", "supplier's number", "price", "came"),
            [_row(file, line) for line in found[supplier]],
            (10, 52, 50, 34, 18, 16),
            none="",
        )


def _row(file: JobFile, line: PartLine) -> tuple[str | Cell, ...]:
    part = file.case.book.sheet.parts[line.name]
    also = f"also called {', '.join(part.also_called)}" if part.also_called else ""
    kit = f"often in a {part.in_kit}" if part.in_kit else ""
    chosen = file.case.state.decided.get(line.name)
    decision = chosen.fact.decision if chosen and chosen.fact.decision != "renew" else ""
    small = "; ".join(filter(None, [also, kit]))
    return (Cell(str(line.count), bold=True), Cell(f"{line.name} {decision}".strip(), small, bold=True),
            line.why, "", "", "")  # fmt: skip


def _later(lines: Sequence[PartLine]) -> Iterator[Block]:
    items = [
        Cell(f"{line.count} × {line.name}", f"waits for {', '.join(line.waits_for)}")
        for line in lines
        if line.waits_for
    ]
    if items:
        yield from section("Not to be ordered yet", listed(items, none=""))


def _beside(file: JobFile) -> Iterator[Block]:
    """What decides a size, so that a wrong class goes back without argument."""
    classes = [
        Cell(f"{line.name}: {line.value or line.missing}", line.remark)
        for line in settings_view(file.case)
        if line.name.startswith("piston class")
    ]
    read = [
        verdict_line(file.case, verdict)
        for (name, condition), verdict in file.case.verdicts.items()
        if name in ("bore", "piston skirt")
        and condition == "as found"
        and verdict.value is not None
    ]
    measured = [
        Cell(f"{each.check}: {each.value}", f"with {', '.join(each.gauges)}") for each in read
    ]
    if classes or measured:
        found = listed([*measured, *classes], none="")
        yield Keep(section("What decides the size", found))
    yield Text(
        "On arrival compare the part with the measurement, not with the label on its box.", "note"
    )
