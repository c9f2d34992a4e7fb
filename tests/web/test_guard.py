"""The server refuses what a hostile network sends, says so, and shows nothing of its insides."""

import json
import logging
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from ringland.store import open_store
from ringland.web.app import create_app
from ringland.web.certificate import make, server_files
from ringland.web.devices import CODE_LIFE, CODE_TRIES, Devices
from ringland.web.guard import FORM_BYTES
from ringland.web.shed import Shed
from tests.web.shed import fill

NOW = "2026-05-02T10:00:00+02:00"
LAN = ("192.0.2.7", 50123)  # an address for documentation: some other device
READING = {"verb": "measure", "name": "bore", "place": "H1-X", "value": "53.214"}


@dataclass
class Clock:
    """A clock that a test moves."""

    at: datetime = field(default_factory=lambda: datetime.fromisoformat(NOW))

    def __call__(self) -> str:
        return self.at.isoformat(timespec="seconds")


@dataclass
class Place:
    """A server without a socket: a client at this machine, and how to make one elsewhere."""

    app: object
    clock: Clock
    devices: Devices
    client: TestClient

    def other(self) -> TestClient:
        """Return another device of the network."""
        return TestClient(self.app, base_url="http://192.0.2.5", client=LAN)  # type: ignore[arg-type]


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    fill(tmp_path)
    log = open_store(tmp_path / "shed.db")
    clock, count = Clock(), iter(range(10**6))
    shed = Shed(log, clock, lambda: f"id-{next(count)}", "Ada", tmp_path / "server")
    devices = Devices(tmp_path / "server" / "devices.json", False, clock)
    app = create_app(shed, hosts=("192.0.2.5",), devices=devices, lan="http://192.0.2.5")
    client = TestClient(
        app, base_url="http://localhost", client=("127.0.0.1", 5), raise_server_exceptions=False
    )
    yield Place(app, clock, devices, client)
    log.close()


def kept(place: Place) -> int:
    """Return how many entries job 1 has."""
    count: int = place.client.get("/api/jobs/1/changes").json()["last"]
    return count


# -- where a request comes from --------------------------------------------------------------------


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.test"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site", "origin": "http://localhost"},
        {"sec-fetch-site": "same-site"},
        {"origin": "https://localhost"},
        {"cookie": "ringland-by=Ada"},
    ],
)
def test_a_form_from_elsewhere_keeps_nothing_and_is_logged(
    place: Place, headers: dict[str, str], caplog: pytest.LogCaptureFixture
) -> None:
    before = kept(place)
    with caplog.at_level(logging.WARNING, "ringland.web"):
        answer = place.client.post("/job/1/check/bore", data=READING, headers=headers)
    assert answer.status_code == 403
    assert kept(place) == before
    assert "another site" in caplog.text


def test_a_form_of_the_own_page_is_kept(place: Place) -> None:
    for headers in ({"origin": "http://localhost"}, {"sec-fetch-site": "same-origin"}):
        before = kept(place)
        answer = place.client.post("/job/1/check/bore", data=READING, headers=headers)
        assert answer.status_code == 200
        assert kept(place) > before


def test_a_name_that_is_not_the_servers_is_refused(place: Place) -> None:
    # a page elsewhere whose name suddenly leads here (DNS rebinding)
    assert place.client.get("/", headers={"host": "evil.test"}).status_code == 400
    assert place.client.get("/", headers={"host": "localhost:8124"}).status_code == 200


def test_each_answer_forbids_scripts_and_frames_from_elsewhere(place: Place) -> None:
    for path in ("/", "/job/1", "/nowhere", "/api/jobs", "/static/nothing"):
        headers = place.client.get(path).headers
        assert "default-src 'self'" in headers["content-security-policy"]
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "unsafe" not in headers["content-security-policy"]


# -- what comes --------------------------------------------------------------------------------------


def test_a_form_of_ten_megabytes_is_refused(place: Place) -> None:
    before = kept(place)
    answer = place.client.post("/job/1/check/bore", data={**READING, "remark": "x" * 10_000_000})
    assert answer.status_code == 413
    assert kept(place) == before


def test_a_body_that_lies_about_its_length_is_cut_off_while_it_comes(place: Place) -> None:
    def chunks() -> Iterator[bytes]:
        for _ in range(FORM_BYTES // 1000 + 10):
            yield b"x" * 1000

    answer = place.client.post(
        "/job/1/check/bore",
        content=chunks(),
        headers={"content-type": "application/x-www-form-urlencoded"},
    )
    assert answer.status_code == 413


def picture(size: tuple[int, int], form: str = "PNG") -> bytes:
    """Return a picture of one colour."""
    out = BytesIO()
    Image.new("L", size).save(out, form)
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("no picture", b"<svg onload=alert(1)>"),
        ("cut off", picture((400, 400), "JPEG")[:300]),
        ("a bomb", picture((20_000, 20_000))),
        ("another format", picture((20, 20), "GIF")),
        ("empty", b""),
    ],
)
def test_a_broken_or_hostile_photo_is_refused_and_told(
    place: Place, name: str, content: bytes
) -> None:
    before = kept(place)
    answer = place.client.post(
        "/job/1/step/linkage%20released",
        data={"verb": "photo", "name": "linkage released"},
        files={"photo": ("../../etc/passwd", content, "image/jpeg")},
    )
    assert answer.status_code == 422, name
    assert "photo" in answer.text
    assert kept(place) == before


@pytest.mark.parametrize(
    "path",
    [
        "/photo/..%2f..%2fetc%2fpasswd",
        "/static/..%2f..%2fapp.py",
        "/static/%2e%2e/%2e%2e/app.py",
        "/sheets/..%2f..%2fetc",
        "/job/..%2f..%2f/log",
    ],
)
def test_no_path_from_outside_is_used_as_a_path(place: Place, path: str) -> None:
    answer = place.client.get(path)
    assert answer.status_code == 404
    assert "root:" not in answer.text


def test_a_leaflet_is_never_read_from_a_path_that_was_posted(place: Place) -> None:
    for field_name in ("label", "batch", "count"):
        answer = place.client.post(
            "/job/1/part/piston",
            data={"verb": "renew", "name": "piston", field_name: "x leaflet /etc/passwd"},
        )
        assert answer.status_code == 422, field_name
        assert "root" not in answer.text


def test_a_mistake_inside_tells_nothing_of_the_inside(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> str:
        raise RuntimeError("secret detail at /somewhere/private")

    monkeypatch.setattr("ringland.web.pages.look.job_view", broken)
    answer = place.client.get("/job/1")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert "default-src" in answer.headers["content-security-policy"]


def test_text_is_shown_as_text(place: Place) -> None:
    hurt = "<script>alert(1)</script>"
    place.client.post(
        "/job/1/findings", data={"verb": "note", "name": "metal specks", "remark": hurt}
    )
    shown = place.client.get("/job/1/findings").text
    assert hurt not in shown
    assert "&lt;script&gt;" in shown


# -- acts ------------------------------------------------------------------------------------------


def test_an_act_sent_twice_is_kept_once_and_another_with_its_id_is_refused(place: Place) -> None:
    fields = {"name": "bore", "place": "H1-X", "value": "53.214"}
    act: dict[str, object] = {"id": "device-1-0001", "verb": "measure", "fields": fields}
    first = place.client.post("/api/jobs/1/acts", json=act)
    assert (first.status_code, first.json()["status"]) == (200, "kept")
    count = kept(place)
    again = place.client.post("/api/jobs/1/acts", json=act)
    assert (again.status_code, again.json()["status"]) == (200, "kept before")
    other = {**act, "fields": {**fields, "value": "53.218"}}
    assert place.client.post("/api/jobs/1/acts", json=other).status_code == 422
    assert kept(place) == count


def test_an_act_of_tomorrow_or_without_offset_is_refused(place: Place) -> None:
    for at in ("2026-05-04T10:00:00+02:00", "2026-05-02T10:00:00", "yesterday"):
        act: dict[str, object] = {"id": "device-1-0002", "at": at, "verb": "safe", "fields": {}}
        assert place.client.post("/api/jobs/1/acts", json=act).status_code == 422, at


# -- other devices ---------------------------------------------------------------------------------


def pair(client: TestClient, code: str, name: str = "Ben") -> int:
    """Try to pair a device; return the status."""
    data = {"code": code, "by": name}
    answer = client.post(
        "/pair", data=data, headers={"origin": "http://192.0.2.5"}, follow_redirects=False
    )
    return answer.status_code


def test_another_device_sees_nothing_before_it_is_paired(place: Place) -> None:
    other = place.other()
    assert other.get("/job/1", follow_redirects=False).headers["location"] == "/pair"
    assert other.get("/api/jobs").status_code == 401
    assert (
        other.post("/job/1", data=READING, headers={"origin": "http://192.0.2.5"}).status_code
        == 401
    )


def test_a_paired_device_works_under_its_name_until_it_is_taken_away(place: Place) -> None:
    other = place.other()
    assert pair(other, place.devices.new_code()) == 303
    headers = {"origin": "http://192.0.2.5"}
    assert other.post("/job/1/check/bore", data=READING, headers=headers).status_code == 200
    assert "Ben" in other.get("/job/1/log").text
    place.devices.remove(place.devices.all()[0].hash)
    assert other.get("/job/1", follow_redirects=False).status_code == 303


def test_a_code_serves_once(place: Place, caplog: pytest.LogCaptureFixture) -> None:
    code = place.devices.new_code()
    assert pair(place.other(), code) == 303
    with caplog.at_level(logging.WARNING, "ringland.web"):
        assert pair(place.other(), code) == 422
    assert "pairing refused" in caplog.text


def test_a_code_is_over_after_its_time_and_after_wrong_tries(place: Place) -> None:
    code = place.devices.new_code()
    place.clock.at += CODE_LIFE + timedelta(seconds=1)
    assert pair(place.other(), code) == 422
    code = place.devices.new_code()
    wrong = f"{(int(code) + 1) % 10**8:08d}"
    for _ in range(CODE_TRIES):
        assert pair(place.other(), wrong) == 422
    assert pair(place.other(), code) == 422


def test_no_token_is_kept_as_it_is_and_a_session_ends_when_it_is_not_used(place: Place) -> None:
    other = place.other()
    pair(other, place.devices.new_code())
    token = other.cookies[place.devices.cookie]
    assert token not in place.devices.file.read_text()
    assert json.loads(place.devices.file.read_text())[0]["name"] == "Ben"
    assert Devices(place.devices.file, False, place.clock).known(token) is not None
    place.clock.at += timedelta(days=31)
    assert other.get("/job/1", follow_redirects=False).status_code == 303


def test_only_the_serving_machine_opens_a_code(place: Place) -> None:
    other = place.other()
    pair(other, place.devices.new_code())
    answer = other.post("/devices", headers={"origin": "http://192.0.2.5"})
    assert answer.status_code == 403
    assert "<svg" in place.client.post("/devices").text


def test_the_certificate_is_trusted_for_this_machine_and_no_other(tmp_path: Path) -> None:
    import ssl

    make(tmp_path, ("localhost", "127.0.0.1"), datetime.now().astimezone().isoformat())
    files = server_files(tmp_path)
    assert files is not None
    assert files[1].stat().st_mode & 0o077 == 0  # the key is its owner's alone
    serving = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    serving.load_cert_chain(*files)
    trusting = ssl.create_default_context(cafile=str(tmp_path / "authority.crt"))
    here, there = ssl.MemoryBIO(), ssl.MemoryBIO()
    for name, good in (("localhost", True), ("elsewhere.test", False)):
        client = trusting.wrap_bio(here, there, server_hostname=name)
        server = serving.wrap_bio(there, here, server_side=True)
        ended = _shake(client, server)
        assert ended is good, name
        here, there = ssl.MemoryBIO(), ssl.MemoryBIO()


def _shake(client: object, server: object) -> bool:
    """Let two ends of a TLS connection greet each other; say whether the client is content."""
    import ssl

    for _ in range(6):
        for side in (client, server):
            try:
                side.do_handshake()  # type: ignore[attr-defined]
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLError:
                return False
    return client.version() is not None  # type: ignore[attr-defined]
