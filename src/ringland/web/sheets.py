"""The routes of engine sheets: start one, answer one question, edit the text."""

from collections.abc import Callable
from dataclasses import replace

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from ringland.bench.refusal import Refused
from ringland.bench.sheet_files import replace_text, write_new
from ringland.bench.sheets import read_text
from ringland.sheet.asking import Doubt, questions_for
from ringland.sheet.model import SCOPES, Question, Scope
from ringland.web import sheetbook
from ringland.web.pages import sheets as pages
from ringland.web.pages.look import Context
from ringland.web.pages.sheets import SheetLook
from ringland.web.templating import url
from ringland.web.visit import Visit, visit

Page = Callable[[SheetLook], tuple[str, Context]]
Post = Callable[[Visit, SheetLook], SheetLook | Response]


def _endpoint(page: Page, post: Post | None = None) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        return await run_in_threadpool(_answer, await visit(request), page, post)

    return endpoint


def _answer(seen: Visit, page: Page, post: Post | None) -> Response:
    name = seen.request.path_params.get("name", "")
    look, status = SheetLook(seen.site.shed.folder, name, seen.query), 200
    if name:
        sheetbook.file_of(look.folder, name)
    if seen.request.method == "POST" and post is not None:
        try:
            with seen.site.shed.lock:
                done = post(seen, look)
            if isinstance(done, Response):
                return done
            look = done
            status = 409 if look.doubt else 200
        except Refused as refused:
            status = 422
            look = replace(look, problems=refused.problems, typed=dict(seen.form))
    template, context = page(look)
    return seen.page(template, status, **context)


def _new(seen: Visit, look: SheetLook) -> SheetLook | Response:
    form = seen.form
    absent = tuple(key[4:] for key in form if key.startswith("not:"))
    text = sheetbook.start(form.get("engine", ""), form.get("common", ""), absent)
    file = sheetbook.new_file(look.folder, form.get("engine", ""))
    write_new(file, text)
    scope = form.get("scope", "full")
    return RedirectResponse(url("sheets", file.stem) + f"?scope={scope}", 303)


def _sheet(seen: Visit, look: SheetLook) -> SheetLook | Response:
    """Take one answer, a reading back, or the whole text; nothing is written that does not load."""
    form = seen.form
    file = sheetbook.file_of(look.folder, look.name)
    if form.get("verb") == "text":
        text = form.get("text", "").replace("\r\n", "\n")
        sheetbook.checked(text)
        replace_text(file, text)
        return replace(look, done="the sheet's text")
    text = read_text(file)
    if form.get("verb") == "read back":
        key, day = form.get("figure", ""), seen.site.shed.now()[:10]
        replace_text(
            file,
            sheetbook.with_read_back(text, key, form.get("value", ""), by=seen.by, day=day),
        )
        return replace(look, done=f"{key}: read back by {seen.by}")
    question = _question(text, seen, form.get("figure", ""), form.get("side", ""))
    page = f" @ {form['page'].strip()}" if form.get("page", "").strip() else ""
    answer = form.get("instead") or f"{form.get('value', '').strip()}{page}"
    found = sheetbook.with_answer(text, question, answer, insist=bool(form.get("insist")))
    if isinstance(found, Doubt):
        return replace(look, doubt=found, typed=dict(form))
    replace_text(file, found)
    return replace(look, done=f"{question.ask}: {answer}")


def _question(text: str, seen: Visit, figure: str, side: str) -> Question:
    """The question of the scope that was answered, or a plain one for any other figure."""
    sheet = sheetbook.checked(text).sheet
    scope: Scope = next((each for each in SCOPES if each == seen.query.get("scope")), "full")
    for question in questions_for(sheet, scope):
        if question.figure == figure and question.asks_limit == (side == "limit"):
            return question
    if figure not in {*sheet.checks, *sheet.geometry, *sheet.fasteners}:
        raise Refused(f"{figure!r} is no figure of this sheet")
    return Question(figure=figure, ask=figure)


ROUTES = [
    Route("/sheets", _endpoint(pages.index)),
    Route("/sheets/new", _endpoint(pages.new, _new), methods=["GET", "POST"]),
    Route("/sheets/{name}", _endpoint(pages.sheet, _sheet), methods=["GET", "POST"]),
]
