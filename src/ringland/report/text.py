"""The view as text for a person: short, aligned, the next action last.

width : of the screen, in characters; 0 for what is piped, which is never folded
"""

from collections.abc import Iterator, Sequence

from ringland.fasten.wrench import WrenchSetting
from ringland.quantity import show
from ringland.report.change import ChangeView
from ringland.report.layout import INDENT, below, columns, grid
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
from ringland.report.words import ended_words
from ringland.sheet.model import PHASES

SHOUTED = {"beyond": "BEYOND", "readings disagree": "READINGS DISAGREE"}
HOW = " " * 8
WIDTH = 100  # of a remark that is piped
SCREEN = 12  # lines of what is open before each kind of it is told in one
AT_MOST = 4  # names in such a line
# the order in which it is put right, first what everything else waits for
IN_TURN = (
    "stop", "cause", "reading", "decision", "part", "step", "witness", "count", "torque", "test",
)  # fmt: skip
NEVER = {True: " (can never be signed away)", False: ""}


def job_text(view: JobView, *, width: int = 0) -> str:
    """Return where a job stands."""
    hours = f" at {view.hours}" if view.hours else ""
    head = f"{view.machine}, job {view.job}: {view.scope}{hours}"
    safe = ", left safe" if view.safe else ""
    state = f"{_ended(view) or f'phase: {view.phase}'}{safe}, {view.entries} entries"
    lines = [f"{head:<56}  {state}"]
    if width and len(lines[0]) > width:
        lines = [head, f"  {state}"]
    lines += [f"  STOP  {stop_words(stop)}" for stop in view.stops]
    lines += [f"  count  {each}" for each in view.counts]
    if view.asks:
        lines += ["  asks for you", *_verdicts(view.asks, indent="    ", width=width)]
    if view.to_get or view.waiting:
        wait = "waits" if len(view.waiting) == 1 else "wait"
        waiting = f"; {' and '.join(view.waiting)} {wait} for readings" if view.waiting else ""
        lines.append(f"  parts  {view.to_get} to get now{waiting}")
    if not view.handed_over:
        lines.append(next_text(view.next))
    return "\n".join(lines)


def stop_words(stop: str) -> str:
    """Return a stop without its source where the sentence says it again.

    >>> stop_words("power valve binds: The power valve binds; the first start waits.")
    'The power valve binds; the first start waits.'
    >>> stop_words("metal specks: Metal on the plug.")
    'metal specks: Metal on the plug.'
    """
    source, _, sentence = stop.partition(": ")
    return sentence if sentence.startswith(f"The {source}") else stop


def _ended(view: JobView) -> str:
    return ended_words(view.handed_over) if view.handed_over else ""


def next_text(line: PlanLine | None, *, caution: bool = True) -> str:
    """Return the next action as one line, with its hazard unless it was said just before."""
    if line is None:
        return "  next   nothing: all is done"
    name = _reading(line.name) if line.kind == "reading" else line.name
    if line.state == "waits":
        return f"  next   {name} waits for: {'; '.join(line.waits_for[:3])}"
    minutes = f"  ({line.minutes} min)" if line.minutes else ""
    verb = {
        "reading": "measure",
        "decision": "decide",
        "cause": "name the cause of",
        "part": "renew",
        "hold": "hold point",
    }.get(line.kind, "do")
    lines = [f"  next   {verb} {name}{minutes}"]
    if line.caution and caution:
        lines.append(f"         ! {line.caution}")
    return "\n".join(lines)


def board_text(lines: Sequence[VerdictLine], *, chances: bool = False, width: int = 0) -> str:
    """Return the verdict board; `chances` adds probability, ruling figure and budget."""
    if not lines:
        return "no readings yet"
    found = _verdicts(lines, indent="", width=width)
    if not chances:
        return "\n".join(found)
    detailed = []
    for line in lines:
        detailed += _verdicts([line], indent="", width=width)
        if line.chance:
            detailed.append(f"    conforms with a probability of {line.chance}")
        if line.ruled_by:
            detailed.append(f"    {line.ruled_by}")
        if line.gauges:
            detailed.append(f"    read with {', '.join(line.gauges)}")
        if line.measured:
            detailed += [f"    {each}" for each in budget_words(line.measured)]
    return "\n".join(detailed)


def _verdicts(lines: Sequence[VerdictLine], *, indent: str, width: int) -> list[str]:
    """One line each; on a screen that is too narrow, what to do about a reading stands below it."""
    rows = [_verdict_row(line) for line in lines]
    wide = columns(rows, indent=indent)
    if not width or max(map(len, wide)) <= width:
        return wide
    heads = [[name, word, f"{value} {limit}".strip()] for name, value, limit, word, _ in rows]
    found: list[str] = []
    for line, row, head in zip(lines, rows, grid(heads, indent=indent, width=width), strict=True):
        found += head
        if line.value or row[-1] != line.todo:  # how to take a reading is told when it is next
            found += below(row[-1], f"{indent}    ", width)
    return found


def _verdict_row(line: VerdictLine) -> list[str]:
    fitted = ", as fitted" if line.condition == "as fitted" else ""
    word = SHOUTED.get(line.word, line.word)
    beside = "; ".join(filter(None, [line.plan, line.overruled, _first_sentence(line.todo)]))
    limit = f"({line.limit})" if line.limit else ""
    return [f"{line.check}{fitted}", line.value or "", limit, word, beside or _reason(line)]


def _first_sentence(text: str) -> str:
    """A table has room for one sentence; the whole stands with the reading."""
    head, dot, _ = text.partition(". ")
    return head + dot.strip()


def _reason(line: VerdictLine) -> str:
    return "" if line.limit and line.word in ("within", "within, worn") else line.reason


def change_text(view: ChangeView, *, width: int = 0) -> str:
    """Return what an act changed: by word, one reason, the next action."""
    lines = [f"  {each}" for each in view.kept]
    for line in view.verdicts:
        lines += _verdicts([line], indent=INDENT, width=width)
        if line.reason and not line.limit and line.reason not in _verdict_row(line)[-1]:
            lines.append(f"    {line.reason}")
        if "outranks" in line.ruled_by:
            lines.append(f"    {line.ruled_by}")
    lines += [f"    {each}" for each in view.told]
    lines += [f"  STOP  {stop_words(stop)}" for stop in view.stops]
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
        "reading": f"measure {_reading(line.name)}",
        "decision": f"decide {line.name}",
        "cause": f"cause of {line.name}",
        "part": f"new {line.name}",
        "hold": f"[hold] {line.name}",
    }.get(line.kind, line.name)


def _reading(name: str) -> str:
    """Name a reading; that it is of the part as found goes without saying."""
    return name.removesuffix(", as found")


def parts_text(view: PartsView, *, title: str = "", things: bool = True, width: int = 0) -> str:
    """Return the parts list in two waves, with what kits leave out.

    things : tools and supplies too
    """
    lines = [title] if title else []
    lines += _wave("needed whatever is found", view.first, width)
    lines += _wave("size or need hangs on measuring", view.second, width)
    for kit, names in view.left_out.items():
        lines.append(f"a {kit} usually leaves out: {', '.join(names)}")
    for name, wanted in (("tools", view.tools), ("supplies", view.supplies)):
        if wanted and things:
            lines.append(name)
            lines += columns(([thing.name, thing.why] for thing in wanted), width=width)
    return "\n".join(lines)


def _wave(title: str, lines: Sequence[PartLine], width: int) -> Iterator[str]:
    if not lines:
        return
    yield title
    rows = []
    for line in lines:
        state = "in hand" if line.in_hand else ""
        if line.waits_for and not line.in_hand:
            state = f"waits for {', '.join(line.waits_for)}"
        rows.append([f"{line.count} ×", line.name, state, line.why])
    yield from columns(rows, width=width)


def settings_text(lines: Sequence[SettingLine], *, width: int = 0) -> str:
    """Return the settings of the build: name, value and source in columns, how below each."""
    rows = [_setting_row(line) for line in lines]
    narrow = bool(width) and max(map(len, columns(rows)), default=0) > width
    if narrow:  # the source goes with how, where there is a how
        rows = [
            [r[0], r[1] if line.remark else f"{r[1]}  {r[2]}".strip()]
            for r, line in zip(rows, lines, strict=True)
        ]
    aligned = iter(grid(rows, width=width))
    found: list[str] = []
    for title, own in in_sections(lines):
        found.append(title)
        for line in own:
            found += next(aligned)
            how = f"{line.remark}  {_source(line)}" if narrow and line.remark else line.remark
            found += below(how.strip(), HOW, width or WIDTH)
    return "\n".join(
        [*found, "The maker's manual comes first; a computed figure never outranks it."]
    )


def _setting_row(line: SettingLine) -> list[str]:
    name = f"  {line.name}" if line.of else line.name
    return [name, line.value or f"not given: {line.missing}", _source(line)]


def _source(line: SettingLine) -> str:
    return f"[{line.source}]" if line.source else ""


def prestart_text(
    lines: Sequence[OpenLine], following: PlanLine | None = None, *, everything: bool = False,
    width: int = 0,
) -> str:  # fmt: skip
    """Return what forbids the first start, in the order in which it is put right.

    Where that is more than a screen, what is open in the same way is told in one line.
    following : what to do next; everything : each thing in a line of its own
    """
    if not lines:
        left = (
            "Outdoors, extinguisher at hand, kill switch proven first."
            if following
            else "All is done."
        )
        return f"nothing forbids the first start. {left}"
    short = len(lines) > SCREEN and not everything
    found: dict[tuple[str, str], list[OpenLine]] = {}
    for line in sorted(lines, key=lambda line: IN_TURN.index(line.kind)):
        name, _, how = line.what.partition(": ")
        found.setdefault((line.kind, how if short else name), []).append(line)
    rows = []
    for (kind, how), alike in found.items():
        one_line = short and len(alike) > 1
        rows += [[kind, _counted(how, alike)]] if one_line else [[kind, *_open(e)] for e in alike]
    told = [f"forbids the first start ({len(lines)})", *columns(rows, most=60, width=width)]
    if short:
        told += [next_text(following), "  each of them: prestart -a"]
    return "\n".join(told)


def _open(line: OpenLine) -> list[str]:
    what, never = stop_words(line.what), NEVER[line.never_signed]
    return [what, line.todo + never] if line.todo else [what + never]


def _counted(how: str, lines: Sequence[OpenLine]) -> str:
    names = list(dict.fromkeys(line.what.partition(":")[0] for line in lines))
    more = " ..." if len(names) > AT_MOST else ""
    return f"{len(lines)} {how}: {', '.join(names[:AT_MOST])}{more}"


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
