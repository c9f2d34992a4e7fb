"""The application: one table of routes, one guard before all of them, errors without insides."""

import logging
from importlib.resources import files

from fastapi import FastAPI
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from ringland.bench.refusal import Refused
from ringland.store import NoPhoto, StoreError
from ringland.web import jobs, people, sheets, shop, things
from ringland.web.api import api
from ringland.web.devices import Devices
from ringland.web.guard import HEADERS, LOG, Guard
from ringland.web.shed import Shed
from ringland.web.templating import build, environment
from ringland.web.visit import Site, Visit

LOOPBACK = ("localhost", "127.0.0.1", "[::1]")

ROUTES = [
    *shop.ROUTES,
    *jobs.ROUTES,
    *things.ROUTES,
    *people.ROUTES,
    *sheets.ROUTES,
]


class Static(StaticFiles):
    """Files of this build: their address holds the build's name, so they never change."""

    def file_response(self, *args: object, **kwargs: object) -> Response:
        """Serve a file, to be kept by the browser for good."""
        response = super().file_response(*args, **kwargs)  # type: ignore[arg-type]
        response.headers["cache-control"] = "public, max-age=31536000, immutable"
        return response

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Serve a file of this build only."""
        name, _, rest = path.partition("/")
        return await super().get_response(rest if name == build() else path, scope)


def create_app(
    shed: Shed,
    *,
    hosts: tuple[str, ...] = (),
    devices: Devices | None = None,
    lan: str = "",
    authority: str = "",
) -> FastAPI:
    """Return the application.

    hosts : names and addresses by which it may be called, beside those of this machine
    devices : the paired devices where other machines reach the server, else None
    lan : the address to give to other devices; authority : file of the certificate authority
    """
    app = FastAPI(
        title="Ringland",
        version="1",
        docs_url=None,  # the usual ones load scripts from elsewhere
        redoc_url=None,
        openapi_url="/api/openapi.json",
        middleware=[
            Middleware(Guard, hosts=frozenset((*LOOPBACK, *hosts)), devices=devices),
            Middleware(GZipMiddleware, minimum_size=1000, compresslevel=5),
        ],
        exception_handlers={
            HTTPException: _http_error,
            Refused: _refused,
            StoreError: _store_error,
            Exception: _broken,
        },
    )
    app.state.site = Site(shed, environment(shed.new_id), devices, lan, authority)
    app.include_router(api)
    static = Static(directory=str(files("ringland.web").joinpath("static")))
    app.router.routes += [Mount("/static", static), *ROUTES]
    return app


def _page(request: Request, status: int, sentence: str) -> Response:
    if request.url.path.startswith("/api") or _wants_json(request):
        return JSONResponse({"status": "refused", "problems": [sentence], "offers": []}, status)
    visit = Visit(request.app.state.site, request)
    return visit.page("error.html", status, title=sentence, sentence=sentence, code=status)


def _wants_json(request: Request) -> bool:
    return request.headers.get("accept", "").startswith("application/json")


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    known = {
        404: "There is no such page here.",
        405: "That cannot be done at this address.",
        400: "What came could not be read. Nothing was kept.",
    }
    return _page(request, error.status_code, known.get(error.status_code, str(error.detail)))


async def _refused(request: Request, error: Exception) -> Response:
    return _page(request, 404, str(error))


async def _store_error(request: Request, error: Exception) -> Response:
    if isinstance(error, NoPhoto):
        return _page(request, 404, "There is no such photo here.")
    LOG.error("%s: %s", request.url.path, error)
    sentence = "The store cannot be used now. Nothing was kept. The server's window says why."
    return _page(request, 503, sentence)


async def _broken(request: Request, error: Exception) -> Response:
    logging.getLogger("ringland.web").exception("%s failed", request.url.path, exc_info=error)
    answer = _page(request, 500, "Something is wrong in Ringland itself. Nothing was kept.")
    for name, value in HEADERS.items():  # this answer is made outside the guard
        answer.headers[name.decode()] = value.decode()
    return answer


__all__ = ["ROUTES", "Route", "create_app"]
