"""`ringland sheet read-back`: each figure typed a second time from the manual."""

import os
from pathlib import Path

import pytest

import ringland
from ringland.bench.sheets import load
from ringland.cli.sheet_read_back import Reading
from tests.cli.talk import lines, ringland_sheet

DEMO = Path(ringland.__file__).parent / "demo"
TARROW = DEMO / "tarrow-124.yaml"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


SMALL = """\
# typed by Bo
engine: X
extends: two-stroke-single
figures:
  bore: 53.200 mm, max 53.250 mm @ p 4-29
  gap: 0.30-0.38 mm, max 0.60 mm @ p 4-31
fasteners:
  barrel nuts: 4 × M8, 21 ft-lb, oiled @ p 4-40
""".replace("4-29\n", "4-29   \n")  # blanks at a line's end stay too


def read(typed: str, *words: str) -> str:
    result = ringland_sheet("read-back", "x.yaml", "--by", "Ada", *words, typed=typed)
    assert result.exit_code == 0, result.output
    return result.output


def notes() -> dict[str, str]:
    return dict(load(Path("x.yaml")).sheet.read_back)


@pytest.fixture
def _small() -> None:
    Path("x.yaml").write_text(SMALL, encoding="utf-8")


@pytest.mark.usefixtures("_small")
def test_what_is_typed_again_the_same_is_noted_and_no_other_line_changes() -> None:
    out = read("53.2 mm, max 53.25\n.3-.38\n.6\n21 lbf·ft\n")
    assert "Read back: 3. Not read back: 0." in out
    text = Path("x.yaml").read_text(encoding="utf-8")
    assert text.startswith(SMALL)
    assert notes()["bore"].startswith("Ada 20")
    assert notes()["bore"].endswith(" as 53.200 mm, max 53.250 mm")
    assert set(notes()) == {"bore", "ring end gap", "barrel nuts"}
    assert "Every figure is read back" in read("")


@pytest.mark.usefixtures("_small")
def test_a_number_is_never_just_nodded_at() -> None:
    out = read("y\nyes\n\n\n\n")
    assert "'y' is not a quantity" in out
    assert notes() == {}


@pytest.mark.usefixtures("_small")
def test_a_bare_number_is_not_enough_since_the_unit_is_what_is_misread() -> None:
    out = read("53.2, max 53.25\n\n\n21\n\n")
    assert out.count("that is part of the figure") == 2
    assert notes() == {}


@pytest.mark.usefixtures("_small")
def test_a_difference_is_shown_both_ways_and_the_sheet_can_be_right() -> None:
    out = read("\n0.35-0.38 mm, max 0.60\n1\n\n")
    assert "In the sheet: 0.30-0.38 mm, max 0.60 mm.  You read: 0.35-0.38 mm, max 0.60 mm." in out
    assert notes()["ring end gap"].endswith(" as 0.30-0.38 mm, max 0.60 mm")


@pytest.mark.usefixtures("_small")
def test_or_what_was_read_is_right_and_the_sheets_own_line_is_corrected() -> None:
    read("\n0.35-0.38 mm, max 0.60\n2\n23 Nm\n2\n")
    text = Path("x.yaml").read_text(encoding="utf-8")
    assert "  gap: 0.35-0.38 mm, max 0.60 mm @ p 4-31\n" in text
    assert "  barrel nuts: 4 × M8, 23 N·m, oiled @ p 4-40\n" in text
    assert notes()["barrel nuts"].endswith(" as 23 N·m")


@pytest.mark.usefixtures("_small")
def test_or_neither_and_then_it_stays_not_read_back() -> None:
    assert "not read back" in read("\n0.35-0.38 mm, max 0.60\n\n\n")
    assert notes() == {}
    assert Path("x.yaml").read_text(encoding="utf-8") == SMALL


@pytest.mark.usefixtures("_small")
def test_a_correction_that_cannot_be_is_not_kept() -> None:
    out = read("\n0.65-0.70 mm, max 0.60\n2\n\n")
    assert "not kept" in out
    assert "lies below what is new" in out
    assert Path("x.yaml").read_text(encoding="utf-8") == SMALL


@pytest.mark.parametrize("end", ["q\n", ""])
@pytest.mark.usefixtures("_small")
def test_stopping_keeps_what_was_read(end: str) -> None:
    out = read(f"53.2 mm, max 53.25\n{end}")
    assert "Read back: 1. Not read back: 2, marked so in print." in out
    assert set(notes()) == {"bore"}


@pytest.mark.usefixtures("_small")
def test_ctrl_c_keeps_what_was_read() -> None:
    said: list[str] = []
    Reading(Path("x.yaml"), "Ada", "2026-11-05", None).run(
        lines("53.2 mm, max 53.25", KeyboardInterrupt), said.append
    )
    assert notes() == {"bore": "Ada 2026-11-05 as 53.200 mm, max 53.250 mm"}


@pytest.mark.usefixtures("_small")
def test_a_figure_changed_after_it_was_read_is_asked_for_again() -> None:
    read("53.2 mm, max 53.25\nq\n")
    text = Path("x.yaml").read_text(encoding="utf-8")
    Path("x.yaml").write_text(text.replace("bore: 53.200", "bore: 53.210"), encoding="utf-8")
    assert "changed since it was read back" in ringland_sheet("show", "x.yaml").output
    assert "3 figures of X" in read("q\n")


@pytest.mark.usefixtures("_small")
def test_a_variant_is_read_back_for_what_it_has_otherwise() -> None:
    Path("x.yaml").write_text(
        SMALL + "variants:\n  late:\n    cylinder nuts: 23 lbf·ft\n", encoding="utf-8"
    )
    out = read("23 lbf·ft\n", "--variant", "late")
    assert "1 figures of X" in out or "1 figure of X" in out
    assert notes() == {}
    assert set(load(Path("x.yaml"), "late").sheet.read_back) == {"barrel nuts"}


def test_byte_order_mark_line_ends_and_mode_of_the_file_stay() -> None:
    raw = ("\ufeff" + SMALL).replace("\n", "\r\n").encode()
    Path("x.yaml").write_bytes(raw)
    Path("x.yaml").chmod(0o640)
    read("53.2 mm, max 53.25\nq\n")
    after = Path("x.yaml").read_bytes()
    assert after.startswith(raw)
    assert b"\n" not in after.replace(b"\r\n", b"")
    assert Path("x.yaml").stat().st_mode & 0o777 == 0o640


@pytest.mark.usefixtures("_small")
def test_a_file_that_cannot_be_written_is_left_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    result = ringland_sheet("read-back", "x.yaml", typed="53.2 mm, max 53.25\n")
    assert result.exit_code == 2
    assert "No space left on device" in result.output
    assert Path("x.yaml").read_text(encoding="utf-8") == SMALL
    assert [path.name for path in Path().iterdir()] == ["x.yaml"]
