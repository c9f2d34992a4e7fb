"""Causes in a job: what counts as evidence, what ranks first, and what a damage holds up."""

from dataclasses import replace

import pytest

from ringland.gas.causes_table import DAMAGES, EVIDENCE
from ringland.job.causes import WHOLE_ENGINE, causes_of
from ringland.job.evidence import BY_WORD, FINDINGS, LEVELS, evidence_of
from ringland.job.holds import open_at
from ringland.job.log.entries import (
    Baseline,
    CauseNamed,
    Fact,
    FindingNoted,
    Gauge,
    PartsCounted,
    ReadingTaken,
    StepDone,
)
from ringland.report.causes import TO_LOOK_AT, causes_text, causes_view
from tests.job.making import FEELER, bore, felt, read
from tests.job.tarrow import BASELINE, CRANKING, LOW, opened, tarrow

SHEET = tarrow().book.sheet
# damages that the table of causes does not know: a picture elsewhere than on the piston
ELSEWHERE = {"needle missing", "overheated", "rod blue"}


def compression(value: str, gauge: Gauge = CRANKING) -> ReadingTaken:
    return read("cranking compression", value, gauge=gauge)


def leak(*values: str, how: tuple[str, ...] = (), bad: bool = False) -> ReadingTaken:
    evidence = [felt("bad")] if bad else []
    return replace(read("crankcase leak", *values, *evidence, gauge=LOW), how=how)


# -- names ---------------------------------------------------------------------------------------


def test_every_finding_and_check_that_is_evidence_is_in_the_common_sheet() -> None:
    assert set(FINDINGS) <= set(SHEET.findings)
    assert set(BY_WORD) <= set(SHEET.checks)


def test_every_word_of_evidence_is_in_the_table() -> None:
    facts = [fact for each in FINDINGS.values() for fact in each]
    facts += [fact for pair in BY_WORD.values() for fact in pair if fact]
    facts += [("compression", word) for word in LEVELS.values()]
    for thing, value in facts:
        assert value in EVIDENCE[thing], (thing, value)


def test_the_sheet_and_the_table_hold_the_same_damages() -> None:
    pictures = {
        next((value for thing, value in FINDINGS.get(name, ()) if thing == "piston"), name)
        for name, finding in SHEET.findings.items()
        if finding.brings.needs_cause and name not in ELSEWHERE
    }
    assert pictures == set(DAMAGES)
    for name in ELSEWHERE:
        assert SHEET.findings[name].brings.needs_cause


# -- evidence ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("facts", "evidence"),
    [
        ([compression("12.5 bar")], ("compression", "near baseline")),
        ([compression("11.2 bar")], ("compression", "noted drop")),
        ([compression("10.5 bar")], ("compression", "planned drop")),
        ([compression("9.0 bar")], ("compression", "stop drop")),
        ([compression("9.0 bar", Gauge("HG", "compression gauge"))], ("compression", "not comparable")),
        ([leak("0.40 bar", "0.39 bar", "6 min")], ("leak test", "passes")),
        ([leak("0.40 bar", "0.22 bar", "6 min")], ("leak test", "fails")),
        ([leak("0.40 bar", "0.40 bar", "6 min", how=("bubbles at base joint",), bad=True)],
         ("bubbles", "base joint")),
        ([replace(read("leak-down", "40 %"), how=("air past the ring",))],
         ("leak-down", "air past the ring")),
        ([read("leak-down", "4 %")], ("leak-down", "little")),
        ([compression("10.0 bar"), read("wet compression", "10.1 bar", gauge=CRANKING)],
         ("wet compression", "no rise")),
        ([compression("10.0 bar"), read("wet compression", "15.5 bar", gauge=CRANKING)],
         ("wet compression", "big rise")),
        ([FindingNoted("coolant clean patch")], ("piston", "steam-clean patch")),
        ([FindingNoted("lean jetting")], ("fuel", "jetted lean")),
        (bore(H1X="53.262", H1Y="53.262"), ("bore", "beyond")),
        ([read("ring end gap", "0.20 mm", place="bottom", gauge=FEELER)], ("ring gap", "too small")),
        ([read("port edges", felt("bad"))], ("port edges", "sharp")),
        ([PartsCounted("dowel", "off", 1)], ("dowels", "one missing")),
        ([PartsCounted("dowel", "off", 2)], ("dowels", "all there")),
    ],
)  # fmt: skip
def test_what_is_known_becomes_evidence(facts: list[Fact], evidence: tuple[str, str]) -> None:
    assert evidence in evidence_of(tarrow(*facts))


def test_the_oils_own_volume_may_be_the_whole_rise() -> None:
    facts: list[Fact] = [
        compression("10.0 bar"),
        read("wet compression", "12.5 bar", gauge=CRANKING),
    ]
    assert not any(thing == "wet compression" for thing, _ in evidence_of(tarrow(*facts)))


def test_the_new_builds_own_test_is_no_evidence_of_the_old_damage() -> None:
    old = leak("0.40 bar", "0.22 bar", "6 min")
    new = replace(leak("0.40 bar", "0.39 bar", "6 min"), condition="as fitted")
    assert ("leak test", "passes") not in evidence_of(tarrow(old, new))


def test_evidence_says_what_it_comes_from() -> None:
    found = evidence_of(tarrow(compression("10.5 bar")))
    assert found["compression", "planned drop"].startswith("compression −16.7 %")


# -- ranking and holds ---------------------------------------------------------------------------


def test_nothing_known_ranks_nothing() -> None:
    found = causes_of(tarrow())
    assert (found.ranked, found.damages, found.check_next) == ((), (), "")
    assert "nothing found yet" in causes_text(causes_view(tarrow()))


def test_a_good_compression_clears_no_cause() -> None:
    facts: list[Fact] = [
        FindingNoted("exhaust-side seizure"),
        leak("0.40 bar", "0.22 bar", "6 min"),
    ]
    without = [each.name for each in causes_of(tarrow(*facts)).ranked]
    with_it = [each.name for each in causes_of(tarrow(*facts, compression("12.6 bar"))).ranked]
    assert set(without) <= set(with_it)
    assert "alone" in causes_view(tarrow(*facts)).note


def test_a_bubble_proves_its_seal_and_the_rest_says_what_would_prove_it() -> None:
    facts: list[Fact] = [
        FindingNoted("exhaust-side seizure"),
        leak("0.40 bar", "0.22 bar", "6 min", how=("bubbles at ignition seal",), bad=True),
    ]
    view = causes_view(tarrow(*facts))
    assert (view.causes[0].name, view.causes[0].proven) == ("ignition-side seal leaks", True)
    assert not any(each.proven for each in view.causes[1:])
    assert "crankcase leak: bubbles at ignition seal" in view.causes[0].speaks_for
    assert "the leak test has passed" in view.damages[0].until
    assert view.damages[0].proven == ("ignition-side seal leaks",)


def test_evidence_against_is_shown_as_such() -> None:
    facts: list[Fact] = [
        FindingNoted("four-corner seizure"),
        FindingNoted("short warm-up"),
        *bore(H1X="53.216", H1Y="53.216"),
        read("piston skirt", "53.130 mm"),
    ]
    by_name = {each.name: each for each in causes_view(tarrow(*facts)).causes}
    tight = by_name["too little piston clearance"]
    assert "piston to barrel: within" in tight.speaks_against
    assert by_name["full load before it was warm"].proven


def test_fitting_waits_until_a_cause_is_named_with_its_proof() -> None:
    damage = FindingNoted("coolant clean patch")
    before = open_at(tarrow(damage), "causes named")
    assert [each.what for each in before] == ["coolant clean patch: no cause named"]
    assert "until the leak path is found" in before[0].todo
    named = CauseNamed("coolant clean patch", "head joint leaks", "head 0.08 mm out of flat")
    assert open_at(tarrow(damage, named), "causes named") == []
    shown = causes_view(tarrow(damage, named)).damages[0]
    assert not shown.waits
    assert shown.said == "Ada: head joint leaks, because head 0.08 mm out of flat"


def test_what_to_check_next_is_not_yet_looked_at() -> None:
    found = causes_of(tarrow(FindingNoted("exhaust-side seizure")))
    assert found.check_next in EVIDENCE
    assert found.check_next != "piston"


def test_each_thing_that_is_asked_for_has_words_of_the_bench() -> None:
    assert set(TO_LOOK_AT) == set(EVIDENCE)


def test_once_the_strip_has_begun_nobody_is_sent_to_a_test_of_the_whole_engine() -> None:
    facts: list[Fact] = [FindingNoted("exhaust-side seizure"), FindingNoted("idle hangs")]
    before, after = causes_of(tarrow(*facts)), causes_of(tarrow(*facts, StepDone("washed")))
    assert "leak test" in before.ranked[0].check_next
    assert before.check_next in WHOLE_ENGINE
    assert after.check_next not in WHOLE_ENGINE
    assert not {thing for each in after.ranked for thing in each.check_next} & set(WHOLE_ENGINE)


def test_the_text_shows_the_leading_ones_unless_all_are_wanted() -> None:
    facts: list[Fact] = [FindingNoted("exhaust-side seizure"), FindingNoted("idle hangs")]
    view = causes_view(tarrow(*facts))
    short, whole = causes_text(view), causes_text(view, everything=True)
    assert "-a shows all" in short
    assert all(each.name in whole for each in view.causes)
    assert opened("piston").baseline == BASELINE == Baseline("12.6 bar", "CG-1", "2 h")
