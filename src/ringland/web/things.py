"""The routes of things served as they are: photos, calculators and their drawings, the worker script."""

from importlib.resources import files

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ringland.calc import CALCULATORS
from ringland.calc.calculator import BadInputs
from ringland.web.pages import calc
from ringland.web.templating import build
from ringland.web.visit import Visit, visit

SANDBOX = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


async def photo(request: Request) -> Response:
    """Serve a kept photo by its name, which is the hash of its content."""
    name = request.path_params["name"]
    if len(name) != 64 or set(name) - set("0123456789abcdef"):
        raise HTTPException(404)
    site = Visit(request.app.state.site, request).site
    content = await run_in_threadpool(site.shed.log.photo, name)
    headers = {
        "cache-control": "private, max-age=31536000, immutable",
        "content-security-policy": SANDBOX,
    }
    return Response(content, media_type="image/jpeg", headers=headers)


async def calculators(request: Request) -> Response:
    """Show the list of calculators."""
    template, context = calc.index()
    return Visit(request.app.state.site, request).page(template, **context)


async def calculator(request: Request) -> Response:
    """Show a calculator; what is typed stands in the address, so that it can be kept and sent."""
    name = request.path_params["name"]
    if name not in CALCULATORS:
        raise HTTPException(404)
    seen = await visit(request)
    typed = dict(seen.form) if request.method == "POST" else dict(request.query_params)
    template, context = await run_in_threadpool(calc.calculator, name, typed)
    return seen.page(template, 422 if context["problems"] else 200, **context)


async def drawing(request: Request) -> Response:
    """Serve the drawing of a calculator's answer."""
    name = request.path_params["name"]
    if name not in CALCULATORS:
        raise HTTPException(404)
    typed = tuple(sorted((k, v) for k, v in request.query_params.items() if v))
    try:
        svg = await run_in_threadpool(calc.picture, name, typed)
    except BadInputs:
        raise HTTPException(404) from None
    if not svg:
        raise HTTPException(404)
    headers = {"content-security-policy": SANDBOX, "cache-control": "private, max-age=600"}
    return Response(svg, media_type="image/svg+xml", headers=headers)


async def worker(_: Request) -> Response:
    """Serve the worker that keeps pages for when the server is away; its name is this build."""
    text = files("ringland.web").joinpath("static/worker.js").read_text(encoding="utf-8")
    return Response(
        text.replace("BUILD", build()),
        media_type="text/javascript",
        headers={"cache-control": "no-cache", "service-worker-allowed": "/"},
    )


async def manifest(_: Request) -> Response:
    """Serve what a phone needs to put the page on its home screen."""
    return JSONResponse(
        {
            "name": "Ringland",
            "short_name": "Ringland",
            "start_url": "/",
            "display": "standalone",
            "background_color": "#f4f7f5",
            "theme_color": "#0d2130",
            "icons": [
                {"src": f"/static/{build()}/icon.svg", "sizes": "any", "type": "image/svg+xml"}
            ],
        },
        media_type="application/manifest+json",
    )


async def offline(request: Request) -> Response:
    """Serve the page that stands in for one that was never opened."""
    return Visit(request.app.state.site, request).page("offline.html", title="Not opened before")


ROUTES = [
    Route("/photo/{name}", photo),
    Route("/calc", calculators),
    Route("/calc/{name}.svg", drawing),
    Route("/calc/{name}", calculator, methods=["GET", "POST"]),
    Route("/sw.js", worker),
    Route("/manifest.webmanifest", manifest),
    Route("/offline", offline),
]
