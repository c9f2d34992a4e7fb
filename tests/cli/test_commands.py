"""The commands of a job: each is one line of the bench typed from a shell; each look has its JSON."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from ringland.cli import COMMANDS, main
from tests.stories.shop import Shop

LOOKS = ("plan", "verdicts", "parts", "settings", "prestart")


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """Return a shop in which the plain story was played; only looked at here."""
    shop = Shop(tmp_path_factory.mktemp("played"))
    shop.open("loan-3", "f-230", hours="58 h", baseline="12.4 bar", baseline_gauge="CG-1")
    shop.play("1", "s1")
    return shop


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    made = Shop(tmp_path)
    made.open("loan-3", "f-230", hours="58 h")
    return made


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_explains_itself(name: str) -> None:
    said = CliRunner().invoke(main, [name, "--help"])
    assert said.exit_code == 0, said.output
    assert "Usage: " in said.output


@pytest.mark.parametrize("look", LOOKS)
def test_a_look_is_told_for_a_person_and_for_a_program(played: Shop, look: str) -> None:
    assert played(look, "1").strip()
    assert isinstance(played.json(look, "1"), list | dict)


@pytest.mark.parametrize(
    "command",
    ["job list", "job show 1", "machine list", "machine show loan-3", "gauge list", "due loan-3",
     "due 1"],
)  # fmt: skip
def test_lists_have_their_json(played: Shop, command: str) -> None:
    assert played.json(*command.split())


def test_text_and_json_name_the_same_verdicts(played: Shop) -> None:
    board, text = played.json("verdicts", "1"), played("verdicts", "1")
    for line in board:
        row = next(r for r in text.splitlines() if r.startswith(_name(line)))
        assert line["value"] in row
        assert line["word"].casefold() in row.casefold()


def _name(line: dict[str, str]) -> str:
    return line["check"] + (", as fitted" if line["condition"] == "as fitted" else "  ")


def test_a_job_is_found_by_its_number_and_by_its_machine(played: Shop) -> None:
    assert played("job", "show", "1") == played("job", "show", "loan-3")


def test_opening_a_job_tells_what_to_get_before_the_strip(shop: Shop) -> None:
    said = shop("job", "open", "loan-3", "--scope", "ring")
    assert "What to get before the strip" in said
    assert "base gasket" in said
    assert said.rstrip().endswith("next   ringland at 2")


def test_measure_takes_gauge_place_temperature_part_and_remark(shop: Shop) -> None:
    shop("measure", "1", "bore", "65.016 mm", "--with", "BG-1", "--place", "H1-X", "--temp", "21 °C",
         "--remark", "after the wash")  # fmt: skip
    shop("measure", "1", "gap", "bottom", ".62", "--old")
    shop("measure", "1", "gap", "bottom", ".31", "--new")
    taken = [e["body"] for e in shop.kept("1") if e.get("kind") == "reading-taken/1"]
    bore = taken[0]
    assert (bore["gauge"], bore["place"], bore["temperature"]) == ("BG-1", "H1-X", "21 °C")
    assert bore["remark"] == "after the wash"
    assert [each["condition"] for each in taken[1:]] == ["as found", "as fitted"]


def test_a_negative_deviation_is_no_option(shop: Shop) -> None:
    said = shop("measure", "1", "bore", "H1X", "-.005")
    assert "64.995" in said


def test_insisting_keeps_what_was_asked_about(shop: Shop) -> None:
    command = ["measure", "1", "gap", "bottom", ".014", "mm"]
    assert shop.run(*command)[0] == 3
    assert "ring end gap  0.01 mm" in shop(*command, "--insist")


def test_each_act_is_a_command(shop: Shop) -> None:
    for command in (
        "note 1 rod blue", "count 1 dowels off 1", "found 1 dowel in the rag", "renew 1 clips",
        "decide 1 barrel reuse because good", "aside 1 washed because clean",
        "torque 1 base nuts with TW-1 ok", "expect 1 squish 1.20 mm", "done 1 engine cold",
        "cause 1 seized is cold start because seen", "overrule 1 bore keep because trail use",
        "sign 1 all measured because owner away", "figure 1 squish 1.05-1.40 mm because misread",
        "resolved 1 rod blue because a new rod is in", "safe 1", "hand-over 1 unstarted", "undo 1",
    ):  # fmt: skip
        assert "next   " in shop(*command.split()), command


def test_an_act_tells_a_program_what_it_changed(shop: Shop) -> None:
    change = shop.json("note", "1", "specks")
    assert change["kept"] == ["metal specks"]
    assert change["stops"][0].startswith("metal specks: ")
    assert change["next"]["name"]


def test_a_photo_belongs_to_its_step_and_travels_with_the_job(shop: Shop) -> None:
    file = shop.folder / "plug.jpg"
    file.write_bytes(b"\xff\xd8 a picture")
    shop("photo", "1", str(file), "--of", "plug out", "--side", "EX")
    lines = shop.kept("1")
    assert (
        next(e["body"] for e in lines if e.get("kind") == "photo-taken/1")["subject"] == "plug out"
    )
    assert [e["photo"] for e in lines if "photo" in e]


def test_exported_and_imported_elsewhere_it_is_the_same(played: Shop, tmp_path: Path) -> None:
    file = tmp_path / "job.jsonl"
    played("job", "export", "1", "-o", str(file))
    there = Shop(tmp_path, shelf=False)
    there("job", "import", str(file))
    for look in LOOKS:
        assert there.json(look, "1") == played.json(look, "1")
    assert played("job", "export", "1") == there("job", "export", "1") == file.read_text("utf-8")


def test_lines_may_come_from_standard_input(shop: Shop) -> None:
    said = CliRunner().invoke(
        main, ["at", "1"], input="specks\nwhere\n", env={"RINGLAND_STORE": str(shop.store)}
    )
    assert said.exit_code == 0
    assert "STOP  metal specks" in said.output


def test_the_person_is_named_by_option_variable_or_line(shop: Shop) -> None:
    shop("note", "1", "specks", "--by", "Ben")
    shop("note", "1", "loose nut")
    shop.say("1", "by Kim", "chewed screw")
    people = {
        e["body"]["finding"]: e["by"] for e in shop.kept("1") if "finding" in e.get("body", {})
    }
    assert people == {"metal specks": "Ben", "loose nut": "Ada", "chewed screw": "Kim"}


def test_the_log_is_one_short_line_each(played: Shop) -> None:
    file = played.folder / "look.lines"
    file.write_text("log", encoding="utf-8")
    lines = played("at", "1", "--from", str(file)).splitlines()[1:]
    exported = played("job", "export", "1").splitlines()
    gauges = sum('"gauge-used/1"' in line for line in exported)
    assert gauges > 0
    assert len(lines) == len(exported) - 1 - gauges
    assert any("with BG-1" in line and " mm " in line for line in lines)
    assert max(map(len, lines)) < 200


def test_behind_a_group_numbers_and_ok_are_enough_until_it_is_complete(shop: Shop) -> None:
    said = shop.say("1", "torque base nuts with TW-1", "1 ok", "2 ok, 3 ok", "specks", "4 ok")
    assert "number 1 pulled" in said("1 ok")
    assert "number 2, 3 pulled" in said("2 ok, 3 ok")
    assert "'4 ok' is not understood" in said("4 ok")
    said = shop.say("1", "base nuts with TW-1 ok", *["ok"] * 9)
    complete = next(i for i in range(9) if "all stages done" in said("ok", i))
    assert "'ok' is not understood" in said("ok", complete + 1)


def test_where_a_job_stands_tells_where_its_tightening_was_broken_off(shop: Shop) -> None:
    assert "base nuts" not in shop("job", "show", "1")
    shop.say("1", "torque base nuts with TW-1", "1 ok")
    assert "1 of 4 pulled; next number 2" in shop("job", "show", "1")


def test_the_list_of_jobs_says_in_words_how_each_stands(shop: Shop) -> None:
    shop.say("1", "specks", "hand over unstarted bottom end open")
    line = shop("job", "list").splitlines()[0]
    assert "1 stop" in line
    assert line.endswith("handed over, not started")
    row = shop.json("job", "list")[0]
    assert (row["stops"], row["state"]) == ("1", "unstarted")


def test_a_baseline_without_its_gauge_is_told_to_be_of_little_use(shop: Shop) -> None:
    said = shop("machine", "add", "red", "--baseline", "12 bar")
    assert "machine baseline red '12 bar' --gauge ID" in said
    assert "--gauge ID" not in shop("machine", "add", "blue")


def test_json_is_one_document_without_words_around_it(played: Shop) -> None:
    said = CliRunner().invoke(
        main, ["verdicts", "1", "--json"], env={"RINGLAND_STORE": str(played.store)}
    )
    assert json.loads(said.stdout)
