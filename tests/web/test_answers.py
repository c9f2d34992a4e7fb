"""What a page says after an act: where to go on, what is counted once, what the shelf lacks."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from ringland.bench.opening import add_machine, open_job
from ringland.job.log.entries import PartsCounted
from ringland.job.log.shop import MachineAdded
from ringland.store import open_store
from ringland.web.app import create_app
from ringland.web.shed import Shed
from ringland.web.templating import url
from tests.web.shed import SHEET, bench_at, fill, say

NOW = "2026-05-02T10:00:00+02:00"


def client_of(folder: Path) -> Iterator[TestClient]:
    """Serve a folder's store without a server."""
    log = open_store(folder / "shed.db")
    ids = iter(range(10_000))
    shed = Shed(log, lambda: NOW, lambda: f"id-{next(ids)}", "Ada", folder / "server")
    app = create_app(shed, hosts=("testserver",))
    yield TestClient(app, headers={"origin": "http://testserver"})
    log.close()


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    fill(tmp_path)
    yield from client_of(tmp_path)


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[TestClient]:
    """A job of a bench without any gauge."""
    with bench_at(tmp_path) as bench:
        add_machine(bench, MachineAdded("oxbow-3", str(SHEET)), hours="41.6 h")
        open_job(bench, "oxbow-3", scope="full")
    yield from client_of(tmp_path)


def text_of(page: str) -> str:
    """Return what a page's main part says."""
    main = page.partition('<main id="main">')[2].partition("</main>")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", main).split())


def look(client: TestClient, *parts: str, query: str = "") -> str:
    return str(client.get(url("job", "1", *parts) + query).text)


def act(client: TestClient, where: tuple[str, ...], verb: str, **fields: str) -> str:
    """Send one act to a page of job 1; return that page."""
    query = f"?{fields.pop('query')}" if "query" in fields else ""
    fields = {key.replace("__", ":").replace("_", " "): said for key, said in fields.items()}
    answer = client.post(url("job", "1", *where) + query, data={"verb": verb, **fields})
    return str(answer.text)


def facts(folder: Path) -> list[object]:
    with bench_at(folder) as bench:
        return [entry.fact for entry in bench.entries("1")]


# -- counts ----------------------------------------------------------------------------------------


def test_one_post_keeps_each_count_that_was_typed_and_no_other(
    client: TestClient, tmp_path: Path
) -> None:
    counted = {"n__off__link_shim": "2", "n__off__valve_cover": "", "n__off__e-clip": "0"}
    act(client, ("step", "linkage released"), "count", name="linkage released", **counted)
    kept = [fact for fact in facts(tmp_path) if isinstance(fact, PartsCounted)]
    assert kept == [PartsCounted("link shim", "off", 2), PartsCounted("e-clip", "off", 0)]


def test_a_count_of_nothing_typed_keeps_nothing_and_says_so(client: TestClient) -> None:
    page = act(client, ("step", "linkage released"), "count", name="linkage released")
    assert "no count is typed yet" in text_of(page)


def test_a_hold_names_each_missing_count_once_with_its_field(
    client: TestClient, tmp_path: Path
) -> None:
    say(tmp_path, "done due", "done get", "done strip", "done linkage released", "done strip")
    page = look(client, "step", "all accounted for")
    assert page.count('name="n:off:dowel"') == 1
    assert text_of(page).count("dowel") == 2  # the part, and the label of its field
    assert "as in:" not in text_of(page), "what is typed at the prompt is no hint on a page"
    assert 'name="n:on:dowel"' not in page, "what goes on is not owed yet"


def test_the_rag_is_counted_where_the_hold_waits_for_it(client: TestClient, tmp_path: Path) -> None:
    say(tmp_path, "done due", "done get", "done strip", "done linkage released", "done strip")
    say(tmp_path, "rag in")
    page = look(client, "step", "rag counted out")
    assert 'name="n:off:rag"' in page
    assert text_of(page).count("can never be signed away") == 0
    assert "Nobody can sign this away" in text_of(page)


def test_a_count_field_is_empty_so_that_a_count_is_a_count(client: TestClient) -> None:
    fields = re.findall(r'<input id="n-p[^>]*>', look(client, "part", "dowel"))
    assert len(fields) == 2  # off and on
    assert not any("value=" in field for field in fields)


# -- going on --------------------------------------------------------------------------------------


def test_an_answer_offers_what_is_next_unless_the_page_shows_it(client: TestClient) -> None:
    assert "Next: Complaint heard" in text_of(act(client, ("plan",), "done", name="who and what"))
    said = text_of(act(client, (), "done", name="complaint heard"))
    assert "Next: " not in said.partition("Outside look")[0]


def test_an_act_is_taken_back_where_it_was_made(client: TestClient, tmp_path: Path) -> None:
    page = act(client, ("findings",), "note", name="metal specks")
    assert "Take it back" in page
    assert "Take it back" not in act(client, ("findings",), "undo")
    with bench_at(tmp_path) as bench:
        assert not bench.case("1").state.noted


def test_a_step_ticked_from_afar_leads_to_its_count(client: TestClient, tmp_path: Path) -> None:
    say(tmp_path, "done due", "done get", "done engine cold", "done washed")
    page = act(client, (), "done", name="linkage released")
    assert "count, the sheet says: link shim off 2" in text_of(page)
    assert "Count at: linkage released" in text_of(page)
    assert "Count at" not in act(client, ("step", "linkage released"), "undo")


def test_a_step_made_from_the_strip_is_ticked_by_its_button(
    client: TestClient, tmp_path: Path
) -> None:
    page = look(client, "step", "intake on")
    assert 'name="verb" value="done"' in page
    say(tmp_path, "done due", "done get", "done strip", "done linkage released", "done strip")
    assert "waits for" in text_of(act(client, ("step", "intake on"), "done", name="intake on"))
    act(client, ("step", "intake on"), "aside", name="intake on", reason="off for good")
    with bench_at(tmp_path) as bench:
        assert "intake on" in bench.case("1").state.aside


def test_while_places_are_left_the_page_goes_on_to_them_alone(client: TestClient) -> None:
    bore = {"name": "bore", "condition": "as found", "gauge": "BG-2"}
    asked = {"query": "condition=as%20found&place=H3-X"}
    page = act(client, ("check", "bore"), "measure", value="53.214", place="H3-X", **bore, **asked)
    assert "Next: " not in text_of(page)
    assert "Bore at H1-X" in text_of(page), "the address asks for H3-X, which is read"
    for place in ("H1-X", "H1-Y", "H2-X", "H2-Y", "H3-Y"):
        page = act(client, ("check", "bore"), "measure", value="53.214", place=place, **bore)
    assert "Next: Measure" in text_of(page), "all places read: another reading follows"


def test_after_a_leaf_that_goes_in_the_next_one_is_tried_at_the_same_place(
    client: TestClient,
) -> None:
    gap = {"name": "ring end gap", "condition": "as found", "gauge": "FG-1"}
    where = ("check", "ring end gap")
    page = act(client, where, "measure", value="0.40", word="goes", place="bottom", **gap)
    assert "Ring end gap at bottom" in text_of(page)
    page = act(client, where, "measure", value="0.45", word="stops", place="bottom", **gap)
    assert "Ring end gap at top" in text_of(page)


def test_a_decision_is_made_on_the_page_that_asks_for_it(
    client: TestClient, tmp_path: Path
) -> None:
    say(tmp_path, "old gap bottom .65 goes")
    say(tmp_path, "old bore H1X 53.247 H1Y 53.247 H2X 53.247 H2Y 53.247 H3X 53.247 H3Y 53.247")
    page = look(client, "check", "bore", query="?condition=as%20found")
    assert "undecided" in text_of(page)
    assert "Decide, or correct" in text_of(page)
    assert url("job", "1", "part", "barrel") + "#decide" in page
    assert "Then: Decide bore" not in text_of(page), "this is the page to decide it on"


def test_what_is_worked_out_was_read_by_nobody_and_is_not_corrected(client: TestClient) -> None:
    said = text_of(look(client, "check", "taper"))
    assert "Nobody yet" not in said
    assert "Correct it" not in said


# -- what is there to read with --------------------------------------------------------------------


def test_a_gauge_that_the_shelf_lacks_is_named_with_the_way_to_it(
    bare: TestClient,
) -> None:
    assert "No bore gauge is on the shelf" in text_of(look(bare, "check", "bore"))
    assert "is on the shelf" not in text_of(look(bare, "check", "barrel wall")), "an eye reads it"
    bare.post("/gauges", data={"verb": "gauge", "gauge": "BG-7", "kind": "bore gauge"})
    assert "No bore gauge" not in text_of(look(bare, "check", "bore"))


def test_without_a_gauge_the_unit_last_read_in_is_the_next_ones(bare: TestClient) -> None:
    bore = {"name": "bore", "condition": "as found"}
    assert "H1-X , in mm" in text_of(look(bare, "check", "bore"))
    page = act(bare, ("check", "bore"), "measure", value="2.0950 in", place="H1-X", **bore)
    assert "H1-Y , in inches" in text_of(page)


def test_what_a_job_does_not_ask_for_can_be_found_and_read(client: TestClient) -> None:
    for page in ("plan", "board"):
        assert url("job", "1", "check", "cranking compression") in look(client, page), page


def test_a_gauge_on_the_shelf_is_told_of_anew_without_typing_all_again(client: TestClient) -> None:
    page = client.get("/gauges?gauge=TW-1").text
    assert re.search(r'name="high"[^>]*value="15 N·m"', page)
    way = url("job", "1", "tighten", "barrel nuts") + "?wrench=TW-1&adapter=50&angle=0"
    assert "Say how long TW-1 is" in client.get(way).text
    assert "Say how long" not in client.get(way.replace("TW-1", "TW-2")).text


def test_leaves_of_a_feeler_are_shown_as_they_are_typed(client: TestClient) -> None:
    assert re.search(
        r'name="leaves"[^>]*value="0.05 0.10 [^"]* 0.65 mm"', client.get("/gauges?gauge=FG-1").text
    )


# -- tightening, findings, the end -----------------------------------------------------------------


def test_a_group_that_is_done_is_drawn_tight(client: TestClient, tmp_path: Path) -> None:
    assert "tightened in this stage none" in look(client, "tighten", "drain screw")
    say(tmp_path, "torque drain screw by feel")
    assert "tightened in this stage 1; nothing is left" in look(client, "tighten", "drain screw")


def test_a_finding_that_nobody_noted_is_no_stop_yet(client: TestClient) -> None:
    assert "s-stop" not in look(client, "part", "barrel")
    assert "Noted, it is a stop" in look(client, "part", "barrel")
    act(client, ("findings",), "note", name="deep score")
    assert "s-stop" in look(client, "part", "barrel")


def test_a_job_handed_over_is_not_handed_over_again(client: TestClient) -> None:
    assert "Hand over unstarted" in look(client, "prestart")
    page = act(client, ("prestart",), "hand over", value="unstarted")
    assert "Hand over" not in text_of(page)
    assert "Handed over, not started" in text_of(page)


def test_the_wall_of_a_new_shop_begins_with_the_sheet(tmp_path: Path) -> None:
    for client in client_of(tmp_path):
        assert "/sheets/new" in client.get("/").text.partition("<main")[2]
        client.post("/sheets/new", data={"engine": "Osprey 85", "common": "two-stroke-single"})
        assert "/sheets/new" not in client.get("/").text.partition("<main")[2]
