"""Bag labels: step, parts with their count, orientation, and a QR code that opens the step."""

from urllib.parse import quote

from ringland.report.paper.bags import Bag, bags
from ringland.report.paper.blocks import Label, Paper
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import code

MOST_PARTS = 7  # lines on a label; more are told in one


def bag_labels(file: JobFile) -> Paper:
    """Return the labels of a job's bags. Raises ValueError where nothing comes off."""
    labels = tuple(_label(file, bag) for bag in bags(file))
    if not labels:
        raise ValueError(
            f"{file.about}: nothing comes off in this scope, so there is no bag to label"
        )
    title = f"{len(labels)} bag labels, to be cut along the dashed lines"
    return Paper("bag labels", title, file.about, file.date, labels=labels)


def step_address(file: JobFile, step: str) -> str:
    """Return where the page of a step is."""
    return f"{file.address.rstrip('/')}/job/{quote(file.job)}/step/{quote(step)}"


def _label(file: JobFile, bag: Bag) -> Label:
    address = step_address(file, bag.step)
    lines = [
        f"{count} × {part}{', renewed' if part in bag.new else ''}" for part, count in bag.parts
    ]
    if len(lines) > MOST_PARTS:
        lines = [
            *lines[: MOST_PARTS - 1],
            f"and {len(lines) - MOST_PARTS + 1} more: see the tray plan",
        ]
    return Label(
        bag.number,
        bag.step,
        tuple(lines),
        bag.orientation,
        f"{file.about}. Back at: {bag.back}",
        code(f"code-{bag.number}", address),
        address,
    )
