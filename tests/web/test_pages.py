"""Every page: axe finds nothing, nothing overflows at 320 px, targets are large, nothing comes from elsewhere.

Screenshots go to build/pages, which git ignores; they are looked at by people.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, BrowserContext, Page

from ringland.calc import CALCULATORS
from tests.web.shed import Server, fill, say

SHOTS = Path(__file__).parents[2] / "build" / "pages"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LEAST_TARGET = 24  # CSS px, WCAG 2.2 success criterion 2.5.8
GLOVES = 64  # CSS px high, of what is pressed in the work

PAGES = {
    "wall": "/",
    "now": "/job/1",
    "board": "/job/1/board",
    "plan": "/job/1/plan",
    "bore": "/job/1/check/bore",
    "gap": "/job/1/check/ring%20end%20gap",
    "feel": "/job/1/check/barrel%20wall",
    "leak": "/job/1/check/crankcase%20leak",
    "derived": "/job/1/check/taper",
    "step": "/job/1/step/head%20off",
    "hold": "/job/1/step/all%20accounted%20for",
    "part": "/job/1/part/piston",
    "findings": "/job/1/findings",
    "tighten": "/job/1/tighten/barrel%20nuts?wrench=TW-2&adapter=50&angle=45",
    "parts": "/job/1/parts",
    "settings": "/job/1/settings",
    "prestart": "/job/1/prestart",
    "causes": "/job/1/causes",
    "log": "/job/1/log",
    "record": "/job/1/record",
    "machine": "/machine/oxbow-3",
    "gauges": "/gauges",
    "take-in": "/take-in",
    "sheets": "/sheets",
    "sheet-new": "/sheets/new",
    "calculators": "/calc",
    "adapter": "/calc/adapter?torque=30+N%C2%B7m&wrench=300+mm&adapter=50+mm&angle=45",
    "who": "/who",
    "trust": "/trust",
    "offline": "/offline",
    "error": "/nowhere",
}


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("pages")
    fill(folder)
    say(folder, "compression 9.3 bar", "bore H1X 53.241 H1Y 53.247 H2X 53.236 H2Y port",
        "old gap bottom .65 goes", "power valve travel 7.0 mm", "power valve binds",
        "four-corner seizure", "barrel wall good", "old piston skirt 53.128",
        "torque barrel nuts with TW-2 1 ok, 2 ok")  # fmt: skip
    server = Server(folder)
    server.start()
    yield server
    server.kill()


@pytest.fixture(scope="module", params=["light", "dark"])
def themed(browser: Browser, shown: Server, request: pytest.FixtureRequest) -> Iterator[Page]:
    context = browser.new_context(
        base_url=shown.base,
        color_scheme=request.param,
        viewport={"width": 390, "height": 844},
        service_workers="block",
    )
    SHOTS.mkdir(parents=True, exist_ok=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    yield page
    context.close()


def test_axe_finds_nothing_on_any_page(themed: Page) -> None:
    found = []
    theme = themed.evaluate("matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light'")
    for name, path in PAGES.items():
        themed.goto(path)
        answer = Axe().run(themed, options={"runOnly": RULES})
        found += [
            f"{name}: {rule['id']} at {rule['nodes'][0]['target']}"
            for rule in answer.response["violations"]
        ]
        themed.screenshot(path=SHOTS / f"{name}-390-{theme}.png", full_page=True)
    assert not found


def test_no_page_overflows_at_320_px_nor_asks_anything_of_elsewhere(
    browser: Browser, shown: Server
) -> None:
    context = browser.new_context(base_url=shown.base, viewport={"width": 320, "height": 700})
    page = context.new_page()
    errors: list[str] = []
    asked: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda m: errors.append(m.text) if "Security Policy" in m.text else None)
    page.on("request", lambda r: asked.append(r.url))
    wide = []
    for name, path in PAGES.items():
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if over > 0:
            wide.append((name, over))
    context.close()
    assert not wide
    assert not errors
    assert not [url for url in asked if not url.startswith((shown.base, "blob:", "data:"))]


def test_what_is_pressed_at_work_is_large_enough_for_gloves(context: BrowserContext) -> None:
    page = context.new_page()
    small = []
    for path in ("/job/1", "/job/1/check/bore", "/job/1/tighten/barrel%20nuts", "/job/1/plan"):
        page.goto(path)
        boxes = page.evaluate(
            """() => [...document.querySelectorAll(
                 'main .btn, main .choice, main summary, main .rows a, .nav a, .nav summary')]
               .filter(e => e.offsetParent && !e.classList.contains('vh'))
               .map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect().height,
                          e.getBoundingClientRect().width])"""
        )
        small += [(path, *box) for box in boxes if box[1] < GLOVES - 0.5 or box[2] < LEAST_TARGET]
    assert not small


def test_desktop_pages_are_kept_as_pictures(browser: Browser, shown: Server) -> None:
    context = browser.new_context(base_url=shown.base, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    SHOTS.mkdir(parents=True, exist_ok=True)
    for name in ("wall", "now", "board", "bore", "tighten", "part", "record", "adapter"):
        answer = page.goto(PAGES[name])
        assert answer is not None
        assert answer.ok
        page.screenshot(path=SHOTS / f"{name}-1280-light.png", full_page=True)
    context.close()


def test_each_calculator_has_its_page(context: BrowserContext) -> None:
    page = context.new_page()
    for name in CALCULATORS:
        answer = page.goto(f"/calc/{name}")
        assert answer is not None
        assert answer.ok, name
        assert page.locator("main form button").count() == 1


def test_a_calculator_answers_with_its_drawing(context: BrowserContext) -> None:
    # 30 N·m with 300 mm and 50 mm in line: 30 x 300 / 350 = 25.7 N·m, the formula on the adapter
    page = context.new_page()
    page.goto("/calc/adapter")
    given = {"torque": "30 N·m", "wrench": "300 mm", "adapter": "50 mm", "angle": "0"}
    for name, text in given.items():
        page.locator(f"[name='{name}']").fill(text)
    page.get_by_role("button", name="Work it out").click()
    assert "25.7" in page.locator("main section").inner_text()
    loaded = page.locator("main img").evaluate("i => i.complete && i.naturalWidth > 0")
    assert loaded
