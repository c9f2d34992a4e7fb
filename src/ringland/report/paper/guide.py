"""The guide: the whole procedure of one engine sheet on paper, with blanks to fill in by pencil.

For the shed without any device, and as the sheet a teacher hands out. What was filled in can be
keyed in afterwards with the names that stand here.
"""

from collections.abc import Iterator
from itertools import zip_longest

from ringland.job.log.entries import Condition
from ringland.job.plan import Item, plan
from ringland.job.steps import way_back
from ringland.job.verdicts.verdict import Verdict
from ringland.report.paper.blocks import (
    Beside,
    Blanks,
    Block,
    Cell,
    Facts,
    Heading,
    Items,
    Keep,
    Paper,
    Table,
    Text,
    section,
)
from ringland.report.paper.cutaway import engine_picture
from ringland.report.paper.found import FINDINGS, found_and_added
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.record import NOT_READ_BACK, read_back_note
from ringland.report.paper.shapes import map_of, profile
from ringland.report.paper.torques import adapter_picture, joint, stage_name, wanted
from ringland.sheet.figures import Ruling
from ringland.sheet.model import PHASES, SCOPES, Check, FastenerGroup, Phase, Step

BLANK = "………………"
ADAPTER = "adapter"  # drawn once, where the first large group is tightened
# words of the trade that a first-timer meets here; common practice
WORDS = (
    ("as found, as fitted", "read on what came off; read on what goes in"),
    ("barrel, foot, mouth", "the cylinder; its lower face; the opening of the crankcase below it"),
    ("crown, land, skirt", "the piston's top; the rib between its grooves; the side that runs"),
    ("small end, big end", "the rod's upper bearing, at the pin; its lower bearing, at the crank"),
    ("dead centre", "top or bottom: where the piston turns round"),
    ("squish", "what is left between piston and head at top dead centre, near the wall"),
    ("taper, out-of-round", "wider at one height than another; wider one way than across it"),
    ("transfers", "the passages in the barrel from the crankcase to above the piston"),
    ("dowel", "a steel sleeve that holds barrel and case in line"),
    ("clip", "the wire ring that keeps the pin in the piston"),
    ("leaf", "one blade of a feeler gauge"),
    ("EX, IN, IGN, CL", "exhaust, intake, ignition and clutch side; left is the rider's left"),
)
CONDITIONS: dict[str, Condition] = {"as found": "as found", "as fitted": "as fitted"}


def guide(file: JobFile) -> Paper:
    """Return the whole procedure for a sheet and a scope, or for a job."""
    title = f"{SCOPES[file.case.book.scope].capitalize()}, step by step"
    return Paper("guide", title, file.about, file.date, tuple(_blocks(file)))


def _blocks(file: JobFile) -> Iterator[Block]:
    sheet = file.case.book.sheet
    yield Text(
        "The maker's manual comes first, then local rules. Figures stand with their page of the manual; "
        "common practice is marked as such and never rules. Tick a box when its step is done, write "
        "readings with their unit and gauge, and never leave a blank for zero: write 'none' or 'port'. "
        "At a frame 'Wait here' the work stops until its sentence is true."
    )
    yield read_back_note(file)
    yield Facts((("engine", sheet.engine), ("figures from", sheet.manual or "no manual is named")))
    yield Blanks(
        ("machine", "engine number", "hours, and how they are known", "who works at it"), 2
    )
    yield engine_picture(file)
    yield from section("Words", Facts(WORDS))
    items = plan(file.case).items
    drawn: set[str] = set()
    for phase in PHASES:
        of_phase = [item for item in items if item.phase == phase and item.kind != "part"]
        parts = [item for item in items if item.kind == "part"]
        yield from _phase(file, phase, of_phase, parts, drawn)
    yield from found_and_added(file)


def _phase(
    file: JobFile, phase: Phase, items: list[Item], parts: list[Item], drawn: set[str]
) -> Iterator[Block]:
    """One phase. drawn : the joints whose picture stands at a step of the strip already."""
    words = file.case.book.sheet.phases.get(phase)
    if not items:
        return
    yield Heading(words.title if words else phase)
    for caution in words.cautions if words else ():
        yield Text(caution, "caution")
    if phase == "inspect":
        yield Text(f"Pictures of what may be seen stand at the end, under '{FINDINGS}'.")
    for item, following in zip_longest(items, items[1:]):
        step = file.case.steps.get(item.name)
        before_hold = following is not None and following.kind == "hold"
        if item.kind == "reading":
            yield _reading(file, item.name, with_next=before_hold)
        elif step is not None and step.hold:
            if phase == "decide" and "parts in hand" in step.hold:
                yield from _parts_in_hand(parts)
            yield _hold(item.name, step)
        elif step is not None:
            yield from _step(file, item.name, step, drawn, with_next=before_hold)


def _parts_in_hand(parts: list[Item]) -> Iterator[Block]:
    names = tuple(Cell(f"new {item.name}", item.words) for item in parts)
    yield from section(
        "New parts in hand", *([Items(names, box=True, columns=2)] if names else []), level=2
    )


# -- steps ---------------------------------------------------------------------------------------


def _hold(name: str, step: Step) -> Block:
    signed = "true: name, date" if step.never_signed else "true, or signed because: name, date"
    box = Text(f"Wait here: {name}. {step.words}".strip(), "stop")
    return Keep((box, Blanks((signed,))))


def _step(
    file: JobFile, name: str, step: Step, drawn: set[str], *, with_next: bool
) -> Iterator[Block]:
    told = (Items((Cell(name, body=step.words, bold=True),), box=True), *_about(file, step))
    group = file.case.groups().get(step.tighten)
    if group is not None:
        yield Keep((*told, *_tightening(file, step.tighten, group)), with_next)
        if group.count > 1 and group.check_pass and ADAPTER not in drawn:
            drawn.add(ADAPTER)
            yield adapter_picture(file, step.tighten)
        return
    loosened = _loosened(file, name, step)
    if loosened and loosened not in drawn:
        drawn.add(loosened)
        picture = joint(file, loosened, blank=True)
        order = f"{loosened}: the numbers are the order of tightening; loosen from the last to the first."
        told = (Beside(picture, (*told, Text(order, "note")), share=0.24),)
    yield Keep(told, with_next)


def _loosened(file: JobFile, name: str, step: Step) -> str:
    """Return the group that a step of the strip loosens in an order; empty for none."""
    if step.phase != "strip":
        return ""
    steps = file.case.steps
    back = way_back(name, step, steps)
    closes = [each.tighten for at, each in steps.items() if at == back or back in each.needs]
    groups = file.case.groups()
    return next((each for each in closes if each in groups and _is_ordered(file, each)), "")


def _is_ordered(file: JobFile, group: str) -> bool:
    progress = file.case.progress(group)
    return progress.count > 2 and not progress.layout.is_free


def _about(file: JobFile, step: Step) -> Iterator[Block]:
    renew = file.case.renew
    rows = []
    for label, counts in (("comes off", step.off), ("goes on", step.on)):
        if counts:
            said = ", ".join(
                f"{count} × {part}{' (new)' if label == 'goes on' and part in renew else ''}"
                for part, count in counts.items()
            )
            rows.append((label, f"{said}   counted: {BLANK}"))
    for label, text in (
        ("which way round", step.orientation),
        ("piston stands", step.piston),
        ("why", step.why),
        ("usual mistake", step.mistake),
        ("another way", step.instead),
        ("photo", step.photo),
    ):
        if text:
            rows.append((label, text))
    if rows:
        yield Facts(tuple(rows))
    if step.caution:
        yield Text(step.caution, "caution")


def _tightening(file: JobFile, name: str, group: FastenerGroup) -> Iterator[Block]:
    stages = len(group.stages) + (1 if group.check_pass else 0)
    names = [stage_name(group, stage, stages) for stage in range(1, stages + 1)]
    rows = (
        ("set to", *[BLANK] * stages),
        *((str(n), *["☐"] * stages) for n in range(1, group.count + 1)),
    )
    log: tuple[Block, ...] = (
        Text(wanted(file, name, group)),
        *([Text(group.words)] if group.words else []),
        Table(("no.", *names), rows, (14, *[30] * stages)),
        Text(
            "A stage left half done is pulled again from the first. Wrench, adapter and angle:",
            "note",
        ),
        Blanks(("wrench", "adapter, its length and angle"), 2),
    )
    if group.count == 1:
        yield from log
    else:
        yield Beside(joint(file, name, blank=True), log, share=0.24)


# -- readings ------------------------------------------------------------------------------------


def _reading(file: JobFile, name: str, *, with_next: bool) -> Block:
    check_name, _, said = name.rpartition(", ")
    condition = CONDITIONS[said]
    verdict = file.case.verdicts[check_name, condition]
    check = file.case.book.sheet.checks[check_name]
    rows: list[tuple[str, str]] = [("allowed", _allowed(file, verdict, check))]
    rows += [(label, text) for label, text in (
        ("why", check.why), ("usual mistake", check.mistake), ("cannot tell", check.cannot_tell),
        ("gauge", ", ".join(check.gauges)),
    ) if text]  # fmt: skip
    blocks: list[Block] = [
        Items((Cell(f"measure {check_name}, {said}", body=check.words, bold=True),), box=True),
        Facts(tuple(rows)),
    ]
    if check.caution:
        blocks.append(Text(check.caution, "caution"))
    labels = (*(check.places or (_blank(check),)), "gauge", "temperature, by")
    blocks.append(Blanks(labels, 4 if len(labels) in (4, 7, 8) else 3))
    bore = name == "bore, as found"
    shape = next(profile(file), None) if bore else map_of(file, check_name, condition)
    if shape is not None:
        return Keep((Beside(shape, tuple(blocks), share=0.48),), with_next)
    return Keep(tuple(blocks), with_next)


def _blank(check: Check) -> str:
    return {"feel": "good, bad or not sure", "count": "count"}.get(check.unit, "reading and unit")


def _allowed(file: JobFile, verdict: Verdict, check: Check) -> str:
    ruling: Ruling | None = verdict.ruling
    if check.profile:
        profile = file.case.book.figures.tests.get(check.profile)
        return profile.typed.replace(" @", ",") if profile else "no rule in the sheet"
    if check.unit == "feel":
        return "by eye and feel: good, bad or not sure"
    practice = (
        f"; common practice, not the maker's: {check.common_practice}"
        if check.common_practice
        else ""
    )
    if ruling is None:
        return f"no figure in the sheet{practice}"
    own = ruling.source not in file.case.book.leaflets
    mark = f" {NOT_READ_BACK}" if own and not file.is_read_back(verdict.check) else ""
    return f"{ruling.figure.typed.replace(' @', ',')}{mark} ({ruling.source})"
