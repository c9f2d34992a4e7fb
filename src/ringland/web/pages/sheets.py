"""Engine sheets on the page: start one, transcribe figure by figure, see what is missing and what it blocks."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from ringland.bench.sheets import common_sheets, read_text
from ringland.sheet.asking import Doubt, questions_for
from ringland.sheet.figures import Figures
from ringland.sheet.load import load_common, load_sheet
from ringland.sheet.missing import missing
from ringland.sheet.model import SCOPES, Question, Scope, Sheet
from ringland.sheet.readback import Typed, read_back_by, typed_figures
from ringland.sheet.showing import sheet_view
from ringland.sheet.text import BadSheet
from ringland.web import sheetbook
from ringland.web.pages.look import Context


@dataclass(frozen=True, slots=True)
class SheetLook:
    """One look at a sheet of the server's folder.

    doubt : the question that came back to an answer; typed : the answer it came back to
    """

    folder: Path
    name: str = ""
    query: Mapping[str, str] | None = None
    typed: Mapping[str, str] | None = None
    doubt: Doubt | None = None
    problems: tuple[str, ...] = ()
    done: str = ""


def base(look: SheetLook, title: str) -> Context:
    """Return what each of these pages shows."""
    return {
        "title": title,
        "problems": look.problems,
        "done": look.done,
        "typed": look.typed or {},
        "scopes": SCOPES,
    }


def index(look: SheetLook) -> tuple[str, Context]:
    """The sheets there are."""
    rows = []
    for name in sheetbook.names(look.folder):
        text = read_text(sheetbook.file_of(look.folder, name))
        try:
            loaded = load_sheet(text, f"{name}.yaml", common_sheets())
        except BadSheet as error:
            rows.append({"name": name, "words": str(error.problems[0])})
            continue
        asked = [each for each in missing(loaded.sheet, loaded.figures) if each.asked]
        words = (
            f"{loaded.sheet.engine}: {len(loaded.sheet.figures)} figures, {len(asked)} not given"
        )
        rows.append({"name": name, "words": words})
    context = base(look, "Engine sheets")
    context |= {"rows": rows}
    return "sheets.html", context


def new(look: SheetLook) -> tuple[str, Context]:
    """Start a sheet: the engine, the common sheet, what it does not have."""
    commons = {
        name: load_common(text, f"{name}.yaml").sheet for name, text in common_sheets().items()
    }
    context = base(look, "Start a sheet")
    context |= {"commons": commons}
    return "sheetnew.html", context


def sheet(look: SheetLook) -> tuple[str, Context]:
    """One sheet: what a scope asks for, what stands in it, what is missing and what it blocks."""
    query = look.query or {}
    text = (look.typed or {}).get("text") or read_text(sheetbook.file_of(look.folder, look.name))
    kept = read_text(sheetbook.file_of(look.folder, look.name))
    scope: Scope = next((each for each in SCOPES if each == query.get("scope")), "full")
    context = base(look, look.name)
    context |= {"name": look.name, "scope": scope, "text": text, "doubt": look.doubt}
    try:
        loaded = load_sheet(kept, f"{look.name}.yaml", common_sheets())
    except BadSheet as error:
        return "sheet.html", context | {
            "broken": [str(each) for each in error.problems],
            "view": None,
        }
    figures = loaded.figures
    questions = []
    for number, question in enumerate(questions_for(loaded.sheet, scope)):
        questions.append((number, question, _given(figures, question)))
    asked = query.get("figure", "")
    extra = Question(figure=asked, ask=asked) if asked in _known(loaded.sheet) else None
    back = [
        (each, read_back_by(loaded.sheet, each)) for each in typed_figures(loaded.sheet, figures)
    ]
    context |= {
        "back": back,
        "next_back": _next_back(look, back),
        "broken": [],
        "view": sheet_view(loaded, loaded),
        "questions": questions,
        "next": next((question for _, question, given in questions if not given), None),
        "why": {each.name: each.blocks for each in missing(loaded.sheet, figures, scope)},
        "left": sum(not given for _, _, given in questions),
        "missing": missing(loaded.sheet, figures, scope),
        "extra": extra,
    }
    return "sheet.html", context


def _next_back(look: SheetLook, back: list[tuple[Typed, str]]) -> Typed | None:
    """The figure to read back next: the refused one, the one asked for, else the first left."""
    left = {typed.key: typed for typed, by in back if not by}
    typed = look.typed or {}
    wanted = typed.get("figure", "") if typed.get("verb") == "read back" else ""
    first = next(iter(left.values()), None)
    return left.get(wanted) or left.get((look.query or {}).get("read", "")) or first


def _known(sheet: Sheet) -> set[str]:
    return {*sheet.checks, *sheet.geometry, *sheet.fasteners}


def _given(figures: Figures, question: Question) -> str:
    figure = figures.limits.get(question.figure) or figures.torques.get(question.figure)
    if figure is None:
        return ""
    span = figure.service if question.asks_limit else figure.new
    return "" if span is None else f"{span}{', ' + figure.page if figure.page else ''}"
