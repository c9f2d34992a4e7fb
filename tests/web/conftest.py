"""A real Chromium and a real server for the page's tests; both are ended in finalisers."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright

from tests.web.shed import Server, fill

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
QUIET = [
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium() -> str:
    """Return the browser: $CHROMIUM, else where systems put it. Never skipped silently."""
    found = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, NAMES)), "")
    found = found or (MAC if Path(MAC).exists() else "")
    if not found:
        pytest.fail("no Chromium: install it (Debian: apt-get install chromium) or set $CHROMIUM")
    return found


def flags() -> list[str]:
    """Return the flags: no calls of the browser's own, and no sandbox where root runs it."""
    return [*QUIET, *(["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else [])]


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as made:
        yield made


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    made = playwright.chromium.launch(executable_path=chromium(), args=flags())
    yield made
    made.close()


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    fill(tmp_path)
    return tmp_path


@pytest.fixture
def server(shed: Path) -> Iterator[Server]:
    made = Server(shed)
    made.start()
    yield made
    made.kill()


@pytest.fixture
def context(browser: Browser, server: Server) -> Iterator[BrowserContext]:
    made = browser.new_context(base_url=server.base, viewport={"width": 390, "height": 844})
    made.set_default_timeout(8000)
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"a script failed: {error}"))
    return made
