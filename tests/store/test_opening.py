"""A store is made, recognised or refused; what is there is never overwritten."""

import errno
import multiprocessing
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ringland.store import (
    Damaged,
    NewerStore,
    NoFolder,
    NoStore,
    NotAStore,
    Occupied,
    StoreError,
    open_store,
)
from ringland.store.schema import APPLICATION_ID
from tests.store.contract import line


def refused(path: Path, kind: type[StoreError], said: str) -> None:
    """Hold that the file is refused so, opened either way, and stays as it is."""
    before = path.read_bytes()
    for create in (True, False):
        with pytest.raises(kind, match=said) as caught:
            open_store(path, create=create)
        assert str(path) in str(caught.value)
    assert path.read_bytes() == before


def test_the_folder_is_made_with_the_store(tmp_path: Path) -> None:
    with closing(open_store(tmp_path / "shop" / "benches" / "bench.ringland")) as log:
        log.append("job/1", [line("a")])
    assert (tmp_path / "shop" / "benches" / "bench.ringland").is_file()


def test_a_name_with_signs_of_a_url_is_a_file_all_the_same(tmp_path: Path) -> None:
    path = tmp_path / "50% off?mode=memory#é.ringland"
    open_store(path).close()
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


def test_a_missing_store_is_not_made_unasked(tmp_path: Path) -> None:
    with pytest.raises(NoStore, match="there is no store here"):
        open_store(tmp_path / "bench.ringland", create=False)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_below_a_file_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("dear")
    with pytest.raises(NoFolder, match=r"letter: this folder .* cannot be made.*another place"):
        open_store(tmp_path / "letter" / "bench.ringland")


def test_a_folder_is_no_store(tmp_path: Path) -> None:
    for create in (True, False):
        with pytest.raises(NotAStore, match="this is a folder"):
            open_store(tmp_path, create=create)


@pytest.mark.parametrize("content", [b"dear", b"dear reader " * 1000, b"\x89PNG\r\n\x1a\n" * 600])
def test_another_kind_of_file_is_left_alone(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "letter").write_bytes(content)
    refused(tmp_path / "letter", NotAStore, "no Ringland store")


def test_an_empty_file_is_not_taken_for_a_new_store(tmp_path: Path) -> None:
    (tmp_path / "bench.ringland").touch()
    refused(tmp_path / "bench.ringland", NotAStore, "the file is empty")


@pytest.mark.parametrize("number", [0, 0x47504B47])
def test_a_database_of_something_else_is_left_alone(tmp_path: Path, number: int) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE line (id TEXT)")
        other.execute(f"PRAGMA application_id = {number}")
    refused(path, NotAStore, "belongs to something else")


@pytest.mark.parametrize(
    ("version", "kind", "said"),
    [
        (2, NewerStore, r"form 2, from a newer Ringland; this one knows forms up to 1\. Update"),
        (0, Damaged, "form 0, and there is none before 1"),
    ],
)
def test_a_form_from_another_time_is_left_alone(
    tmp_path: Path, version: int, kind: type[StoreError], said: str
) -> None:
    path = tmp_path / "bench.ringland"
    open_store(path).close()
    with closing(sqlite3.connect(path)) as other:
        other.execute(f"PRAGMA user_version = {version}")
    refused(path, kind, said)


def test_an_old_sqlite_is_refused_with_its_number(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 36, 0))
    with pytest.raises(StoreError, match=r"needs 3\.37\.0 or newer"):
        open_store(tmp_path / "bench.ringland")
    assert list(tmp_path.iterdir()) == []


def make_and_append(path: Path, name: str) -> None:
    """Open, perhaps make, the store and append a line; runs in a process of its own."""
    with closing(open_store(path)) as log:
        log.append("job/1", [line(name)])


def test_programs_that_make_one_store_at_once_end_up_in_the_same(tmp_path: Path) -> None:
    path = tmp_path / "shed" / "bench.ringland"
    spawn = multiprocessing.get_context("spawn")
    makers = [spawn.Process(target=make_and_append, args=(path, name)) for name in "abcd"]
    for maker in makers:
        maker.start()
    for maker in makers:
        maker.join(60)
    with closing(open_store(path, create=False)) as log:
        assert sorted(each.id for _, each in log.read("job/1")) == list("abcd")


def test_one_who_was_slower_to_make_the_store_takes_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, link = tmp_path / "bench.ringland", os.link

    def slow_link(part: Path, to: Path) -> None:
        monkeypatch.setattr(os, "link", link)
        make_and_append(path, "faster")
        link(part, to)

    monkeypatch.setattr(os, "link", slow_link)
    make_and_append(path, "slower")
    with closing(open_store(path)) as log:
        assert [each.id for _, each in log.read("job/1")] == ["faster", "slower"]
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


def test_a_store_is_made_where_there_are_no_hard_links(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_link(_part: Path, _to: Path) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_link)
    path = tmp_path / "bench.ringland"
    make_and_append(path, "a")
    with closing(open_store(path)) as log:
        log.backup(tmp_path / "copy")
        with pytest.raises(Occupied):
            log.backup(path)
    names = sorted(each.name for each in tmp_path.iterdir())
    assert names == ["bench.ringland", "copy"]


def test_the_application_id_reads_ring_in_the_file(tmp_path: Path) -> None:
    open_store(tmp_path / "bench.ringland").close()
    header = (tmp_path / "bench.ringland").read_bytes()[:100]
    # SQLite file format, 1.3: the application id stands at offset 68
    assert header[68:72] == b"Ring" == APPLICATION_ID.to_bytes(4, "big")
