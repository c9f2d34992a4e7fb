"""Templates: Jinja2 with autoescape, where a name that is missing is an error."""

import hashlib
from collections.abc import Callable
from datetime import datetime
from functools import cache
from importlib.resources import files
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from ringland.quantity import parse_quantity
from ringland.report.drawings.signs import STATES, sign
from ringland.report.words import ended_words
from ringland.sheet.model import PHASES

PHASE_WORDS = {
    "due": "is it due?",
    "get": "before the strip",
    "strip": "strip",
    "inspect": "measure",
    "decide": "decide",
    "fit": "fit",
    "build": "build",
    "prestart": "prove",
    "start": "first start",
    "record": "record",
}


def url(*parts: str) -> str:
    """Return a path of this server from its parts, each quoted whole.

    >>> url("job", "31", "check", "ring end gap")
    '/job/31/check/ring%20end%20gap'
    """
    return "/" + "/".join(quote(part, safe="") for part in parts)


def state_word(word: str, extra: str = "") -> Markup:
    """Return a verdict's sign and word together."""
    state = STATES.get(word, "neutral")
    return Markup('<span class="state s-{}">{}<span>{}{}</span></span>').format(
        state, Markup(sign(state)), word, extra
    )


def clock(at: str) -> str:
    """Return hour and minute of an ISO instant; the day too where it is not asked apart.

    >>> clock("2026-05-02T14:31:08+02:00")
    '14:31'
    """
    return at[11:16]


def day(at: str) -> str:
    """Return the day and minute of an ISO instant.

    >>> day("2026-05-02T14:31:08+02:00")
    '2 May 14:31'
    """
    when = datetime.fromisoformat(at)
    return f"{when.day} {when:%b %H:%M}"


def seconds(text: str) -> int:
    """Return a time with its unit in whole seconds, 0 for nothing.

    >>> seconds("6 min")
    360
    """
    return round(parse_quantity(text, "time").si) if text else 0


@cache
def build() -> str:
    """Return a short name of this build: a digest of everything static."""
    digest = hashlib.sha256()
    for folder in ("static", "templates"):
        for each in sorted(files("ringland.web").joinpath(folder).iterdir(), key=lambda f: f.name):
            if each.is_file():
                digest.update(each.name.encode() + each.read_bytes())
    return digest.hexdigest()[:12]


def environment(new_id: Callable[[], str]) -> Environment:
    """Return the templates' environment.

    new_id : makes the id that a form's act carries, so that sending it twice changes nothing
    """
    made = Environment(
        loader=PackageLoader("ringland.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        url=url,
        sign=lambda state, size=28: Markup(sign(state, size)),
        state_word=state_word,
        state_of=lambda word: STATES.get(word, "neutral"),
        new_id=new_id,
        build=build(),
        PHASES=PHASES,
        PHASE_WORDS=PHASE_WORDS,
    )
    made.filters.update(ended=ended_words, clock=clock, day=day, svg=Markup, seconds=seconds)
    return made
