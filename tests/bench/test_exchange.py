"""A job exported and imported is the same to the last figure, whatever happened to the sheets."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.bench import sheets
from ringland.bench.bench import Bench
from ringland.bench.exchange import export_job, import_job
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_machine, open_job
from ringland.bench.refusal import Refused
from ringland.job.log.entries import Condition, Fact, FindingNoted, PhotoTaken
from ringland.job.log.shop import MachineAdded
from ringland.report import view
from ringland.store import open_store
from tests.bench.conftest import NOW, SHEET, Benches
from tests.job.logs_of_facts import ACTS
from tests.job.making import opened

LOGS = Path(__file__).parents[1] / "job" / "logs"


def shown(bench: Bench, job: str) -> str:
    """Return everything a person gets to see of a job."""
    case = bench.case(job)
    return json.dumps(
        [
            [asdict(each) for each in view.board(case, everything=True)],
            [asdict(each) for each in view.plan_view(case)],
            asdict(view.parts_view(case.parts)),
            [asdict(each) for each in view.settings_view(case)],
            [asdict(each) for each in view.prestart_view(case)],
        ],
        sort_keys=True,
    )


def file_of(bench: Bench, job: str) -> str:
    return "\n".join(export_job(bench, job)) + "\n"


LINES = (
    "done due", "done get", "done strip", "bore H1X 65.016 H1Y 65.021 H3X 65.010 H2Y port",
    "wall good", "skirt 64.918", "gap bottom .55", "gap bottom .60", "undo", "dowels off 1",
    "correct bore H1X 65.012", "renew piston class II", "new skirt 64.953", "specks",
    "figure squish 1.05-1.40 mm because wrong line", "big end not sure",
)  # fmt: skip


def test_an_exported_job_is_the_same_elsewhere(prompt: Prompt, benches: Benches) -> None:
    for line in LINES:
        prompt.say(line)
    there = benches("elsewhere")
    job, kept = import_job(there, file_of(prompt.bench, "1"))
    assert kept == len(prompt.bench.entries("1"))
    assert there.entries(job) == prompt.bench.entries("1")
    assert shown(there, job) == shown(prompt.bench, "1")
    assert file_of(there, job) == file_of(prompt.bench, "1")


@pytest.fixture
def own_sheet(tmp_path: Path) -> Path:
    path = tmp_path / "engine.yaml"
    path.write_text(SHEET.read_text(encoding="utf-8"), encoding="utf-8")
    return path


def test_a_job_is_the_same_after_its_engine_sheet_was_changed(
    benches: Benches, own_sheet: Path
) -> None:
    here = benches("here")
    add_machine(here, MachineAdded("m", str(own_sheet)))
    job, _ = open_job(here, "m", scope="piston")
    for line in LINES:
        Prompt(here, job).say(line)
    before, file = shown(here, job), file_of(here, job)
    text = own_sheet.read_text(encoding="utf-8")
    own_sheet.write_text(text.replace("max 0.70 mm", "max 0.50 mm"), encoding="utf-8")
    assert shown(here, job) == before
    there = benches("there")
    assert shown(there, import_job(there, file)[0]) == before
    again, case = open_job(here, "m", scope="piston")  # the next job begins with the new figure
    assert case.book.sheet.figures["ring end gap"] == "0.25-0.45 mm, max 0.50 mm"
    assert again != job


def test_a_job_is_the_same_after_the_common_sheet_was_changed(
    prompt: Prompt, benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    for line in LINES:
        prompt.say(line)
    before, file = shown(prompt.bench, "1"), file_of(prompt.bench, "1")
    changed = {
        name: text.replace("dowel: {count: 2", "dowel: {count: 4")
        for name, text in sheets.common_sheets().items()
    }
    assert changed != sheets.common_sheets()
    monkeypatch.setattr(sheets, "common_sheets", lambda: changed)
    there = benches("there")
    assert shown(there, import_job(there, file)[0]) == before
    add_machine(there, MachineAdded("m", str(SHEET)))
    _, case = open_job(there, "m", scope="piston")
    assert case.book.sheet.parts["dowel"].count == 4


@contextmanager
def a_bench() -> Iterator[Bench]:
    number = count()
    with TemporaryDirectory() as folder:
        log = open_store(Path(folder) / "shop.ringland")
        try:
            yield Bench(log, "Ada", lambda: NOW, lambda: f"{next(number)}")
        finally:
            log.close()


@settings(deadline=None, max_examples=10)
@given(facts=st.lists(st.one_of(*ACTS), min_size=1, max_size=10))
def test_whatever_happened_survives_the_journey(facts: list[Fact]) -> None:
    kept = [f for f in facts if not isinstance(f, PhotoTaken)]  # their pictures are another test
    with a_bench() as here, a_bench() as there:
        here.begin("1", [opened(), *kept])
        name, _ = import_job(there, file_of(here, "1"))
        assert there.entries(name) == here.entries("1")
        assert shown(there, name) == shown(here, "1")


@pytest.mark.parametrize("end", ["\u2028", "\x85", "\x0c", "\r", "\n"])
def test_a_remark_with_a_strange_line_end_stays_one_entry(
    bench: Bench, benches: Benches, end: str
) -> None:
    bench.keep("1", [FindingNoted("metal specks", remark=f"one{end}two")])
    there = benches("there")
    import_job(there, file_of(bench, "1"))
    assert there.entries("1")[-1].fact == FindingNoted("metal specks", remark=f"one{end}two")


def test_photos_travel_with_their_job(bench: Bench, benches: Benches) -> None:
    picture = bytes(range(256))
    name = bench.log.put_photo(picture)
    bench.keep("1", [PhotoTaken(name, "plug out"), PhotoTaken(name, "head off")])
    there = benches("there")
    import_job(there, file_of(bench, "1"))
    assert there.log.photo(name) == picture


def test_importing_twice_changes_nothing(bench: Bench, benches: Benches) -> None:
    there = benches("there")
    file = file_of(bench, "1")
    first = import_job(there, file)
    assert import_job(there, file) == first
    assert there.jobs() == [first[0]]


def test_a_longer_copy_of_a_job_adds_what_is_new(prompt: Prompt, benches: Benches) -> None:
    there = benches("there")
    import_job(there, file_of(prompt.bench, "1"))
    prompt.say("specks")
    import_job(there, file_of(prompt.bench, "1"))
    assert there.entries("1") == prompt.bench.entries("1")


def test_another_job_of_the_same_name_gets_a_new_one(bench: Bench, benches: Benches) -> None:
    there = benches("there")
    add_machine(there, MachineAdded("other", str(SHEET)))
    open_job(there, "other", scope="ring")
    name, _ = import_job(there, file_of(bench, "1"))
    assert name == "2"
    assert there.entries("2") == bench.entries("1")


def broken(file: str, number: int, change: dict[str, object]) -> str:
    """Return the file with fields of one line changed."""
    lines = file.splitlines()
    value = json.loads(lines[number - 1])
    lines[number - 1] = json.dumps(value | change)
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda _: "", "the file is empty"),
        (lambda _: "hello", "line 1: not readable as JSON"),
        (lambda _: '{"sheet": 1}', "line 1: this is no job of Ringland"),
        (lambda file: broken(file, 1, {"version": 2}), "version 2 is written by a newer Ringland"),
        (lambda file: file.splitlines()[0], "line 2: the first entry opens the job"),
        (lambda file: broken(file, 3, {"kind": "dyno-run/1"}), "line 3: .*a newer Ringland wrote"),
        (lambda file: broken(file, 3, {"body": {"x": 1}}), "line 3: no entry of a job"),
        (lambda file: broken(file, 3, {"colour": "red"}), "line 3: no entry of a job"),
        (lambda file: file[: len(file) - 20], "not readable as JSON"),
        (
            lambda file: file
            + json.dumps(
                {"id": "z", "act": "z", "kind": "parts-counted/1", "at": NOW, "by": "Eve",
                 "body": {"part": "dowel", "side": "off", "count": "two"}}
            ),
            "cannot be read as a job",
        ),
        (lambda file: file + '{"photo": "abc", "base64": "AAAA"}', "photo abc is damaged"),
        (lambda file: file + '{"photo": "abc"}', "photo abc is damaged"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_job_says_where_and_leaves_nothing(
    bench: Bench, benches: Benches, spoil: Callable[[str], str], said: str
) -> None:
    there = benches("there")
    with pytest.raises(Refused, match=said):
        import_job(there, spoil(file_of(bench, "1")))
    assert there.jobs() == []


# -- logs of older versions --------------------------------------------------------------------

# What was true of each when it was written, from its story; not from what the program says today.
OLD: dict[str, dict[tuple[str, Condition], str]] = {
    "v1-plain-one": {
        ("piston to barrel", "as found"): "within, worn",
        ("piston to barrel", "as fitted"): "within",
        ("ring end gap", "as found"): "within, worn",
        ("ring end gap", "as fitted"): "within",
        ("squish", "as fitted"): "within",
        ("crankcase leak", "as fitted"): "within",
        ("bore", "as found"): "within",
    },
    "v1-walk": {
        ("ring end gap", "as found"): "beyond",  # a corrected figure ruled
        ("ring end gap", "as fitted"): "within",  # a corrected reading counts
        ("piston to barrel", "as fitted"): "within",
        ("big end radial", "as found"): "within",
    },
}


@pytest.mark.parametrize("name", sorted(OLD))
def test_a_log_of_an_older_version_is_read_forever(benches: Benches, name: str) -> None:
    there = benches("there")
    job, _ = import_job(there, (LOGS / f"{name}.jsonl").read_text(encoding="utf-8"))
    case = there.case(job)
    assert {key: case.verdicts[key].word for key in OLD[name]} == OLD[name]
    assert view.prestart_view(case) == []
    assert case.brought.open_stops() == ()


def test_every_old_log_that_is_kept_is_read() -> None:
    assert {path.stem for path in LOGS.glob("*.jsonl")} == set(OLD)
