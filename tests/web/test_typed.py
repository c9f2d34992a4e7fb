"""Nothing that was typed is lost: changes made elsewhere, a bench that is away, answers of others."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from ringland.job.log.entries import Gauge
from tests.web.shed import Server, bench_at, say
from tests.web.technician import Technician
from tests.web.test_offline import opened, typed, until_sent, waiting

SOON = 12_000  # ms: a poll is due every 4 s
AWAY = re.compile("The bench does not answer")


def hours(folder: Path) -> list[str]:
    """Return each reading of oxbow-3's hour meter."""
    with bench_at(folder) as bench:
        lines = bench.log.read("machine/oxbow-3")
    return [line.body["hours"] for _, line in lines if line.kind == "hours-read/1"]


# -- while someone else works at the job -----------------------------------------------------------


def test_the_change_of_another_device_is_shown_around_what_is_being_typed(
    page: Page, shed: Path
) -> None:
    page.goto("/job/1/check/bore")
    page.locator("#value").press_sequentially("53.2")
    say(shed, "bore H1X 53.214", by="Ben")
    page.get_by_role("button", name="Show the change").click(timeout=SOON)
    expect(page.locator(".cell", has_text="53.214")).to_be_visible()
    expect(page.locator("#value")).to_have_value("53.2")
    # it was typed for H1-X and stays there, though Ben's reading would move the page on
    expect(page.locator("main h1")).to_have_text("Bore at H1-X")
    page.keyboard.type("16")  # the field is under the hand again, behind what stands in it
    page.keyboard.press("Enter")
    expect(page.locator("main .kept").first).to_be_visible()
    assert typed(shed) == ["H1-X 53.214", "H1-X 53.216"]


def test_keeping_one_form_leaves_what_is_typed_in_another(page: Page) -> None:
    ada = Technician(page)
    page.goto("/job/1/check/bore")
    page.locator("details", has_text="Decide otherwise").locator("summary").click()
    page.locator("#o-reason").fill("seen by the machinist")
    page.locator("#value").fill("53.214")
    ada.press("Keep the reading")
    expect(page.locator("#o-reason")).to_have_value("seen by the machinist")
    expect(page.locator("#value")).to_have_value("")


# -- while the bench is away -----------------------------------------------------------------------


def test_what_waits_survives_a_closed_tab_and_a_full_reload_while_the_bench_is_away(
    context: BrowserContext, server: Server, shed: Path
) -> None:
    page = context.new_page()
    opened(page, "/job/1/check/bore")
    server.kill()
    for value in ("53.214", "53.218"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    page.close()
    page = context.new_page()
    page.goto("/job/1/check/bore")
    expect(page.locator("#queue")).to_contain_text("2 entries")
    page.reload()
    expect(page.locator("#queue")).to_contain_text("bore H1-X 53.214 mm")
    server.start()
    until_sent(page)
    assert typed(shed) == ["H1-X 53.214", "H1-Y 53.218"]


def test_an_entry_refused_outright_is_set_aside_and_the_rest_is_kept(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/job/1/check/bore")
    server.kill()
    for value in ("53.214", "wide", "53.212"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    server.start()
    box = page.locator("#queue")
    expect(box).to_contain_text("1 entry needs you", timeout=20_000)
    expect(box).to_contain_text("wide")
    assert typed(shed) == ["H1-X 53.214", "H2-X 53.212"]
    page.reload()  # it still needs the person then
    expect(box).to_contain_text("1 entry needs you")
    box.get_by_role("button", name=re.compile("^Drop it")).click()
    expect(box).to_be_hidden()


def without_worker(browser: Browser, server: Server) -> Page:
    """Return a page whose answers a test can replace: the worker lies past its reach."""
    context = browser.new_context(base_url=server.base, service_workers="block")
    return context.new_page()


def test_an_answer_that_is_not_the_benchs_keeps_the_entry_on_the_device(
    browser: Browser, server: Server, shed: Path
) -> None:
    page = without_worker(browser, server)
    page.goto("/job/1/check/bore")
    strange = "<html><body>Log in to this Wi-Fi</body></html>"

    def of_another(route: Route) -> None:
        if route.request.method == "POST":
            route.fulfill(status=200, content_type="text/html", body=strange)
        else:
            route.continue_()

    page.route("**/check/bore", of_another)
    page.locator("#value").fill("53.214")
    page.keyboard.press("Enter")
    expect(page.locator("#status")).to_contain_text("Kept on this device")
    assert waiting(page) == 1
    assert typed(shed) == []
    page.unroute("**/check/bore")
    until_sent(page)
    page.context.close()
    assert typed(shed) == ["H1-X 53.214"]


def test_an_entry_at_which_the_bench_fails_does_not_block_those_behind_it(
    browser: Browser, server: Server, shed: Path
) -> None:
    page = without_worker(browser, server)
    page.goto("/job/1/check/bore")

    def fails(route: Route) -> None:
        said = route.request.post_data or ""
        if route.request.method == "POST" and "53.218" in said:
            route.fulfill(status=500, body="")
        else:
            route.continue_()

    page.route("**/check/bore", fails)
    for value in ("53.218", "53.212"):
        page.locator("#value").fill(value)
        page.keyboard.press("Enter")
        expect(page.locator("#value")).to_have_value("")
    expect(page.locator("#queue")).to_contain_text("1 entry needs you", timeout=30_000)
    assert [each.split()[-1] for each in typed(shed)] == ["53.212"]
    page.context.close()


def test_hours_read_while_the_bench_is_away_are_sent_once(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/machine/oxbow-3")
    before = hours(shed)
    server.kill()
    page.get_by_label("Hours it shows now").fill("42,5")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("#queue")).to_contain_text("oxbow-3 hours 42,5 h")
    expect(page.get_by_label("Hours it shows now")).to_have_value("")
    server.start()
    until_sent(page)
    assert hours(shed) == [*before, "42.5 h"]


def test_a_gauge_and_a_machine_wait_on_the_device_too(
    page: Page, server: Server, shed: Path
) -> None:
    opened(page, "/")
    opened(page, "/gauges")
    server.kill()
    page.locator("summary", has_text="Put a gauge").click()
    page.get_by_label("Name, in one word").fill("DI-9")
    page.get_by_label("Kind").select_option("dial indicator")
    page.get_by_label("Smallest step").fill("0.01 mm")
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.locator("#queue")).to_contain_text("DI-9")
    page.goto("/")
    page.locator("summary", has_text="Add a machine").click()
    page.get_by_label("Name, in one word").fill("oxbow-9")
    page.get_by_role("button", name="Add the machine").click()
    expect(page.locator("#queue")).to_contain_text("2 entries")
    server.start()
    until_sent(page)
    with bench_at(shed) as bench:
        assert bench.shelf().gauges["DI-9"] == Gauge("DI-9", "dial indicator", resolution="0.01 mm")
        assert "oxbow-9" in bench.machines()


def test_a_form_that_cannot_wait_says_so_and_keeps_what_is_typed_over_a_reload(
    page: Page, server: Server
) -> None:
    page.goto("/sheets/new")
    page.get_by_label("Engine, as the manual names it").fill("Osprey 85")
    page.get_by_role("button", name="Start the sheet").click()
    page.wait_for_url("**/sheets/osprey-85**")
    opened(page, "/sheets/osprey-85?scope=ring")
    server.kill()
    expect(page.locator("#queue")).to_contain_text(AWAY, timeout=SOON)
    first = page.locator("main form[data-held]").first
    first.locator("input[name=value]").fill("53.200 mm")
    first.locator("input[name=page]").fill("p 4-29")
    first.get_by_role("button", name=re.compile("^Keep ")).click()
    expect(page.locator("[data-unsent]")).to_contain_text("nothing was sent")
    expect(first.locator("input[name=value]")).to_have_value("53.200 mm")
    page.reload()
    expect(page.locator("[data-unsent]")).to_contain_text("not sent yet")
    held = page.locator("form", has=page.locator("[data-unsent]"))
    expect(held.locator("input[name=value]")).to_have_value("53.200 mm")
    server.start()
    held.get_by_role("button", name=re.compile("^Keep ")).click()
    expect(page.locator("main .kept").first).to_contain_text("53.200 mm")
    page.reload()
    expect(page.locator("main h1")).to_be_visible()
    expect(page.locator("[data-unsent]")).to_have_count(0)


@pytest.mark.parametrize(
    ("path", "form", "fields", "leads_to"),
    [
        ("/machine/oxbow-3", "form[data-held]", {}, "/job/2"),
        ("/", "form[data-act]", {"name": "oxbow-9"}, "/machine/oxbow-9"),
    ],
)
def test_a_form_of_the_shop_sent_twice_is_kept_once_and_answers_the_same(
    page: Page, path: str, form: str, fields: dict[str, str], leads_to: str
) -> None:
    page.goto(path)
    answers = page.evaluate(
        """async ([which, fields]) => {
            const form = document.querySelector(which), answers = [];
            for (const _ of [1, 2]) {
                const body = new URLSearchParams(new FormData(form));
                Object.entries(fields).forEach(([name, text]) => body.set(name, text));
                const answer = await fetch(form.action, {method: "POST", body});
                answers.push([answer.status, new URL(answer.url).pathname]);
            }
            return answers;
        }""",
        [form, fields],
    )
    assert answers == [[200, leads_to], [200, leads_to]]
