"""The bench page on a phone in a glove: what asks comes first, big choices, the unit beside the field."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from ringland.bench.opening import add_gauge
from ringland.job.log.entries import CauseNamed, Gauge
from tests.web.shed import Server, bench_at, say
from tests.web.technician import Technician

PHONE = {"width": 390, "height": 844}
GLOVES = 64  # CSS px high


def top_of(page: Page, words: str) -> float:
    """Return where a heading begins on the page [px]."""
    box = page.get_by_role("heading", name=words, exact=True).bounding_box()
    assert box is not None
    return box["y"]


@pytest.fixture
def asking(shed: Path) -> Path:
    """A job with a stop and with a reading that asks."""
    say(shed, "compression 9.3 bar", "metal specks")
    return shed


def test_on_a_phone_the_first_screen_holds_the_next_step_the_stop_and_what_asks(
    page: Page, asking: Path
) -> None:
    assert asking.exists()
    page.goto("/job/1")
    last = page.locator(".waits .rows li").first.bounding_box()
    assert last is not None
    assert last["y"] + last["height"] < PHONE["height"]
    assert top_of(page, "Asks for you") > page.locator(".stops").bounding_box()["y"]  # type: ignore[index]
    assert page.locator(".cutaway").bounding_box()["y"] > last["y"]  # type: ignore[index]


def test_on_a_wide_screen_the_engine_stands_beside_the_next_step(
    browser: Browser, server: Server, asking: Path
) -> None:
    assert asking.exists()
    context = browser.new_context(
        base_url=server.base, viewport={"width": 1280, "height": 900}, service_workers="block"
    )
    page = context.new_page()
    page.goto("/job/1")
    drawing = page.locator(".cutaway").bounding_box()
    following = page.locator(".next").bounding_box()
    context.close()
    assert drawing is not None
    assert following is not None
    assert drawing["x"] >= following["x"] + following["width"]
    assert drawing["y"] + drawing["height"] / 2 < 900
    assert drawing["width"] > 400


def test_on_a_phone_the_number_pad_stands_on_the_first_screen(page: Page) -> None:
    page.goto("/job/1/check/bore")
    box = page.locator(".pad [data-key='0']").bounding_box()
    assert box is not None
    assert box["y"] + GLOVES / 2 < PHONE["height"]


def test_after_a_pull_the_setting_and_the_next_nut_stand_on_the_same_screen(page: Page) -> None:
    page.goto("/job/1/tighten/barrel%20nuts?wrench=TW-2&adapter=50&angle=0")
    ada = Technician(page)
    ada.press("Number 1 clicked")
    following = page.get_by_role("button", name="Number 2 clicked").bounding_box()
    setting = page.locator("main h1").bounding_box()
    assert following is not None
    assert setting is not None
    assert 0 <= setting["y"] < following["y"] < PHONE["height"] - GLOVES


def test_the_menu_opens_within_the_phone(page: Page) -> None:
    page.goto("/job/1")
    page.locator(".menu > summary").click()
    box = page.locator(".menu > ul").bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]


def test_a_gauge_is_asked_only_for_what_its_kind_has(page: Page) -> None:
    page.goto("/gauges?gauge=FG-1")
    expect(page.get_by_label("Leaves of a feeler set")).to_be_visible()
    expect(page.get_by_label("Middle of grip")).to_be_hidden()
    page.get_by_label("Kind").select_option("torque wrench")
    expect(page.get_by_label("Middle of grip")).to_be_visible()
    expect(page.get_by_label("Leaves of a feeler set")).to_be_hidden()


def test_in_the_hour_book_each_part_reads_across_the_phone(page: Page, shed: Path) -> None:
    say(shed, "compression 9.3 bar")
    page.goto("/machine/oxbow-3")
    boxes = page.locator("table.run td:last-child").evaluate_all(
        "cells => cells.map(c => c.getBoundingClientRect().width)"
    )
    assert boxes
    assert min(boxes) > 300


# -- the cause of a damage -------------------------------------------------------------------------


def test_without_a_damage_the_page_of_causes_says_so(page: Page) -> None:
    page.goto("/job/1/causes")
    expect(page.locator("main h1")).to_have_text("No damage waits for a cause")


def test_a_cause_is_chosen_by_a_big_row_and_needs_its_proof(page: Page, shed: Path) -> None:
    say(shed, "four-corner seizure")
    page.goto("/job/1/causes")
    expect(page.locator("main h1")).to_have_text("1 damage waits for a cause")
    choice = page.locator("main .choice").first
    box = choice.bounding_box()
    assert box is not None
    assert box["height"] >= GLOVES
    said = choice.locator("input").get_attribute("value") or ""
    ada = Technician(page)
    choice.click()
    assert "write what proves it" in ada.press("Name the cause")
    choice.click()
    page.get_by_label("What proves it").fill("the jet is two sizes small")
    ada.press("Name the cause")
    expect(page.locator("main h1")).to_have_text("Every damage has its cause")
    with bench_at(shed) as bench:
        facts = [entry.fact for entry in bench.entries("1")]
    assert facts[-1] == CauseNamed("four-corner seizure", said, "the jet is two sizes small")


def test_a_gauge_whose_calibration_is_over_says_so_on_the_shelf(page: Page, shed: Path) -> None:
    with bench_at(shed) as bench:
        add_gauge(bench, Gauge("MIC-9", "outside micrometer", calibrated="2020-01-05"))
    page.goto("/gauges")
    row = page.get_by_role("row", name="MIC-9")
    expect(row).to_contain_text("2020-01-05, overdue")
    expect(page.get_by_text("MIC-9 was last calibrated 2020-01-05")).to_be_visible()


# -- the unit of a bare number ---------------------------------------------------------------------


def test_a_bare_number_is_shown_with_its_unit_before_it_is_kept_and_kept_in_it(
    page: Page, shed: Path
) -> None:
    with bench_at(shed) as bench:
        add_gauge(bench, Gauge("BG-9", "bore gauge", "0.0002 in", "0.0001 in"))
    page.goto("/job/1/check/bore")
    expect(page.locator("#read-as")).to_have_text("A number without a unit is kept in mm.")
    page.locator("#value").fill("2.0961")
    expect(page.locator("#read-as")).to_have_text("Will be kept as 2.0961 mm.")
    page.locator(".choice", has_text="BG-9").click()
    expect(page.locator("label[for=value]")).to_contain_text("in inches")
    expect(page.locator("#read-as")).to_have_text("Will be kept as 2.0961 in.")
    said = Technician(page).press("Keep the reading")
    assert "Kept: bore H1-X 2.0961 in with BG-9" in said
    # the next one is in inches too: the gauge is still in hand
    expect(page.locator("#read-as")).to_have_text("A number without a unit is kept in inches.")


def test_the_unit_that_is_chosen_rules_over_the_gauges(page: Page, shed: Path) -> None:
    page.goto("/job/1/check/cranking%20compression")
    page.locator(".choice", has_text="psi").click()
    page.locator("#value").fill("140")
    expect(page.locator("#read-as")).to_have_text("Will be kept as 140 psi.")
    Technician(page).press("Keep the reading")
    with bench_at(shed) as bench:
        reading = bench.case("1").state.readings["cranking compression", "as found"][-1]
    assert str(reading.fact.indications[0].quantity) == "140 psi"


def test_what_waits_on_the_device_is_named_with_its_unit(page: Page, server: Server) -> None:
    page.goto("/job/1/check/bore")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.kill()
    page.locator("#value").fill("53.214")
    page.keyboard.press("Enter")
    expect(page.locator("#queue")).to_contain_text("measure bore H1-X 53.214 mm")
