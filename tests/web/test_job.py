"""A whole job in a real browser, by clicks and typed gauge values, from the first reading to prestart."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.web.shed import Server, fill, say
from tests.web.technician import Technician

WRENCHES = {"barrel nuts": "TW-2", "head nuts": "TW-2", "plug": "TW-2", "drain screw": "TW-1",
            "stay bolts": "TW-2", "valve cover screws": "TW-1"}  # fmt: skip
PORT_AT = "H2-Y"  # the exhaust port lies there


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    fill(tmp_path, scope="piston")
    return tmp_path


def test_a_piston_job_from_the_first_reading_to_nothing_forbids_the_start(
    page: Page, server: Server
) -> None:
    ada = Technician(page)
    strip(ada)
    inspect(ada)
    get_parts(ada)
    fit(ada)
    build(ada, server)
    prove(ada)
    page.goto("/job/1/prestart")
    expect(page.locator("main h1")).to_have_text("Nothing forbids the first start")


def strip(ada: Technician) -> None:
    assert "within, worn" in ada.read("cranking compression", "10.6")
    ada.tick("is it due?")
    ada.tick("before the strip")
    ada.tick("strip")
    ada.done("linkage released")
    said = ada.tick("strip")
    assert "head washer" in said or "dowel" in said, "a count that is owed is asked for"
    ada.open("step", "all accounted for")
    for part, number in (("head washer", 5), ("dowel", 2), ("clip", 2), ("link shim", 2)):
        row = ada.page.locator(f'[data-act-name="{part} off"]')
        row.get_by_label("Counted").fill(str(number))
    said = ada.press("Keep the count")
    assert "dowel off 2" in said
    assert "link shim off 2" in said, "one tap keeps all that was counted"
    ada.count("rag", "on", 1)
    ada.open("step", "all accounted for")
    expect(ada.page.locator("main")).to_contain_text("It holds: go on")


def inspect(ada: Technician) -> None:
    ada.tick("measure")
    ada.open("check", "bore")
    for place in ("H1-X", "H1-Y", "H2-X", "H2-Y", "H3-X", "H3-Y"):
        expect(ada.page.locator("main h1")).to_have_text(f"Bore at {place}")
        if place == PORT_AT:
            ada.press("Not measurable here")
        else:  # a gauge that types like a keyboard, with a decimal comma
            ada.page.keyboard.type("53,21")
            ada.page.keyboard.type("2" if place == "H2-X" else "4")
            ada.seen()
            ada.page.keyboard.press("Enter")
            ada.answer()
    expect(ada.page.locator(".cell", has_text="53.214")).to_have_count(4)
    expect(ada.page.locator(".cell.port")).to_have_count(1)
    ada.feel("barrel wall")
    assert "within" in ada.read("piston skirt", "53.128", condition="as found")
    ada.read("ring end gap", "0.45", press="Goes in", place="bottom", condition="as found")
    ada.read("ring end gap", "0.50", press="Does not go", place="bottom", condition="as found")
    ada.read("ring end gap", "0.45", press="Goes in", place="top", condition="as found")
    ada.read("ring end gap", "0.50", press="Does not go", place="top", condition="as found")
    ada.feel("small end")
    ada.feel("big end")
    ada.tick("decide")


def get_parts(ada: Technician) -> None:
    ada.open("part", "piston")
    ada.page.get_by_label("Stamp or label").fill("class B")
    ada.press("The new piston is in hand")
    ada.open("parts")
    ada.page.locator("main button", has_text="are here and match").click()
    ada.answer()


def fit(ada: Technician) -> None:
    ada.read("piston skirt", "53.152", condition="as fitted")
    for place in ("bottom", "top"):
        ada.read("ring end gap", "0.32", press="Goes in", place=place, condition="as fitted")
        ada.read("ring end gap", "0.33", press="Does not go", place=place, condition="as fitted")
    ada.feel("ring in groove", condition="as fitted")
    ada.tick("fit")
    for place, value in (("EX", "1.06"), ("IN", "1.00"), ("IGN", "1.03"), ("CL", "1.02")):
        ada.read("squish", value, place=place)


def build(ada: Technician, server: Server) -> None:
    ada.tick("build")
    ada.count("dowel", "on", 2)
    ada.count("clip", "on", 2)
    say(server.folder, "done second clip in", by="Ben")  # a second person saw it, at the prompt
    ada.tick("build")
    ada.count("rag", "off", 1)
    ada.tick("build")
    for group in WRENCHES:
        ada.pull_all(group, WRENCHES[group], stages=5)
        if group == "barrel nuts":
            ada.tick("build")
            ada.count("head washer", "on", 5)
    ada.count("link shim", "on", 2)
    ada.feel("power valve sweep", condition="as fitted")
    ada.tick("build")


def prove(ada: Technician) -> None:
    ada.feel("turns freely", condition="as fitted")
    ada.open("check", "crankcase leak")
    ada.page.get_by_label("Pressure at start").fill("0,40")
    ada.page.get_by_label("Minutes held").fill("6")
    ada.page.get_by_label("Pressure at end").fill("0,39")
    assert "within" in ada.press("Held, no bubble")
    ada.tick("prove")
