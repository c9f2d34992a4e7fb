"""`ringland sheet`, as a person uses it: typed answers in, files and plain words out."""

import json
import os
from collections.abc import Iterable
from pathlib import Path

import pytest

import ringland
from ringland.bench.refusal import Refused
from ringland.bench.sheet_files import write_new
from ringland.cli.opening import Stopped
from ringland.cli.sheet_new import run as hold_talk
from tests.cli.talk import lines, ringland_sheet

DEMO = Path(ringland.__file__).parent / "demo"
TARROW = DEMO / "tarrow-124.yaml"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


ANSWERS = """\
Tarrow 124
1
piston kit
53.2 p 4-29
y
53.25
0,045-0,060
0.1
.30-.38 p 4-31
0.6


21
ft
4 × M8, 14 Nm, crosswise @ p 4-40
20 lbf ft
0.6-0.7
"""
WRITTEN = """\
engine: Tarrow 124
extends: two-stroke-single
figures:
  bore: 53.2 mm, max 53.25 mm @ p 4-29
  piston to barrel: 0.045-0.060 mm, max 0.1 mm
  ring end gap: 0.30-0.38 mm, max 0.6 mm @ p 4-31
  plug gap: 0.6-0.7 mm
fasteners:
  barrel nuts: 21 lbf·ft
  head nuts: 4 × M8, 14 N·m, crosswise @ p 4-40
  plug: 20 lbf·ft
"""


# -- new -----------------------------------------------------------------------------------------


def test_new_asks_a_dozen_figures_and_writes_what_a_person_could_have_typed() -> None:
    result = ringland_sheet("new", typed=ANSWERS)
    assert result.exit_code == 0, result.output
    assert Path("tarrow-124.yaml").read_text(encoding="utf-8") == WRITTEN
    assert "12 figures from your manual" in result.output
    assert "Kept: tarrow-124.yaml (10 figures, 2 not given)" in result.output


def test_new_says_what_is_missing_what_it_blocks_and_what_to_get() -> None:
    out = ringland_sheet("new", typed=ANSWERS).output
    assert "small end play  judged by feel (small end)" in out
    assert "common practice, not the maker's: 0.8 to 1.6 mm by size of engine" in out
    assert "ringland sheet read-back tarrow-124.yaml" in out
    assert "What to get before you strip (piston kit)" in out
    assert "a piston kit usually leaves out: small-end bearing" in out
    assert "tools: small torque wrench" in out


def test_a_new_sheet_is_sound_and_can_be_shown() -> None:
    ringland_sheet("new", typed=ANSWERS)
    assert ringland_sheet("check", "tarrow-124.yaml").output.startswith("tarrow-124.yaml: sound, 4")
    assert "21 lbf·ft" in ringland_sheet("show", "tarrow-124.yaml").output


def test_a_bare_torque_is_asked_about_before_it_is_kept() -> None:
    out = ringland_sheet("new", typed=ANSWERS).output
    assert "21 N·m (15.5 lbf·ft) or 21 lbf·ft (28.5 N·m)?" in out


def test_a_count_that_nobody_typed_is_told_and_one_that_was_is_not() -> None:
    out = ringland_sheet("new", typed=ANSWERS).output
    assert "4 of them? If not, 'back' and as in: 4 × M8, 21 lbf·ft" in out
    assert "5 of them?" not in out  # the head nuts were typed with their count


def test_what_the_engine_has_is_shown_with_marks_that_change_with_the_answers() -> None:
    out = ringland_sheet("new", typed="Air 80\nair-cooled, electric start\n").output
    assert "[x] water cooling" in out.partition("Enter when that is right")[0]
    assert "[ ] water cooling" in out.partition("Enter when that is right")[2]
    assert "[x] electric start" in out


def test_a_question_says_what_enter_takes() -> None:
    out = ringland_sheet("new", typed="X\n1\nring\n53.2\n\n").output
    assert "mm? Enter: 53.2 mm" in out


def test_a_figure_that_is_asked_about_can_be_kept_by_a_word() -> None:
    typed = "X\n1\nring\n5.32 mm\nkeep\n"
    out = ringland_sheet("new", typed=typed).output
    assert "Did you mean 53.2 mm? Or 'keep'. >" in out
    assert "bore: 5.32 mm" in Path("x.yaml").read_text()


def test_stopped_early_it_says_how_to_go_on() -> None:
    out = ringland_sheet("new", typed="X\n1\nring\n53.2 mm\n").output
    assert "ringland sheet missing x.yaml --scope ring" in out


def test_back_asks_the_question_before_again_and_enter_keeps_what_was_there() -> None:
    typed = "X\n1\nring\n53.2 mm\nback\n53.3 mm\n53.35\nback\n\nback\nback\nskip\n\n"
    ringland_sheet("new", typed=typed)
    assert "bore: max 53.35 mm" in Path("x.yaml").read_text()


def test_back_goes_as_far_as_the_scope_and_answers_that_still_count_are_kept() -> None:
    typed = "X\n1\nring\n53.2 mm\nback\nback\nfull\n"
    result = ringland_sheet("new", typed=typed)
    assert "15 figures from your manual" in result.output
    assert "now 53.2 mm; Enter keeps it" in result.output
    assert "bore: 53.2 mm" in Path("x.yaml").read_text()


def test_a_limit_that_came_with_the_figure_is_not_asked_again() -> None:
    typed = "X\n1\nring\n53.2, max 53.25 mm\n"
    out = ringland_sheet("new", typed=typed).output
    assert "bore, standard" in out
    assert "bore, limit " not in out.partition("Stopped")[0]


def test_what_this_engine_lacks_is_neither_asked_nor_listed() -> None:
    typed = "Air 80\n2\nair-cooled, no power vlave\nno power valve\n\nfull\n54 mm\n"
    result = ringland_sheet("new", typed=typed)
    assert "'no power vlave' is no feature here. Did you mean power valve?" in result.output
    text = Path("air-80.yaml").read_text()
    assert (
        "not fitted: power valve, water cooling, electric start, oil pump, fuel injection" in text
    )
    assert "power valve screws" not in result.output


def test_an_unknown_scope_is_asked_again_and_a_question_mark_means_not_known_yet() -> None:
    out = ringland_sheet("new", typed="X\n1\nbottom end\n?\n53.2 mm\n").output
    assert "a number from 1 to 4, or a word of it" in out
    assert "14 figures" in out


def test_a_question_mark_explains_the_figure_with_common_practice_marked() -> None:
    out = ringland_sheet("new", typed="X\n1\nring\n?\n53.2 mm\n").output
    assert "Bore gauge rocked to its least reading" in out
    assert "common practice, not the maker's: up to 0.02 mm above nominal" in out


def test_nonsense_is_refused_with_its_reason_and_asked_again() -> None:
    typed = "X\n1\nring\nabc\n53.2 mm\n53.1\n53.25\n"
    out = ringland_sheet("new", typed=typed).output
    assert "'abc' is not a quantity" in out
    assert "the limit (max 53.1 mm) lies below what is new (53.2 mm)" in out
    assert "bore: 53.2 mm, max 53.25 mm" in Path("x.yaml").read_text()


def test_an_end_of_input_keeps_what_was_answered_so_far() -> None:
    result = ringland_sheet("new", typed="X\n1\nring\n53.2 mm\n")
    assert result.exit_code == 0
    assert "Stopped." in result.output
    assert "Kept: x.yaml (1 figure, 10 not given)" in result.output


@pytest.mark.parametrize("typed", ["", "X\n", "X\n1\nring\n", "X\n1\nring\n53.2\n"])
def test_stopping_before_the_first_figure_keeps_nothing_and_says_so(typed: str) -> None:
    result = ringland_sheet("new", typed=typed)
    assert result.exit_code == 1
    assert "nothing was kept" in result.output
    assert list(Path().iterdir()) == []


def test_ctrl_c_keeps_what_was_answered_so_far() -> None:
    said: list[str] = []
    hold_talk(lines("X", "1", "ring", "53.2 mm", KeyboardInterrupt), said.append, None)
    assert Path("x.yaml").read_text().endswith("bore: 53.2 mm\n")
    assert "Stopped." in said


@pytest.mark.parametrize(
    ("answer", "kept"),
    [("", "tarrow-124-2.yaml"), ("other", "other.yaml"), ("overwrite", "tarrow-124.yaml")],
)
def test_a_file_that_is_there_is_written_over_only_when_the_person_says_so(
    answer: str, kept: str
) -> None:
    Path("tarrow-124.yaml").write_text("mine\n")
    result = ringland_sheet("new", typed=f"{ANSWERS}{answer}\n")
    assert "tarrow-124.yaml is there already" in result.output
    assert Path(kept).read_text(encoding="utf-8") == WRITTEN
    if answer != "overwrite":
        assert Path("tarrow-124.yaml").read_text() == "mine\n"


def test_stopping_never_writes_over_a_file() -> None:
    Path("x.yaml").write_text("mine\n")
    ringland_sheet("new", typed="X\n1\nring\n53.2 mm\n")
    assert Path("x.yaml").read_text() == "mine\n"
    assert Path("x-2.yaml").exists()


def test_a_file_that_appears_meanwhile_is_not_written_over() -> None:
    Path("x.yaml").write_text("mine\n")
    with pytest.raises(Refused, match="nothing was written over it"):
        write_new(Path("x.yaml"), WRITTEN)
    assert Path("x.yaml").read_text() == "mine\n"


def test_a_folder_that_is_not_there_is_refused_before_anything_is_asked() -> None:
    result = ringland_sheet("new", "-o", "nowhere/x.yaml", typed=ANSWERS)
    assert result.exit_code == 2
    assert "there is no such folder" in result.output
    assert "Which engine" not in result.output


def test_where_nothing_can_be_written_the_answers_are_shown_and_not_lost(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    result = ringland_sheet("new", typed=ANSWERS)
    assert result.exit_code == 2
    assert "No space left on device" in result.output
    assert WRITTEN in result.output


# -- check, show, missing, schema ----------------------------------------------------------------


def test_check_passes_the_demo_with_a_line_each_and_finds_a_leaflets_engine_among_the_files() -> (
    None
):
    result = ringland_sheet("check", *sorted(DEMO.glob("*.yaml")))
    assert result.exit_code == 0, result.output
    assert "tarrow-124.yaml: sound, " in result.output
    assert "10 torques, 2 variants" in result.output
    assert (
        "ring-leaflet.yaml: sound, leaflet of ring, other make for Tarrow 124, 1 figure"
        in result.output
    )


def test_check_names_every_problem_of_every_file_and_ends_with_two() -> None:
    Path("a.yaml").write_text(
        "engine: X\nextends: two-stroke-single\nfigures:\n  bore: 53.2\n  squsih: 1 mm\n"
    )
    Path("b.yaml").write_bytes(b"\xff\xfe\x00\x01")
    Path("c.yaml").write_text("part: ring\nfigures:\n  ring end gap: 0.3 mm\n")
    Path("d").mkdir()
    result = ringland_sheet("check", "a.yaml", "b.yaml", "c.yaml", "d", "e.yaml", TARROW)
    assert result.exit_code == 2
    for words in (
        "a.yaml:4:13: figures: bore: 53.2 has no unit",
        "a.yaml:5:3: figures: squsih: no check or measure has this name. Did you mean squish?",
        "b.yaml: not readable as text; save it as UTF-8",
        "c.yaml:1:1: a part's leaflet is checked against its engine sheet: add --for ENGINE.yaml",
        "d: a folder: name a sheet in it",
        "e.yaml: there is no such file",
        "tarrow-124.yaml: sound",
        "6 problems",
    ):
        assert words in result.output


def test_a_leaflet_is_checked_against_the_engine_that_is_given() -> None:
    result = ringland_sheet("check", DEMO / "ring-leaflet.yaml", "--for", TARROW)
    assert result.exit_code == 0
    Path("bad.yaml").write_text("engine: X\nfigures:\n")
    result = ringland_sheet("check", DEMO / "ring-leaflet.yaml", "--for", "bad.yaml")
    assert result.exit_code == 2
    assert "not checked, since bad.yaml cannot be used" in result.output


def test_check_looks_into_every_variant() -> None:
    text = TARROW.read_text(encoding="utf-8").replace(
        "squish: 0.85-1.10 mm @ p S-2", "squish: 0.85-1.10 @ p S-2", 1
    )
    Path("t.yaml").write_text(text, encoding="utf-8")
    result = ringland_sheet("check", "t.yaml")
    assert result.exit_code == 2
    assert "variants: 2020-2022: squish: 1.10 has no unit" in result.output


def test_show_tells_page_reader_variant_and_offers_common_practice_marked() -> None:
    out = ringland_sheet("show", TARROW, "--variant", "2020-2022").output
    nuts = next(line for line in out.splitlines() if line.startswith("  barrel nuts"))
    assert nuts.split("  ")[-1] == "of this variant"
    assert "4 × M8, 23 lbf·ft, crosswise, oiled" in nuts
    assert "p S-2" in nuts
    assert "not read back" in nuts
    ringland_sheet("new", typed=ANSWERS)
    out = ringland_sheet("show", "tarrow-124.yaml").output
    assert "squish" in out
    assert "common practice, not the maker's: 0.8 to 1.6 mm by size of engine" in out


def test_show_and_missing_are_read_by_programs() -> None:
    ringland_sheet("new", typed=ANSWERS)
    shown = json.loads(ringland_sheet("show", "tarrow-124.yaml", "--json").output)
    bore = next(line for line in shown["figures"] if line["name"] == "bore")
    assert (bore["figure"], bore["page"], bore["read_back"]) == (
        "53.2 mm, max 53.25 mm",
        "p 4-29",
        "",
    )
    found = json.loads(ringland_sheet("missing", "tarrow-124.yaml", "--json").output)
    squish = next(each for each in found if each["name"] == "squish")
    assert squish["blocks"] == "reported, not judged"
    assert squish["asked"] is True


def test_missing_knows_scopes_by_key_and_by_words() -> None:
    one = ringland_sheet("missing", TARROW, "--scope", "piston").output
    assert one == ringland_sheet("missing", TARROW, "--scope", "piston kit").output
    assert one.startswith("Tarrow 124, piston kit: ")
    result = ringland_sheet("missing", TARROW, "--scope", "pistn")
    assert result.exit_code == 2
    assert "Did you mean piston?" in result.output


@pytest.mark.parametrize("command", ["show", "missing", "read-back"])
def test_a_sheet_that_cannot_be_used_ends_each_command_with_its_problems(command: str) -> None:
    Path("a.yaml").write_text("engine: X\nfigures:\n")
    result = ringland_sheet(command, "a.yaml")
    assert result.exit_code == 2
    assert "a.yaml:2:1: figures: nothing stands below it" in result.output


def test_the_schema_is_printed_or_written() -> None:
    printed = json.loads(ringland_sheet("schema").output)
    assert printed["title"] == "Ringland engine sheet"
    assert ringland_sheet("schema", "-o", "s.json").output == "Written: s.json\n"
    assert json.loads(Path("s.json").read_text(encoding="utf-8")) == printed
    assert json.loads(ringland_sheet("schema", "--leaflet").output)["title"] == "Ringland leaflet"


def test_a_misspelt_command_is_answered_with_the_nearest() -> None:
    result = ringland_sheet("chek")
    assert result.exit_code == 2
    assert "Did you mean check?" in result.output


def test_a_talk_that_cannot_be_kept_ends_with_a_message() -> None:
    Path("f").mkdir()

    def said(_: Iterable[str] | str) -> None:
        pass

    with pytest.raises(Stopped, match="nothing was kept"):
        hold_talk(lines(EOFError), said, Path("f"))
