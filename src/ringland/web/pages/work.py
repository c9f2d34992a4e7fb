"""Steps, parts and findings: what is done, counted, seen, decided, photographed."""

from collections.abc import Iterable

from ringland.bench.refusal import Refused
from ringland.job.counts import Tally
from ringland.job.holds import Open, open_at
from ringland.job.log.entries import PhotoTaken
from ringland.job.log.fold import Said
from ringland.job.plan import plan
from ringland.report.drawings.findings import finding_picture
from ringland.report.view import VerdictLine, board, plan_line, verdict_line
from ringland.web.pages.look import Context, Look, base

SIDES = (("EX", "exhaust"), ("IN", "intake"), ("IGN", "ignition"), ("CL", "clutch"))


def step(look: Look) -> tuple[str, Context]:
    """The page of one step or hold point. Raises Refused for a name that nobody knows."""
    case = look.case
    if look.name not in case.steps:
        raise Refused(f"there is no step {look.name!r} in this job")
    content = case.steps[look.name]
    item = next(item for item in plan(case).items if item.id == f"step:{look.name}")
    strip = [
        name
        for name, other in case.steps.items()
        if name != look.name and set(other.off) & set(content.on)
    ]
    opens = open_at(case, look.name) if content.hold else []
    owed = [tally for tally in case.tallies if _asks_for(tally, opens)]
    context = base(look, look.name)
    context |= {
        "name": look.name,
        "step": content,
        "line": plan_line(case, item),
        "opens": opens,
        "told": [each.what for each in opens],
        "owed": owed,
        "counted": [each.what for each in opens if any(_asks_for(t, [each]) for t in owed)],
        "signed": case.state.signed.get(look.name),
        "done_by": case.state.done.get(look.name, []),
        "aside": case.state.aside.get(look.name),
        "timer": case.state.timers.get(look.name),
        "tallies": {
            side: [t for t in case.tallies if t.side == side and t.part in counts]
            for side, counts in (("off", content.off), ("on", content.on))
        },
        "photos": case.state.photos.get(look.name, []),
        "strip_photos": [said for name in strip for said in _photos(look, name, content.on)],
        "sides": SIDES,
    }
    return "step.html", context


def _asks_for(tally: Tally, opens: Iterable[Open]) -> bool:
    """A count that a hold waits for. Of rags it says in its own words what went in and came out."""
    rag = tally.part == "rag" and tally.side == "off"
    return any(
        each.kind == "count"
        and (each.what == tally.question() or (rag and each.what.startswith("rag:")))
        for each in opens
    )


def _photos(look: Look, step: str, parts: Iterable[str]) -> list[Said[PhotoTaken]]:
    found = list(look.case.state.photos.get(step, []))
    for part in parts:
        found += [said for said in look.case.state.photos.get(part, []) if said not in found]
    return found


def part(look: Look) -> tuple[str, Context]:
    """The page of one part: its readings, findings, steps, photos, and what happens with it."""
    case, sheet = look.case, look.case.book.sheet
    if look.name not in sheet.parts:
        raise Refused(f"there is no part {look.name!r} in this sheet")
    lines: list[VerdictLine] = [line for line in board(case) if line.part == look.name]
    shown = {(line.check, line.condition) for line in lines}
    more = [
        verdict_line(case, verdict)
        for key, verdict in case.verdicts.items()
        if key not in shown
        and sheet.checks[verdict.check].part == look.name
        and not sheet.checks[verdict.check].of
        and verdict.condition == "as found"
    ]
    renewal = next((line for line in case.parts.lines() if line.name == look.name), None)
    context = base(look, look.name)
    context |= {
        "name": look.name,
        "part": sheet.parts[look.name],
        "lines": lines,
        "more": more,
        "findings": _findings(look, look.name),
        "steps": [
            name for name, s in case.steps.items() if look.name in s.off or look.name in s.on
        ],
        "decided": case.state.decided.get(look.name),
        "renewal": renewal,
        "why_renew": case.renew.get(look.name, ""),
        "tallies": [t for t in case.tallies if t.part == look.name],
        "photos": case.state.photos.get(look.name, []),
        "sides": SIDES,
        "classes": list(sheet.piston_classes) if look.name == "piston" else [],
    }
    return "part.html", context


def findings(look: Look) -> tuple[str, Context]:
    """All findings that can be noted, by part; those noted and the stops first."""
    by_part: dict[str, list[Context]] = {}
    for row in _findings(look):
        by_part.setdefault(row["part"], []).append(row)
    context = base(look, "Findings")
    noted = look.case.state.noted.items()
    context |= {
        "by_part": by_part,
        "noted": [(name, said, look.case.state.resolved.get(name)) for name, said in noted],
        "pictures": {
            name: finding_picture(name, f"noted-{index}")
            for index, name in enumerate(look.case.state.noted)
        },
        "stops": look.case.brought.stops,
        "sides": SIDES,
    }
    return "findings.html", context


def _findings(look: Look, part: str = "") -> list[Context]:
    sheet, state = look.case.book.sheet, look.case.state
    return [
        {
            "name": name,
            "part": content.part,
            "words": content.words,
            "likely": content.likely,
            "look": content.check,
            "stop": content.brings.stop,
            "noted": state.noted.get(name),
            "picture": finding_picture(name, str(index)),
        }
        for index, (name, content) in enumerate(sheet.findings.items())
        if sheet.has(content.fitted_to) and part in ("", content.part)
    ]
