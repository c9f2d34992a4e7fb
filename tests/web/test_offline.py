"""The server goes away in the middle of the work: nothing is lost, nothing is doubled."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Page, Playwright, expect

from ringland.job.log.entries import FindingNoted, ReadingTaken, StepDone
from tests.web.conftest import chromium, flags
from tests.web.shed import Server, bench_at

WAITS = re.compile("Kept on this device")


def typed(folder: Path) -> list[str]:
    """Return the readings of job 1 as typed, in the order of its log."""
    with bench_at(folder) as bench:
        facts = [entry.fact for entry in bench.entries("1")]
    return [
        f"{f.place} {i.typed}" for f in facts if isinstance(f, ReadingTaken) for i in f.indications
    ]


def opened(page: Page, path: str) -> None:
    """Open a page and wait until the device keeps it."""
    page.goto(path)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    until_kept(page, path)


def until_kept(page: Page, path: str) -> None:
    """Wait until the worker keeps a page."""
    script = "p => caches.match(p, {ignoreVary: true}).then(found => Boolean(found))"
    for _ in range(100):
        if page.evaluate(script, path):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"{path} is not kept on the device")


def waiting(page: Page) -> int:
    """Return how many entries wait on the device."""
    found: int = page.evaluate("ringlandQueue.all().then(items => items.length)")
    return found


def until_sent(page: Page) -> None:
    """Wait until nothing waits on the device any more."""
    for _ in range(150):
        if not waiting(page):
            return
        page.wait_for_timeout(100)
    raise AssertionError("entries still wait on the device")


def test_readings_taken_while_the_server_is_away_are_sent_once_in_order(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/job/1/check/bore")
    server.kill()
    for value in ("53.214", "53.218", "53.212"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    expect(page.locator("#queue")).to_contain_text("3 entries")
    expect(page.locator("main h1")).to_have_text("Bore at H2-Y")
    server.start()
    until_sent(page)
    assert typed(shed) == ["H1-X 53.214", "H1-Y 53.218", "H2-X 53.212"]
    expect(page.locator(".cell", has_text="53.218")).to_be_visible()


def test_a_page_that_was_opened_is_shown_again_while_the_server_is_away(
    page: Page, server: Server
) -> None:
    opened(page, "/job/1/check/bore")
    opened(page, "/job/1")
    server.kill()
    page.reload()
    expect(page.locator("main h1")).to_be_visible()
    page.goto("/job/1/check/bore")
    expect(page.locator("main h1")).to_have_text("Bore at H1-X")
    page.goto("/machine/oxbow-3")
    expect(page.locator("main h1")).to_have_text("This page was not opened before")


def test_readings_survive_a_browser_that_was_killed(
    playwright: Playwright, server: Server, shed: Path, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"

    def launch() -> BrowserContext:
        return playwright.chromium.launch_persistent_context(
            str(profile), executable_path=chromium(), args=flags(), base_url=server.base
        )

    first = launch()
    page = first.pages[0]
    opened(page, "/job/1/check/bore")
    server.kill()
    for value in ("53.214", "53.218"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    page.wait_for_timeout(50)
    session = first.new_cdp_session(page)
    with pytest.raises(Error, match=r"(?i)closed"):
        session.send("Browser.crash")  # as a phone that ran out of memory
    second = launch()
    try:
        page = second.pages[0]
        page.goto("/job/1/check/bore")
        expect(page.locator("#queue")).to_contain_text("2 entries")
        server.start()
        until_sent(page)
    finally:
        second.close()
    assert typed(shed) == ["H1-X 53.214", "H1-Y 53.218"]


def test_an_answer_that_was_lost_does_not_double_the_entry(
    browser: Browser, server: Server, shed: Path
) -> None:
    # without the worker, past which a test cannot lose an answer
    context = browser.new_context(base_url=server.base, service_workers="block")
    page = context.new_page()
    page.goto("/job/1/check/bore")
    lost: list[str] = []

    def lose(route) -> None:  # type: ignore[no-untyped-def]  # the bench keeps it, the answer is lost
        if route.request.method == "POST" and not lost:
            lost.append(route.request.post_data or "")
            route.fetch()
            route.abort("connectionreset")
        else:
            route.continue_()

    page.route("**/check/bore", lose)
    page.locator("#value").fill("53.214")
    page.keyboard.press("Enter")
    expect(page.locator("#status")).to_contain_text(WAITS)
    until_sent(page)
    context.close()
    assert lost
    assert typed(shed) == ["H1-X 53.214"]


def test_an_entry_that_is_refused_needs_the_person_and_does_not_hold_up_the_rest(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/job/1/check/bore")
    server.kill()
    for value in ("53.214", "5.3218", "53.212"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    server.start()
    box = page.locator("#queue")
    expect(box).to_contain_text("1 entry needs you", timeout=20_000)
    assert typed(shed) == ["H1-X 53.214", "H2-X 53.212"]
    expect(box).to_contain_text("is that right?")
    box.get_by_role("button", name="Keep as typed: I have checked it").click()
    until_sent(page)
    assert typed(shed)[-1] == "H1-Y 5.3218"


def test_on_a_plain_connection_entries_wait_in_the_open_page(
    playwright: Playwright, shed: Path
) -> None:
    server = Server(shed, "--host", "bench.test")
    server.start()
    rules = "--host-resolver-rules=MAP bench.test 127.0.0.1"
    browser = playwright.chromium.launch(executable_path=chromium(), args=[*flags(), rules])
    try:
        page = browser.new_page()
        page.goto(f"http://bench.test:{server.port}/job/1/findings")
        assert not page.evaluate("isSecureContext || 'serviceWorker' in navigator")
        server.kill()
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        page.get_by_role("button", name="I see it: metal specks").first.click()
        expect(page.locator("#queue")).to_contain_text("Keep this page open")
        server.start()
        until_sent(page)
    finally:
        browser.close()
        server.kill()
    with bench_at(shed) as bench:
        facts = [entry.fact for entry in bench.entries("1")]
    assert [f.finding for f in facts if isinstance(f, FindingNoted)] == ["metal specks"]


def test_a_step_ticked_while_away_keeps_the_time_it_was_ticked(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/job/1")
    server.kill()
    page.locator("main .next button.main").click()
    expect(page.locator("#status")).to_contain_text(WAITS)
    at = page.evaluate("ringlandQueue.all().then(items => items[0].at)")
    page.wait_for_timeout(1200)
    server.start()
    until_sent(page)
    with bench_at(shed) as bench:
        ticked = [e for e in bench.entries("1") if isinstance(e.fact, StepDone)]
    assert [entry.at for entry in ticked] == [at]
