"""What is asked for a scope, and what a bare, odd or ambiguous answer brings."""

from functools import cache
from pathlib import Path

import pytest

import ringland
from ringland.quantity import QuantityError
from ringland.sheet.asking import Choice, Doubt, Habits, Taken, questions_for, take
from ringland.sheet.figure import figure_text
from ringland.sheet.load import load_common
from ringland.sheet.model import SCOPES, Question, Sheet

COMMON_FILE = Path(ringland.__file__).parent / "sheet" / "common" / "two-stroke-single.yaml"
METRIC = Habits({"length": "mm"})


@cache
def sheet() -> Sheet:
    return load_common(COMMON_FILE.read_text(encoding="utf-8"), COMMON_FILE.name).sheet


def question(figure: str, *, limit: bool = False) -> Question:
    return next(q for q in sheet().questions if (q.figure, q.asks_limit) == (figure, limit))


def answer(
    figure: str, text: str, *, limit: bool = False, habits: Habits = METRIC
) -> Taken | Doubt:
    return take(sheet(), question(figure, limit=limit), text, habits=habits)


def taken(figure: str, text: str, *, limit: bool = False, habits: Habits = METRIC) -> str:
    found = answer(figure, text, limit=limit, habits=habits)
    assert isinstance(found, Taken), found
    return figure_text(found.figure)


def doubt(figure: str, text: str, *, limit: bool = False, habits: Habits = METRIC) -> Doubt:
    found = answer(figure, text, limit=limit, habits=habits)
    assert isinstance(found, Doubt), found
    return found


@pytest.mark.parametrize("scope", SCOPES)
def test_only_what_this_scope_and_engine_need_is_asked(scope: str) -> None:
    for each in questions_for(sheet(), scope):  # type: ignore[arg-type]  # one of the scopes
        assert scope in each.scopes
    bare = sheet().model_copy(update={"not_fitted": sheet().features})
    names = {q.figure for q in questions_for(bare, "full")}
    assert "power valve screws" in {q.figure for q in questions_for(sheet(), "full")}
    assert "power valve screws" not in names
    assert "bore" in names


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (".30-.38 mm", "0.30-0.38 mm"),
        ("0,30-0,38", "0.30-0.38 mm"),
        ("0.30-0.38, max 0.60 mm", "0.30-0.38 mm, max 0.60 mm"),
        ("12-15 thou", "12-15 thou"),
        ("0.004-0.0065 × bore", "0.004-0.0065 × bore"),
    ],
)
def test_a_plain_answer_is_taken_as_it_is_meant(text: str, kept: str) -> None:
    assert taken("ring end gap", text) == kept


def test_the_page_stays_with_the_answer() -> None:
    found = answer("ring end gap", ".30-.38 p 4-31")
    assert isinstance(found, Taken)
    assert found.page == "p 4-31"


def test_a_bare_number_for_a_limit_is_the_largest_or_where_it_shrinks_the_smallest() -> None:
    assert taken("ring end gap", "0.6", limit=True) == "max 0.6 mm"
    assert taken("piston skirt", "53.115", limit=True) == "min 53.115 mm"


def test_a_range_is_no_limit() -> None:
    with pytest.raises(QuantityError, match="one value is the limit"):
        answer("ring end gap", "0.3-0.6", limit=True)


def test_the_first_bare_length_is_confirmed_and_enter_confirms_it() -> None:
    first = doubt("bore", "53.2", habits=Habits())
    assert first.question == "mm?"
    assert first.chosen("") == first.chosen("y") == first.chosen("1") == first.choices[0]
    assert first.choices[0].text == "53.2 mm"


@pytest.mark.parametrize("habits", [Habits(), METRIC, Habits({"torque": "lbf·ft"})])
def test_a_bare_torque_is_always_asked_about_and_nothing_is_assumed(habits: Habits) -> None:
    asked = doubt("barrel nuts", "21", habits=habits)
    assert asked.enter is None
    assert {c.label for c in asked.choices} == {"21 lbf·ft (28.5 N·m)", "21 N·m (15.5 lbf·ft)"}
    assert asked.chosen("") is None
    for word in ("ft", "ft-lb", "lbf·ft"):
        chosen = asked.chosen(word)
        assert chosen is not None
        assert chosen.text == "21 lbf·ft"


def test_a_bare_torque_also_offers_the_unit_in_which_it_would_be_usual() -> None:
    assert "2.8 kgf·m" in {c.text for c in doubt("barrel nuts", "2.8").choices}
    assert "250 lbf·in" in {c.text for c in doubt("barrel nuts", "250").choices}


def test_count_thread_order_and_page_survive_the_question_about_the_unit() -> None:
    asked = doubt("barrel nuts", "4 × M8, 21, crosswise @ p 4-40")
    chosen = asked.chosen("ft")
    assert chosen is not None
    found = answer("barrel nuts", chosen.text)
    assert isinstance(found, Taken)
    assert (figure_text(found.figure), found.page) == ("21 lbf·ft", "p 4-40")
    assert found.fastener == {"count": "4", "thread": "M8", "order": "crosswise"}


def test_a_bare_length_that_fits_another_unit_only_is_asked_about() -> None:
    asked = doubt("ring end gap", "12-15")
    assert [c.text for c in asked.choices] == ["12-15 thou", "12-15 mm"]
    assert asked.enter == asked.choices[0]
    assert doubt("bore", "2.1").choices[0].label == "2.1 in (53.340 mm)"


@pytest.mark.parametrize(
    ("figure", "text", "likely"),
    [
        ("bore", "5.32 mm", "53.2 mm"),
        ("barrel nuts", "210 N·m", "21.0 N·m"),
        ("ring end gap", "3.5 mm", "0.35 mm"),
        ("squish", "0.045 mm", "0.045 in"),
    ],
)
def test_a_figure_outside_its_band_is_asked_about_with_what_was_likely_meant(
    figure: str, text: str, likely: str
) -> None:
    asked = doubt(figure, text)
    assert "lies outside what is usual" in asked.question
    assert "keep" not in asked.question, "how to insist is the shell's to say"
    assert likely in {c.text for c in asked.choices}
    assert asked.enter is None
    keep = asked.chosen("keep")
    assert keep is not None
    insisted = take(sheet(), question(figure), keep.text, habits=METRIC, insist=keep.insist)
    assert isinstance(insisted, Taken)


def test_a_thousands_mark_is_asked_about_until_the_person_has_shown_what_it_is() -> None:
    asked = doubt("bore", "53,200")
    assert asked.question == "53,200: 53.200 or 53200?"
    assert asked.choices[0] == Choice("53.200", "53.200", "53.200", decimal_comma=True)
    shown = Habits({"length": "mm"}, comma_is_decimal=True)
    assert taken("bore", "53,200", habits=shown) == "53.200 mm"


@pytest.mark.parametrize("text", ["abc", "0.38-0.30 mm", "0.3 bar", ">= 0.3 mm", "0.3 mm, 0.4 mm"])
def test_what_is_no_figure_is_refused_with_its_reason(text: str) -> None:
    with pytest.raises(QuantityError):
        answer("ring end gap", text)


def test_a_group_without_any_torque_says_so() -> None:
    with pytest.raises(QuantityError, match="no torque in '4 × M8, crosswise'"):
        answer("barrel nuts", "4 × M8, crosswise")
