"""The owner's page: running in, fuel, what to look at, signs of danger, retorque, next due."""

from collections.abc import Iterator

from ringland.fasten.retorque import Joint, advice
from ringland.fluids.premix import oil_for, read_ratio
from ringland.job.settings import torque_of
from ringland.quantity import show_number, show_pair
from ringland.report.paper.blocks import Block, Cell, Paper, Text, listed, section, table
from ringland.report.paper.build import (
    beside,
    by_kind,
    forbidding,
    left_open,
    short,
    state_of,
)
from ringland.report.paper.jobfile import JobFile
from ringland.report.view import prestart_view
from ringland.sheet.model import FastenerGroup, Step

# common practice: what a rider stops for while a new top end runs in
COOLANT = (
    "Coolant pushed out, or white smoke that smells sweet and does not go away: stop. Coolant is getting "
    "into the cylinder. The piston cannot squeeze it, and the connecting rod bends at the next start."
)
DANGER = (
    "Metal noise, a knock, or a kick lever that kicks back: stop at once and do not start it again; "
    "something inside is loose or broken.",
    "Revs that stay up or wander with the throttle shut: stop. Air leaks in somewhere, the engine gets "
    "too little fuel and oil, and overheats.",
    "Power that fades, a dry rattle at full throttle, heat that comes fast: clutch in, stop, let it "
    "cool; the piston may be about to seize.",
    "A wet joint at the barrel's foot, the head or the pipe, a smell of petrol, a gear-oil level that "
    "falls: have it looked at before the next ride.",
)
JOINTS = {
    "settling gasket": Joint.SETTLING_GASKET,
    "metal": Joint.METAL_GASKET,
    "O-ring": Joint.O_RING,
}
CAN = 5.0  # L, the usual can


def owners_page(file: JobFile) -> Paper:
    """Return the page that goes with the machine."""
    who = file.opened.machine or file.case.book.sheet.engine
    title = f"{who}: running in, what to watch, when it is due"
    blocks = tuple(_blocks(file))
    return Paper("owner's page", title, file.about, file.date, blocks, one_page=True)


def _blocks(file: JobFile) -> Iterator[Block]:
    yield state_of(file)
    forbids = prestart_view(file.case)
    if forbids:
        yield from section(
            "To do before it may be started",
            by_kind(forbids),
            short(forbidding(forbids), none="", most=3),
        )
    yield from section("Running in", *_running_in(file))
    yield from section("Fuel and fluids", _fluids(file))
    wet = [COOLANT] if file.case.book.sheet.has("water cooling") else []
    yield from section("Stop and look", listed([DANGER[0], *wet, *DANGER[1:]], none=""))
    yield from section("After the first rides", *_after(file))
    yield from section("Nuts that are looked at again", *_retorque(file))
    if not forbids and (points := left_open(file)):  # before that, too much is still to be settled
        yield from section(
            "Left open", Text(beside(forbids, points)), short(points, none="", most=3)
        )
    yield from section(f"Due again, {_meter(file)}", _due(file))
    yield Text(
        "The maker's manual comes first; what stands here beside the maker's figures is common practice. "
        "Sand, heat or a drop of compression make the next job due earlier; nothing makes it later.",
        "note",
    )


def _running_in(file: JobFile) -> Iterator[Block]:
    steps = [(n, s) for n, s in file.case.steps.items() if s.phase == "start" and not s.hold]
    items = []
    for name, step in steps:
        done = file.case.state.done.get(name)
        state = f"done by {done[-1].by} on {done[-1].at[:10]}" if done else "still to do"
        items.append(Cell(f"{name} ({state}): {step.words}", _not(step)))
    yield listed(items, none="The sheet names no steps of running in: ride as the maker says.")
    words = file.case.book.sheet.phases.get("start")
    if words and words.cautions:
        yield Text(" ".join(words.cautions), "caution")


def _not(step: Step) -> str:
    return f"Not: {step.mistake[0].lower()}{step.mistake[1:]}" if step.mistake else ""


def _fluids(file: JobFile) -> Block:
    items = []
    for name, text in file.case.book.sheet.fluids.items():
        said, _, page = text.partition("@")
        oil = _oil(said) if "mix" in name else ""
        items.append(f"{name}: {said.strip()}{oil} (manual, {page.strip() or 'no page noted'})")
    return listed(items, none="The sheet names no fluids: take what the maker's manual says.")


def _oil(ratio: str) -> str:
    try:
        oil = oil_for(CAN / 1e3, read_ratio(ratio.strip()))
    except ValueError:
        return ""  # a mix that is no ratio is printed as the sheet says it
    return f", that is {show_number(oil * 1e6, 0)} mL of oil in {CAN:g} L of petrol; mix it fresh, label the can"


def _after(file: JobFile) -> Iterator[Block]:
    names = ("plug read", "after the ride", "new baseline")
    steps = [(n, file.case.steps[n]) for n in names if n in file.case.steps]
    items = [Cell(f"{name}: {step.words}", _not(step)) for name, step in steps]
    yield listed(items, none="Look for wet joints, loose mounts, coolant and gear oil.", box=True)


def _retorque(file: JobFile) -> Iterator[Block]:
    rows = [
        _row(file, name, group)
        for name, group in file.case.groups().items()
        if group.joint in JOINTS
    ]
    yield Text(
        "For whoever has the torque wrench. A heat cycle: once fully warm and stone cold again.",
        "note",
    )
    yield table(
        ("nuts", "torque", "what is done"), rows, (34, 44, 100),
        none="The sheet does not say what kind of joint its nuts hold: ask before pulling any again.",
    )  # fmt: skip


def _row(file: JobFile, name: str, group: FastenerGroup) -> tuple[str | Cell, ...]:
    found = advice(JOINTS[group.joint])
    torque = torque_of(file.case.book, name)
    what = "Tightened again" if found.retorque else "Looked at only"
    return (
        Cell(name, group.joint, bold=True),
        show_pair(torque) if torque else "no torque in the sheet",
        Cell(f"{what}. {found.when}", found.why),
    )


def _due(file: JobFile) -> Block:
    items = [f"{each.part}: {each.words}" for each in file.hours]
    return listed(items, none="Judge by the drop of compression from the own baseline.", columns=2)


def _meter(file: JobFile) -> str:
    return f"counted from {file.meter} on the meter" if file.meter else "hours not known"
