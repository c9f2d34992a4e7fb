"""The build sheet: one page that an owner understands, the full record behind it."""

from collections import Counter
from collections.abc import Iterator

from ringland.report.paper import record
from ringland.report.paper.blocks import (
    Blanks,
    Block,
    Cell,
    Facts,
    Gallery,
    Heading,
    Items,
    Keep,
    NewPage,
    Paper,
    Text,
    listed,
    section,
    table,
)
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import sign_of
from ringland.report.paper.plots import plots
from ringland.report.paper.torques import torque_log
from ringland.report.view import (
    OpenLine,
    board,
    job_view,
    prestart_view,
    settings_view,
    verdict_line,
)
from ringland.report.words import overruled_words
from ringland.sheet.model import SCOPES

ON_FIRST_PAGE = 5  # lines of a list; the record behind holds them all
GOOD = ("within", "within, worn")


def build_sheet(file: JobFile) -> Paper:
    """Return the build sheet of a job."""
    blocks = (*_first_page(file), *_record(file))
    return Paper("build sheet", _title(file), file.about, file.date, blocks, one_page=True)


def _title(file: JobFile) -> str:
    hours = f" at {file.opened.hours}" if file.opened.hours else ""
    return f"{file.opened.machine}: {SCOPES[file.case.book.scope]}{hours}"


# -- the page for the owner ----------------------------------------------------------------------


def _first_page(file: JobFile) -> Iterator[Block]:
    yield state_of(file)
    yield Text(f"Why it was done: {file.opened.reason or 'not said'}.")
    yield from section("What was found", _found(file))
    yield from section("What is new", _new(file))
    yield from section("How it was left", _left(file))
    yield from section("What is open", *_open(file))
    yield from section("When it is due again", next_due(file))
    yield Text(
        "Running in, fuel and signs of danger stand on the owner's page. The maker's manual comes "
        "first; a computed figure never outranks it.",
        "note",
    )
    yield Blanks(
        ("for the bench: name, date, signature", "for the owner: name, date, signature"), 2
    )
    yield NewPage()


def state_of(file: JobFile) -> Block:
    """Return whether the machine may be started, and who says so."""
    handed = file.case.state.handed_over
    if handed and handed.fact.started:
        said = f"Handed over started and proven by {handed.by} on {handed.at[:10]}"
        return Text(": ".join(filter(None, [said, handed.fact.remark])) + ".", "lead")
    forbids = prestart_view(file.case)
    if handed:
        said = f"Handed over unstarted by {handed.by} on {handed.at[:10]}"
        said = ": ".join(filter(None, [said, handed.fact.remark]))
        return Text(f"{said}. Do not start it before what is open is closed.", "stop")
    if forbids:
        return Text(f"Not finished: {how_many(forbids)}. Do not start it yet.", "stop")
    return Text("Ready for the first start; not handed over yet.", "lead")


def _found(file: JobFile) -> Block:
    items = [
        Cell(name, said.fact.remark, bold=True) for name, said in file.case.state.noted.items()
    ]
    items += [
        Cell(
            f"{line.check}: {line.value or line.word}, {line.limit}".rstrip(", "),
            line.overruled or line.todo or line.reason,
            sign=sign_of(line.word),
        )
        for line in board(file.case)
        if line.condition == "as found" and line.value and line.word not in (*GOOD, "not judged")
    ]
    return short(items, none="Nothing out of the ordinary; all that was read is within its limits.")


def _new(file: JobFile) -> Block:
    renewed = [
        f"{part}{': ' + said.fact.label if said.fact.label else ''}"
        for part, renewals in file.case.state.renewed.items()
        for said in renewals
    ]
    if not renewed:
        return Text("No part was renewed.")
    return Text(f"{len(renewed)} parts: {', '.join(renewed)}.")


def _left(file: JobFile) -> Block:
    fitted = {
        line.check for line in board(file.case) if line.value and line.condition == "as fitted"
    }
    lines = [
        line
        for line in board(file.case)
        if line.value
        and (
            line.condition == "as fitted"
            or (
                line.word == "within, worn"
                and not {line.check, line.part} & {*fitted, *file.case.renew}
            )
        )
    ]
    items = [
        Cell(f"{line.check}, {line.condition}: {line.value}", sign=sign_of(line.word))
        for line in lines
    ]
    tight = [n for n in file.case.groups() if file.case.progress(n).is_complete]
    groups = len(file.case.groups())
    items.append(Cell(f"{len(tight)} of {groups} groups of fasteners are tightened and logged"))
    return short(items, none="")


# what forbids the first start, in words for one and for several
KINDS = {
    "stop": ("stop", "stops"),
    "torque": ("tightening", "tightenings"),
    "count": ("count", "counts"),
    "test": ("test", "tests"),
    "witness": ("second look", "second looks"),
    "cause": ("cause to name", "causes to name"),
    "decision": ("decision", "decisions"),
    "reading": ("reading", "readings"),
    "part": ("new part to get", "new parts to get"),
    "step": ("step of the work", "steps of the work"),
}


def how_many(forbids: list[OpenLine]) -> str:
    """Return how many things forbid the first start; the number has this meaning on every paper."""
    return f"{len(forbids)} thing{'s forbid' if len(forbids) > 1 else ' forbids'} the first start"


def by_kind(forbids: list[OpenLine]) -> Text:
    """Say of which kinds they are; the parts add up to the whole."""
    counted = Counter(each.kind for each in forbids)
    said = [f"{n} {KINDS[kind][n > 1]}" for kind, n in counted.items()]
    return Text(f"{how_many(forbids)}: {', '.join(said)}.")


def forbidding(forbids: list[OpenLine]) -> list[Cell]:
    """Return each thing that forbids the first start, the worst first."""
    return [Cell(each.what, each.todo) for each in forbids]


def left_open(file: JobFile) -> list[Cell]:
    """Return what forbids no start and yet is open: overruled, signed, or asking for somebody.

    What a thing that forbids the start already names is not told twice.
    """
    case = file.case
    told = {each.what.partition(":")[0].partition(",")[0] for each in prestart_view(case)}
    items = [
        Cell(f"{v.check}, {v.condition}: {v.word}", overruled_words(v), sign=sign_of(v.word))
        for v in case.verdicts.values()
        if v.overruled is not None
    ]
    items += [
        Cell(f"{hold} was signed by {said.by}", said.fact.reason)
        for hold, said in case.state.signed.items()
    ]
    items += [
        Cell(f"{line.check}, {line.condition}: {line.word}", line.todo or line.reason,
             sign=sign_of(line.word))
        for line in job_view(case, file.job).asks
        if line.check not in told
    ]  # fmt: skip
    return items


def _open(file: JobFile) -> Iterator[Block]:
    forbids, others = prestart_view(file.case), left_open(file)
    if not forbids and not others:
        yield Text("Nothing is open.")
    if forbids:
        yield by_kind(forbids)
        yield short(forbidding(forbids), none="")
    if others:
        yield Text(beside(forbids, others))
        yield short(others, none="")


def beside(forbids: list[OpenLine], others: list[Cell]) -> str:
    """Say how many points are open that forbid no start."""
    points = (
        f"{len(others)} point{'s that forbid' if len(others) > 1 else ' that forbids'} no start"
    )
    return f"Beside these {len(forbids)}, {points}:" if forbids else f"Open are {points}:"


def next_due(file: JobFile) -> Block:
    """Return the hours of each part against the maker's interval."""
    rows = [
        (
            Cell(each.part, bold=True),
            "not known" if each.run is None else f"{each.run:.1f} h",
            each.words,
        )
        for each in file.hours
    ]
    return table(
        ("part", "run", "left"), rows, (50, 30, 100),
        none="The sheet gives no intervals: judge by the drop of compression from the own baseline.",
    )  # fmt: skip


def short(items: list[Cell], *, none: str, most: int = ON_FIRST_PAGE) -> Block:
    """Return a list that fits on a first page; what it leaves out stands in the record."""
    if len(items) <= most:
        return listed(items, none=none)
    shown = items[: most - 1]
    return Items(
        (*shown, Cell(f"and {len(items) - len(shown)} more of {len(items)}, in the record"))
    )


# -- the record ----------------------------------------------------------------------------------


def _record(file: JobFile) -> Iterator[Block]:
    empty = []
    for title, blocks in _sections(file):
        if len(blocks) == 1 and isinstance(blocks[0], Text):  # the sentence that there is nothing
            empty.append((title, blocks[0].text))
        else:
            yield from section(title, *blocks)
    ending = (
        *section("Baseline", _baseline(file), record.mended(file)),
        *(section("Without entries", Facts(tuple(empty))) if empty else ()),
        Heading("Signatures"),
        _signatures(),
    )
    yield Keep(ending)  # together, so that no page holds the signatures alone


def _sections(file: JobFile) -> Iterator[tuple[str, tuple[Block, ...]]]:
    yield "The machine", (record.machine(file),)
    yield "Verdicts", (record.verdicts(file), record.read_back_note(file), _norm(file))
    yield "Findings", (record.findings(file),)
    yield "Decisions, signatures and what was overruled", (record.decisions(file),)
    yield "Parts renewed", (record.parts(file),)
    yield "Counted off and on", (record.counts(file),)
    yield "Settings used", (_settings(file),)
    yield "Torque log", tuple(torque_log(file))
    yield "Tests and their rules", (_tests(file),)
    yield "Fluids measured", tuple(_fluids(file))
    yield "Plots", tuple(_plots(file))
    yield "Readings as taken", (record.readings(file),)
    yield "Work done", (record.work(file),)
    pictures = record.photos(file)
    yield "Photos", (Gallery(pictures) if pictures else Text("No photo was taken."),)
    yield "Open points", tuple(_open_points(file))


def _signatures() -> Blanks:
    done = ("stripped by", "measured by", "built by", "tightened by", "tested by", "handed over to")
    return Blanks(tuple(f"{each}: name, date" for each in done), 3)


def _norm(file: JobFile) -> Text:
    norms = file.case.book.norms
    return Text(
        f"Within at {100 * norms.prove:.0f} % probability of conforming or more, beyond at "
        f"{100 * norms.disprove:.0f} % or less, undecided between (ISO 14253-1, JCGM 106). ± is at 95 %. "
        "In a picture the wall is the limit, the doubled line the wear allowance, the arrows the ±.",
        "note",
    )


def _open_points(file: JobFile) -> Iterator[Block]:
    forbids, others = prestart_view(file.case), left_open(file)
    if not forbids and not others:
        yield Text("Nothing is open.")
    if forbids:
        yield by_kind(forbids)
        yield Items(tuple(_together(forbids)))
    if others:
        yield Text(beside(forbids, others))
        yield listed(others, none="", columns=2)


def _together(forbids: list[OpenLine]) -> Iterator[Cell]:
    """What is open for the same reason, under that reason."""
    groups: dict[tuple[str, str], list[OpenLine]] = {}
    for each in forbids:
        groups.setdefault((each.kind, each.what.partition(": ")[2]), []).append(each)
    for (_, reason), found in groups.items():
        if len(found) == 1 or not reason:
            yield from forbidding(found)
        else:
            names = ", ".join(each.what.partition(": ")[0] for each in found)
            yield Cell(f"{len(found)} {reason}: {names}")


def _settings(file: JobFile) -> Block:
    rows = []
    for line in settings_view(file.case):
        value = line.value or f"not given: {line.missing}"
        rests_on = "; ".join(filter(None, [line.remark.rstrip("."), line.source]))
        name = Cell(f"\N{EM SPACE}{line.name}") if line.of else Cell(line.name, bold=True)
        rows.append((name, Cell(value, rests_on, bold=True, inline=True)))
    head = ("setting", "value, and what it rests on")
    return table(head, rows, (34, 146), none="The job sets nothing.", dense=True)


def _tests(file: JobFile) -> Block:
    rows = []
    for verdict in file.case.verdicts.values():
        check = file.case.book.sheet.checks[verdict.check]
        if not check.profile or verdict.value is None:
            continue
        profile = file.case.book.figures.tests.get(check.profile)
        rule = profile.typed if profile else "no rule in the sheet"
        word = Cell(verdict.word, verdict.reason, sign=sign_of(verdict.word))
        people = file.people(verdict.value.entries)
        name = Cell(verdict.check, verdict.condition, bold=True)
        rows.append((name, verdict.value.shown, rule, word, people))
    head = ("test", "read", "rule", "verdict", "by")
    return table(head, rows, (34, 32, 40, 58, 18), none="No pressure test was made.")


def _fluids(file: JobFile) -> Iterator[Block]:
    """What drained and what went in; what the sheet asks for stands among the settings."""
    lines = [
        f"{verdict.check}: {verdict_line(file.case, verdict).value}"
        for verdict in file.case.verdicts.values()
        if file.case.book.sheet.checks[verdict.check].unit == "volume" and verdict.value is not None
    ]
    if lines:
        yield listed(lines, none="")


def _plots(file: JobFile) -> list[Block]:
    found = plots(file)
    return [Gallery(tuple(found))] if found else [Text("Too little was read for a plot.")]


def _baseline(file: JobFile) -> Text:
    new = file.case.verdicts.get(("cranking compression", "as fitted"))
    old = file.opened.baseline
    was = (
        f"Until now: {old.value} on {old.gauge}, {old.hours}".rstrip(", ")
        if old
        else "None until now"
    )
    if new is None or new.value is None:
        return Text(f"{was}. Take a new one on the same gauge after the first real ride.")
    return Text(f"{was}. Read after this job: {new.value.shown} on {', '.join(new.value.gauges)}.")
