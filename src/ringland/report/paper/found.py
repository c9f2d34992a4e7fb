"""The end of the guide: what may be found, with a picture where one says something, and what it brings."""

from collections.abc import Iterator

from ringland.report.drawings.findings import finding_picture
from ringland.report.paper.blocks import (
    Beside,
    Block,
    Cell,
    Gallery,
    Heading,
    NewPage,
    Text,
    listed,
    section,
    table,
)
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import drawing
from ringland.sheet.model import Finding

FINDINGS = "What you may find"  # the heading, which the guide's steps name


def found_and_added(file: JobFile) -> Iterator[Block]:
    """Return the findings of the engine, then the steps that only a finding or verdict adds."""
    sheet = file.case.book.sheet
    findings = {name: f for name, f in sheet.findings.items() if sheet.has(f.fitted_to)}
    seen = {name: finding_picture(name, str(n)) for n, name in enumerate(findings)}
    pictured = [
        _pictured(name, findings[name], svg, number)
        for number, (name, svg) in enumerate(seen.items())
        if svg
    ]
    rows = [(Cell(name, bold=True), f.words, what_to_do(f)) for name, f in findings.items()
            if not seen[name]]  # fmt: skip
    steps = [
        Cell(name, step.words, bold=True)
        for name, step in sheet.steps.items()
        if step.only_when_added and name not in file.case.steps and sheet.has(step.fitted_to)
    ]
    if findings or steps:
        yield NewPage()
    yield from section(FINDINGS, *([Gallery(tuple(pictured))] if pictured else []))
    if rows:
        head = ("finding", "looks like", "next")
        yield from section(
            "What else you may find", table(head, rows, (44, 66, 68), none="", dense=True)
        )
    if steps:
        yield from section(
            "Steps only where something calls for them", listed(steps, none="", box=True, columns=2)
        )


def what_to_do(finding: Finding) -> str:
    """Return the next act, else what to check, else what the finding settles."""
    lifts = f"Settles: {', '.join(finding.lifts)}." if finding.lifts else ""
    return finding.brings.say or finding.check or lifts or finding.likely


def _pictured(name: str, finding: Finding, svg: str, number: int) -> Beside:
    words = (Heading(name, 2), Text(finding.words), Text(f"Next: {what_to_do(finding)}", "note"))
    return Beside(drawing(f"finding-{number}", svg), words, share=0.21)
