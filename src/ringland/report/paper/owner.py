"""The owner's page: running in, fuel, what to look at, signs of danger, retorque, next due."""

from collections.abc import Iterator

from ringland.fasten.retorque import Joint, advice
from ringland.fluids.premix import oil_for, read_ratio
from ringland.job.settings import torque_of
from ringland.quantity import show_number, show_pair
from ringland.report.paper.blocks import Block, Cell, Paper, Text, listed, section, table
from ringland.report.paper.build import open_points, short, state_of
from ringland.report.paper.jobfile import JobFile
from ringland.sheet.model import FastenerGroup

# common practice: what a rider stops for while a new top end runs in
DANGER = (
    "Metal noise, a knock, or a kick lever that kicks back: stop at once, do not start it again.",
    "Coolant pushed out, or white sweet smoke that stays: stop; coolant in the bore bends rods.",
    "An idle that hangs or wanders: stop; it sucks air somewhere and runs lean and hot.",
    "Power that fades, a dry rattle at full load, heat that comes fast: clutch in, let it cool.",
    "Wet joint at foot, head or pipe, petrol smell, a falling gear oil: look before the next ride.",
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
    return Paper("owner's page", title, file.about, file.date, tuple(_blocks(file)))


def _blocks(file: JobFile) -> Iterator[Block]:
    yield state_of(file)
    yield from section("Running in", *_running_in(file))
    yield from section("Fuel and fluids", _fluids(file))
    yield from section("Stop and look", listed(DANGER, none=""))
    yield from section("After the first rides", *_after(file))
    yield from section("Nuts that are looked at again", *_retorque(file))
    if points := open_points(file):
        yield from section(
            "Still open", short([Cell(point.text) for point in points], none="", most=3)
        )
    yield from section(f"Due again, {_meter(file)}", _due(file))
    yield Text(
        "The maker's manual comes first; what stands here beside the sheet's figures is common practice. "
        "Sand, heat and a drop of compression bring the next job forward; nothing puts it off.",
        "note",
    )


def _running_in(file: JobFile) -> Iterator[Block]:
    steps = [(n, s) for n, s in file.case.steps.items() if s.phase == "start" and not s.hold]
    items = []
    for name, step in steps:
        done = file.case.state.done.get(name)
        state = f"done by {done[-1].by} on {done[-1].at[:10]}" if done else "still to do"
        small = "\n".join(filter(None, [step.caution, step.mistake and f"Not: {step.mistake}"]))
        items.append(Cell(f"{name} ({state}): {step.words}", small))
    yield listed(items, none="The sheet names no steps of running in: ride as the maker says.")
    words = file.case.book.sheet.phases.get("start")
    if words and words.cautions:
        yield Text(" ".join(words.cautions), "caution")


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
    return f", that is {show_number(oil * 1e6, 0)} mL of oil in {CAN:g} L of petrol, fresh, can labelled"


def _after(file: JobFile) -> Iterator[Block]:
    names = ("plug read", "after the ride", "new baseline")
    steps = [(n, file.case.steps[n]) for n in names if n in file.case.steps]
    items = [
        Cell(f"{name}: {step.words}", step.mistake and f"Not: {step.mistake}")
        for name, step in steps
    ]
    yield listed(items, none="Look for wet joints, loose mounts, coolant and gear oil.", box=True)


def _retorque(file: JobFile) -> Iterator[Block]:
    rows = [
        _row(file, name, group)
        for name, group in file.case.groups().items()
        if group.joint in JOINTS
    ]
    yield table(
        ("nuts", "torque", "what is done"), rows, (34, 44, 100),
        none="The sheet does not say what kind of joint its nuts hold: ask before pulling any again.",
    )  # fmt: skip


def _row(file: JobFile, name: str, group: FastenerGroup) -> tuple[str | Cell, ...]:
    found = advice(JOINTS[group.joint])
    torque = torque_of(file.case.book, name)
    what = "Pulled again" if found.retorque else "Looked at only"
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
