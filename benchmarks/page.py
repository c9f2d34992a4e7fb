"""Measure the page in one run: posted reading to verdict page, long jobs, weight, time to usable.

    .venv/bin/python benchmarks/page.py

Against a bare page of the same framework that only commits one row to a file like the store's.
Targets of the issue are printed beside; nothing here fails a build.
"""

import gzip
import statistics
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import sync_playwright
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse
from starlette.routing import Route
from starlette.testclient import TestClient

sys.path.insert(0, str(Path(__file__).parents[1]))

from ringland.bench.bench import Bench
from ringland.job.log.entries import PartsCounted
from ringland.store import Line, Log, open_store
from ringland.web.app import create_app
from ringland.web.shed import Shed
from tests.web.conftest import chromium, flags
from tests.web.shed import Server, fill, stamp

ROUNDS = 200
SHORT_JOB, LONG_JOB = 50, 5000
SLOWER = 4  # times a fast desk computer, for a phone
ASSETS = ("sheet.css", "queue.js", "forms.js", "bench.js", "engine.js", "icon.svg")
FONT = "fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2"


def main() -> None:
    """Run all measurements and print them."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        bare = times(bare_post(folder / "bare"), ROUNDS)
        print(row("bare page, one row committed", bare))
        short = times(reading_post(folder / "short", SHORT_JOB), ROUNDS)
        print(row(f"reading -> verdict page, job of {SHORT_JOB}", short))
        ratio = statistics.median(short) / statistics.median(bare)
        print(f"  {ratio:.1f} times the bare page (target at most 3)")
        long = times(reading_post(folder / "long", LONG_JOB), ROUNDS)
        print(row(f"reading -> verdict page, job of {LONG_JOB}", long))
        ratio = statistics.median(long) / statistics.median(short)
        print(f"  {ratio:.1f} times the short job (target at most 2)")
        fill(folder / "shown")
        server = Server(folder / "shown")
        server.start()
        try:
            print(weight(server))
            print(usable(server))
        finally:
            server.kill()


def times(post: Callable[[int], None], rounds: int) -> list[float]:
    """Return the wall time of each round [ms], after ten to warm up."""
    found = []
    for number in range(-10, rounds):
        begun = time.perf_counter()
        post(number)
        if number >= 0:
            found.append((time.perf_counter() - begun) * 1000)
    return found


def row(name: str, found: list[float]) -> str:
    """Return a line with median and 99th percentile."""
    high = statistics.quantiles(found, n=100)[98]
    return f"{name:<44} median {statistics.median(found):6.1f} ms   p99 {high:6.1f} ms"


def bare_post(folder: Path) -> Callable[[int], None]:
    """Return a post to a page that commits one row as the store does, and nothing else."""
    folder.mkdir()
    log: Log = open_store(folder / "bare.db")

    async def keep(request: Request) -> HTMLResponse:
        form = await request.form()
        name = uuid.uuid4().hex
        log.append(
            "job/1", [Line(name, name, "note/1", stamp(), "Ada", {"value": str(form["value"])})]
        )
        return HTMLResponse("<!doctype html><title>kept</title><p>kept")

    client = TestClient(Starlette(routes=[Route("/", keep, methods=["POST"])]))

    def post(number: int) -> None:
        assert client.post("/", data={"value": f"53.2{number % 10}"}).status_code == 200

    return post


def reading_post(folder: Path, entries: int) -> Callable[[int], None]:
    """Return a post of a bore reading to a job that has so many entries already."""
    fill(folder)
    log = open_store(folder / "shed.db")
    bench = Bench(log, "Ada", stamp, lambda: uuid.uuid4().hex)
    counts = [PartsCounted("dowel", "off", 2) for _ in range(entries - 1)]
    for begin in range(0, len(counts), 500):
        bench.keep("1", counts[begin : begin + 500])
    shed = Shed(log, stamp, lambda: uuid.uuid4().hex, "Ada", folder / "server")
    client = TestClient(create_app(shed), base_url="http://localhost")
    places = ("H1-X", "H1-Y", "H2-X", "H2-Y", "H3-X", "H3-Y")

    def post(number: int) -> None:
        form = {"verb": "measure", "name": "bore", "place": places[number % 6], "gauge": "BG-2",
                "id": uuid.uuid4().hex, "value": f"53.21{number % 5}"}  # fmt: skip
        answer = client.post("/job/1/check/bore", data=form)
        assert answer.status_code == 200, answer.text[-2000:]
        assert "Verdict so far" in answer.text

    return post


def weight(server: Server) -> str:
    """Return the weight of the first page of a job with all it loads, compressed."""
    page = server.get("/job/1")
    build = page.split('data-build="')[1].split('"')[0]
    parts = {"page": len(gzip.compress(page.encode(), 5))}
    for name in (*ASSETS, FONT):
        content = Path("src/ringland/web/static", name).read_bytes()
        parts[name] = len(content) if name.endswith("woff2") else len(gzip.compress(content, 5))
    assert f"/static/{build}/sheet.css" in page
    told = ", ".join(f"{name.rpartition('/')[2]} {size / 1000:.0f}" for name, size in parts.items())
    return f"first page, all assets, compressed: {sum(parts.values()) / 1000:.0f} kB (target under 200): {told}"


def usable(server: Server) -> str:
    """Return how long the first page takes until it can be pressed, on a slow phone."""
    found = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=flags())
        for _ in range(5):
            context = browser.new_context(viewport={"width": 390, "height": 844})
            page = context.new_page()
            context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            page.goto(f"{server.base}/job/1")
            found.append(
                page.evaluate(
                    "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"
                )
            )
            context.close()
        browser.close()
    return (
        f"usable with the processor {SLOWER} times slower: median {statistics.median(found):.0f} ms"
    )


if __name__ == "__main__":
    main()
