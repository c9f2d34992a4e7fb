"""`ringland print`, `due --calendar` and `job readings`, as they are typed."""

from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader
from starlette.testclient import TestClient

from ringland.cli import main
from ringland.report.paper.papers import PAPERS
from ringland.store import open_store
from ringland.web.app import create_app
from ringland.web.shed import Shed as WebShed
from tests.report.shed import Shed, bare, demo_sheet, shed

LATER = "2027-03-04T05:06:07+00:00"  # when it is printed changes nothing


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = Path(tmp_path_factory.mktemp("store"))
    built: Shed = shed(folder)
    built.bench.log.close()
    return folder / "store"


def run(*words: str) -> Result:
    return CliRunner().invoke(main, words)


@pytest.mark.parametrize("name", PAPERS)
def test_each_paper_of_a_job_is_written_by_machine_name_or_number(
    store: Path, tmp_path: Path, name: str
) -> None:
    to = tmp_path / f"{name}.pdf"
    result = run(
        "print", "oxbow-9", name, "-o", str(to), "--store", str(store), "--paper", "letter"
    )
    assert result.exit_code == 0, result.output
    assert len(PdfReader(to).pages) >= 1
    assert str(to) in result.output


PAGE = "http://localhost"


@pytest.mark.parametrize(
    ("name", "size"), [*((name, "a4") for name in PAPERS), ("owner", "letter")]
)
def test_the_page_and_the_command_line_print_the_same_bytes(
    store: Path, tmp_path: Path, name: str, size: str
) -> None:
    """Only the labels tell where the page is; there the address must be the same as well."""
    to = tmp_path / f"{name}.pdf"
    words = ("print", "1", name, "-o", str(to), "--store", str(store), "--address", PAGE)
    assert run(*words, "--paper", size).exit_code == 0
    log = open_store(store)
    shed = WebShed(log, lambda: LATER, lambda: "id", "Ada", tmp_path / "server")
    client = TestClient(create_app(shed, hosts=("localhost",)), base_url=PAGE)
    answer = client.get(f"/job/1/paper/{name}.pdf", params={"paper": size})
    unknown = client.get(f"/job/1/paper/{name}.pdf", params={"paper": "folio"})
    log.close()
    assert answer.status_code == 200
    assert answer.content == to.read_bytes()
    assert unknown.status_code == 404


def test_strip_and_guide_need_a_sheet_only(tmp_path: Path) -> None:
    sheet, to = tmp_path / "engine.yaml", tmp_path / "guide.pdf"
    sheet.write_text(demo_sheet(), encoding="utf-8")
    result = run("print", "guide", "-o", str(to), "--sheet", str(sheet), "--scope", "ring")
    assert result.exit_code == 0, result.output
    assert bare("Ring only, step by step") in bare(PdfReader(to).pages[0].extract_text())


def test_plots_go_into_a_folder(store: Path, tmp_path: Path) -> None:
    result = run("print", "1", "plots", "-o", str(tmp_path / "plots"), "--store", str(store))
    assert result.exit_code == 0, result.output
    names = {each.name for each in (tmp_path / "plots").iterdir()}
    assert {"plot-profile.svg", "plot-life-cranking-compression.svg"} <= names


def test_parts_go_to_the_supplier_that_is_named(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "order.pdf"
    words = ("print", "1", "order", "-o", str(to), "--store", str(store))
    assert run(*words, "--supplier", "Alder: head o-rings, plugs").exit_code == 0
    refused = run(*words, "--supplier", "Alder: gaskit")
    assert refused.exit_code == 2
    assert "gaskit" in refused.output
    assert run(*words, "--supplier", "Alder").exit_code == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("print", "1", "biuld"), "name a paper"),
        (("print", "build"), "name a job and a paper"),
        (("print", "order", "--sheet", "x.yaml"), "strip or guide"),
        (("print", "guide", "--sheet", "missing.yaml"), "no such file"),
        (("print", "99", "build"), "no job '99'"),
    ],
)
def test_a_slip_says_what_can_be_printed(
    store: Path, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    to = tmp_path / "none.pdf"
    result = run(*words, "-o", str(to), "--store", str(store))
    assert result.exit_code == 2
    assert said in result.output
    assert not to.exists()


def test_a_folder_that_cannot_be_written_is_named(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "nowhere" / "x.pdf"
    result = run("print", "1", "owner", "-o", str(to), "--store", str(store))
    assert result.exit_code == 4
    assert str(to) in result.output


def test_due_days_need_a_use_and_then_make_a_calendar(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "due.ics"
    words = ("due", "oxbow-9", "--calendar", str(to), "--store", str(store))
    asked = run(*words)
    assert asked.exit_code == 2
    assert "--per-week" in asked.output
    assert not to.exists()
    made = run(*words, "--per-week", "2 h")
    assert made.exit_code == 0, made.output
    events = icalendar.Calendar.from_ical(to.read_bytes()).walk("VEVENT")
    assert "oxbow-9: piston due" in {str(each["SUMMARY"]) for each in events}
    assert "hours unknown" in made.output


def test_readings_are_written_as_csv(store: Path, tmp_path: Path) -> None:
    to = tmp_path / "readings.csv"
    result = run("job", "readings", "1", "-o", str(to), "--store", str(store))
    assert result.exit_code == 0, result.output
    lines = to.read_bytes().decode().split("\r\n")
    assert f"{len(lines) - 2} lines" in result.output
    assert lines[0].startswith("job,machine,at,by")
