"""The routes of the shop: wall, machines, gauges, opening and taking in jobs, sheets.

A form of the shop may have waited on a device, like an act of a job: it brings its own id and time,
and sent twice it is kept once.
"""

from collections.abc import Callable
from urllib.parse import unquote

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from ringland.bench.bench import Bench
from ringland.bench.exchange import export_job, import_job
from ringland.bench.opening import add_gauge, add_machine, open_job, read_hours
from ringland.bench.refusal import Refused
from ringland.job.log.entries import Baseline, Gauge
from ringland.job.log.shop import MachineAdded
from ringland.web import sheetbook
from ringland.web.acts import Act, OtherContent, as_act, checked_time
from ringland.web.guard import cookies
from ringland.web.pages import shop as pages
from ringland.web.pages.look import Context
from ringland.web.pages.shop import ShopLook
from ringland.web.templating import url
from ringland.web.visit import HERE_COOKIE, Visit, visit

Page = Callable[[ShopLook], tuple[str, Context]]
Post = Callable[[Visit, Bench], Response | str]


def _endpoint(page: Page, post: Post | None = None) -> Callable[[Request], object]:
    """Make the route of a shop page: a post is kept, then shown or led on."""

    async def answer(request: Request) -> Response:
        seen = await visit(request)
        return await run_in_threadpool(_answer, seen, page, post)

    return answer


def _answer(seen: Visit, page: Page, post: Post | None) -> Response:
    if seen.request.method == "POST" and post is not None:
        return _posted(seen, page, post)
    return _shown(seen, page)


def _posted(seen: Visit, page: Page, post: Post) -> Response:
    act, shed = as_act(seen.form, seen.by), seen.site.shed
    problems: tuple[str, ...] = ()
    done: Response | str = ""
    try:
        at = checked_time(act.at, shed.now()) if act.at else ""
        with shed.bench(seen.by, act=act.key if act.id else "", at=at) as bench:
            done = _kept_before(seen, bench, act) or post(seen, bench)
    except Refused as refused:
        problems = refused.problems
    status = 422 if problems else 200
    if seen.request.headers.get("accept", "").startswith("application/json"):
        said = {"status": "refused" if problems else "kept", "problems": list(problems)}
        return JSONResponse({**said, "offers": []}, status)
    return done if isinstance(done, Response) else _shown(seen, page, problems, done)


def _kept_before(seen: Visit, bench: Bench, act: Act) -> Response | str:
    """What this act led to when it was sent before; empty for one that is new."""
    if not act.id:
        return ""
    opened = {job: bench.state(job).entries[:1] for job in bench.jobs()}
    keys = {entry.act: url("job", job) for job, first in opened.items() for entry in first}
    name = seen.request.path_params.get("name", "") or act.fields.get("name", "")
    for stream in ("shelf", f"machine/{name}"):
        way = url("machine", name) if act.verb == "machine" else ""
        keys |= {line.act: way for _, line in bench.log.read(stream)}
    known = next((key for key in reversed(keys) if key.startswith(f"{act.id}-")), "")
    if known and not known.startswith(act.key):
        raise OtherContent(f"the act {act.id} was kept before with another content: send it anew")
    if not known:
        return ""
    opens = next((way for key, way in keys.items() if key.startswith(act.key) and way), "")
    return RedirectResponse(opens, 303) if opens else "before: this was sent twice, once is kept"


def _shown(seen: Visit, page: Page, problems: tuple[str, ...] = (), done: str = "") -> Response:
    name = seen.request.path_params.get("name", "")
    with seen.site.shed.bench(seen.by) as bench:
        look = ShopLook(
            bench, name, problems, done, dict(seen.form) if problems else None, seen.query
        )
        template, context = page(look)
        back = unquote(cookies(seen.request.headers).get(HERE_COOKIE, ""))
        job = back.split("/")[2] if back.startswith("/job/") else ""
        context["back"] = back if job in bench.jobs() else ""
        context["sheets"] = sheetbook.names(seen.site.shed.folder)
        return seen.page(template, 422 if problems else 200, **context)


def _wall(seen: Visit, bench: Bench) -> Response | str:
    """Add a machine."""
    form = seen.form
    name = form.get("name", "").strip()
    if name in bench.machines():
        raise Refused(f"{name} is here already: open its page")
    sheet = form.get("sheet", "")
    file = str(sheetbook.file_of(seen.site.shed.folder, sheet)) if sheet else ""
    base = form.get("baseline", "").strip()
    hours = form.get("hours", "").strip()
    hours = f"{hours} h" if hours and not hours[-1].isalpha() else hours
    altitude = form.get("altitude", "").strip()
    reference = Baseline(base, form.get("baseline-gauge", ""), hours, altitude) if base else None
    added = MachineAdded(name, file, form.get("variant", ""), altitude, form.get("remark", ""))
    add_machine(bench, added, hours=hours, baseline=reference)
    return RedirectResponse(url("machine", name), 303)


def _machine(seen: Visit, bench: Bench) -> Response | str:
    """Read the hour meter, or open a job."""
    name = seen.request.path_params["name"]
    form = seen.form
    if name not in bench.machines():
        raise Refused(f"there is no machine {name!r}")
    if form.get("verb") == "open":
        sheet = form.get("sheet", "")
        file = sheetbook.file_of(seen.site.shed.folder, sheet) if sheet else None
        job, _ = open_job(
            bench,
            name,
            scope=form.get("scope", ""),
            reason=form.get("reason", ""),
            hours=form.get("hours", "").strip(),
            sheet=file,
        )
        return RedirectResponse(url("job", job), 303)
    hours = form.get("hours", "").strip()
    read_hours(bench, name, hours)
    read = bench.machine(name).hours
    return f"the hour meter of {name} shows {read.hours if read else hours}"


def _gauge(seen: Visit, bench: Bench) -> Response | str:
    """Put a gauge on the shelf."""
    form = {name: text.strip() for name, text in seen.form.items()}
    if not form.get("gauge") or len(form["gauge"].split()) != 1:
        raise Refused("name the gauge in one word, such as BG-2")
    *numbers, unit = form.get("leaves", "").split() or [""]
    gauge = Gauge(
        form["gauge"],
        form.get("kind", ""),
        form.get("permissible_error", ""),
        form.get("resolution", ""),
        form.get("low", ""),
        form.get("high", ""),
        tuple(f"{number} {unit}" for number in numbers),
        form.get("set_with", ""),
        form.get("calibrated", ""),
        form.get("length", ""),
    )
    add_gauge(bench, gauge)
    return f"{gauge.id}, {gauge.kind}, is on the shelf"


def _take_in(seen: Visit, bench: Bench) -> Response | str:
    """Take in a job from its file: a whole job, or an adviser's entries to a job that is here."""
    content = seen.files.get("file", b"")
    if not content:
        raise Refused("choose the file of a job first")
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise Refused("this is no text: choose the file that a job was sent as") from None
    try:
        job, count = import_job(bench, text)
    except (ValueError, KeyError, TypeError) as error:
        raise (
            error if isinstance(error, Refused) else Refused(f"this is no job of Ringland: {error}")
        ) from None
    return RedirectResponse(url("job", job, "log") + f"?taken={count}", 303)


def _take_in_page(look: ShopLook) -> tuple[str, Context]:
    return "takein.html", look.base("Take in a job's file")


async def packet(request: Request) -> Response:
    """Send a job as one file: readings, units, gauges, photos."""
    seen = await visit(request)

    def made() -> str:
        with seen.site.shed.bench(seen.by) as bench:
            job = request.path_params["job"]
            if job not in bench.jobs():
                raise Refused(f"there is no job {job!r} here")
            return "\n".join(export_job(bench, job)) + "\n"

    text = await run_in_threadpool(made)
    digits = "".join(c for c in request.path_params["job"] if c.isalnum() or c == "-") or "job"
    return Response(
        text,
        media_type="application/x-ndjson",
        headers={
            "content-disposition": f'attachment; filename="ringland-job-{digits}.jsonl"',
            "content-security-policy": "sandbox",
        },
    )


async def paper(request: Request) -> Response:
    """Send a paper of a job as PDF, the same that the command line prints."""
    seen = await visit(request)
    what = request.path_params["what"]

    def made() -> bytes:
        from ringland.bench.paperwork import paperwork
        from ringland.report.paper.blocks import SIZES
        from ringland.report.paper.jobfile import JobFile
        from ringland.report.paper.papers import PAPERS
        from ringland.report.paper.render import pdf

        job = request.path_params["job"]
        size = SIZES.get(request.query_params.get("paper", "a4"))
        if what not in PAPERS or size is None:
            raise HTTPException(404)
        with seen.site.shed.bench(seen.by) as bench:
            if job not in bench.jobs():
                raise Refused(f"there is no job {job!r} here")
            beside = paperwork(bench, job)
            file = JobFile(
                bench.case(job),
                job,
                beside.hours,
                beside.meter,
                beside.history,
                beside.photos,
                seen.site.lan or str(request.base_url).rstrip("/"),
            )
            try:
                return pdf(PAPERS[what](file), size=size)
            except ValueError as error:
                raise Refused(str(error)) from None

    content = await run_in_threadpool(made)
    headers = {"content-disposition": f'inline; filename="ringland-{what}.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


ROUTES = [
    Route("/job/{job}/paper/{what}.pdf", paper),
    Route("/", _endpoint(pages.wall, _wall), methods=["GET", "POST"]),
    Route("/machine/{name:path}", _endpoint(pages.machine, _machine), methods=["GET", "POST"]),
    Route("/gauges", _endpoint(pages.gauges, _gauge), methods=["GET", "POST"]),
    Route("/take-in", _endpoint(_take_in_page, _take_in), methods=["GET", "POST"]),
    Route("/job/{job}/packet.jsonl", packet),
]
