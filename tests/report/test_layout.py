"""A screen is never overrun, nothing is lost in folding, and what is piped stays as it is."""

from collections.abc import Callable

import pytest

from ringland.job.case import Case
from ringland.report.layout import columns, flow, fold
from ringland.report.text import (
    board_text,
    job_text,
    parts_text,
    prestart_text,
    settings_text,
)
from ringland.report.view import (
    OpenLine,
    board,
    job_view,
    parts_view,
    prestart_view,
    settings_view,
)
from tests.report.shed import Shed

LOOKS: dict[str, Callable[[Case, int], str]] = {
    "job": lambda case, width: job_text(job_view(case, "1"), width=width),
    "board": lambda case, width: board_text(board(case), width=width),
    "settings": lambda case, width: settings_text(settings_view(case), width=width),
    "parts": lambda case, width: parts_text(parts_view(case.parts), width=width),
    "prestart": lambda case, width: prestart_text(prestart_view(case), width=width),
}


def case_of(shed: Shed) -> Case:
    return shed.bench.case(shed.job)


@pytest.mark.parametrize("width", [46, 80, 132])
@pytest.mark.parametrize("look", LOOKS)
def test_no_line_is_wider_than_the_screen(whole: Shed, look: str, width: int) -> None:
    lines = fold(LOOKS[look](case_of(whole), width), width)
    assert [line for line in lines if len(line) > width] == []


@pytest.mark.parametrize("look", ["job", "settings", "parts", "prestart"])
def test_folding_loses_no_word(whole: Shed, look: str) -> None:
    piped, folded = (
        LOOKS[look](case_of(whole), 0),
        "\n".join(fold(LOOKS[look](case_of(whole), 46), 46)),
    )
    assert sorted(folded.split()) == sorted(piped.split())


def test_on_a_narrow_screen_the_verdict_stands_before_its_value_and_what_to_do_below(
    whole: Shed,
) -> None:
    lines = board_text(board(case_of(whole)), width=80).splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("bore "))
    word = next(line.word for line in board(case_of(whole)) if line.check == "bore")
    assert lines[at].split("  ")[-1].strip() != word
    assert word.casefold() in lines[at].casefold()
    piped = board_text(board(case_of(whole))).splitlines()
    assert sum(line.startswith("bore ") for line in piped) == 1


def open_lines(count: int) -> list[OpenLine]:
    return [
        OpenLine("stop", "metal specks: Metal on the plug.", "", True),
        *(OpenLine("step", f"step {n}: not done", "do it", False) for n in range(count)),
        OpenLine("torque", "head nuts: number 2 moved 41°", "look", True),
    ]


def test_much_that_is_open_alike_is_one_line_and_what_is_unlike_stands_by_itself() -> None:
    said = prestart_text(open_lines(20))
    assert "20 not done: step 0, step 1, step 2, step 3 ..." in said
    assert "number 2 moved 41°" in said
    assert said.splitlines()[1].startswith("  stop ")
    assert "each of them: prestart -a" in said
    assert len(said.splitlines()) < 10


def test_little_that_is_open_or_all_when_asked_for_is_told_in_full() -> None:
    for said in (prestart_text(open_lines(5)), prestart_text(open_lines(20), everything=True)):
        assert "step 4: not done" in said
        assert "prestart -a" not in said


def test_a_cell_too_long_for_the_screen_is_folded_in_its_column() -> None:
    assert columns([["clip", "a used one has lost its spring"]], width=32) == [
        "  clip  a used one has lost its",
        "        spring",
    ]


def test_an_example_is_never_broken_over_two_lines() -> None:
    lines = list(flow("  look  ", ("bore H1X 53.214", "gap .29 goes"), 30))
    assert lines == ["  look  bore H1X 53.214", "        gap .29 goes"]
