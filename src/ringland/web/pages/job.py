"""Where a job stands, and its lists: board, plan, parts, settings, prestart, causes, log."""

from ringland.job.log.entries import GaugeUsed
from ringland.report.causes import causes_view
from ringland.report.change import fact_words, tightening_words
from ringland.report.drawings.engine.contents import cutaway
from ringland.report.drawings.verdict import verdict_picture
from ringland.report.view import (
    board,
    in_sections,
    parts_view,
    plan_view,
    prestart_view,
    settings_view,
)
from ringland.sheet.model import PHASES
from ringland.web.pages.look import Context, Look, base
from ringland.web.templating import url

LOG_LINES = 200
CAUSES_SHOWN = 5
READY_SHOWN = 8


def now(look: Look) -> tuple[str, Context]:
    """What to do now, what is blocked and by what, what is still open."""
    context = base(look, "Where the job stands")
    case = look.case
    drawing = cutaway(case, lambda part: url("job", look.job, "part", part))
    following = context["view"].next
    context |= {
        "after": False,  # the page itself says what is next
        "stands": tightening_words(case, following.tighten)
        if following and following.tighten in case.state.tightening
        else (),
        "drawing": drawing,
        "ready": context["view"].ready[1 : 1 + READY_SHOWN],
        "counts": [tally for tally in case.tallies if tally.is_open],
        "waiting": [line for line in plan_view(case) if line.state == "waits"][:READY_SHOWN],
        "forbids": len(prestart_view(case)),
        "parts": parts_view(case.parts),
    }
    return "now.html", context


def verdicts(look: Look) -> tuple[str, Context]:
    """The verdict board: what asks first, then what is not measured, then what is within."""
    lines = board(look.case)
    pictures = {
        key: verdict_picture(verdict, f"b{index}", small=True)
        for index, (key, verdict) in enumerate(look.case.verdicts.items())
    }
    groups = {
        "Asks for you": [line for line in lines if line.asks],
        "Not measured": [line for line in lines if line.word == "not measured" and not line.asks],
        "Within": [
            line for line in lines if line.word in ("within", "within, worn") and not line.asks
        ],
    }
    shown = {id(line) for group in groups.values() for line in group}
    groups["Noted"] = [line for line in lines if id(line) not in shown]
    context = base(look, "Verdict board")
    context |= {
        "groups": {name: group for name, group in groups.items() if group},
        "pictures": pictures,
        "total": len(lines),
        "asking": len(groups["Asks for you"]),
        "may_be_read": _may_be_read(look),
    }
    return "board.html", context


def _may_be_read(look: Look) -> dict[str, list[str]]:
    """Phase to the checks that this job does not ask for."""
    sheet, asked = look.case.book.sheet, {line.check for line in board(look.case)}
    found: dict[str, list[str]] = {}
    for phase in PHASES:
        for name, check in sheet.checks.items():
            if (
                check.phase == phase
                and name not in asked
                and not check.of
                and sheet.has(check.fitted_to)
            ):
                found.setdefault(phase, []).append(name)
    return found


def plan(look: Look) -> tuple[str, Context]:
    """The plan by phase, the phase in hand open."""
    lines = plan_view(look.case)
    phases = {
        phase: [line for line in lines if line.phase == phase]
        for phase in PHASES
        if any(line.phase == phase for line in lines)
    }
    context = base(look, "Plan")
    context |= {
        "phases": phases,
        "cautions": {phase: words.cautions for phase, words in look.case.book.sheet.phases.items()},
        "may_be_read": _may_be_read(look),
        "left": sum(line.state != "done" for line in lines),
    }
    return "plan.html", context


def parts(look: Look) -> tuple[str, Context]:
    """The parts list in two waves."""
    context = base(look, "Parts")
    context |= {"parts": parts_view(look.case.parts)}
    return "parts.html", context


def settings(look: Look) -> tuple[str, Context]:
    """Everything the build is set to."""
    context = base(look, "Settings")
    context |= {"sections": in_sections(settings_view(look.case))}
    return "settings.html", context


def prestart(look: Look) -> tuple[str, Context]:
    """What still forbids the first start, and handing over."""
    context = base(look, "Prestart")
    context |= {"opens": prestart_view(look.case)}
    return "prestart.html", context


def causes(look: Look) -> tuple[str, Context]:
    """Damages and their causes: what speaks for and against each, and its proof."""
    known = look.case.book.sheet.findings
    context = base(look, "Causes")
    context |= {
        "causes": causes_view(look.case),
        "words": {name: content.words for name, content in known.items()},
        "most": CAUSES_SHOWN,
    }
    return "causes.html", context


def log(look: Look) -> tuple[str, Context]:
    """The log, the newest first: who did what, when."""
    state, sheet = look.case.state, look.case.book.sheet
    entries = [e for e in reversed(state.entries) if not isinstance(e.fact, GaugeUsed)]
    rows = [
        {"at": e.at, "by": e.by, "words": fact_words(e.fact, sheet), "gone": e.id in state.inactive}
        for e in entries[:LOG_LINES]
    ]
    context = base(look, "Log")
    context |= {"rows": rows, "total": len(state.entries)}
    return "log.html", context


def record(look: Look) -> tuple[str, Context]:
    """The build sheet: everything on one page, made to be printed."""
    case = look.case
    context = base(look, "Build sheet")
    context |= {
        "letter": look.query.get("paper") == "letter",
        "lines": board(case),
        "settings": settings_view(case),
        "parts": parts_view(case.parts),
        "opens": prestart_view(case),
        "log": [
            (e.at, e.by, fact_words(e.fact, case.book.sheet), e.id in case.state.inactive)
            for e in case.state.entries
            if not isinstance(e.fact, GaugeUsed)
        ],
        "signed": list(case.state.signed.values()),
        "photos": [said for each in case.state.photos.values() for said in each],
    }
    return "record.html", context
