"""A new owner's first job: her own sheet from an invented manual page, and everything going wrong.

One file of lines, from the strip to the prestart; each test looks at one claim of it.
"""

import re

import pytest

from tests.stories.shop import HERE, Played, Shop

SHEET = HERE / "quill-98.yaml"


# each claim is about the walk once it was played, in whatever order the claims are tried
pytestmark = pytest.mark.usefixtures("played")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return Shop(tmp_path_factory.mktemp("walk"))


@pytest.fixture(scope="module")
def played(shop: Shop) -> Played:
    shop.open("quill", SHEET, hours="31 h")
    return shop.play("1", "walk")


def test_the_counter_answers_from_the_sheet_without_any_job(shop: Shop) -> None:
    found = shop.json("parts", "--sheet", str(SHEET), "--scope", "piston")
    first = {line["name"]: line["count"] for line in found["first"]}
    assert first["head o-ring"] == 2
    assert first["clip"] == 2
    assert "piston" not in first, "a piston waits for the bore"
    assert {line["name"]: line["waits_for"] for line in found["second"]}["piston"] == [
        "bore", "out-of-round", "taper", "barrel wall",
    ]  # fmt: skip
    assert "base gasket" in found["left_out"]["piston kit"]


def test_every_line_of_the_walk_is_kept(played: Played) -> None:
    assert played.not_kept() == []
    assert played.code == 0


def test_metal_on_the_plug_stops_the_build_and_the_piston_order(played: Played) -> None:
    assert "STOP  metal specks" in played("metal specks on the plug")
    assert re.search(r"parts .*\bpiston waits for readings", played("where", nth=1))
    assert "no longer stopped by: metal specks" in played(
        "bottom end proven, nothing in the pit and the play is small"
    )


def test_a_chewed_screw_is_noted_with_its_place(played: Played) -> None:
    said = played("chewed screw, a nut beside the intake")
    assert "chewed screw: a nut beside the intake" in said


def test_what_is_missing_is_asked_until_it_is_found(played: Played) -> None:
    assert "head washer: 4 of 5 off: find it" in played("washers off 4")
    assert "dowel: 1 of 2 off: find it" in played("dowels off 1")
    assert "no longer stopped by: washer missing" in played("washer found")
    assert "crank turned twice" in played("found dowel in the barrel's foot")


def test_undo_says_what_was_taken_back_and_what_holds_again(played: Played) -> None:
    said = played("undo")
    assert "taken back: dowel off 2" in said
    assert "dowel: 1 of 2 off: find it" in said


def test_readings_in_inches_are_judged_against_a_sheet_in_millimetres(shop: Shop) -> None:
    clearance = shop.verdict("1", "piston to barrel", "as fitted")
    assert clearance["word"] == "within"
    assert clearance["value"].startswith("0.0019 to 0.0023 in")
    assert clearance["limit"] == "0.00138 to 0.00276 in"  # 0.035 to 0.070 mm


def test_inches_and_the_intake_side_are_told_apart(played: Played) -> None:
    said = played("squish EX .040 in IN .038 in IGN .039 in CL .039 in")
    assert "0.0390 in" in said  # the mean of all four, by hand


def test_one_leaf_alone_proves_no_maximum(played: Played) -> None:
    said = played("old gap bottom .40 mm goes")
    assert "at least 0.40 mm" in said
    assert "undecided" in said
    assert "leaf" in said.split("undecided")[1], "it says which to try"


def test_not_sure_of_the_big_end_names_the_reading_that_would_tell(played: Played) -> None:
    said = played("big end not sure")
    assert re.search(r"undecided +measure big end radial", said)
    assert "next   measure big end radial" in said


def test_the_old_rings_verdict_stands_beside_the_new_ones(shop: Shop) -> None:
    words = shop.words("1")
    assert words["ring end gap", "as found"] == "beyond"
    assert words["ring end gap", "as fitted"] == "within"


def test_a_corrected_figure_of_the_sheet_changes_the_verdict_and_keeps_its_reason(
    shop: Shop, played: Played
) -> None:
    line = "figure ring end gap 0.20-0.35 mm, max 0.45 mm @ p 12 because the line below was read"
    assert re.search(r"ring end gap +0\.45 to 0\.50 mm +\(max 0\.45 mm\) +BEYOND", played(line))
    taken = [e["body"] for e in shop.kept("1") if e.get("kind") == "figure-taken-over/1"]
    assert [(t["text"], t["reason"]) for t in taken] == [
        ("0.20-0.35 mm, max 0.45 mm @ p 12", "the line below was read")
    ]


def test_the_jobs_that_the_figure_touched_can_be_listed(shop: Shop) -> None:
    found = shop.json("job", "list", "--figure", "ring end gap")
    assert [(job["job"], job["figure"]) for job in found] == [
        ("1", "0.20-0.35 mm, max 0.45 mm @ p 12")
    ]


def test_a_gap_too_small_says_file_not_buy(played: Played) -> None:
    said = played("new gap bottom .15")
    assert "BEYOND" in said
    assert "file one end" in said


def test_a_correction_leaves_the_wrong_reading_only_in_the_log(shop: Shop, played: Played) -> None:
    assert "within" in played("correct gap bottom .25")
    typed = [
        i["typed"]
        for e in shop.kept("1")
        for i in (e.get("body", {}).get("fact") or e.get("body", {})).get("indications", [])
    ]
    assert {".15", ".25"} <= set(typed)
    assert shop.verdict("1", "ring end gap", "as fitted")["value"].startswith("0.25 mm")


def test_after_an_interruption_it_says_where_it_stood_and_begins_the_stage_again(
    played: Played,
) -> None:
    said = played("base nuts")
    assert "stage 2 begins again: 2 of 4 were pulled at stage 2, last by Kim at 10:00" in said
    assert "0 of 4 pulled" in said
    assert "stage 3 of 4" in played("base nuts ok")


def test_the_prestart_shrinks_to_nothing(played: Played) -> None:
    first, last = played("prestart"), played("prestart", nth=1)
    assert first.startswith("forbids the first start (8)")
    assert "crankcase leak: not done" in first
    assert last.startswith("nothing forbids the first start")
