"""Scenes of the work: two people, an interrupted tightening, holds, slips, clocks, photos."""

import re
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, FilePayload, Page, expect

from ringland.bench.exchange import export_job, import_job
from ringland.job.log.entries import (
    FastenerPulled,
    HoldSigned,
    PhotoTaken,
    TimerStarted,
    TimerStopped,
)
from ringland.web.templating import url
from tests.web.shed import Server, bench_at, say
from tests.web.technician import Technician

SOON = 12_000  # ms: a poll is due every 4 s


def facts(folder: Path) -> list[object]:
    """Return the facts of job 1."""
    with bench_at(folder) as bench:
        return [entry.fact for entry in bench.entries("1")]


# -- two people ------------------------------------------------------------------------------------


def test_two_people_at_one_job_see_each_other_and_overwrite_nothing(
    browser: Browser, page: Page, server: Server, shed: Path
) -> None:
    other = browser.new_context(base_url=server.base)
    try:
        ben = other.new_page()
        ben.goto("/who")
        ben.get_by_label("Name").fill("Ben")
        ben.get_by_role("button", name="I am working here").click()
        ben.goto("/job/1/check/bore")
        ada = Technician(page)
        ada.read("bore", "53.214")
        expect(ben.locator(".cell", has_text="53.214")).to_be_visible(timeout=SOON)
        assert "kept" in Technician(ben).read("bore", "53.218").casefold()
        expect(page.locator(".cell", has_text="53.218")).to_be_visible(timeout=SOON)
    finally:
        other.close()
    with bench_at(shed) as bench:
        readings = bench.case("1").state.readings["bore", "as found"]
    assert [(said.by, said.fact.place) for said in readings] == [("Ada", "H1-X"), ("Ben", "H1-Y")]


def test_a_change_made_at_the_prompt_appears_without_reloading(page: Page, shed: Path) -> None:
    page.goto("/job/1")
    expect(page.locator("main h1")).to_have_text("Who and what")
    say(shed, "metal specks", by="Ben")
    expect(page.locator("main")).to_contain_text("Stop: metal specks", timeout=SOON)


def test_what_is_being_typed_is_not_swept_away_by_a_change_elsewhere(
    page: Page, shed: Path
) -> None:
    page.goto("/job/1/check/bore")
    page.locator("#value").press_sequentially("53.2")
    say(shed, "metal specks", by="Ben")
    expect(page.locator("#stale")).to_contain_text("changed elsewhere", timeout=SOON)
    expect(page.locator("#value")).to_have_value("53.2")


# -- tightening ------------------------------------------------------------------------------------


def test_a_tightening_left_in_the_middle_begins_its_stage_again(page: Page, shed: Path) -> None:
    say(shed, "torque barrel nuts with TW-2 1 ok, 2 ok", minutes_ago=26)
    page.goto(url("job", "1", "tighten", "barrel nuts"))
    expect(page.locator("main")).to_contain_text("Stage 1 begins again")
    expect(page.locator("main")).to_contain_text("2 of 4 were pulled")
    expect(page.get_by_text("begins again")).to_have_count(1)
    button = page.locator("main button.main[name=positions]")
    expect(button).to_have_text("Number 1 clicked")
    for number in (1, 2, 3, 4):
        expect(button).to_have_text(f"Number {number} clicked")
        button.click()
    expect(page.locator("main")).to_contain_text("stage 2 of 4")


def test_a_nut_out_of_turn_is_kept_with_one_caution(page: Page, shed: Path) -> None:
    page.goto(url("job", "1", "tighten", "barrel nuts") + "?wrench=TW-2")
    page.get_by_role("button", name="3, out of turn").click()
    Technician(page).answer()
    caution = page.locator("main").get_by_text("number 3 pulled out of turn, 1 was next")
    expect(caution).to_have_count(1)
    pull = next(fact for fact in facts(shed) if isinstance(fact, FastenerPulled))
    assert pull.position == 2  # the third in the order stands at the second place, clockwise
    page.reload()
    expect(caution).to_have_count(
        0
    )  # the answer is read; that it was so stands until the stage is done
    expect(page.get_by_text("Number 3 was pulled out of turn, before 1")).to_have_count(1)


def test_the_setting_for_an_adapter_in_line_is_lower_than_what_the_nut_gets(page: Page) -> None:
    # T_set = T L / (L + E cos a), as printed on torque adapters: 28.5 x 300 / 350 = 24.4 N·m
    page.goto(url("job", "1", "tighten", "barrel nuts") + "?wrench=TW-2&adapter=50&angle=0")
    row = page.locator("main table tr").last
    expect(row).to_contain_text("24.5 N·m")  # the wrench's mark nearest to 24.4
    expect(row).to_contain_text("28.6 N·m")


def test_a_pull_keeps_the_adapter_it_was_made_with(page: Page, shed: Path) -> None:
    page.goto(url("job", "1", "tighten", "barrel nuts") + "?wrench=TW-2&adapter=50&angle=0")
    page.locator("main button.main[name=positions]").click()
    Technician(page).answer()
    pull = next(fact for fact in facts(shed) if isinstance(fact, FastenerPulled))
    assert (pull.position, pull.adapter, pull.angle) == (1, "50 mm", "0 deg")


# -- holds, slips, stops ---------------------------------------------------------------------------


def test_a_hold_point_does_not_open_by_ticking_and_is_signed_by_name(
    page: Page, shed: Path
) -> None:
    ada = Technician(page)
    ada.open("step", "causes named")
    expect(page.locator("main")).to_contain_text("It waits for")
    expect(page.get_by_role("button", name="Done", exact=True)).to_have_count(0)
    page.locator("summary", has_text="Sign why").click()
    page.get_by_label("Reason").fill("no damage to be explained")
    ada.press("Sign as Ada")
    signed = [fact for fact in facts(shed) if isinstance(fact, HoldSigned)]
    assert [(fact.hold, fact.reason) for fact in signed] == [
        ("causes named", "no damage to be explained")
    ]
    expect(page.locator("main")).to_contain_text("Signed by Ada")


def test_a_hold_point_that_can_never_be_signed_offers_no_signature(page: Page) -> None:
    page.goto(url("job", "1", "step", "all tight"))
    expect(page.locator("main")).to_contain_text("Nobody can sign this away")
    expect(page.get_by_role("button", name=re.compile("^Sign"))).to_have_count(0)


def test_a_slip_is_asked_about_and_nothing_is_kept_until_it_is_answered(
    page: Page, shed: Path
) -> None:
    ada = Technician(page)
    ada.read("bore", "53.214")
    said = ada.read("bore", "53.412")
    assert "is that right?" in said
    expect(page.locator("#value")).to_have_value("53.412")
    with bench_at(shed) as bench:
        assert len(bench.case("1").state.readings["bore", "as found"]) == 1
    ada.seen()
    page.locator("#asked button.main").click()  # the likely value that is offered
    ada.answer()
    with bench_at(shed) as bench:
        kept = bench.case("1").state.readings["bore", "as found"][-1].fact.indications[0].number
    assert kept == "53.214" or abs(float(kept) - 53.214) < 0.05


def test_a_stop_is_shown_as_a_stop_and_says_what_it_blocks(page: Page) -> None:
    ada = Technician(page)
    ada.open("findings")
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
    said = ada.press("I see it: metal specks")
    assert "Stop" in said
    page.goto("/job/1")
    page.locator(".ask a", has_text="Stop: metal specks").click()
    page.wait_for_url("**/job/1/findings")


def test_a_wrong_reading_is_taken_back_and_stays_in_the_log(page: Page) -> None:
    ada = Technician(page)
    ada.read("bore", "53.214")
    ada.press("Take back my last act")
    expect(page.locator("li.gone", has_text="53.214")).to_be_visible()
    expect(page.locator(".cell", has_text="53.214")).to_have_count(0)


# -- clocks, photos, teaching ----------------------------------------------------------------------


def test_starting_and_stopping_a_clock_are_entries(page: Page, shed: Path) -> None:
    ada = Technician(page)
    ada.open("check", "crankcase leak")
    page.get_by_label("Clock, minutes").fill("6")
    ada.press("Start")
    expect(page.locator(".timer")).to_have_text(re.compile(r"^0:0\d"))
    ada.press("Stop the clock")
    found = [f for f in facts(shed) if isinstance(f, TimerStarted | TimerStopped)]
    assert found == [TimerStarted("crankcase leak", "6 min"), TimerStopped("crankcase leak")]


def photo_with_place() -> bytes:
    """Return a photo that says where and with what it was taken."""
    image = Image.new("RGB", (2400, 1800), "gray")
    exif = Image.Exif()
    exif[0x010F] = "SomeCamera"
    exif.get_ifd(0x8825)[1] = "N"
    out = BytesIO()
    image.save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_photo_of_the_strip_is_made_small_loses_its_data_and_is_shown_at_the_build_step(
    page: Page, shed: Path
) -> None:
    ada = Technician(page)
    ada.open("step", "linkage released")
    file: FilePayload = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": photo_with_place()}
    page.locator("#photo-file").set_input_files(file)
    page.locator("label", has_text="exhaust").first.click()
    ada.press("Keep the photo")
    kept = next(fact for fact in facts(shed) if isinstance(fact, PhotoTaken))
    assert kept.side == "EX"
    with bench_at(shed) as bench:
        content = bench.log.photo(kept.photo)
    image = Image.open(BytesIO(content))
    assert max(image.size) == 1600
    assert not image.getexif()
    assert b"SomeCamera" not in content
    page.goto(url("job", "1", "step", "linkage on"))
    expect(page.locator("main img")).to_have_count(1)


def test_a_learners_reading_stands_beside_the_instructors_and_is_judged(
    page: Page, shed: Path
) -> None:
    say(shed, "gauge BG-2", "bore H1X 53.214", by="Ida")
    say(shed, "gauge BG-2", "bore H1X 53.216", by="Lea")
    page.goto("/job/1/check/bore?place=H1-X")
    expect(page.locator("main")).to_contain_text("Ida and Lea at H1-X read 0.002 mm apart: their")
    say(shed, "gauge BG-2", "bore H3X 53.214", by="Ida")
    say(shed, "gauge BG-2", "bore H3X 53.239", by="Lea")
    page.goto("/job/1/check/bore?place=H3-X")
    expect(page.locator("main")).to_contain_text("read 0.025 mm apart: more than")


def test_the_adviser_answers_a_job_by_its_file_and_the_riders_job_takes_it_in(
    page: Page, server: Server, shed: Path, tmp_path: Path
) -> None:
    say(shed, "bore H1X 53.214")
    packet = server.get("/job/1/packet.jsonl")
    away = tmp_path / "adviser"
    away.mkdir()
    with bench_at(away, "Cleo") as bench:
        import_job(bench, packet)
    say(away, "metal specks", by="Cleo")
    with bench_at(away, "Cleo") as bench:
        answer = "\n".join(export_job(bench, "1")) + "\n"
    (tmp_path / "answer.jsonl").write_text(answer, encoding="utf-8")
    page.goto("/take-in")
    page.get_by_label("File of a job").set_input_files(tmp_path / "answer.jsonl")
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("main h1")).to_contain_text("entries")
    page.goto("/job/1")
    expect(page.locator("main")).to_contain_text("Stop: metal specks")
    with bench_at(shed) as bench:
        assert len(bench.jobs()) == 1
        assert bench.case("1").state.findings["metal specks"].by == "Cleo"


def test_why_it_matters_is_at_hand_but_folded(page: Page) -> None:
    page.goto("/job/1/check/bore")
    why = page.locator("details", has_text="Usual mistake")
    expect(why.locator("p").first).to_be_hidden()
    why.locator("summary").click()
    expect(why.locator("p").first).to_be_visible()


def test_turning_the_crank_moves_the_piston_and_shuts_the_ports(page: Page) -> None:
    # at 0 degrees the piston stands at top dead centre: no travel, both ports shut
    page.goto("/job/1")
    expect(page.locator("#exword")).to_have_text("open")
    page.locator("#angle").fill("0")
    expect(page.locator("#exword")).to_have_text("shut")
    expect(page.locator("#trword")).to_have_text("shut")
    assert page.locator("#episton").get_attribute("transform") == "translate(0 0)"
    page.locator("#angle").fill("180")
    moved = page.locator("#episton").get_attribute("transform") or ""
    assert abs(float(moved.split()[-1].rstrip(")")) - 56.0) < 1e-6  # the stroke of the sheet


def test_a_reading_is_kept_without_any_script(browser: Browser, server: Server, shed: Path) -> None:
    context = browser.new_context(base_url=server.base, java_script_enabled=False)
    try:
        page = context.new_page()
        page.goto("/job/1/check/bore")
        page.locator("#value").fill("53,214")
        page.get_by_role("button", name="Keep the reading").click()
        expect(page.locator("main [role=status]").first).to_contain_text("53.214 mm")
        page.reload()  # sends the form again: once is kept
        expect(page.locator("main")).to_contain_text("Kept before")
    finally:
        context.close()
    with bench_at(shed) as bench:
        assert len(bench.case("1").state.readings["bore", "as found"]) == 1


def test_by_keyboard_alone_a_reading_is_taken_and_the_next_page_opened(page: Page) -> None:
    page.goto("/job/1")
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.goto("/job/1/check/bore")
    expect(page.locator("#value")).to_be_focused()
    page.keyboard.type("53,214")
    page.keyboard.press("Enter")
    expect(page.locator("main h1")).to_have_text("Bore at H1-Y")
    expect(page.locator("#value")).to_be_focused()
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent.startsWith('Then:')"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/job/1/(?!check/bore)"))


def test_each_thing_that_forbids_the_first_start_leads_to_where_it_is_put_right(
    page: Page,
) -> None:
    page.goto("/job/1/prestart")
    without = page.locator("main ul.plain > li:not(:has(> a))")
    expect(page.locator("main ul.plain > li").first).to_be_visible()
    expect(without).to_have_count(0)
    expect(page.locator("main")).not_to_contain_text("ringland renew")
    page.get_by_role("link", name=re.compile("^barrel nuts: ")).click()
    expect(page).to_have_url(re.compile("/job/1/tighten/barrel%20nuts"))


def test_a_number_that_cannot_be_in_the_unit_shown_is_asked_about(page: Page, shed: Path) -> None:
    technician = Technician(page)
    asked = technician.read("cranking compression", "160")
    assert "160 bar" in asked
    assert "Kept." not in asked
    with bench_at(shed) as bench:
        assert ("cranking compression", "as found") not in bench.case("1").state.readings
    technician.press("Use 160 psi")
    with bench_at(shed) as bench:
        assert ("cranking compression", "as found") in bench.case("1").state.readings
