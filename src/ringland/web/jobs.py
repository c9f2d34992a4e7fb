"""The routes of a job: one table of its pages; a post to a page is an act, and the page answers.

A form posted by a browser gets the page again, with the answer in it; a script that asks for JSON
gets the answer alone. What was typed and not kept stands in its field again.
"""

from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ringland.bench.refusal import Refused
from ringland.web import keepers
from ringland.web.acts import Act, Answer, as_act, do
from ringland.web.pages import check, job, tighten, work
from ringland.web.pages.look import Context, Look
from ringland.web.visit import HERE_COOKIE, Visit, visit

Page = Callable[[Look], tuple[str, Context]]

LISTS: dict[str, Page] = {
    "now": job.now,
    "board": job.verdicts,
    "plan": job.plan,
    "parts": job.parts,
    "settings": job.settings,
    "prestart": job.prestart,
    "causes": job.causes,
    "log": job.log,
    "record": job.record,
    "findings": work.findings,
}
NAMED: dict[str, Page] = {
    "check": check.check,
    "step": work.step,
    "part": work.part,
    "tighten": tighten.tighten,
}


async def page(request: Request) -> Response:
    """Answer one page of a job."""
    seen = await visit(request)
    return await run_in_threadpool(_answer, seen)


def _answer(seen: Visit) -> Response:
    params = seen.request.path_params
    job_name, page_name = params["job"], params.get("page", "now")
    shown = NAMED.get(page_name) if "name" in params else LISTS.get(page_name)
    if shown is None:
        raise HTTPException(404)
    _known(seen, job_name)
    act, answer = None, None
    if seen.request.method == "POST":
        act = as_act(seen.form, seen.by)
        answer = do(seen.site.shed, job_name, act, keep=keepers.of(act, seen.files))
        if seen.request.headers.get("accept", "").startswith("application/json"):
            return JSONResponse(plain(answer), answer.code)
    return render(seen, shown, job_name, params.get("name", ""), act, answer)


def _known(seen: Visit, job_name: str) -> None:
    with seen.site.shed.bench(seen.by) as bench:
        if job_name not in bench.jobs():
            raise Refused(f"there is no job {job_name!r} here")


def render(
    seen: Visit, shown: Page, job_name: str, name: str, act: Act | None, answer: Answer | None
) -> Response:
    """Render a page of a job as it stands now."""
    with seen.site.shed.bench(seen.by) as bench:
        case = bench.case(job_name)
        look = Look(bench, job_name, case, name, seen.query, act, answer)
        template, context = shown(look)
        response = seen.page(template, answer.code if answer else 200, **context)
    if seen.request.method == "GET" and "x-ringland" not in seen.request.headers:
        seen.set_cookie(response, HERE_COOKIE, seen.request.url.path)
    return response


def plain(answer: Answer) -> dict[str, object]:
    """Return what became of an act, for a script."""
    change = answer.change
    return {
        "status": answer.status,
        "problems": list(answer.problems),
        "offers": [{"label": offer.label, "text": offer.text} for offer in answer.offers],
        "kept": list(change.kept) if change else [],
        "verdicts": [f"{v.check}: {v.value} {v.word}" for v in change.verdicts] if change else [],
        "stops": list(change.stops) if change else [],
    }


ROUTES = [
    Route("/job/{job}", page, methods=["GET", "POST"]),
    Route("/job/{job}/{page}", page, methods=["GET", "POST"]),
    Route("/job/{job}/{page}/{name:path}", page, methods=["GET", "POST"]),
]
