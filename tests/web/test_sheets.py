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
