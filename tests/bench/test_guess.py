"""A line that is not understood is answered with lines that are, and nothing is kept."""

import pytest

from ringland.bench.guess import guesses, seen
from ringland.bench.lines import VERBS
from ringland.bench.sheets import common_sheets
from ringland.sheet.load import load_common

SHEET = load_common(common_sheets()["two-stroke-single"], "two-stroke-single.yaml").sheet


def guess(line: str) -> list[str]:
    return guesses(SHEET, line.split(), tuple(VERBS))


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("plug specks", "specks plug"),
        ("piston scored", "score piston"),
        ("plug black", "plug wet and black"),
        ("53.24 bore H1X", "bore H1X 53.24"),
        ("H1X bore 53.24", "bore H1X 53.24"),
        ("0.31 gap bottom", "gap bottom 0.31"),
        ("strip done", "done strip"),
        ("ok barrel nuts", "torque barrel nuts ok"),
        ("off 2 dowels", "dowel off 2"),
        ("compresion 9.6 bar", "compression 9.6 bar"),
        ("prestat", "prestart"),
        ("nuts", "barrel nuts"),
    ],
)
def test_the_first_guess_is_the_line_that_was_meant(line: str, meant: str) -> None:
    assert guess(line)[0] == meant


def test_a_count_without_its_side_is_offered_for_both() -> None:
    assert {"dowel off 2", "dowel on 2"} <= set(guess("dowels 2"))


@pytest.mark.parametrize("line", ["carbon on the crown", "foo bar baz", "frobnicate", "zz"])
def test_nothing_is_guessed_from_words_that_only_begin_alike(line: str) -> None:
    assert guess(line) == []


def test_a_line_is_never_answered_with_itself() -> None:
    assert "piston ring stuck" not in guess("piston ring stuck")


def test_of_a_group_of_fasteners_only_what_was_seen_is_guessed() -> None:
    assert seen(SHEET, ["plug", "specks"], 1) == ["specks plug"]
    assert seen(SHEET, ["drain", "screw", "ok"], 2) == []
