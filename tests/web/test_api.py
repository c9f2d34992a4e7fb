"""The API is fuzzed from its own description: no answer is a failure of the server."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import Case
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.generation import GenerationMode
from starlette.testclient import TestClient

from ringland.store import open_store
from ringland.web.acts import LINES
from ringland.web.app import create_app
from ringland.web.shed import Shed
from tests.web.shed import fill

FUZZING = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
NOW = "2026-05-02T10:00:00+02:00"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    folder = tmp_path_factory.mktemp("api")
    fill(folder)
    log = open_store(folder / "shed.db")
    count = iter(range(10**9))
    shed = Shed(log, lambda: NOW, lambda: f"id-{next(count)}", "Ada", folder / "server")
    yield create_app(shed, hosts=("testserver",))  # the name that the fuzzer calls it by
    log.close()


def test_no_request_of_any_kind_makes_the_server_fail(app: object) -> None:
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app)
    tried = []
    for found in schema.get_all_operations():
        assert isinstance(found, Ok), found
        operation = found.ok()
        tried.append(operation.label)

        @FUZZING
        @given(case=operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))
        def wrong(case: "Case[Any]") -> None:
            case.validate_response(case.call(), checks=[not_a_server_error])

        @FUZZING
        @given(case=operation.as_strategy())
        def right(case: "Case[Any]") -> None:
            case.validate_response(case.call(), checks=[not_a_server_error])

        right()
        if operation.body or operation.query:  # a path alone has no wrong form but another path
            wrong()
    assert "POST /api/jobs/{job}/acts" in tried


def test_the_description_names_every_answer_with_its_model(app: object) -> None:
    client = TestClient(app, base_url="http://localhost")  # type: ignore[arg-type]
    found = client.get("/api/openapi.json").json()
    for path, operations in found["paths"].items():
        for method, operation in operations.items():
            content = operation["responses"]["200"]["content"]["application/json"]
            assert content["schema"], f"{method} {path}"


def test_page_and_program_read_the_same_view(app: object) -> None:
    client = TestClient(app, base_url="http://localhost")  # type: ignore[arg-type]
    view = client.get("/api/jobs/1").json()
    page = client.get("/job/1").text
    assert view["next"]["name"].capitalize() in page
    for line in client.get("/api/jobs/1/prestart").json():
        assert line["what"].partition(":")[0] in client.get("/job/1/prestart").text


def test_an_unknown_job_is_told(app: object) -> None:
    client = TestClient(app, base_url="http://localhost")  # type: ignore[arg-type]
    assert client.get("/api/jobs/99").status_code == 404
    assert Path("/job/99").name in client.get("/job/99").text


FIELDS = (
    "name", "place", "value", "word", "unit", "gauge", "condition", "temperature", "remark",
    "reason", "side", "count", "label", "batch", "positions", "wrench", "adapter", "angle",
    "moved", "stage", "setting", "where", "insist", "instead", "start", "end", "minutes", "at:H1-X",
)  # fmt: skip
NAMES = (
    "bore", "ring end gap", "crankcase leak", "cranking compression", "big end", "squish",
    "head off", "engine cold", "all tight", "strip", "piston", "dowel", "clip", "barrel nuts",
    "plug", "metal specks", "power valve binds", "all", "H1-X", "EX", "off", "on", "as fitted",
    "good", "bad", "not sure", "goes", "ok", "by feel", "slack", "TW-2", "BG-2", "FG-1", "mm",
    "53.214", "53,214", "0.30 goes 0.35 stops", "1,000", "-0.02", "+.014", "9" * 40, "1e999", "1/0",
    "12.4 bar", "21 °C", "N·m", "50 mm", "45", "0 deg", "1 3", "99", "start", "stop", "unstarted",
    "class B", "renew", "because", "leaflet", "!", "#", "\x00", "½", "١", "𝟙", "-", "", " ",
)  # fmt: skip
said = st.one_of(st.sampled_from(NAMES), st.text(max_size=20))


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    verb=st.sampled_from(sorted(LINES)),
    fields=st.dictionaries(st.sampled_from(FIELDS), said, max_size=6),
    name=st.sampled_from(NAMES),
    number=st.integers(0, 10**12),
)
def test_whatever_is_typed_is_kept_asked_about_or_refused(
    app: object, verb: str, fields: dict[str, str], name: str, number: int
) -> None:
    client = TestClient(app, base_url="http://localhost")  # type: ignore[arg-type]
    act = {"id": f"device-{number}", "verb": verb, "fields": {"name": name, **fields}}
    answer = client.post("/api/jobs/1/acts", json=act)
    assert answer.status_code in (200, 409, 422), answer.text
    assert client.get("/job/1").status_code == 200
