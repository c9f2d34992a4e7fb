"""The torque log: what was set, what each fastener got, and the joint from above."""

from collections.abc import Iterator

from ringland.job.log.entries import FastenerPulled
from ringland.job.log.tightening import Pull, Tightening
from ringland.job.settings import torque_of
from ringland.job.torques import Progress, stages_in, torque_got
from ringland.quantity import parse_quantity, show, show_pair
from ringland.report.drawings.joint import joint_picture
from ringland.report.paper.blocks import (
    Beside,
    Block,
    Cell,
    Heading,
    Items,
    Picture,
    Table,
    Text,
    section,
)
from ringland.report.paper.jobfile import JobFile, moment
from ringland.report.paper.pictures import drawing
from ringland.report.paper.record import NOT_READ_BACK
from ringland.sheet.figures import ENGINE_SHEET
from ringland.sheet.model import FastenerGroup

GAP = "……"  # to be filled in by pencil


def torque_log(file: JobFile) -> Iterator[Block]:
    """Yield each group that is tightened in this job, the joint beside its log; the others in a list."""
    left: list[Cell] = []
    for name, group in file.case.groups().items():
        tightening = file.case.state.tightening.get(name, Tightening())
        body = (
            Text(wanted(file, name, group)),
            *_log(group, tightening, file.case.progress(name)),
            *(Text(f"Open: {each}") for each in file.case.progress(name).open if tightening.pulls),
        )
        if not tightening.pulls:
            left.append(Cell(f"{name}: {wanted(file, name, group)}"))
            continue
        yield Heading(name, 2)
        if group.order not in ("any order", "in turn"):  # then the picture tells the order
            yield Beside(joint(file, name), body, share=0.24)
        else:
            yield from body
    if left:
        yield from section("Not tightened in this job", Items(tuple(left)), level=2)


def wanted(file: JobFile, name: str, group: FastenerGroup) -> str:
    """Return what the sheet asks of a group: count, thread, torque, condition, order."""
    torque = torque_of(file.case.book, name)
    figure = file.case.book.figures.torques.get(name)
    said = show_pair(torque) if torque else "no torque in the sheet"
    mark = "" if not torque or file.is_read_back(name) else f" {NOT_READ_BACK}"
    source = file.case.book.source("fasteners", name)
    taken = f", {source}" if source != ENGINE_SHEET else ""
    page = f"{taken}, {figure.page}{mark}" if figure and figure.page else f"{taken}{mark}"
    condition = f", {group.condition}" if group.condition else ""
    layout = file.case.progress(name).layout
    ordered = group.count > 2 and not layout.is_free
    seen = "; ".join(filter(None, [layout.view, layout.taken]))
    order = f". Order: {layout.turns} ({seen})" if ordered else ""
    return f"{group.count} × {group.thread}, {said}{page}{condition}{order}"


def joint(file: JobFile, name: str, *, blank: bool = False) -> Picture:
    """Return the joint from above; blank for paper that is filled in by pencil."""
    progress = file.case.progress(name)
    every = tuple(range(1, progress.count + 1))
    tight = every if progress.stage is None else progress.pulled
    title = f"{name}, {progress.layout.turns}, {progress.layout.view}" + (
        "" if blank else f", {len(tight)} of {progress.count} tight"
    )
    svg = joint_picture(progress.layout, () if blank else tight, None, title)
    return drawing(f"joint-{name}{'-blank' if blank else ''}", svg)


def adapter_picture(file: JobFile, name: str) -> Beside:
    """Return wrench and adapter from above, with blanks for the lengths at hand."""
    from ringland.calc.draw_adapter import draw_adapter

    torque = torque_of(file.case.book, name)
    svg = draw_adapter(
        set_to=GAP, set_unit="", nut_gets=show_pair(torque) if torque else GAP,
        wrench_mm=GAP, adapter_mm=GAP, angle=45.0,
    )  # fmt: skip
    words = (
        Text("An adapter changes what the nut gets. Measure from the middle of the grip to the drive, "
             "from the drive to the nut, and the angle between them: 0° straight out, 90° square."),
        Text("Setting = torque × L ÷ (L + A × cos of the angle); L is the wrench's length, A the "
             "adapter's. Square to the wrench it is the torque itself, and so with a plain socket."),
        Text("ringland calc adapter works it out.", "note"),
    )  # fmt: skip
    alt = (
        "Wrench with an adapter at 45 degrees; three blanks: setting, wrench length, adapter length"
    )
    return Beside(drawing("adapter", svg, alt=alt), words, share=0.5)


def _log(group: FastenerGroup, tightening: Tightening, progress: Progress) -> Iterator[Block]:
    if not tightening.pulls:
        return
    stages, pulls = stages_in(group, tightening), tightening.pulls
    if group.count == 1:
        yield from (Text(f"{_said(pull)}, by {pull.by}, {moment(pull.at)}{_with(pull)}.")
                    for pull in pulls.values())  # fmt: skip
        return
    days = dict.fromkeys((pull.by, pull.at[:10]) for pull in pulls.values())
    rows: list[tuple[str | Cell, ...]] = []
    again = any(pull.fact.retorque for pull in pulls.values())
    columns = [*range(1, stages + 1), *([stages + 1] if again else [])]
    for number in range(1, group.count + 1):
        of_one = [pulls.get((stage, progress.layout.place(number))) for stage in columns]
        rows.append((str(number), *(_pulled(pull, alone=len(days) == 1) for pull in of_one)))
    names = [stage_name(group, stage, stages) for stage in range(1, stages + 1)]
    names += ["after the heat, cold"] if again else []
    yield Table(("no.", *names), tuple(rows), (8, *[30] * len(columns)), dense=True)
    for each in progress.out_of_turn:
        turn = f"Number {each.number} was pulled out of turn: {each.instead_of} was next"
        yield Text(f"{turn} at {stage_name(group, each.stage, stages)}.", "note")
    tools = [tool for tool in dict.fromkeys(_tool(pull.fact) for pull in pulls.values()) if tool]
    by = "; ".join(f"{person} on {day}" for person, day in days)
    yield Text(f"By {by}, with {'; '.join(tools) or 'no torque wrench'}.", "note")


def stage_name(group: FastenerGroup, stage: int, stages: int) -> str:
    """Return what a stage is called: its share of the torque, or the check pass."""
    if stage > len(group.stages):
        return "check pass"
    return f"stage {stage}, {group.stages[stage - 1]} %" if stages > 1 else "pulled"


def _pulled(pull: Pull | None, *, alone: bool) -> Cell:
    if pull is None:
        return Cell("not pulled")
    when = pull.at[11:16] if alone else f"{pull.by}, {moment(pull.at)}"
    return Cell(_said(pull), when, inline=True)


def _said(pull: Pull) -> str:
    fact = pull.fact
    if not fact.setting:
        said = "by feel" if fact.by_feel else "snug"
    else:
        unit = parse_quantity(fact.setting, "torque").unit
        said = f"set {fact.setting}"
        said += f", got {show(torque_got(fact), unit, 1)}" if fact.adapter else ""
    return f"{said}, moved {fact.moved}" if fact.moved else said


def _with(pull: Pull) -> str:
    tool = _tool(pull.fact)
    return f", with {tool}" if tool else ""


def _tool(fact: FastenerPulled) -> str:
    if not fact.wrench:
        return ""
    adapter = f", adapter {fact.adapter} at {fact.angle}" if fact.adapter else ""
    length = f", {fact.wrench_length}" if fact.wrench_length else ""
    return f"{fact.wrench}{length}{adapter}"
