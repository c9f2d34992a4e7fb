"""A damaged file never passes for a sound one with other readings in it."""

import json
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ringland.store import Damaged, Line, StoreError, open_store
from tests.faults.appender import line

STREAMS = ("job/1", "shelf")
PHOTO = bytes(range(256)) * 30
PHOTO_NAME = sha256(PHOTO).hexdigest()
Content = dict[str, list[tuple[int, Line]]]


class Sound:
    """A sound store: its bytes and the lines in it; no dataclass, which would be printed whole."""

    def __init__(self, file: bytes, content: Content) -> None:
        self.file, self.content = file, content


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Sound:
    """Return the bytes of a small store, and what it holds."""
    path = tmp_path_factory.mktemp("sound") / "bench.ringland"
    with closing(open_store(path)) as log:
        log.append("job/1", [line("a", n) for n in range(20)])
        log.append("shelf", [line("gauge", n) for n in range(3)])
        log.put_photo(PHOTO)
        content = {stream: log.read(stream) for stream in STREAMS}
    return Sound(path.read_bytes(), content)


def hold(path: Path, damaged: bytes, content: Content) -> None:
    """Hold that the damage is told, or did no harm; and that no line is read otherwise."""
    path.write_bytes(damaged)
    try:
        with closing(open_store(path, create=False)) as log:
            told = bool(log.check())
            read = {stream: log.read(stream) for stream in STREAMS}
            assert all(read[each] == content[each][: len(read[each])] for each in STREAMS)
            harmless = read == content and log.photo(PHOTO_NAME) == PHOTO
    except StoreError as error:
        told, harmless = str(path) in str(error), False
    assert told or harmless


@settings(
    deadline=None,
    max_examples=400,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(place=st.floats(0, 1, exclude_max=True), header=st.booleans(), bits=st.integers(1, 255))
def test_a_garbled_byte_is_found_or_harmless(
    tmp_path: Path, sound: Sound, place: float, header: bool, bits: int
) -> None:
    damaged = bytearray(sound.file)
    # the beginning of each page holds what the rest is found by
    position = int(place * len(damaged))
    if header:
        position = position // 4096 * 4096 + position % 4096 // 32
    damaged[position] ^= bits
    hold(tmp_path / "bench.ringland", bytes(damaged), sound.content)


@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(share=st.floats(0, 1, exclude_max=True))
def test_a_cut_off_file_is_found(tmp_path: Path, sound: Sound, share: float) -> None:
    hold(tmp_path / "bench.ringland", sound.file[: int(share * len(sound.file))], sound.content)


def test_a_message_that_is_no_text_is_told_all_the_same(tmp_path: Path, sound: Sound) -> None:
    # SQLite quotes the garbled word of its schema, and Python cannot read the quotation
    assert sound.file.count(b"CREATE TABLE line") == 1
    damaged = sound.file.replace(b"CREATE TABLE line", b"CREATE TABL\xff line")
    (tmp_path / "bench.ringland").write_bytes(damaged)
    with pytest.raises(Damaged, match=r"the file is damaged\. Keep the file as it is"):
        open_store(tmp_path / "bench.ringland")


def test_a_digit_that_rots_does_not_pass_for_a_reading(tmp_path: Path, sound: Sound) -> None:
    path, typed = tmp_path / "bench.ringland", json.dumps({"value": "0.007"})[1:-1].encode()
    typed = typed.replace(b" ", b"")
    assert sound.file.count(typed) == 1
    path.write_bytes(sound.file.replace(typed, typed.replace(b"7", b"1")))
    with closing(open_store(path)) as log:
        assert log.check() == ["job/1: line 8 is no longer what was written"]
        assert log.read("shelf") == sound.content["shelf"]
        assert log.append("job/1", [line("b", 0)]) == 21
        with pytest.raises(StoreError, match="line 8 is no longer what was written"):
            log.read("job/1")
