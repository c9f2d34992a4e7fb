"""Typed words become a reading, a question or a refusal; what is asked about is never kept."""

import pytest

from ringland.bench.bench import Bench, Outcome
from ringland.bench.lines import Prompt
from ringland.bench.refusal import Asked, Refused
from ringland.job.log.entries import ReadingTaken


def kept(prompt: Prompt, line: str) -> list[tuple[str, str, str, str]]:
    """Say a line; return place, evidence, number and unit of each indication that was kept."""
    before = len(prompt.bench.entries("1"))
    prompt.say(line)
    new = [entry.fact for entry in prompt.bench.entries("1")[before:]]
    return [
        (fact.place, i.evidence, i.number, i.unit)
        for fact in new
        if isinstance(fact, ReadingTaken)
        for i in fact.indications
    ]


@pytest.mark.parametrize(
    ("line", "indications"),
    [
        ("bore H1X 65.016", [("H1-X", "value", "65.016", "mm")]),
        ("bore H1-X 65,016", [("H1-X", "value", "65.016", "mm")]),
        ("bore h1x: 65.016 mm", [("H1-X", "value", "65.016", "mm")]),
        ("bore H1X +.016", [("H1-X", "value", "65.016", "mm")]),  # from the size it is set to
        ("bore H1X -.005", [("H1-X", "value", "64.995", "mm")]),
        ("bore H1X 2.5597 in", [("H1-X", "value", "2.5597", "in")]),
        ("bore H1X 65.016 H1Y 65.021",
         [("H1-X", "value", "65.016", "mm"), ("H1-Y", "value", "65.021", "mm")]),
        ("bore H2Y port", [("H2-Y", "not measurable", "", "")]),
        ("bore H2Y not measurable here", [("H2-Y", "not measurable", "", "")]),
        ("bore H3X not taken", [("H3-X", "not taken", "", "")]),
        ("gap bottom .30 goes", [("bottom", "goes", "0.30", "mm")]),
        ("gap bottom .30 goes .35 stops",
         [("bottom", "goes", "0.30", "mm"), ("bottom", "stops", "0.35", "mm")]),
        ("gap bottom .30 goes, .35 doesn't",
         [("bottom", "goes", "0.30", "mm"), ("bottom", "stops", "0.35", "mm")]),
        ("big end not sure", [("", "not sure", "", "")]),
        ("big end click", [("", "bad", "", "")]),
        ("squish ex 1.24 in 1.16",
         [("EX", "value", "1.24", "mm"), ("IN", "value", "1.16", "mm")]),
        ("squish EX .049 in IN .046 in",
         [("EX", "value", "0.049", "in"), ("IN", "value", "0.046", "in")]),
        ("comp 170", [("", "value", "170", "psi")]),
        ("comp 11.7", [("", "value", "11.7", "bar")]),
    ],
)  # fmt: skip
def test_a_line_is_read_as_it_is_meant(
    prompt: Prompt, line: str, indications: list[tuple[str, str, str, str]]
) -> None:
    assert kept(prompt, line) == indications


@pytest.mark.parametrize(
    ("line", "likely"),
    [
        ("gap bottom .014", "0.014 in"),  # cannot be millimetres
        ("gap bottom 3.1", "0.31 mm"),  # a factor of ten
        ("bore H1X 2.5591", "2.5591 in"),
        ("bore H1X 650.16", "65.016 mm"),
        ("comp 170 bar", "170 psi"),
        ("gap bottom .33", "0.35 mm"),  # no leaf is that thick, nor a sum of them
    ],
)
def test_a_likely_slip_is_asked_with_what_was_meant(prompt: Prompt, line: str, likely: str) -> None:
    before = prompt.bench.entries("1")
    with pytest.raises(Asked, match="Nothing kept") as asked:
        prompt.say(line)
    assert likely in {offer.text for offer in asked.value.offers}
    assert prompt.bench.entries("1") == before


def test_a_place_far_from_its_neighbours_is_asked(prompt: Prompt) -> None:
    prompt.say("bore H1X 65.008 H1Y 65.011 H2X 65.009")
    with pytest.raises(Asked, match=r"H3-X 65\.21 mm: is that right\?") as asked:
        prompt.say("bore H3X 65.21")
    assert "65.008 to 65.011" in asked.value.question


def test_swapped_digits_are_offered_the_right_way_round(prompt: Prompt) -> None:
    prompt.say("bore H1X 65.016 H1Y 65.021")
    with pytest.raises(Asked) as asked:
        prompt.say("bore H2X 65.206")
    assert "65.026 mm" in {offer.text for offer in asked.value.offers}


def test_a_person_can_insist_and_the_question_is_kept(prompt: Prompt) -> None:
    prompt.say("gap bottom .014 mm !")
    fact = prompt.bench.entries("1")[-1].fact
    assert isinstance(fact, ReadingTaken)
    assert fact.insisted.startswith("0.014 mm for ring end gap: is that right?")
    with pytest.raises(Asked):
        prompt.say("gap top .014 mm")  # insisting holds for one line


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("bore 65.016", "say where: H1-X, H1-Y"),
        ("bore H4X 65.016", "H4X is no place here; places: H1-X"),
        ("bore H1X", "nothing to keep"),
        ("bore H1X 65.016 N·m", "torque"),
        ("gap bottom .30 bar", "pressure"),
        ("gap bottom goes", "follows a leaf"),
        ("gap bottom tight", "'tight' is not understood here"),
        ("gap bottom 0 mm", "a blank is not zero"),
        ("out-of-round .01", "worked out from bore"),
        ("boer H1X 65.016", "Did you mean 'bore H1X 65.016'?"),
        ("turns freely", "nothing to keep"),
    ],
)
def test_what_cannot_be_a_reading_says_why_and_keeps_nothing(
    prompt: Prompt, line: str, said: str
) -> None:
    before = prompt.bench.entries("1")
    with pytest.raises((Refused, Asked), match=said):
        prompt.say(line)
    assert prompt.bench.entries("1") == before


def test_of_several_values_in_a_line_one_slip_keeps_none(prompt: Prompt) -> None:
    before = prompt.bench.entries("1")
    with pytest.raises(Asked):
        prompt.say("bore H1X 65.016 H1Y 6.5021")
    assert prompt.bench.entries("1") == before


def test_the_gauge_is_the_only_one_of_its_kind_or_the_last_named(prompt: Prompt) -> None:
    prompt.say("bore H1X 65.016")
    prompt.say("gauge none")
    prompt.say("bore H1Y 65.021")
    gauges = [e.fact.gauge for e in prompt.bench.entries("1") if isinstance(e.fact, ReadingTaken)]
    assert gauges == ["BG-1", ""]


def test_a_decimal_comma_is_read_in_the_gauges_unit_though_the_sheet_is_in_inches(
    prompt: Prompt,
) -> None:
    prompt.say("figure bore 2.5591 in, max 2.5610 in because the manual gives inches")
    assert kept(prompt, "bore H1X 65,016") == [("H1-X", "value", "65.016", "mm")]


def test_a_unit_said_once_stays_in_use(prompt: Prompt) -> None:
    prompt.say("unit in")
    assert kept(prompt, "bore H1X 2.5597") == [("H1-X", "value", "2.5597", "in")]
    assert kept(prompt, "bore H1Y 65.021 mm") == [("H1-Y", "value", "65.021", "mm")]
    with pytest.raises(Asked, match="Did you mean"):
        prompt.say("bore H2X 65.021")  # in inches that is a barrel of a metre and a half


def test_a_reading_is_of_the_new_part_once_one_is_in_hand(prompt: Prompt) -> None:
    prompt.say("gap bottom .55")
    prompt.say("renew ring")
    prompt.say("gap bottom .30")
    prompt.say("old gap top .60")
    conditions = [
        (e.fact.place, e.fact.condition)
        for e in prompt.bench.entries("1")
        if isinstance(e.fact, ReadingTaken)
    ]
    assert conditions == [("bottom", "as found"), ("bottom", "as fitted"), ("top", "as found")]


def test_a_gauge_used_is_known_to_the_job_as_it_was_then(bench: Bench, prompt: Prompt) -> None:
    from dataclasses import replace

    from ringland.bench.opening import add_gauge

    prompt.say("bore H1X 65.016")
    add_gauge(bench, replace(bench.shelf().gauges["BG-1"], permissible_error="20 µm"))
    assert bench.state("1").gauges["BG-1"].permissible_error == ""
    prompt.say("bore H1Y 65.021")
    assert bench.state("1").gauges["BG-1"].permissible_error == "20 µm"


def test_a_gauge_may_be_named_for_one_line_alone(prompt: Prompt) -> None:
    readings = [
        fact
        for line in (
            "skirt 64.95 with a borrowed micrometer",
            "skirt 64.95",
            "skirt 64.95 with MM-1",
        )
        for fact in facts_of(prompt, line)
    ]
    assert [(fact.gauge, fact.remark) for fact in readings] == [
        ("", "a borrowed micrometer"),
        ("MM-1", ""),
        ("MM-1", ""),
    ]


def facts_of(prompt: Prompt, line: str) -> list[ReadingTaken]:
    outcome = prompt.say(line)
    assert isinstance(outcome, Outcome)
    return [e.fact for e in outcome.entries if isinstance(e.fact, ReadingTaken)]
