"""An engine sheet on the page: started, copied figure by figure, read back against the manual."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from ringland.store import open_store
from ringland.web.app import create_app
from ringland.web.shed import Shed
from tests.web.shed import fill

NOW = "2026-05-02T10:00:00+02:00"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    fill(tmp_path)
    log = open_store(tmp_path / "shed.db")
    shed = Shed(log, lambda: NOW, lambda: "id", "Ada", tmp_path / "server")
    app = create_app(shed, hosts=("testserver",))
    client = TestClient(app, headers={"origin": "http://testserver"})
    client.post("/sheets/new", data={"engine": "Osprey 85", "common": "two-stroke-single"})
    yield client
    log.close()


def copy_gap(client: TestClient) -> str:
    """Copy the ring's end gap from an invented page."""
    data = {"figure": "ring end gap", "side": "", "value": "0.30-0.38 mm", "page": "p 9"}
    answer = client.post("/sheets/osprey-85?scope=ring", data=data)
    assert answer.status_code == 200, answer.text
    return answer.text


def read_back(client: TestClient, said: str) -> tuple[int, str]:
    data = {"verb": "read back", "figure": "ring end gap", "value": said}
    answer = client.post("/sheets/osprey-85", data=data)
    return answer.status_code, re.sub(r"<[^>]+>", "", answer.text)


def test_a_figure_that_was_copied_waits_to_be_read_back(client: TestClient) -> None:
    page = copy_gap(client)
    assert "Read back: 0 of 1" in page
    assert "p 9" in page


def test_a_figure_read_the_same_is_noted_with_the_readers_name(client: TestClient) -> None:
    copy_gap(client)
    status, page = read_back(client, "0,30 - 0,38 mm")
    assert status == 200
    assert "Read back: 1 of 1" in page
    assert "Ada 2026-05-02" in page


def test_a_figure_read_otherwise_is_shown_both_ways_and_not_noted(client: TestClient) -> None:
    copy_gap(client)
    status, page = read_back(client, "0.30-0.83 mm")
    assert status == 422
    assert "In the sheet: 0.30-0.38 mm. You read: 0.30-0.83 mm." in page
    assert "Read back: 0 of 1" in page


def test_a_figure_read_back_without_its_unit_is_refused(client: TestClient) -> None:
    copy_gap(client)
    status, page = read_back(client, "0.30-0.38")
    assert status == 422
    assert "unit" in page
    assert "Read back: 0 of 1" in page


def test_a_figure_without_its_unit_is_asked_about_and_can_be_typed_again(
    client: TestClient,
) -> None:
    data = {"figure": "ring end gap", "side": "", "value": ".30-.38", "page": "p 9"}
    answer = client.post("/sheets/osprey-85?scope=ring", data=data)
    assert answer.status_code == 409
    assert "Keep it as typed" not in answer.text, "a bare number can never be kept"
    assert ".30-.38 mm</button>" in answer.text


def test_the_next_figure_stands_first_with_what_it_is_good_for(client: TestClient) -> None:
    page = client.get("/sheets/osprey-85?scope=ring").text
    first = page.partition("<form")[2].partition("</form>")[0]
    assert 'name="figure" value="bore"' in first
    assert "Without it: " in first
    data = {"figure": "bore", "side": "", "value": "47.0 mm", "page": "p 8"}
    page = client.post("/sheets/osprey-85?scope=ring", data=data).text
    following = page.partition("<form")[2].partition("</form>")[0]
    assert 'value="bore"><input type="hidden" name="side" value="limit"' in following


def test_a_refused_figure_stays_in_its_field(client: TestClient) -> None:
    data = {"figure": "ring end gap", "side": "", "value": "about .3", "page": "p 9"}
    answer = client.post("/sheets/osprey-85?scope=ring", data=data)
    assert answer.status_code == 422
    assert 'value="about .3"' in answer.text


def test_a_sheet_that_is_copied_leads_to_its_machine(client: TestClient) -> None:
    limits = {"limit", ""}
    for _ in range(20):
        page = client.get("/sheets/osprey-85?scope=ring").text
        asked = re.search(
            r'next-figure"><form.*?name="figure" value="([^"]*)".*?name="side" value="([^"]*)"',
            page.replace("\n", ""),
        )
        if asked is None:
            break
        figure, side = asked.groups()
        assert side in limits
        bare = "0.60" if side else "0.30-0.38"
        value = "20 N·m" if figure.endswith(("nuts", "plug")) else f"{bare} mm"
        data = {"figure": figure, "side": side, "value": value, "insist": "1"}
        assert client.post("/sheets/osprey-85?scope=ring", data=data).status_code == 200, figure
    assert "are copied" in page
    assert "Add a machine with it" in page
    assert page.index("Read back: 0 of") < page.index("From the manual, in its order")
