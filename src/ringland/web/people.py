"""The routes of people and devices: who works here, pairing, taking a device away, trust."""

from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from ringland.web.guard import LOG
from ringland.web.visit import LONGEST_NAME, NAME_COOKIE, YEAR, Visit, visit


def _on_thread(answer: Callable[[Visit], Response]) -> Callable[[Request], object]:
    async def endpoint(request: Request) -> Response:
        return await run_in_threadpool(answer, await visit(request))

    return endpoint


def _named(text: str) -> str:
    name = " ".join(text.split())
    return name[:LONGEST_NAME] if name.isprintable() else ""


def who(seen: Visit) -> Response:
    """Ask who works at this device, and remember it."""
    if seen.request.method == "POST":
        name = _named(seen.form.get("by", ""))
        if name:
            back = seen.form.get("back", "/")
            safe = back if back.startswith("/") and not back.startswith(("//", "/\\")) else "/"
            response = RedirectResponse(safe, 303)
            if seen.device is not None and seen.site.devices is not None:
                seen.site.devices.rename(seen.device, name)
            seen.set_cookie(response, NAME_COOKIE, name)
            return response
        problem = "Write a name: it stands beside everything you keep."
        return seen.page("who.html", 422, title="Who works here?", problem=problem, back="/")
    return seen.page(
        "who.html", title="Who works here?", problem="", back=seen.query.get("back", "/")
    )


def pair(seen: Visit) -> Response:
    """Pair this device with a code that the serving machine shows."""
    devices = seen.site.devices
    if devices is None:
        return RedirectResponse("/", 303)
    problem = ""
    if seen.request.method == "POST":
        name = _named(seen.form.get("by", ""))
        try:
            if not name:
                raise ValueError("write your name: it stands beside everything you keep")
            token = devices.pair(seen.form.get("code", ""), name)
        except ValueError as error:
            problem = str(error)
            LOG.warning("pairing refused: %s", problem)
        else:
            response = RedirectResponse("/", 303)
            response.set_cookie(
                devices.cookie,
                token,
                max_age=YEAR,
                httponly=True,
                samesite="strict",
                secure=devices.secure,
                path="/",
            )
            return response
    return seen.page(
        "pair.html",
        422 if problem else 200,
        title="Pair this device",
        problem=problem,
        typed=seen.form,
        secure=devices.secure,
    )


def devices_page(seen: Visit) -> Response:
    """List the paired devices; open a code; take one away. Only at the serving machine."""
    devices = seen.site.devices
    if devices is None:
        raise HTTPException(404)
    code, picture = "", ""
    if seen.request.method == "POST":
        if seen.device is not None and seen.form.get("verb") != "remove":
            raise HTTPException(403, "Only the machine that serves opens a code.")
        if seen.form.get("verb") == "remove":
            devices.remove(seen.form.get("device", ""))
        else:
            code = devices.new_code()
            picture = _qr(f"{seen.site.lan}/pair#{code}")
    return seen.page(
        "devices.html",
        title="Devices",
        devices=devices.all(),
        code=code,
        picture=picture,
        own=seen.device.hash if seen.device else "",
        serves=seen.device is None,
    )


def _qr(text: str) -> str:
    """The address with its code as a picture; the code stands behind # and is never sent."""
    import segno

    return str(
        segno.make(text, error="m").svg_inline(scale=6, border=3, svgclass="qr", lineclass=None)
    )


def trust(seen: Visit) -> Response:
    """Say what works without a certificate, and how to trust the server's own once."""
    return seen.page(
        "trust.html", title="Working without Wi-Fi", authority=bool(seen.site.authority)
    )


def authority(seen: Visit) -> Response:
    """Send the certificate of the server's own authority."""
    if not seen.site.authority:
        raise HTTPException(404)
    with open(seen.site.authority, "rb") as file:
        content = file.read()
    headers = {"content-disposition": 'attachment; filename="ringland-authority.crt"'}
    return Response(content, media_type="application/x-x509-ca-cert", headers=headers)


ROUTES = [
    Route("/who", _on_thread(who), methods=["GET", "POST"]),
    Route("/pair", _on_thread(pair), methods=["GET", "POST"]),
    Route("/devices", _on_thread(devices_page), methods=["GET", "POST"]),
    Route("/trust", _on_thread(trust)),
    Route("/trust/authority.crt", _on_thread(authority)),
]
