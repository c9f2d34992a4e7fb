"""A job as one JSON Lines file and back, without loss: entries in order, then its photos.

First line: {"ringland": "job", "version": 1, "job": NAME}. Then one entry each, then one photo each
as base64.
"""

import base64
import json
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from ringland.bench.bench import Bench
from ringland.bench.refusal import Refused
from ringland.job.coding import UnknownKind, decode
from ringland.job.entries import JobOpened, PhotoTaken
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
    for each in rest:
        if (
            "photo" in each
            and bench.log.put_photo(base64.b64decode(each["base64"])) != each["photo"]
        ):
            raise Refused(
                f"photo {each['photo'][:12]} is damaged: its content does not match its name"
            )
    job = _home(bench, str(head.get("job", "")), lines)
    return job, bench.log.append(f"job/{job}", lines)


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
    for number, line in enumerate(text.splitlines(), 1):
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
