"""S10, overheated: cause, consequence and side effect in one record; typed at the real commands.

F-289, invented: head flat within 0.05, squish 1.15-1.60, cap 0.95-1.25 bar.
"""

from pathlib import Path

import pytest

from tests.stories.shop import Played, Shop


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Played]:
    shop = Shop(tmp_path_factory.mktemp("s10"))
    shop("gauge", "add", "CT-1", "cap tester")
    shop.open("hill-2", "f-289", baseline="13.1 bar", baseline_gauge="CG-1")
    return shop, shop.play("1", "s10")


def test_every_line_is_kept(story: tuple[Shop, Played]) -> None:
    _, played = story
    assert played.code == 0
    assert played.not_kept() == []


def test_one_line_of_the_straightedge_condemns_the_head(story: tuple[Shop, Played]) -> None:
    _, played = story
    line = next(typed for typed, _ in played.answers if "L3 .05 goes .08 stops" in typed)
    assert "0.05 to 0.08 mm  (max 0.05 mm)  BEYOND" in played(line)
    assert "added to the work: faces lapped" in played(line)


def test_lapped_it_is_read_again_and_within(story: tuple[Shop, Played]) -> None:
    shop, _ = story
    assert shop.verdict("1", "head flatness")["word"] == "within"


def test_the_cap_is_the_cause_and_is_renewed(story: tuple[Shop, Played]) -> None:
    shop, played = story
    assert "BEYOND" in played("cap opening 0.6 bar")
    assert shop.verdict("1", "cap opening", "as fitted")["word"] == "within"
    caps = [part for part in shop.json("parts", "1")["second"] if part["name"] == "radiator cap"]
    assert caps[0]["in_hand"]


def test_squish_at_its_limit_is_undecided_and_names_the_gasket(story: tuple[Shop, Played]) -> None:
    _, played = story
    told = played("squish EX 1.16 IN 1.12 IGN 1.14 CL 1.14")
    assert "1.14 mm ± 0.03  (1.15 to 1.60 mm)  undecided" in told
    assert "Another base gasket moves it and the ports with it" in told
    assert "DISAGREE" not in told, "0.06 mm were lapped off, and it fell by 0.06"


def test_a_gasket_one_step_thicker_brings_it_in(story: tuple[Shop, Played]) -> None:
    shop, _ = story
    squish = shop.verdict("1", "squish", "as fitted")
    assert (squish["word"], squish["measured"]["number"]) == ("within", pytest.approx(1.24))


def test_what_was_lapped_unsaid_would_have_been_found(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.open("hill-2", "f-289")
    shop.say("1", "old squish EX 1.22 IN 1.18 IGN 1.20 CL 1.20", "old gasket .40")
    told = shop.say("1", "renew base gasket 0.40 mm", "new squish EX 1.10 IN 1.06 IGN 1.08 CL 1.08")
    assert "the squish changed by −0.120 mm; gasket and face changed by 0.000 mm" in told.output
