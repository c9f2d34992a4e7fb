"""A job as one JSON Lines file and back, without loss: entries in order, then its photos.

First line: {"ringland": "job", "version": 1, "job": NAME}. Then one entry each, then one photo each
as base64.
"""

import base64
import json
from collections.abc import Iterator
from dataclasses import asdict
from hashlib import sha256
from typing import Any

from ringland.bench.bench import Bench, entry_of
from ringland.bench.refusal import Refused
from ringland.job.case import case_of
from ringland.job.log.coding import UnknownKind, decode
from ringland.job.log.entries import JobOpened, PhotoTaken
from ringland.job.log.fold import fold
from ringland.job.plan import plan
from ringland.job.prestart import prestart
from ringland.store import Line

VERSION = 1


def export_job(bench: Bench, job: str) -> Iterator[str]:
    """Yield the lines of a job's file."""
    yield _text({"ringland": "job", "version": VERSION, "job": job})
    photos: list[str] = []
    for _, line in bench.log.read(f"job/{job}"):
        yield _text(asdict(line))
        fact = decode(line.kind, line.body)
        if isinstance(fact, PhotoTaken):
            photos.append(fact.photo)
    for name in dict.fromkeys(photos):
        yield _text({"photo": name, "base64": base64.b64encode(bench.log.photo(name)).decode()})


def import_job(bench: Bench, text: str) -> tuple[str, int]:
    """Keep a job from its file; entries already here change nothing.

    returns : the job's name here, and how many entries its log now has
    Raises Refused with line numbers for a file that is no such file.
    """
    head, *rest = _objects(text)
    if head.get("ringland") != "job":
        raise Refused('line 1: this is no job of Ringland: it starts with {"ringland": "job"')
    if head.get("version") != VERSION:
        raise Refused(
            f"line 1: version {head.get('version')!r} is written by a newer Ringland: update this one"
        )
    lines = [_line(number, each) for number, each in enumerate(rest, 2) if "photo" not in each]
    if not lines or not isinstance(decode(lines[0].kind, lines[0].body), JobOpened):
        raise Refused("line 2: the first entry opens the job; it is missing")
    photos = [_photo(number, each) for number, each in enumerate(rest, 2) if "photo" in each]
    job = _home(bench, str(head.get("job", "")), lines)
    _must_be_readable(bench, job, lines)  # a log is never edited: what cannot be read never enters
    for content in photos:
        bench.log.put_photo(content)
    return job, bench.log.append(f"job/{job}", lines)


def _photo(number: int, value: dict[str, Any]) -> bytes:
    """Return a photo's content. Raises Refused where it does not match its name."""
    try:
        content = base64.b64decode(str(value["base64"]), validate=True)
    except (KeyError, ValueError):
        content = b""
    if sha256(content).hexdigest() != value["photo"]:
        name = str(value["photo"])[:12]
        raise Refused(f"line {number}: photo {name} is damaged: its content is not what it was")
    return content


def _must_be_readable(bench: Bench, job: str, lines: list[Line]) -> None:
    """Refuse a log that would make its job unreadable: a count that is no number, say."""
    here = [line for _, line in bench.log.read(f"job/{job}")] if job in bench.jobs() else []
    known = {line.id for line in here}
    try:
        entries = [entry_of(line) for line in (*here, *(x for x in lines if x.id not in known))]
        case = case_of(fold(entries), bench.now())
        plan(case)
        prestart(case)
    except Exception as error:  # whatever a strange file brings, it must not enter the log
        raise Refused(
            f"this log cannot be read as a job ({type(error).__name__}: {error}): nothing was kept"
        ) from error


def _home(bench: Bench, name: str, lines: list[Line]) -> str:
    """The job's own name, unless another job has it here; a job already here keeps its name."""
    for job in bench.jobs():
        first = bench.log.read(f"job/{job}")[0][1]
        if first.id == lines[0].id:
            return job
    if name and name not in bench.jobs() and "/" not in name:
        return name
    numbers = [int(job) for job in bench.jobs() if job.isdigit()]
    return str(max(numbers, default=0) + 1)


def _objects(text: str) -> list[dict[str, Any]]:
    found = []
    for number, line in enumerate(text.split("\n"), 1):  # a remark may hold other line ends
        if not line.strip():
            continue
        try:
            value = json.loads(line)
        except ValueError as error:
            raise Refused(f"line {number}: not readable as JSON: {error}") from None
        if not isinstance(value, dict):
            raise Refused(f"line {number}: an object in {{ }} is wanted")
        found.append(value)
    if not found:
        raise Refused("the file is empty")
    return found


def _line(number: int, value: dict[str, Any]) -> Line:
    try:
        line = Line(**value)
        decode(line.kind, line.body)
    except UnknownKind as error:
        raise Refused(f"line {number}: {error}") from None
    except (TypeError, KeyError, AttributeError) as error:
        raise Refused(f"line {number}: no entry of a job: {error}") from None
    return line


def _text(value: dict[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False)
