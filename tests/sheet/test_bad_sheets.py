"""What is wrong in a sheet is named with its place and the next step, all of it at once."""

from functools import cache
from pathlib import Path

import pytest

import ringland
from ringland.sheet.load import load_leaflet, load_sheet, load_variants
from ringland.sheet.text import MOST_BYTES, BadSheet

COMMON_FILE = Path(ringland.__file__).parent / "sheet" / "common" / "two-stroke-single.yaml"
HEAD = "engine: Tarrow 124\nextends: two-stroke-single\n"  # two lines: the next one is line 3


@cache
def common() -> dict[str, str]:
    return {"two-stroke-single": COMMON_FILE.read_text(encoding="utf-8")}


def problems(text: str) -> list[str]:
    with pytest.raises(BadSheet) as caught:
        load_sheet(text, "s.yaml", common())
    return [str(each) for each in caught.value.problems]


TABLE = {
    # name: (text, place, path and words that must be said)
    "an empty file": ("", "1:1", "nothing is written here yet"),
    "only remarks": ("# soon\n\n", "1:1", "starts with a line such as 'engine: NAME'"),
    "one word": ("hello", "1:1", "starts with a line such as 'engine: NAME'"),
    "a list": ("- bore\n", "1:1", "starts with a line such as 'engine: NAME'"),
    "no engine": ("extends: two-stroke-single\n", "1:1", "'engine' is needed here"),
    "an engine without a name": ("engine:\n", "1:1", "name the engine"),
    # --- what YAML has and sheets have not ---
    "an anchor": (HEAD + "figures:\n  bore: &b 53.2 mm\n", "4:9", "'&' and '*' are not used"),
    "an alias": (HEAD + "figures:\n  bore: *b\n", "4:9", "'&' and '*' are not used"),
    "a bare star": (HEAD + "figures:\n  bore: *\n", "4:9", "'&' and '*' are not used"),
    "a tag": (HEAD + "figures:\n  bore: !!float 53.2\n", "4:9", "is not used in sheets"),
    "an own tag": (HEAD + "figures:\n  bore: !mine 53.2 mm\n", "4:9", "the tag !mine"),
    "a tab before": (HEAD + "figures:\n\tbore: 53.2 mm\n", "4:1", "a tab: use spaces"),
    "a tab inside": (HEAD + "figures:\n  bore:\t53.2 mm\n", "4:8", "a tab: use spaces"),
    "a name twice": (
        HEAD + "figures:\n  bore: 53.2 mm\n  bore: 53.3 mm\n", "5:3",
        "figures: bore: stands here a second time; the first is in line 4",
    ),
    "a section twice": (
        HEAD + "figures:\n  bore: 53.2 mm\nfigures:\n  squish: 1 mm\n", "5:1", "the first is in line 3",
    ),
    "one check under two names": (
        HEAD + "figures:\n  gap: max 0.6 mm\n  ring end gap: max 0.7 mm\n", "5:3",
        "'ring end gap' and 'gap' (line 4) are the same thing",
    ),
    "two documents": (HEAD + "---\n" + HEAD, "3:1", "one sheet, one file"),
    "depth 100 of groups": (
        HEAD + "".join("  " * i + "a:\n" for i in range(100)), "16:27", "deeper than 12 levels",
    ),
    "depth 100 of brackets": (HEAD + "figures: " + "[" * 100, "3:22", "deeper than 12 levels"),
    "a remark behind a value": (
        HEAD + "figures:\n  bore: 53.2 mm # page 4\n", "4:17", "what follows '#' is not read",
    ),
    "only a remark behind a name": (
        HEAD + "figures:\n  bore: # 53.2 mm\n", "4:3", "take the line away; blank is not zero",
    ),
    "a colon inside a value": (
        HEAD + "figures:\n  bore: 53.2 mm: max 53.25 mm\n", "4:16", "a ': ' inside a value",
    ),
    "a folded figure": (HEAD + "figures:\n  bore: >\n    53.2 mm\n", "4:9", "write 'min 0.30 mm'"),
    ">= before a figure": (HEAD + "figures:\n  ring end gap: >= 0.30 mm\n", "4:17", "write 'min 0.30 mm'"),
    "> before a figure": (HEAD + "figures:\n  ring end gap: > 0.30 mm\n", "4:17", "write 'min 0.30 mm'"),
    "<= before a figure": (HEAD + "figures:\n  ring end gap: <= 0.60 mm\n", "4:17", "write 'max 0.60 mm'"),
    "≤ before a figure": (HEAD + "figures:\n  ring end gap: ≤ 0.60 mm\n", "4:17", "write 'max 0.60 mm'"),
    "a page without its figure": (HEAD + "figures:\n  bore: @ p 4\n", "4:9", "a figure comes before its page"),
    "no text": (HEAD + "figures:\n  bore: 53.2\0 mm\n", "4:13", "U+0000"),
    "a line break no eye sees": (HEAD + "figures:\u2028  bore: 1\n", "3:9", "U+2028"),
    # --- half typed ---
    "a name without colon": (HEAD + "figures:\n  bore: 53.2 mm\n  ring end", "5:3", "no ': ' behind the name"),
    "an open quote": (HEAD + 'figures:\n  bore: "53.2 mm\n', "4:9", "is never closed"),
    "an open bracket": (HEAD + "figures: {bore: 53.2 mm\n", "3:10", "is not closed"),
    "a section with nothing below": (HEAD + "figures:\n", "3:1", "nothing stands below it"),
    "a line too far out": (HEAD + "figures:\n  bore: 53.2 mm\n squish: 1 mm\n", "5:2", "the same indentation"),
    "a line too far in": (HEAD + "figures:\n  bore: 53.2 mm\n    squish: 1 mm\n", "5:11", "the same indentation"),
    "a colon without name": (HEAD + "figures:\n  : 53 mm\n", "4:3", "without a name"),
    "a blank figure": (HEAD + "figures:\n  bore:\n", "4:3", "blank is not zero"),
    "a blank group": (HEAD + "fasteners:\n  barrel nuts:\n", "4:3", "write count, thread and torque"),
    "zero for a blank": (HEAD + "figures:\n  bore: 0 mm\n", "4:9", "a blank is not zero"),
    # --- numbers without unit, in every section ---
    "a bare figure": (HEAD + "figures:\n  bore: 53.2\n", "4:13", "figures: bore: 53.2 has no unit"),
    "a bare range": (HEAD + "figures:\n  gap: 0.30-0.38, max 0.6\n", "4:12", "0.38 has no unit"),
    "a bare torque": (HEAD + "fasteners:\n  barrel nuts: 4 × M8, 21\n", "4:26", "21 has no unit: add one of N·m"),
    "a bare torque, long form": (
        HEAD + "fasteners:\n  barrel nuts:\n    torque: 21\n", "5:15",
        "fasteners: barrel nuts: torque: 21 has no unit",
    ),
    "a bare class": (HEAD + "piston classes:\n  A: 53.15-53.155\n", "4:12", "piston classes: A: 53.155 has no unit"),
    "a bare gasket": (HEAD + "base gaskets: 0.3 mm, 0.4\n", "3:15", "base gaskets: item 2: 0.4 has no unit"),
    "a bare gasket in a list": (HEAD + "base gaskets:\n  - 0.3 mm\n  - 0.4\n", "5:8", "item 2: 0.4 has no unit"),
    "a bare pressure": (HEAD + "tests:\n  crankcase leak: 0.4, 6 min, fall none\n", "4:22", "0.4 has no unit"),
    "a bare time": (HEAD + "tests:\n  crankcase leak: 0.4 bar, 6, fall none\n", "4:29", "6 has no unit"),
    "half a rule": (HEAD + "tests:\n  crankcase leak: 0.4 bar\n", "4:19", "write pressure, time and allowed fall"),
    "bare hours": (HEAD + "hours:\n  ring: 20\n", "4:11", "20 has no unit"),
    "a bare fluid": (HEAD + "fluids:\n  coolant: 0.95\n", "4:12", "0.95 has no unit"),
    # --- names ---
    "an unknown section": (HEAD + "figure:\n  bore: 53.2 mm\n", "3:1", "Did you mean figures?"),
    "an unknown check": (HEAD + "figures:\n  ring end gab: 1 mm\n", "4:3", "Did you mean ring end gap?"),
    "a figure for a feel": (HEAD + "figures:\n  big end: 1 mm\n", "4:3", "big end is judged by feel"),
    "an unknown group": (
        HEAD + "fasteners:\n  barel nuts: 4 × M8, 21 N·m\n", "4:3", "Did you mean barrel nuts?",
    ),
    "an unknown word of a group": (
        HEAD + "fasteners:\n  barrel nuts: {torqe: 21 N·m}\n", "4:17", "Did you mean torque?",
    ),
    "an unknown clause of a group": (
        HEAD + "fasteners:\n  barrel nuts: 21 N·m, croswise\n", "4:24", "Did you mean crosswise?",
    ),
    "an unknown part": (HEAD + "hours:\n  pistn: 20 h\n", "4:3", "Did you mean piston?"),
    "an unknown test": (
        HEAD + "tests:\n  crank leak: 0.4 bar, 6 min, fall none\n", "4:3", "Did you mean crankcase leak?",
    ),
    "an unknown feature": (HEAD + "not fitted: power vlave\n", "3:13", "Did you mean power valve?"),
    "an unknown common sheet": ("engine: X\nextends: two-stroke\n", "2:10", "Did you mean two-stroke-single?"),
    "a list for the common sheet": ("engine: X\nextends: [a]\n", "2:1", "there is no common sheet"),
    "an unknown figure read back": (HEAD + "read back:\n  bor: Ada 2026-01-01\n", "4:3", "there is no 'bor'"),
    "an unknown phase": (HEAD + "steps:\n  look: {phase: strp}\n", "4:17", "Did you mean strip?"),
    # --- figures that cannot be ---
    "another kind of unit": (HEAD + "figures:\n  bore: 53.2 bar\n", "4:14", "here a length is asked for"),
    "a thousands mark": (HEAD + "figures:\n  bore: 53,200 mm\n", "4:9", "53,200 can be 53.200 or 53200"),
    "downward": (HEAD + "figures:\n  gap: 0.38-0.30 mm\n", "4:8", "write the smaller number first"),
    "two values": (HEAD + "figures:\n  gap: 0.3 mm, 0.6 mm\n", "4:16", "is a second value"),
    "two limits": (HEAD + "figures:\n  gap: max 0.6 mm, max 0.7 mm\n", "4:20", "keep one"),
    "two torques": (HEAD + "fasteners:\n  barrel nuts: 21 N·m, 23 N·m\n", "4:24", "is a second torque"),
    "below zero": (HEAD + "figures:\n  bore: -53 mm\n", "4:9", "is below zero"),
    "a limit inside what is new": (
        HEAD + "figures:\n  gap: 0.30-0.38 mm, max 0.20 mm\n", "4:8", "(max 0.20 mm) lies below what is new",
    ),
    "a limit above what is new": (
        HEAD + "figures:\n  piston skirt: 53.145 mm, min 53.215 mm\n", "4:17", "lies above what is new",
    ),
    "the wrong side of wear": (
        HEAD + "figures:\n  piston skirt: max 53.115 mm\n", "4:17", "write 'min 53.115 mm'",
    ),
    "a group for a figure": (HEAD + "figures:\n  bore: {new: 53.2 mm}\n", "4:3", "one text is wanted"),
    "a list for a section": (HEAD + "figures:\n  - bore\n", "3:1", "each as 'name: value'"),
    "a word for a number": (
        HEAD + "fasteners:\n  barrel nuts: {count: four}\n", "4:24", "a whole number is wanted",
    ),
    "an order of too few": (
        HEAD + "fasteners:\n  barrel nuts: 4 × M8, 21 N·m, order 1 3 2\n", "4:38",
        "does not name each of 1 to 4 once",
    ),
    "places too few": (
        HEAD + "fasteners:\n  barrel nuts: 4 × M8, 21 N·m, at 45 135 225\n", "4:35",
        "3 places for 4 fasteners",
    ),
    "two at one place": (
        HEAD + "fasteners:\n  barrel nuts: 4 × M8, at 45 135 225 45\n", "4:38",
        "another one stands there already, at 45",
    ),
    "two at one place, once round": (
        HEAD + "fasteners:\n  barrel nuts: {count: 2, at: 0 360}\n", "4:33",
        "another one stands there already, at 0",
    ),
    "a place that is no angle": (
        HEAD + "fasteners:\n  barrel nuts: 4 × M8, at 45 135 -135 315\n", "4:34",
        "'-135' is no angle",
    ),
    "places with commas": (
        HEAD + "fasteners:\n  barrel nuts: 4 × M8, at 45, 135, 225, 315\n", "4:31",
        "angles stand with spaces between",
    ),
    "more than one turn": (
        HEAD + "fasteners:\n  barrel nuts: 2 × M8, at 45 405\n", "4:30",
        "an angle is 0 to 360 degrees",
    ),
    "an outer ring without an inner": (
        HEAD + "fasteners:\n  barrel nuts: 2 × M8, at outer 45 225\n", "4:27",
        "'outer' stands once, between two rings",
    ),
    "an outer ring without angles": (
        HEAD + "fasteners:\n  barrel nuts: 2 × M8, at 45 225 outer\n", "4:27", "an angle is missing",
    ),
    "an ignition side nobody has": (
        HEAD + "ignition side: front\n", "3:16", "is not one of left, right or not said",
    ),
    "variants without names": (HEAD + "variants: 2020\n", "3:11", "name each variant"),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLE)
def test_each_mistake_is_named_where_the_eye_finds_it_with_what_to_do(name: str) -> None:
    text, place, words = TABLE[name]
    said = problems(text)
    assert any(each.startswith(f"s.yaml:{place}: ") and words in each for each in said), said
    assert len(said) == 1, said


def test_several_mistakes_are_all_said_at_once_in_the_order_of_the_lines() -> None:
    text = HEAD + (
        "figur: x\n"
        "figures:\n"
        "  bore: 53.2\n"
        "  squsih: 1 mm\n"
        "fasteners:\n"
        "  barrel nuts: 21\n"
        "  head nuts: {torque: 14, cont: 3}\n"
        "hours:\n"
        "  ring: 20\n"
        "not fitted: power vlave\n"
    )
    said = problems(text)
    assert [each.split(":")[1] for each in said] == ["3", "5", "6", "8", "9", "9", "11", "12"]


def test_what_points_at_a_step_that_cannot_be_read_is_no_second_problem() -> None:
    steps = "steps:\n  look: {words: see}\n  after: {phase: strip, needs: look}\n"
    assert problems(HEAD + steps) == [
        "s.yaml:4:3: steps: look: phase: 'phase' is needed here: write 'phase: ...'"
    ]


def test_a_sheet_of_ten_megabytes_is_refused_before_it_is_read() -> None:
    said = problems(HEAD + "# long\n" * 1_500_000)
    assert said == [f"s.yaml:1:1: larger than {MOST_BYTES:,} bytes: a sheet is a few pages of text"]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_byte_order_mark_do_not_matter(mark: str, end: str) -> None:
    text = mark + (HEAD + "figures:\n  bore: 53.2 mm, max 53.25 mm @ p 4\n").replace("\n", end)
    loaded = load_sheet(text, "s.yaml", common())
    assert loaded.figures.limits["bore"].typed == "53.2 mm, max 53.25 mm @ p 4"


@pytest.mark.parametrize(
    ("written", "kept"), [("1.10", "1.10"), ("no", "no"), ("010", "010"), ("12:30", "12:30")]
)
def test_every_scalar_stays_as_it_was_typed(written: str, kept: str) -> None:
    assert load_sheet(f"engine: {written}\n", "s.yaml", {}).sheet.engine == kept


@pytest.mark.parametrize(
    ("typed", "own"), [("cylinder nuts", "barrel nuts"), ("Barrel Nuts", "barrel nuts")]
)
def test_a_torque_under_another_name_of_its_group_reaches_the_group(typed: str, own: str) -> None:
    loaded = load_sheet(HEAD + f"fasteners:\n  {typed}: 21 N·m\n", "s.yaml", common())
    assert loaded.figures.torques[own].nominal == 21.0
    assert typed not in loaded.sheet.fasteners or typed == own


VARIANTS = HEAD + (
    "figures:\n"
    "  gap: 0.30-0.38 mm, max 0.60 mm\n"
    "variants:\n"
    "  early:\n"
    "    ring end gap: 0.25-0.35 mm, max 0.60 mm\n"
    "  late:\n"
    "    squsih: 1 mm\n"
    "    barrel nuts: 23\n"
    "  empty:\n"
)


def test_every_variant_is_checked_and_its_problems_stand_on_their_own_path() -> None:
    with pytest.raises(BadSheet) as caught:
        load_variants(VARIANTS, "s.yaml", common())
    said = [str(each) for each in caught.value.problems]
    assert said[0].startswith("s.yaml:9:5: variants: late: squsih: is no section, figure or group")
    assert said[0].endswith("Did you mean squish?")
    assert said[1].startswith("s.yaml:10:20: variants: late: barrel nuts: 23 has no unit")
    assert said[2].startswith("s.yaml:11:3: variants: empty: write what differs")
    assert len(said) == 3


def test_a_variant_wins_whatever_name_of_the_check_either_of_them_uses() -> None:
    loaded = load_sheet(VARIANTS, "s.yaml", common(), variant="early")
    assert loaded.figures.limits["ring end gap"].typed.startswith("0.25")
    assert loaded.where(("figures", "ring end gap")) == ("variants", "early", "ring end gap")
    base = load_sheet(VARIANTS, "s.yaml", common())
    assert base.where(("figures", "ring end gap")) == ("figures", "gap")


def test_an_unknown_variant_names_those_there_are() -> None:
    with pytest.raises(BadSheet, match=r"there are: early, late, empty. Did you mean early\?"):
        load_sheet(VARIANTS, "s.yaml", common(), variant="erly")


def test_a_leaflets_problems_are_all_said_at_once() -> None:
    engine = load_sheet(HEAD, "s.yaml", common()).sheet
    text = "part: ringg, other make\nnote: x\nfigures:\n  gap: 0.3\n  ring end gap: 0.3 mm\n  bor: 1 mm\n"
    with pytest.raises(BadSheet) as caught:
        load_leaflet(text, "l.yaml", engine)
    said = "\n".join(map(str, caught.value.problems))
    for words in (
        "l.yaml:1:7: part: the engine has no part 'ringg'. Did you mean ring?",
        "l.yaml:2:1: note: 'note' is not known here. Did you mean notes?",
        "l.yaml:4:11: figures: gap: 0.3 has no unit",
        "l.yaml:6:3: figures: bor: no check or measure has this name. Did you mean bore?",
    ):
        assert words in said


def test_a_leaflet_that_is_taken_for_an_engine_sheet_is_called_what_it_is() -> None:
    assert problems("part: ring\n") == [
        "s.yaml:1:7: part: this is a part's leaflet, not an engine sheet"
    ]
