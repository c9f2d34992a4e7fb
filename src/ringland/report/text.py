"""The view as text for a person: short, aligned, the next action last."""

import re
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from ringland.fasten.wrench import WrenchSetting
from ringland.quantity import show
from ringland.report.change import ChangeView
from ringland.report.measured import budget_words
from ringland.report.view import (
    JobView,
    OpenLine,
    PartLine,
    PartsView,
    PlanLine,
    SettingLine,
    VerdictLine,
    in_sections,
)
from ringland.sheet.model import PHASES

SHOUTED = {"beyond": "BEYOND", "readings disagree": "READINGS DISAGREE"}
INDENT, HOW = "  ", " " * 8
WIDTH = 100  # of a line that is wrapped
AT_MOST = 6  # lines of one kind before they are told in one
NEVER = {True: " (can never be signed away)", False: ""}


def columns(rows: Iterable[Sequence[str]], *, indent: str = INDENT, most: int = 44) -> list[str]:
    """Return rows of cells as aligned lines; a cell longer than `most` does not widen its column."""
    found = [list(row) for row in rows]
    if not found:
        return []
    count = max(len(row) for row in found)
    widths = [
        max((len(row[i]) for row in found if i < len(row) and len(row[i]) <= most), default=0)
        for i in range(count)
    ]
    return [
        (indent + "  ".join(f"{cell:<{widths[i]}}" for i, cell in enumerate(row))).rstrip()
        for row in found
    ]


def job_text(view: JobView) -> str:
    """Return where a job stands."""
    hours = f" at {view.hours}" if view.hours else ""
    head = f"{view.machine}, job {view.job}: {view.scope}{hours}"
    state = f"handed over {view.handed_over}" if view.handed_over else f"phase: {view.phase}"
    safe = ", left safe" if view.safe else ""
    lines = [f"{head:<56}  {state}{safe}, {view.entries} entries"]
    lines += [f"  STOP  {stop}" for stop in view.stops]
    lines += [f"  count  {each}" for each in view.counts]
    if view.asks:
        lines += ["  asks for you", *_verdicts(view.asks, indent="    ")]
    if view.to_get or view.waiting:
        waiting = f", {', '.join(view.waiting)} waits for readings" if view.waiting else ""
        lines.append(f"  parts  {view.to_get} to get now{waiting}")
    if not view.handed_over:
        lines.append(next_text(view.next))
    return "\n".join(lines)


def next_text(line: PlanLine | None, *, caution: bool = True) -> str:
    """Return the next action as one line, with its hazard unless it was said just before."""
    if line is None:
        return "  next   nothing: all is done"
    if line.state == "waits":
        return f"  next   {line.name} waits for: {'; '.join(line.waits_for[:3])}"
    minutes = f"  ({line.minutes} min)" if line.minutes else ""
    verb = {
        "reading": "measure",
        "decision": "decide",
        "cause": "name the cause of",
        "part": "renew",
        "hold": "hold point",
    }.get(line.kind, "do")
    lines = [f"  next   {verb} {line.name}{minutes}"]
    if line.caution and caution:
        lines.append(f"         ! {line.caution}")
    return "\n".join(lines)


def board_text(lines: Sequence[VerdictLine], *, chances: bool = False) -> str:
    """Return the verdict board; `chances` adds probability, ruling figure and budget."""
    if not lines:
        return "no readings yet"
    found = _verdicts(lines, indent="")
    if not chances:
        return "\n".join(found)
    detailed = []
    for line in lines:
        detailed += _verdicts([line], indent="")
        if line.chance:
            detailed.append(f"    conforms with a probability of {line.chance}")
        if line.ruled_by:
            detailed.append(f"    {line.ruled_by}")
        if line.gauges:
            detailed.append(f"    read with {', '.join(line.gauges)}")
        if line.measured:
            detailed += [f"    {each}" for each in budget_words(line.measured)]
    return "\n".join(detailed)


def _verdicts(lines: Sequence[VerdictLine], *, indent: str) -> list[str]:
    rows = []
    for line in lines:
        fitted = ", as fitted" if line.condition == "as fitted" else ""
        word = SHOUTED.get(line.word, line.word)
        beside = "; ".join(filter(None, [line.plan, line.overruled, _first_sentence(line.todo)]))
        value = line.value or ""
        limit = f"({line.limit})" if line.limit else ""
        rows.append([f"{line.check}{fitted}", value, limit, word, beside or _reason(line)])
    return columns(rows, indent=indent)


def _first_sentence(text: str) -> str:
    """A table has room for one sentence; the whole stands with the reading."""
    head, dot, _ = text.partition(". ")
    return head + dot.strip()


def _reason(line: VerdictLine) -> str:
    return "" if line.limit and line.word in ("within", "within, worn") else line.reason


def change_text(view: ChangeView) -> str:
    """Return what an act changed: by word, one reason, the next action."""
    lines = [f"  {each}" for each in view.kept]
    for line in view.verdicts:
        lines += _verdicts([line], indent=INDENT)
        if line.reason and not line.limit:
            lines.append(f"    {line.reason}") if line.reason not in lines[-1] else None
        if "outranks" in line.ruled_by:
            lines.append(f"    {line.ruled_by}")
    lines += [f"    {each}" for each in view.told]
    lines += [f"  STOP  {stop}" for stop in view.stops]
    lines += [f"  no longer stopped by: {each}" for each in view.lifted]
    if view.parts_added:
        lines.append(f"  added to the parts: {', '.join(view.parts_added)}")
    if view.parts_gone:
        lines.append(f"  no longer needed: {', '.join(view.parts_gone)}")
    if view.steps_added:
        lines.append(f"  added to the work: {', '.join(view.steps_added)}")
    lines += [f"  {each}" for each in view.questions]
    lines.append(next_text(view.next, caution=view.next_is_new))
    return "\n".join(lines)


def plan_text(lines: Sequence[PlanLine], *, everything: bool = False) -> str:
    """Return what is left in working order: the phase in hand in full, later ones in a line each.

    everything : all phases in full, and what is done
    """
    left = [line for line in lines if everything or line.state != "done"]
    if not left:
        return "all done"
    in_hand = next((line.phase for line in left if line.state == "ready"), left[0].phase)
    found: list[str] = []
    for phase in dict.fromkeys(line.phase for line in left):
        of_phase = [line for line in left if line.phase == phase]
        ready = [line for line in of_phase if line.state == "ready"]
        if everything or phase == in_hand or PHASES.index(phase) < PHASES.index(in_hand):
            found += [phase, *map(_plan_row, of_phase)]
            continue
        now = f"; can be done now: {', '.join(map(_named, ready))}" if ready else ""
        found.append(f"{phase}: {len(of_phase)} left{now}")
    return "\n".join(found)


def _plan_row(line: PlanLine) -> str:
    sign = {"done": "x", "ready": ">", "waits": " "}[line.state]
    waits = f"  waits for {', '.join(line.waits_for[:2])}" if line.state == "waits" else ""
    more = f" and {len(line.waits_for) - 2} more" if len(line.waits_for) > 2 else ""
    return f"  {sign} {_named(line)}{waits}{more}"


def _named(line: PlanLine) -> str:
    return {
        "reading": f"measure {line.name}",
        "decision": f"decide {line.name}",
        "cause": f"cause of {line.name}",
        "part": f"new {line.name}",
        "hold": f"[hold] {line.name}",
    }.get(line.kind, line.name)


def parts_text(view: PartsView, *, title: str = "", things: bool = True) -> str:
    """Return the parts list in two waves, with what kits leave out.

    things : tools and supplies too
    """
    lines = [title] if title else []
    lines += _wave("needed whatever is found", view.first)
    lines += _wave("size or need hangs on measuring", view.second)
    for kit, names in view.left_out.items():
        lines.append(f"a {kit} usually leaves out: {', '.join(names)}")
    for name, wanted in (("tools", view.tools), ("supplies", view.supplies)):
        if wanted and things:
            lines.append(name)
            lines += columns([thing.name, thing.why] for thing in wanted)
    return "\n".join(lines)


def _wave(title: str, lines: Sequence[PartLine]) -> Iterator[str]:
    if not lines:
        return
    yield title
    rows = []
    for line in lines:
        state = "in hand" if line.in_hand else ""
        if line.waits_for and not line.in_hand:
            state = f"waits for {', '.join(line.waits_for)}"
        rows.append([f"{line.count} ×", line.name, state, line.why])
    yield from columns(rows)


def settings_text(lines: Sequence[SettingLine]) -> str:
    """Return the settings of the build: name, value and source in columns, how below each."""
    rows = [
        (
            f"  {line.name}" if line.of else line.name,
            line.value or f"not given: {line.missing}",
            f"[{line.source}]" if line.source else "",
        )
        for line in lines
    ]
    aligned = iter(columns(rows, most=48))
    found: list[str] = []
    for title, own in in_sections(lines):
        found.append(title)
        for line in own:
            found += [next(aligned), *_wrapped(line.remark)]
    return "\n".join(
        [*found, "The maker's manual comes first; a computed figure never outranks it."]
    )


def _wrapped(text: str) -> list[str]:
    """Return a text in lines below what it tells of; a number keeps its unit."""
    glued = re.sub(r"(?<=[\d±]) (?=\S)", "\u00a0", text)
    lines = wrap(glued, WIDTH, initial_indent=HOW, subsequent_indent=HOW, break_on_hyphens=False)
    return [line.replace("\u00a0", " ") for line in lines]


def prestart_text(lines: Sequence[OpenLine], *, everything: bool = False) -> str:
    """Return what forbids the first start; many of one kind in one line unless all are wanted."""
    if not lines:
        return "nothing forbids the first start. Outdoors, extinguisher at hand, kill switch proven first."
    rows = []
    for kind in dict.fromkeys(line.kind for line in lines):
        of_kind = [line for line in lines if line.kind == kind]
        if len(of_kind) > AT_MOST and not everything:
            names = list(dict.fromkeys(line.what.partition(":")[0] for line in of_kind))
            more = " ..." if len(names) > AT_MOST else ""
            rows.append([kind, f"{len(of_kind)} open: {', '.join(names[:AT_MOST])}{more}", ""])
            continue
        rows += [[kind, line.what, line.todo + NEVER[line.never_signed]] for line in of_kind]
    return "\n".join([f"forbids the first start ({len(lines)})", *columns(rows, most=60)])


def stages_text(stages: Sequence[tuple[str, WrenchSetting | str]]) -> list[str]:
    """Return the setting of each stage with the wrench in hand, or why there is none."""
    rows = []
    for name, found in stages:
        if isinstance(found, str):
            rows.append([name, found])
            continue
        unit = found.wrench.unit
        remark = "" if found.deviation else "below what the wrench claims; snug is enough"
        rows.append(
            [
                name,
                f"set {found.mark} {unit.name}",
                f"the nut gets {show(found.torque, unit, 1)}",
                remark,
            ]
        )
    return columns(rows, most=80)
