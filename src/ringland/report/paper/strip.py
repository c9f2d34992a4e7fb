"""The strip list: tools, supplies, parts for the first wave, what kits leave out, the tray plan."""

from collections.abc import Iterator, Sequence

from ringland.report.paper.bags import bags
from ringland.report.paper.blocks import Block, Cell, Paper, Text, listed, section, table
from ringland.report.paper.jobfile import JobFile
from ringland.report.view import PartLine, parts_view
from ringland.sheet.model import SCOPES


def strip_list(file: JobFile) -> Paper:
    """Return what must lie ready before the strip, and where what comes off goes."""
    title = f"Before the strip: {SCOPES[file.case.book.scope]}"
    return Paper("strip list", title, file.about, file.date, tuple(_blocks(file)))


def _blocks(file: JobFile) -> Iterator[Block]:
    parts = parts_view(file.case.parts)
    words = file.case.book.sheet.phases.get("strip")
    for caution in words.cautions if words else ():
        yield Text(caution, "caution")
    yield from section("Tools", _things(parts.tools))
    yield from section("Supplies", _things(parts.supplies))
    yield from section("Parts needed whatever is found", _wave(parts.first))
    yield from section("Parts that hang on measuring: order them after it", _wave(parts.second))
    yield from section("What kits usually leave out", *_left_out(parts.left_out))
    yield from section("Tray plan", Text(
        "One bag for each line, with a line of pencil inside: solvent eats marker ink. Old parts that "
        "are renewed are kept as well; they are the proof."
    ), _trays(file))  # fmt: skip


def _things(lines: Sequence[PartLine]) -> Block:
    items = [Cell(line.name, line.why) for line in lines]
    return listed(items, none="The sheet names none.", box=True, columns=2)


def _wave(lines: Sequence[PartLine]) -> Block:
    items = []
    for line in lines:
        waits = f"waits for {', '.join(line.waits_for)}" if line.waits_for else ""
        state = "in hand" if line.in_hand else waits
        items.append(
            Cell(f"{line.count} × {line.name}", "; ".join(filter(None, [state, line.why])))
        )
    return listed(items, none="None.", box=True, columns=2)


def _left_out(kits: dict[str, tuple[str, ...]]) -> Iterator[Block]:
    items = [Cell(f"A {kit} usually leaves out:", ", ".join(names)) for kit, names in kits.items()]
    yield listed(items, none="No kit is in play.")


def _trays(file: JobFile) -> Block:
    rows = []
    for bag in bags(file):
        parts = "\n".join(
            f"{count} × {part}{' (renewed)' if part in bag.new else ''}"
            for part, count in bag.parts
        )
        rows.append(
            (Cell(bag.number, bold=True), Cell(bag.step, bag.orientation), parts, bag.back, "")
        )
    head = ("bag", "step", "what comes off", "goes back at", "counted off, on")
    return table(head, rows, (10, 56, 54, 34, 24), none="Nothing comes off in this scope.")
