"""The programs' door: the same view as JSON, and acts as JSON. Described at /api/openapi.json."""

from typing import Annotated, Literal

from fastapi import APIRouter, HTTPException, Path, Query, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from ringland.bench.bench import Bench
from ringland.job.case import Case
from ringland.report.view import (
    JobView,
    OpenLine,
    PartsView,
    PlanLine,
    SettingLine,
    VerdictLine,
    board,
    job_view,
    parts_view,
    plan_view,
    prestart_view,
    settings_view,
)
from ringland.web.acts import LINES, Act, do
from ringland.web.jobs import plain
from ringland.web.visit import Site, Visit

Job = Annotated[str, Path(max_length=60, description="the job's name, such as 31")]
Text = Annotated[str, Field(max_length=2000)]


class Problem(BaseModel):
    """Why nothing was kept."""

    status: Literal["refused"] = "refused"
    problems: list[str] = Field(description="each names the thing, the value, what is allowed")
    offers: list["OfferModel"] = []


class OfferModel(BaseModel):
    """One answer to a question."""

    label: str
    text: str


class ActModel(BaseModel):
    """One act, as a form of the page sends it."""

    model_config = ConfigDict(extra="forbid")

    id: Annotated[str, Field(min_length=8, max_length=80, pattern=r"^[A-Za-z0-9_-]+$")] = Field(
        description="made by the sender; the same act sent again changes nothing"
    )
    at: Annotated[str, Field(max_length=40)] = Field("", description="ISO 8601 with offset")
    by: Annotated[str, Field(max_length=60)] = Field("", description="who; empty for the device's")
    verb: str = Field(description=f"one of: {', '.join(LINES)}", max_length=20)
    fields: dict[Text, Text] = Field(
        {}, max_length=40, description="name, place, value, gauge, reason ... as on the page"
    )


class AnswerModel(BaseModel):
    """What became of an act."""

    status: Literal["kept", "kept before", "asked", "refused"]
    problems: list[str]
    offers: list[OfferModel]
    kept: list[str]
    verdicts: list[str]
    stops: list[str]


class Changes(BaseModel):
    """How far a job's log goes now, and the server's time."""

    last: int
    now: str
    pages: list[str] = Field(description="pages worth keeping for when the server is away")


api = APIRouter(
    prefix="/api",
    responses={
        400: {"model": Problem, "description": "not readable"},
        404: {"model": Problem, "description": "no such job"},
    },
)


def _site(request: Request) -> Site:
    site: Site = request.app.state.site
    return site


def _case(request: Request, job: str) -> Case:
    seen = Visit(_site(request), request)
    with seen.site.shed.bench(seen.by) as bench:
        return _known(bench, job)


def _known(bench: Bench, job: str) -> Case:
    if job not in bench.jobs():
        raise HTTPException(404, f"there is no job {job!r} here")
    return bench.case(job)


@api.get("/jobs")
def jobs(request: Request) -> list[JobView]:
    """List the jobs, each with where it stands."""
    seen = Visit(_site(request), request)
    with seen.site.shed.bench(seen.by) as bench:
        return [job_view(bench.case(name), name) for name in bench.jobs()]


@api.get("/jobs/{job}")
def job(request: Request, job: Job) -> JobView:
    """Say where a job stands."""
    return job_view(_case(request, job), job)


@api.get("/jobs/{job}/verdicts")
def verdicts(request: Request, job: Job) -> list[VerdictLine]:
    """Return the verdict board."""
    return board(_case(request, job))


@api.get("/jobs/{job}/plan")
def plan(request: Request, job: Job) -> list[PlanLine]:
    """Return the plan in working order."""
    return plan_view(_case(request, job))


@api.get("/jobs/{job}/parts")
def parts(request: Request, job: Job) -> PartsView:
    """Return the parts list."""
    return parts_view(_case(request, job).parts)


@api.get("/jobs/{job}/settings")
def settings(request: Request, job: Job) -> list[SettingLine]:
    """Return everything the build is set to."""
    return settings_view(_case(request, job))


@api.get("/jobs/{job}/prestart")
def prestart(request: Request, job: Job) -> list[OpenLine]:
    """Return what forbids the first start."""
    return prestart_view(_case(request, job))


@api.get("/jobs/{job}/changes")
def changes(
    request: Request, job: Job, pages: Annotated[bool, Query(description="name pages too")] = False
) -> Changes:
    """Say how far a job's log goes, so that a page knows whether it is old."""
    from ringland.web.pages.keepsake import worth_keeping

    seen = Visit(_site(request), request)
    with seen.site.shed.bench(seen.by) as bench:
        if job not in bench.jobs():
            raise HTTPException(404, f"there is no job {job!r} here")
        kept = worth_keeping(bench.case(job), job) if pages else []
        return Changes(last=bench.log.last(f"job/{job}"), now=seen.site.shed.now(), pages=kept)


@api.post(
    "/jobs/{job}/acts",
    response_model=AnswerModel,
    responses={409: {"model": AnswerModel}, 422: {"description": "refused, or not readable"}},
)
def post_act(request: Request, job: Job, act: ActModel) -> JSONResponse:
    """Do one act at a job. 409: a question comes first; 422: refused. Then nothing was kept."""
    seen = Visit(_site(request), request)
    _case(request, job)
    by = seen.by if seen.device is not None else act.by.strip() or seen.by
    answer = do(seen.site.shed, job, Act(act.id, act.at, by, act.verb, act.fields))
    return JSONResponse(plain(answer), answer.code)
