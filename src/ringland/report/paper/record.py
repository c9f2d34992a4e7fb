"""The record behind the build sheet: verdicts, readings, findings, decisions, parts, counts, work."""

from collections.abc import Iterator

from ringland.job.log.entries import Corrected, Withdrawn
from ringland.job.verdicts.verdict import Verdict
from ringland.report.drawings.verdict import verdict_picture
from ringland.report.paper.blocks import Block, Cell, Facts, Picture, Text, table
from ringland.report.paper.jobfile import JobFile, moment
from ringland.report.paper.pictures import drawing, file_name, photo, sign_of
from ringland.report.view import verdict_line
from ringland.report.words import outranked_words
from ringland.sheet.model import PHASES

NOT_READ_BACK = "*"  # beside a figure that nobody read back against the manual


def machine(file: JobFile) -> Facts:
    """Return what was worked on, and by which figures."""
    opened, sheet = file.opened, file.case.book.sheet
    baseline = opened.baseline
    first = file.case.state.entries[0].at if file.case.state.entries else ""
    return Facts(
        (
            ("machine", opened.machine),
            ("hours at this job", opened.hours or "not known"),
            ("engine", f"{sheet.engine}, {sheet.years}".rstrip(", ")),
            ("figures from", sheet.manual or "no manual is named in the sheet"),
            ("reason", opened.reason or "not said"),
            ("opened", moment(first)),
            (
                "own baseline",
                f"{baseline.value} on {baseline.gauge}, {baseline.hours}".rstrip(", ")
                if baseline
                else "none",
            ),
            ("entries", str(len(file.case.state.entries))),
        ),
        columns=2,
    )


def verdicts(file: JobFile, *, condition: str = "", phases: tuple[str, ...] = ()) -> Block:
    """Return the verdicts of all that was read, each drawn as value and band against its limits."""
    rows = [
        _verdict_row(file, verdict)
        for verdict in file.case.verdicts.values()
        if verdict.value is not None
        and condition in ("", verdict.condition)
        and (not phases or file.case.book.phase_of(verdict.check, verdict.condition) in phases)
    ]
    head = ("check", "read", "allowed", "value against limits", "verdict", "by")
    return table(head, rows, (27, 26, 45, 32, 34, 16), none="No reading was taken.")


def _verdict_row(file: JobFile, verdict: Verdict) -> tuple[str | Cell, ...]:
    line = verdict_line(file.case, verdict)
    check = file.case.book.sheet.checks[verdict.check]
    where = f"{line.part}, {line.condition}" if check.taken == "both" else line.part
    name = file_name(f"verdict-{verdict.check}-{verdict.condition}")
    svg = verdict_picture(verdict, name, small=True)
    chance = line.chance and f"conforms: {line.chance}"
    why = "" if line.limit else "see tests and their rules" if check.profile else line.reason
    beside = filter(None, [chance, why, line.plan, line.overruled])
    people = file.people(verdict.value.entries) if verdict.value else ""
    return (
        Cell(line.check, where, bold=True),
        line.value,
        Cell(line.limit, ruled(file, verdict)),
        Cell(picture=drawing(name, svg) if svg else None),
        Cell(line.word, "\n".join(beside), sign=sign_of(verdict.word)),
        Cell(", ".join(line.gauges), people),
    )


def ruled(file: JobFile, verdict: Verdict) -> str:
    """Return whose figure ruled and where it stands, marked where nobody read it back."""
    ruling = verdict.ruling
    if ruling is None:
        return ""
    said = ", ".join(filter(None, [ruling.source, ruling.figure.page]))
    if ruling.source not in file.case.book.leaflets and not file.is_read_back(verdict.check):
        said += f" {NOT_READ_BACK}"
    return said + outranked_words(ruling)


def read_back_note(file: JobFile) -> Text:
    """Say what the mark means, and how many figures it concerns."""
    sheet = file.case.book.sheet
    open_ones = [name for name in sheet.figures if not file.is_read_back(name)]
    if not open_ones:
        return Text("Every figure of the sheet was read back against the manual.", "note")
    return Text(
        f"{NOT_READ_BACK} not read back: nobody has compared this figure of the engine sheet with "
        f"the manual a second time ({len(open_ones)} of {len(sheet.figures)} figures of the sheet).",
        "note",
    )


def readings(file: JobFile) -> Block:
    """Return every reading as it was taken."""
    rows = []
    for (check, condition), said in file.case.state.readings.items():
        for each in said:
            fact = each.fact
            read = ", ".join(i.typed or i.number or i.evidence for i in fact.indications)
            insisted = f"kept though asked: {fact.insisted}" if fact.insisted else ""
            remark = "; ".join(filter(None, [fact.remark, insisted]))
            with_what = " at ".join(filter(None, [fact.gauge, fact.temperature]))
            name = " ".join(filter(None, [check, fact.place]))
            rows.append(
                (f"{name}, {condition}", Cell(read, remark), with_what, each.by, moment(each.at))
            )
    head = ("check and place", "as read", "gauge", "by", "when")
    return table(head, rows, (56, 44, 26, 18, 34), none="No reading was taken.", dense=True)


def findings(file: JobFile) -> Block:
    """Return what was seen and felt, what came of it, and its cause."""
    state = file.case.state
    rows = []
    for name, noted in state.noted.items():
        resolved, cause = state.resolved.get(name), state.causes.get(name)
        came = [f"resolved by {resolved.by}: {resolved.fact.how}"] if resolved else []
        if cause:
            came.append(f"cause, by {cause.by}: {cause.fact.cause}, because {cause.fact.evidence}")
        if name in file.case.brought.damages and not cause:
            came.append("no cause is named")
        seen = ", ".join(filter(None, [noted.fact.place, noted.fact.remark]))
        rows.append((Cell(name, seen, bold=True), "\n".join(came), noted.by, moment(noted.at)))
    head = ("finding", "what came of it", "by", "when")
    none = "Nothing out of the ordinary was noted."
    return table(head, rows, (56, 68, 20, 34), none=none, dense=True)


def decisions(file: JobFile) -> Block:
    """Return what people decided, overruled, signed, set aside or took over, with their reasons."""
    rows = [(Cell(what, bold=True), why, by, at) for what, why, by, at in _decisions(file)]
    none = "Nothing was decided against a verdict, signed or set aside."
    head = ("decision", "because", "by", "when")
    return table(head, rows, (58, 66, 20, 34), none=none, dense=True)


def _decisions(file: JobFile) -> Iterator[tuple[str, str, str, str]]:
    state = file.case.state
    for (check, condition), over in state.overruled.items():
        what = f"overruled: {check}, {condition}: {over.fact.decision}"
        yield what, over.fact.reason, over.by, moment(over.at)
    for part, said in state.decided.items():
        yield f"{part}: {said.fact.decision}", said.fact.reason, said.by, moment(said.at)
    for hold, signed in state.signed.items():
        yield f"signed: {hold}", signed.fact.reason, signed.by, moment(signed.at)
    for step, aside in state.aside.items():
        yield f"set aside: {step}", aside.fact.reason, aside.by, moment(aside.at)
    for check, planned in state.planned.items():
        what = f"planned: {check} {planned.fact.value}"
        yield what, planned.fact.reason, planned.by, moment(planned.at)
    for path, taken in state.taken_over.items():
        what = f"figure taken over: {path[1]} {taken.fact.text}"
        yield what, taken.fact.reason, taken.by, moment(taken.at)
    for part, losses in state.explained.items():
        for loss in losses:
            yield (
                f"accounted for: {loss.fact.count} {part}",
                loss.fact.how,
                loss.by,
                moment(loss.at),
            )


def parts(file: JobFile) -> Block:
    """Return the parts renewed, with what stood on them; a dash where nobody wrote it down."""
    rows = [
        (Cell(part, _leaflet(said.fact.leaflet), bold=True), str(said.fact.count),
         said.fact.label or "–", said.fact.batch or "–", said.by, moment(said.at))
        for part, renewals in file.case.state.renewed.items()
        for said in renewals
    ]  # fmt: skip
    head = ("part", "pcs", "label", "batch", "by", "when")
    return table(head, rows, (46, 9, 37, 34, 18, 34), none="No part was renewed.", dense=True)


def _leaflet(tree: dict[str, object] | None) -> str:
    return f"leaflet: {tree.get('part', 'kept')}" if tree else ""


def counts(file: JobFile) -> Block:
    """Return what was counted off and on."""
    sides: dict[str, dict[str, str]] = {}
    for tally in file.case.tallies:
        if tally.said is not None:
            lost = f" and {tally.explained} accounted for" if tally.explained else ""
            said = f"{tally.said} of {tally.expected}{lost if tally.side == 'off' else ''}"
            sides.setdefault(tally.part, {})[tally.side] = said
    rows = [
        (Cell(part, bold=True), each.get("off", "not counted"), each.get("on", "not counted"))
        for part, each in sides.items()
    ]
    head = ("counted part", "off", "on")
    return table(head, rows, (60, 60, 60), none="No part was counted.", dense=True)


def work(file: JobFile) -> Block:
    """Return the steps that were done, by phase, with who and when."""
    sheet, rows = file.case.book.sheet, []
    for phase in PHASES:
        together: dict[tuple[str, str], list[str]] = {}
        for name, step in file.case.steps.items():
            said = file.case.state.done.get(name)
            if step.phase == phase and said:
                people = ", ".join(dict.fromkeys(each.by for each in said))
                together.setdefault((moment(said[-1].at), people), []).append(name)
        title = sheet.phases[phase].title if phase in sheet.phases else phase
        for number, ((when, people), names) in enumerate(together.items()):
            head = Cell(title, bold=True) if number == 0 else ""
            rows.append((head, ", ".join(names), people, when))
    head_line = ("phase", "steps done", "by", "when")
    return table(head_line, rows, (30, 100, 16, 34), none="No step was ticked.", dense=True)


def mended(file: JobFile) -> Text:
    """Say how many entries were corrected or taken back; the log keeps them all."""
    entries = file.case.state.entries
    corrected = sum(isinstance(entry.fact, Corrected) for entry in entries)
    taken_back = sum(
        len(entry.fact.entries) for entry in entries if isinstance(entry.fact, Withdrawn)
    )
    return Text(
        f"Of {len(entries)} entries {corrected} were corrected and {taken_back} taken back; the log "
        f"keeps them all: ringland job export {file.job}",
        "note",
    )


def photos(file: JobFile) -> tuple[Picture, ...]:
    """Return all photos, each with what it belongs to."""
    found: list[Picture] = []
    for subject, taken in file.case.state.photos.items():
        for said in taken:
            fact = said.fact
            side = f", {fact.side} side" if fact.side else ""
            caption = (
                f"{subject}{side}. {fact.remark}".rstrip(". ") + f" ({said.by}, {moment(said.at)})"
            )
            name = f"photo-{len(found) + 1}"
            found.append(
                photo(
                    name,
                    file.photos.get(fact.photo),
                    alt=f"photo: {subject}{side}",
                    caption=caption,
                )
            )
    return tuple(found)
