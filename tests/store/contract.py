"""What every store must do. A store's own test inherits `LogContract` and gives `open_log`.

`open_log` opens the same, at first empty, store each time it is called, in any process.
"""

import json
import multiprocessing
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import count
from multiprocessing.synchronize import Barrier
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ringland.store import Conflict, Line, Log, NoPhoto, Occupied, Unstorable, open_store

OpenLog = Callable[[], Log]

EXAMPLE = count()  # one store serves all examples of a property; each has streams of its own
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | TEXT
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=6,
)
LINES = st.builds(
    Line,
    id=st.sampled_from("abcde"),
    act=TEXT.filter(bool),
    kind=st.sampled_from(["reading-taken/1", "note/2"]),
    at=st.sampled_from(["2026-05-02T10:00:00+02:00", "2026-05-02T08:00:00.125Z"]),
    by=TEXT.filter(bool),
    body=st.dictionaries(TEXT, JSON, max_size=3),
)


@st.composite
def appends(draw: st.DrawFn) -> list[tuple[str, list[Line]]]:
    """Appends to a few streams from a small pool of lines, so that many come again."""
    pool = draw(st.lists(LINES, min_size=1, max_size=6))
    batches = st.lists(st.sampled_from(pool), max_size=4)
    return draw(st.lists(st.tuples(st.sampled_from(["job/1", "job/10", "é"]), batches), max_size=8))


def line(name: str, **body: Any) -> Line:
    """Return a line with this id."""
    return Line(name, "act-1", "reading-taken/1", "2026-05-02T10:00:00+02:00", "Ada", body)


def as_text(each: Line) -> str:
    """Return the line as text in which 1, 1.0 and true differ, as they do not in Python."""
    return json.dumps([each.id, each.act, each.kind, each.at, each.by, each.body], sort_keys=True)


class Model:
    """The contract in a dozen lines of dicts, without a disk."""

    def __init__(self) -> None:
        self.held: dict[str, list[Line]] = {}

    def append(self, stream: str, lines: list[Line]) -> int | None:
        """Return the last number, or None for a conflict."""
        known = {e.id: (s, as_text(e)) for s, held in self.held.items() for e in held}
        new: list[Line] = []
        for each in lines:
            before = known.setdefault(each.id, (stream, as_text(each)))
            if before != (stream, as_text(each)):
                return None
            if each.id not in {e.id for e in [*self.held.get(stream, []), *new]}:
                new.append(each)
        if new:
            self.held.setdefault(stream, []).extend(new)
        return len(self.held.get(stream, []))


def append_many(open_log: OpenLog, together: Barrier, name: str, lines: int) -> None:
    """Append so many lines one by one; runs in a process of its own."""
    log = open_log()
    together.wait(60)
    for n in range(lines):
        log.append("job/1", [line(f"{name}-{n}", n=n)])
    log.close()


class LogContract:
    """Inherit this and give a fixture `open_log`."""

    @pytest.fixture
    def log(self, open_log: OpenLog) -> Iterator[Log]:
        log = open_log()
        yield log
        log.close()

    @settings(
        deadline=None,
        max_examples=60,
        suppress_health_check=[
            HealthCheck.function_scoped_fixture,
            HealthCheck.differing_executors,
        ],
    )
    @given(appends())
    def test_any_sequence_of_appends_reads_back_as_the_model_says(
        self, log: Log, given_appends: list[tuple[str, list[Line]]]
    ) -> None:
        mine, model = f"{next(EXAMPLE)}/", Model()
        for stream, lines in given_appends:
            batch = [replace(each, id=mine + each.id) for each in lines]
            expected = model.append(mine + stream, batch)
            if expected is None:
                with pytest.raises(Conflict):
                    log.append(mine + stream, batch)
            else:
                assert log.append(mine + stream, batch) == expected
        assert log.streams(mine) == sorted(model.held)
        for stream in (mine + "job/1", mine + "job/10", mine + "é"):
            held = list(enumerate(model.held.get(stream, []), start=1))
            read = log.read(stream)
            assert [(n, as_text(e)) for n, e in read] == [(n, as_text(e)) for n, e in held]
            assert log.read(stream, after=2) == held[2:]
            assert log.last(stream) == len(held)

    def test_lines_outlive_the_one_who_appended_them(self, open_log: OpenLog) -> None:
        first = open_log()
        first.append("job/1", [line("a", gap="0,35"), line("b")])
        first.close()
        second = open_log()
        assert second.read("job/1") == [(1, line("a", gap="0,35")), (2, line("b"))]
        second.close()

    def test_sending_twice_changes_nothing(self, log: Log) -> None:
        assert log.append("job/1", [line("a"), line("b")]) == 2
        assert log.append("job/1", [line("a"), line("b")]) == 2
        assert log.append("job/1", [line("b"), line("c")]) == 3
        assert [each.id for _, each in log.read("job/1")] == ["a", "b", "c"]

    def test_the_order_of_a_body_s_keys_is_no_content(self, log: Log) -> None:
        log.append("job/1", [line("a", gap=0.35, leaf=1)])
        assert log.append("job/1", [line("a", leaf=1, gap=0.35)]) == 1

    @pytest.mark.parametrize(
        "other",
        [
            replace(line("a", x=1), act="act-2"),
            replace(line("a", x=1), kind="reading-taken/2"),
            replace(line("a", x=1), at="2026-05-02T08:00:00+00:00"),
            replace(line("a", x=1), by="Bea"),
            line("a", x=1.0),
        ],
    )
    def test_an_id_with_other_content_is_refused_with_all_that_came_along(
        self, log: Log, other: Line
    ) -> None:
        log.append("job/1", [line("a", x=1)])
        with pytest.raises(Conflict, match=r"line 'a' is already in job/1"):
            log.append("job/1", [line("b"), other])
        assert log.read("job/1") == [(1, line("a", x=1))]

    def test_an_id_is_unique_in_all_streams(self, log: Log) -> None:
        log.append("job/1", [line("a")])
        with pytest.raises(Conflict, match="stream 'job/1' there, 'job/2' now"):
            log.append("job/2", [line("a")])
        assert log.streams() == ["job/1"]

    def test_numbers_count_per_stream_from_one(self, log: Log) -> None:
        for n in range(3):
            for stream in ("job/1", "machine/oxbow-3"):
                assert log.append(stream, [line(f"{stream}-{n}")]) == n + 1

    def test_an_unknown_stream_is_empty(self, log: Log) -> None:
        assert (log.read("job/9"), log.last("job/9"), log.streams()) == ([], 0, [])
        assert log.append("job/9", []) == 0
        assert log.streams() == []

    def test_a_prefix_is_taken_as_it_stands(self, log: Log) -> None:
        for stream in ("job/31", "job/3", "jobs", "job%", "machine/x", "shelf"):
            log.append(stream, [line(stream)])
        assert log.streams("job/") == ["job/3", "job/31"]
        assert log.streams("job%") == ["job%"]
        assert log.streams("zz") == []

    @pytest.mark.parametrize(
        ("wrong", "said"),
        [
            (replace(line("a"), id=""), "the id of line"),
            (replace(line("a"), by=""), "the by of line"),
            (replace(line("a"), act="\ud800"), "half a character"),
            (replace(line("a"), at="2026-05-02T10:00:00"), "with an offset"),
            (replace(line("a"), at="yesterday"), "with an offset"),
            (line("a", x=float("nan")), "no plain JSON"),
            (line("a", x=float("-inf")), "no plain JSON"),
            (line("a", x=(1, 2)), "lists instead of tuples"),
            (line("a", x={1: "one"}), "all keys text"),
            (line("a", x=b"raw"), "no plain JSON"),
            (line("a", x="\udfff"), "no plain JSON"),
        ],
    )
    def test_what_would_not_read_back_the_same_is_refused(
        self, log: Log, wrong: Line, said: str
    ) -> None:
        with pytest.raises(Unstorable, match=said):
            log.append("job/1", [line("good"), wrong])
        assert log.read("job/1") == []

    def test_a_stream_has_a_name(self, log: Log) -> None:
        with pytest.raises(Unstorable, match="the stream is ''"):
            log.append("", [line("a")])

    def test_two_programs_lose_nothing_in_one_stream(self, open_log: OpenLog, log: Log) -> None:
        spawn = multiprocessing.get_context("spawn")
        lines, together = 100, spawn.Barrier(2)
        writers = [
            spawn.Process(target=append_many, args=(open_log, together, name, lines))
            for name in "ab"
        ]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join(60)
        assert [writer.exitcode for writer in writers] == [0, 0]
        read = log.read("job/1")
        assert [n for n, _ in read] == list(range(1, 2 * lines + 1))
        for name in "ab":
            own = [each.id for _, each in read if each.id.startswith(name)]
            assert own == [f"{name}-{n}" for n in range(lines)]

    def test_threads_share_one_log(self, log: Log) -> None:
        def append(n: int) -> int:
            return log.append("job/1", [line(f"{n}")])

        with ThreadPoolExecutor(4) as pool:
            numbers = list(pool.map(append, range(40)))
        assert sorted(numbers) == list(range(1, 41))
        assert len(log.read("job/1")) == 40

    def test_a_photo_is_kept_once_under_its_content(self, log: Log) -> None:
        content = bytes(range(256)) * 50
        name = log.put_photo(content)
        assert log.put_photo(content) == name
        assert log.photo(name) == content
        assert log.put_photo(b"another") != name

    def test_a_photo_is_named_by_its_sha_256(self, log: Log) -> None:
        # NIST FIPS 180-2, appendix B.1, the message "abc"
        fips = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        assert log.put_photo(b"abc") == fips

    def test_an_unknown_photo_is_said_to_be_missing(self, log: Log) -> None:
        with pytest.raises(NoPhoto, match="there is no photo 00ff"):
            log.photo("00ff")

    def test_a_sound_store_has_no_problems(self, log: Log) -> None:
        log.append("job/1", [line("a"), line("b")])
        log.put_photo(b"photo")
        assert log.check() == []

    def test_a_backup_is_one_file_with_everything(self, log: Log, tmp_path: Path) -> None:
        log.append("job/1", [line("a", gap=0.35)])
        photo = log.put_photo(b"photo")
        folder = tmp_path / "backups"
        folder.mkdir()
        log.backup(folder / "copy.ringland")
        assert [each.name for each in folder.iterdir()] == ["copy.ringland"]
        copy = open_store(folder / "copy.ringland", create=False)
        assert copy.read("job/1") == log.read("job/1")
        assert copy.photo(photo) == b"photo"
        assert copy.check() == []
        copy.close()

    def test_a_backup_overwrites_nothing(self, log: Log, tmp_path: Path) -> None:
        (tmp_path / "letter").write_text("dear")
        with pytest.raises(Occupied, match="Name another"):
            log.backup(tmp_path / "letter")
        assert (tmp_path / "letter").read_text() == "dear"

    def test_closing_twice_is_no_error(self, open_log: OpenLog) -> None:
        log = open_log()
        log.close()
        log.close()
