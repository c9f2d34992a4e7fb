"""The guide: the whole procedure of one engine sheet on paper, with blanks to fill in by pencil.

For the shed without any device, and as the sheet a teacher hands out. What was filled in can be
keyed in afterwards with the names that stand here.
"""

from collections.abc import Iterator

from ringland.job.entries import Condition
from ringland.job.plan import Item, plan
from ringland.job.verdict import Verdict
from ringland.report.paper.blocks import (
    Beside,
    Blanks,
    Block,
    Cell,
    Facts,
    Heading,
    Items,
    Keep,
    NewPage,
    Paper,
    Table,
    Text,
    listed,
    section,
    table,
)
from ringland.report.paper.cutaway import engine_picture
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.record import NOT_READ_BACK, read_back_note
from ringland.report.paper.torques import joint, stage_name, wanted
from ringland.sheet.figures import Ruling
from ringland.sheet.model import PHASES, SCOPES, Check, FastenerGroup, Phase, Step

BLANK = "………………"
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
        "readings with their unit and gauge, and never leave a blank for zero: write 'none' or 'port'."
    )
    yield read_back_note(file)
    yield Facts((("engine", sheet.engine), ("figures from", sheet.manual or "no manual is named")))
    yield Blanks(
        ("machine", "engine number", "hours, and how they are known", "who works at it"), 2
    )
    if (picture := engine_picture(file)) is not None:
        yield picture
    items = plan(file.case).items
    for phase in PHASES:
        of_phase = [item for item in items if item.phase == phase]
        yield from _phase(file, phase, of_phase)
    yield from _only_if(file)


def _phase(file: JobFile, phase: Phase, items: list[Item]) -> Iterator[Block]:
    words = file.case.book.sheet.phases.get(phase)
    if not items:
        return
    yield Heading(words.title if words else phase)
    for caution in words.cautions if words else ():
        yield Text(caution, "caution")
    waits = [item for item in items if item.kind == "part"]
    if waits:
        names = tuple(Cell(f"new {item.name}", item.words) for item in waits)
        yield from section("New parts in hand", Items(names, box=True, columns=2), level=2)
    for item in items:
        if item.kind in ("step", "hold"):
            yield from _step(file, item.name, file.case.steps[item.name])
        elif item.kind == "reading":
            yield from _reading(file, item.name)


# -- steps ---------------------------------------------------------------------------------------


def _step(file: JobFile, name: str, step: Step) -> Iterator[Block]:
    if step.hold:
        yield Keep(
            (
                Text(f"Wait here: {name}. {step.words}".strip(), "stop"),
                Blanks(("holds, or signed because: name, date",)),
            )
        )
        return
    yield Keep((Items((Cell(name, body=step.words, bold=True),), box=True), *_about(file, step)))
    group = file.case.book.sheet.fasteners.get(step.tighten)
    if group is not None:
        yield from _tightening(file, step.tighten, group)


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
    if name not in file.case.groups():
        return
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
    picture = joint(file, name, blank=True)
    yield Beside(picture, log, share=0.24) if group.count > 1 else Keep(log)


# -- readings ------------------------------------------------------------------------------------


def _reading(file: JobFile, name: str) -> Iterator[Block]:
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
    yield Keep(tuple(blocks))


def _blank(check: Check) -> str:
    return {"feel": "good, bad or not sure", "count": "count"}.get(check.unit, "reading and unit")


def _allowed(file: JobFile, verdict: Verdict, check: Check) -> str:
    ruling: Ruling | None = verdict.ruling
    if check.profile:
        profile = file.case.book.figures.tests.get(check.profile)
        return profile.typed.replace("@", ",") if profile else "no rule in the sheet"
    if check.unit == "feel":
        return "by eye and feel: good, bad or not sure"
    practice = (
        f"; common practice, not the maker's: {check.common_practice}"
        if check.common_practice
        else ""
    )
    if ruling is None:
        return f"no figure in the sheet{practice}"
    mark = "" if verdict.check in file.case.book.sheet.read_back else f" {NOT_READ_BACK}"
    return f"{ruling.figure.typed.replace(' @', ',')}{mark} ({ruling.source})"


def _only_if(file: JobFile) -> Iterator[Block]:
    """What is done only where a finding or a verdict calls for it."""
    sheet = file.case.book.sheet
    rows = [
        (
            Cell(name, bold=True),
            finding.words,
            finding.brings.say or finding.check or finding.likely,
        )
        for name, finding in sheet.findings.items()
        if sheet.has(finding.fitted_to)
    ]
    steps = [
        Cell(name, step.words, bold=True)
        for name, step in sheet.steps.items()
        if step.only_when_added and name not in file.case.steps and sheet.has(step.fitted_to)
    ]
    if rows or steps:
        yield NewPage()
    if rows:
        yield from section("What you may find, and what it brings",
            table(("finding", "looks like", "what to do"), rows, (44, 66, 68), none=""))  # fmt: skip
    if steps:
        yield from section(
            "Steps only where something calls for them", listed(steps, none="", box=True)
        )
