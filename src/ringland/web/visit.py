"""One request: who comes, what was posted, and the page that answers."""

import logging
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote, unquote

from jinja2 import Environment
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from ringland.web.devices import Device, Devices
from ringland.web.guard import cookies
from ringland.web.shed import Shed

LOG = logging.getLogger("ringland.web")
NAME_COOKIE = "ringland-by"
HERE_COOKIE = "ringland-at"
LONGEST_NAME = 60
YEAR = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Site:
    """What the app is made of: the shed, templates, paired devices, and how it is reached.

    lan : the address for other devices, empty where only this machine reaches the server
    authority : the file of the certificate authority that devices may trust; empty for none
    """

    shed: Shed
    templates: Environment
    devices: Devices | None = None
    lan: str = ""
    authority: str = ""


@dataclass(frozen=True, slots=True)
class Visit:
    """One request to one page.

    form : the posted fields, the first of each name; files : the posted files
    """

    site: Site
    request: Request
    form: Mapping[str, str] = field(default_factory=dict)
    files: Mapping[str, bytes] = field(default_factory=dict)

    @property
    def device(self) -> Device | None:
        """The paired device, where one is needed."""
        found: Device | None = getattr(self.request.state, "device", None)
        return found

    @property
    def by(self) -> str:
        """Who it is: the name given to this device, else the person at the serving machine."""
        if self.device is not None:
            return self.device.name
        named = unquote(cookies(self.request.headers).get(NAME_COOKIE, "")).strip()
        return named[:LONGEST_NAME] or self.site.shed.person

    @property
    def query(self) -> Mapping[str, str]:
        """The query of the address."""
        return self.request.query_params

    def page(self, template: str, status: int = 200, **context: Any) -> Response:
        """Return a rendered page."""
        url = self.request.url
        shown = self.site.templates.get_template(template).render(
            by=self.by,
            path=url.path,
            here=url.path + (f"?{url.query}" if url.query else ""),
            now=self.site.shed.now(),
            lan=self.site.lan,
            paired=self.site.devices is not None,
            **context,
        )
        response = HTMLResponse(shown, status)
        response.headers["cache-control"] = "no-cache"
        return response

    def set_cookie(self, response: Response, name: str, value: str) -> None:
        """Set a cookie of this server that no script needs to read."""
        secure = self.request.url.scheme == "https"
        response.set_cookie(
            name, quote(value), max_age=YEAR, httponly=True, samesite="strict", secure=secure
        )


async def visit(request: Request) -> Visit:
    """Read a request: its form and files, fully."""
    site: Site = request.app.state.site
    if request.method != "POST":
        return Visit(site, request)
    fields: dict[str, str] = {}
    files: dict[str, bytes] = {}
    async with request.form(max_files=4, max_fields=200) as form:
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                content = await value.read()
                if content:
                    files.setdefault(name, content)
            elif name in fields and value:
                fields[name] = f"{fields[name]} {value}".strip()  # repeats of one field
            else:
                fields.setdefault(name, value)
    return Visit(site, request, fields, files)
