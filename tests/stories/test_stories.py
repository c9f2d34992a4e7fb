"""The job stories, played line by line through the real commands and a real store.

Each story is a file of lines beside this one, as a technician types them. What must come of it is
the table "Expected results at a glance" of the trade's description; the figures are invented.
"""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from tests.stories.shop import SHEETS, Played, Shop

GOOD = {"within", "within, worn"}


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


Story = Callable[[str], tuple[Shop, Played]]


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Story:
    """Play a story at job 1, a piston kit on a loan bike; once, since tests only look at it."""

    @cache
    def play(name: str) -> tuple[Shop, Played]:
        shop = Shop(tmp_path_factory.mktemp(name))
        shop.open("loan-3", "f-230", hours="58 h", baseline="12.4 bar", baseline_gauge="CG-1")
        return shop, shop.play("1", name)

    return play


# -- S1: the plain one -------------------------------------------------------------------------


class TestThePlainOne:
    """S1 sails through: one engine, all good, from the first reading to the hand-over."""

    @pytest.fixture(scope="class")
    @staticmethod
    def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Played]:
        shop = Shop(tmp_path_factory.mktemp("s1"))
        sheet = shop.folder / "f-230.yaml"
        hours = "\nhours:\n  piston: 60 h\n  ring: 30 h\n"  # invented, so that it can be due
        sheet.write_text((SHEETS / "f-230.yaml").read_text(encoding="utf-8") + hours)
        shop.open("loan-3", sheet, hours="58 h", baseline="12.4 bar", baseline_gauge="CG-1")
        return shop, shop.play("1", "s1")

    def test_every_line_is_kept_at_once(self, told: tuple[Shop, Played]) -> None:
        _, played = told
        assert played.code == 0
        assert played.not_kept() == []

    def test_every_verdict_is_within(self, told: tuple[Shop, Played]) -> None:
        shop, _ = told
        words = shop.words("1")
        skirts = {words.pop(("piston skirt", c)) for c in ("as found", "as fitted")}
        assert skirts == {"not judged"}, "a skirt without a limit is judged by its clearance"
        assert {key: word for key, word in words.items() if word not in GOOD} == {}

    def test_what_is_in_its_last_third_is_said_to_be_worn(self, told: tuple[Shop, Played]) -> None:
        shop, _ = told
        words = shop.words("1")
        worn = {key for key, word in words.items() if word == "within, worn"}
        assert worn == {
            ("cranking compression", "as found"),  # -22.6 % of its own baseline
            ("piston to barrel", "as found"),  # 0.103 of 0.110
            ("ring end gap", "as found"),  # 0.62 of 0.70
        }

    @pytest.mark.parametrize(
        ("check", "condition", "value"),
        [
            ("bore", "as found", "65.010 to 65.021 mm ± 0.005 at H1-Y"),
            ("out-of-round", "as found", "0.005 mm"),
            ("taper", "as found", "0.009 mm"),
            ("piston to barrel", "as found", "0.092 to 0.103 mm ± 0.006"),
            ("piston to barrel", "as fitted", "0.057 to 0.068 mm ± 0.006"),
            ("ring end gap", "as fitted", "0.31 to 0.34 mm"),
            ("squish", "as fitted", "1.20 mm ± 0.03"),
            ("squish spread", "as fitted", "0.02 mm"),
        ],
    )
    def test_the_values_are_those_of_the_story(
        self, told: tuple[Shop, Played], check: str, condition: str, value: str
    ) -> None:
        shop, _ = told
        assert shop.verdict("1", check, condition)["value"].startswith(value)

    def test_two_piston_classes_are_shown_with_what_they_would_give(
        self, told: tuple[Shop, Played]
    ) -> None:
        _, played = told
        said = played("settings")
        assert re.search(r"piston class II +90 %", said)
        assert re.search(r"piston class I +84 %", said)
        assert said.index("class II ") < said.index("class I ")

    def test_the_first_start_is_free_before_it_is_made(self, told: tuple[Shop, Played]) -> None:
        _, played = told
        assert played("prestart").startswith("nothing forbids the first start")

    def test_nothing_is_asked_twice(self, told: tuple[Shop, Played]) -> None:
        _, played = told
        answered: list[str] = []
        counts: list[str] = []
        for line, answer in played.answers:
            asked = re.findall(r"next   measure (.+?)(?:, as found)?$", answer, re.MULTILINE)
            assert not set(asked) & set(answered), line
            answered += re.findall(r"^  (\S[^,]*?(?:, as f\w+)?)  ", answer, re.MULTILINE)
            counts += re.findall(r"^  (\S[\w -]+: not counted \w+)", answer, re.MULTILINE)
        assert len(counts) == len(set(counts))

    def test_nothing_stopped_it(self, told: tuple[Shop, Played]) -> None:
        _, played = told
        assert "STOP" not in played.output
        assert "BEYOND" not in played.output

    def test_the_job_is_closed_and_nothing_is_left(self, told: tuple[Shop, Played]) -> None:
        shop, _ = told
        view = shop.json("job", "show", "1")
        assert view["handed_over"] == "started"
        assert view["stops"] == view["asks"] == view["counts"] == []
        assert set(shop.states("1").values()) == {"done"}

    def test_it_is_due_again_by_hours_and_by_drop(self, told: tuple[Shop, Played]) -> None:
        shop, _ = told
        shop("machine", "hours", "loan-3", "59.5 h")
        due = shop.json("due", "loan-3")
        left = {part["part"]: part["left_h"] for part in due["parts"]}
        assert left == pytest.approx({"piston": 58.5, "ring": 28.5})
        assert due["compression"]["word"] == "within"

    def test_the_next_job_begins_from_the_new_baseline(self, told: tuple[Shop, Played]) -> None:
        shop, _ = told
        shop("job", "open", "loan-3", "--scope", "ring")
        said = shop.say("2", "compression 9.6 bar")("compression 9.6 bar")
        assert "against 12.2 bar on CG-1" in said
        assert "−21.3 %" in said  # 9.6 / 12.2, by hand


def test_of_two_pistons_the_one_that_cannot_be_proven_is_undecided(shop: Shop) -> None:
    shop.open("loan-3", "f-230")
    shop.say("1", "bore H1X 65.016 H1Y 65.021 H3X 65.010 H3Y 65.012", "renew piston class I")
    shop.say("1", "new skirt 64.944")
    tight = shop.verdict("1", "piston to barrel", "as fitted")
    # 0.077 ± 0.006 against 0.080: the upper end cannot be shown to be within
    assert (tight["word"], tight["value"][:14]) == ("undecided", "0.066 to 0.077")
    assert tight["todo"], "an undecided never stands alone"
    shop.say("1", "undo", "renew piston class II", "new skirt 64.953")
    assert shop.verdict("1", "piston to barrel", "as fitted")["word"] == "within"


# -- S5: inches by message ---------------------------------------------------------------------


def test_what_cannot_be_millimetres_is_asked_and_not_kept(story: Story) -> None:
    shop, played = story("s5")
    first = ["old gap bottom .014", "squish EX .047", "bore H3X 2.5591", "skirt 2.5568"]
    assert played.not_kept()[:4] == first
    for line in first:
        assert re.search(r"Did you mean [\d.]+ in\b", played(line))
        assert "Nothing kept." in played(line)
    kept = [i for e in shop.kept("1") for i in e.get("body", {}).get("indications", [])]
    assert ("0.014", "mm") not in {(i["number"], i["unit"]) for i in kept}
    assert {i["unit"] for i in kept} == {"in", "psi"}


def test_a_compression_of_170_is_psi_and_never_bar(story: Story) -> None:
    shop, played = story("s5")
    assert "compression 170 bar" in played.not_kept()
    assert shop.verdict("1", "cranking compression")["value"] == "170 psi"


def test_compression_on_a_strange_gauge_is_not_comparable(story: Story) -> None:
    shop, _ = story("s5")
    assert shop.words("1")["cranking compression", "as found"] == "not comparable"


@pytest.mark.parametrize(
    ("check", "condition", "inches", "millimetres"),
    [
        ("ring end gap", "as found", "0.0140 in", 0.356),
        ("squish", "as fitted", "0.0470 in", 1.194),
        ("bore", "as found", "2.5591 in", 65.001),
        ("piston to barrel", "as found", "0.0023 in", 0.058),
    ],
)
def test_inches_are_shown_as_inches_and_judged_right(
    story: Story, check: str, condition: str, inches: str, millimetres: float
) -> None:
    shop, _ = story("s5")
    line = shop.verdict("1", check, condition)
    assert line["value"].startswith(inches)
    assert line["word"] == "within"
    shown = float(line["value"].split()[0]) * 25.4  # exact, NIST SP 811:2008 B.8
    digit_of_the_story = 0.0015
    assert shown == pytest.approx(millimetres, abs=digit_of_the_story)


def test_a_torque_without_its_unit_is_always_asked(story: Story) -> None:
    _, played = story("s5")
    assert {"head 18", "base 30"} <= set(played.not_kept())
    assert "18 N·m (13.3 lbf·ft) or 18 lbf·ft (24.4 N·m)?" in played("head 18")
    assert "30 N·m (22.1 lbf·ft) or 30 lbf·ft (40.7 N·m)?" in played("base 30")
    assert "The sheet says 30 N·m" in played("base 30")


def test_a_nut_pulled_in_the_wrong_unit_is_let_off_and_begun_again(story: Story) -> None:
    _, played = story("s5")
    said = played("base nuts 30 ft-lb ok")
    assert "got 40.7 N·m (+36 %): let all off in steps" in said
    assert "got" not in played("head nuts 18 ft-lb ok")
    assert "got" not in played("base nuts set 9 N·m ok")
    assert "stage 2 of 4" in played("base nuts set 9 N·m ok")


# -- S6: the mislaid dowel ---------------------------------------------------------------------


def test_the_next_person_sees_what_is_missing_and_who_counted(story: Story) -> None:
    _, played = story("s6")
    assert "dowel: 1 of 2 off: find it (counted by Ada, 2026-06-03 19:00)" in played("where")


def test_a_new_dowel_does_not_close_the_count(shop: Shop) -> None:
    shop.open("loan-3", "f-230")
    shop.say("1", "done due", "done get", "done strip", "washers off 5", "clips off 2", "rag on 1")
    shop.say("1", "dowels off 1", "renew dowel 1", "dowels on 2")
    states = shop.states("1")
    assert states["all accounted for"] == "waits"
    assert states["parts cleaned"] == "waits"
    count = [o for o in shop.json("prestart", "1") if o["what"].startswith("dowel")]
    assert [(o["what"], o["never_signed"]) for o in count] == [("dowel: 1 of 2 off: find it", True)]


@pytest.mark.parametrize("hold", ["all accounted for", "ready to build"])
def test_a_lost_dowel_cannot_be_signed_away(story: Story, hold: str) -> None:
    _, played = story("s6")
    assert "Nobody can sign that away" in played(f"sign {hold} because a new dowel costs little")


def test_the_old_dowel_found_opens_the_gate_and_has_the_crank_turned(story: Story) -> None:
    shop, played = story("s6")
    assert "added to the work: crank turned twice" in played(
        "found dowel in the transfer recess, resting on the web"
    )
    states = shop.states("1")
    assert states["all accounted for"] == "done"
    assert states["crank turned twice"] != "done"
    board = {item["name"]: item for item in shop.json("plan", "1")}
    assert "crank turned twice" in board["ring into the barrel"]["waits_for"]
    log = shop("at", "1", "--from", str(_lines(shop, "log")))
    assert re.search(r"2026-06-03 19:00  Ada +dowel off 1", log)
    assert re.search(r"2026-06-05 20:30  Ben +found: 1 × dowel, in the transfer recess", log)


def _lines(shop: Shop, *lines: str) -> Path:
    file = shop.folder / "look.lines"
    file.write_text("\n".join(lines), encoding="utf-8")
    return file


# -- S8: the adapter, set twice wrong ----------------------------------------------------------


def test_what_each_nut_got_is_worked_out_with_its_own_geometry(story: Story) -> None:
    _, played = story("s8")
    said = played("base nuts 2 3 set 30 N·m adapter 50 mm at 0 ok")
    assert "number 1, 4 got 25.7 N·m (−14 %)" in said
    assert "number 2, 3 got 35.0 N·m (+17 %)" in said
    assert "let all off in steps, look at threads and gasket, begin again" in said


def test_square_to_the_wrench_needs_no_correction_and_in_line_does(story: Story) -> None:
    _, played = story("s8")
    square, in_line = (
        played("base nuts adapter 50 mm at 90"),
        played("base nuts adapter 50 mm at 0"),
    )
    assert "square to the wrench: no correction" in square
    assert re.search(r"100 % +set 30\.0 N·m", square)
    assert re.search(r"100 % +set 25\.7 N·m", in_line)


def test_let_off_and_pulled_again_it_is_tight(story: Story) -> None:
    shop, played = story("s8")
    assert "all stages done" in played("base nuts 2 3 adapter 50 mm at 0 ok", nth=-1)
    assert not [o for o in shop.json("prestart", "1") if "barrel nuts" in o["what"]]


def test_each_nut_is_logged_with_its_setting_and_geometry(story: Story) -> None:
    shop, _ = story("s8")
    last = {
        (e["body"]["position"], e["body"]["stage"]): e["body"]
        for e in shop.kept("1")
        if e.get("kind") == "fastener-pulled/1"
    }
    final = {p: (last[p, 3]["setting"], last[p, 3]["angle"]) for p in (1, 2, 3, 4)}
    assert final == {
        # places of an even ring, clockwise from the exhaust: the front ones are the first and the last
        1: ("30.0 N·m", "90 deg"), 4: ("30.0 N·m", "90 deg"),
        2: ("25.7 N·m", "0 deg"), 3: ("25.7 N·m", "0 deg"),
    }  # fmt: skip


def test_which_nut_stands_how_is_asked_where_they_differ(story: Story) -> None:
    _, played = story("s8")
    assert "number 1, 4 had the adapter of 50 mm at 90 deg before" in played("base nuts ok")
    assert "Nothing kept." in played("base nuts ok")


def test_folded_back_it_is_set_higher_and_a_small_torque_is_refused(story: Story) -> None:
    _, played = story("s8")
    # 22 N·m x 300 / 250, by hand
    assert "set 26.4 N·m" in played("stay bolts with TW-1 adapter 50 mm at 180")
    assert "8 N·m is off its scale" in played("drain screw with TW-1 ok")


def test_about_eighty_degrees_set_as_if_square_is_accepted(shop: Shop) -> None:
    shop.open("loan-3", "f-230")
    pull = "base nuts with TW-1 adapter 50 mm at about 80 set 30 N·m stage {} ok"
    said = shop.say("1", "base nuts with TW-1 ok", "base nuts ok", pull.format(3), pull.format(4))
    assert said.code == 0  # each nut got 30.9 N·m, 3 % above
    assert not [o for o in shop.json("prestart", "1") if "barrel nuts" in o["what"]]


# -- X4, X7, X9, X10 ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value", "off"), [("x4", "1.31", "+0.11"), ("x4-other", "1.09", "−0.11")]
)
def test_exchanged_gaskets_differ_from_plan_though_both_are_allowed(
    story: Story, name: str, value: str, off: str
) -> None:
    shop, _ = story(name)
    squish = shop.verdict("1", "squish", "as fitted")
    assert squish["value"].startswith(f"{value} mm")
    assert squish["word"] == "within"
    assert squish["plan"] == f"differs from plan: {off} mm against 1.20 mm"
    assert [v["check"] for v in shop.json("job", "show", "1")["asks"]] == ["squish"]


def test_a_clip_sideways_and_a_piston_turned_shut_the_gate(story: Story) -> None:
    _, played = story("x7")
    said = played("where")
    assert "STOP  clip gap sideways" in said
    assert "STOP  piston arrow wrong way" in said
    assert "can never be signed away" in played("sign clip gap sideways because it will do")
    assert "stays shut while a stop stands" in played("sign clips and arrow because it will do")
    assert re.search(r"stop +clip gap sideways.*never be signed away", played("prestart"))


def test_turned_round_with_new_clips_it_goes_on(story: Story) -> None:
    shop, played = story("x7")
    assert "no longer stopped by: piston arrow wrong way" in played("arrow right")
    assert "no longer stopped by: clip gap sideways" in played("clips seated")
    assert shop.json("job", "show", "1")["stops"] == []


def test_two_who_both_claim_a_stage_have_it_repeated(story: Story) -> None:
    shop, played = story("x9")
    said = played("base nuts stage 3 ok")
    assert "stage 3 begins again: Ada and Ben both say they pulled number 1" in said
    assert "stage 3 of 4, 0 of 4 pulled" in played("base nuts")
    assert "all stages done" in played("base nuts ok", nth=-1)
    assert not [o for o in shop.json("prestart", "1") if "barrel nuts" in o["what"]]


def test_a_ring_of_another_height_holds_the_build_until_one_rolls(story: Story) -> None:
    shop, played = story("x10")
    assert "BEYOND" in played("ring in groove does not roll")
    assert "STOP  ring in groove: The ring does not roll freely" in played("where")
    assert "STOP" not in played("where", nth=1)
    assert shop.words("1")["ring in groove", "as fitted"] == "within"
