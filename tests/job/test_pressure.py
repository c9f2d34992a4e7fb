"""Compression and leak tests in a job: verdict, what is told beyond it, and what is not claimed."""

import re
from dataclasses import replace

import pytest

from ringland.job.case import Case
from ringland.job.holds import open_at
from ringland.job.log.entries import (
    FindingNoted,
    Gauge,
    GaugeUsed,
    HoldSigned,
    Indication,
    ReadingTaken,
    StepDone,
)
from ringland.job.plan import plan
from ringland.job.readings import cranking, leaks
from ringland.quantity import Estimate
from ringland.report.told import told
from ringland.report.view import job_view
from ringland.report.words import value_words
from tests.job.making import felt, read
from tests.job.tarrow import BASELINE, CRANKING, LOW, tarrow

COMPRESSION, LEAK = "cranking compression", "crankcase leak"
MAY_NOT_CLAIM = r"ring gap|worn|reeds?|power\b|\bgood\b|\bbad\b|healthy"


def compression(*values: str, how: tuple[str, ...] = (), gauge: Gauge = CRANKING) -> ReadingTaken:
    return replace(read(COMPRESSION, *values, gauge=gauge), how=how)


def leak(*values: str | Indication, how: tuple[str, ...] = ()) -> ReadingTaken:
    return replace(read(LEAK, *values, gauge=LOW), how=how)


def told_of(case: Case, check: str) -> list[str]:
    """Return what is told beyond the verdict."""
    return list(told(case, (check, "as found")))


def last(case: Case, check: str) -> ReadingTaken:
    """Return the last reading of a check as found."""
    return case.state.readings[check, "as found"][-1].fact


def share_of(case: Case) -> Estimate:
    """Return the share of the baseline with its doubt."""
    found = cranking.compared(case.book, BASELINE, last(case, COMPRESSION)).share
    assert found is not None
    return found


def sentence(lines: list[str], beginning: str) -> str:
    """Return the one line that holds a phrase."""
    found = [line for line in lines if beginning in line]
    assert len(found) == 1, (beginning, lines)
    return found[0]


# -- compression ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "word", "todo"),
    [
        ("12.5 bar", "within", ""),
        ("11.2 bar", "within", "the shop's norm: note it"),
        ("10.5 bar", "within, worn", "the shop's norm: plan the top end"),
        ("9.3 bar", "beyond", "the shop's norm: stop riding it"),
    ],
)
def test_levels_are_the_shops_and_are_said_so(value: str, word: str, todo: str) -> None:
    verdict = tarrow(compression(value)).verdicts[COMPRESSION, "as found"]
    assert (verdict.word, verdict.todo) == (word, todo)
    assert "against 12.6 bar on CG-1" in verdict.reason


def test_altitude_moves_a_reading_by_the_pressure_of_the_air() -> None:
    """ISA 1976: 89 876 Pa at 1000 m, 0.887 of sea level; the density ratio would be 0.9075."""
    case = tarrow(compression("11.18 bar", "1000 m"))
    verdict = case.verdicts[COMPRESSION, "as found"]
    assert verdict.word == "within"
    assert verdict.reason.startswith("+0.0 %")
    assert "the baseline 12.6 bar were 11.2 bar in this air" in sentence(
        told_of(case, COMPRESSION), "1013 hPa"
    )


def test_air_pressure_on_the_spot_is_surer_than_an_altitude() -> None:
    by_gauge = tarrow(compression("11.2 bar", how=("air 900 hPa",)))
    by_height = tarrow(compression("11.2 bar", "988 m"))
    doubts = [share_of(case).u for case in (by_gauge, by_height)]
    assert doubts[0] < doubts[1]


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (compression("11.0 bar", gauge=Gauge("HG-1", "compression gauge")), "another gauge"),
        (compression("11.0 bar", how=("throttle shut",)), "throttle was not open"),
    ],
)
def test_another_gauge_or_a_shut_throttle_is_not_comparable(
    reading: ReadingTaken, why: str
) -> None:
    verdict = tarrow(reading).verdicts[COMPRESSION, "as found"]
    assert verdict.word == "not comparable"
    assert why in verdict.reason


def test_one_reading_cannot_tell_a_leak_and_names_what_would() -> None:
    lines = told_of(tarrow(compression("11.8 bar", how=("400 rpm", "warm"))), COMPRESSION)
    line = sentence(lines, "cannot tell a leak")
    assert re.search(r"take .*(slow crank|static leak-down)", line)
    assert "with 95 %" in line


def test_a_sound_engine_of_the_sheet_lies_among_sound_engines() -> None:
    case = tarrow(compression("13.0 bar", how=("480 rpm", "8 kicks", "warm", "valve shut")))
    line = sentence(told_of(case, COMPRESSION), "19 of 20")
    assert "lies among them" in line
    found = cranking.modelled(case.book, last(case, COMPRESSION))
    assert found.assumed == ()
    low, high = (float(each[7]) for each in (found.band.low, found.band.high))
    assert f"{low / 1e5:.1f} to {high / 1e5:.1f} bar" in line


def test_what_nobody_noted_is_said_as_assumed() -> None:
    line = sentence(told_of(tarrow(compression("12.0 bar")), COMPRESSION), "assumed:")
    assert line == "assumed: power valve shut, 480 rpm, 8 strokes, warm"


def test_the_power_valve_moves_what_a_sound_engine_reads() -> None:
    """Open, the exhaust shuts later: less is trapped, and the gauge shows less."""
    bands = []
    for valve in ("valve open", "valve shut"):
        case = tarrow(compression("12.0 bar", how=(valve, "480 rpm")))
        fact = last(case, COMPRESSION)
        bands.append(float(cranking.modelled(case.book, fact).band.middle[-1]))
    assert bands[0] < 0.95 * bands[1]


def test_geometry_that_the_sheet_lacks_is_named() -> None:
    case = tarrow(compression("12.0 bar"), without=("head volume", "rod length"))
    line = sentence(told_of(case, COMPRESSION), "against the sheet's geometry")
    assert "rod length, head volume not in the sheet" in line


def test_no_sentence_claims_what_a_compression_reading_cannot_show() -> None:
    for value in ("7.0 bar", "9.6 bar", "12.5 bar", "16.0 bar"):
        for how in ((), ("strokes 4.0 6.9 8.0 bar", "400 rpm")):
            lines = told_of(tarrow(compression(value, how=how)), COMPRESSION)
            said = " ".join(
                line for line in lines if not line.startswith(("It cannot", "not noted", "assumed"))
            )
            assert not re.search(MAY_NOT_CLAIM, said), said


def test_a_leak_down_beside_it_narrows_the_leak() -> None:
    static = read("leak-down", "15 %", gauge=None)
    facts = [compression("10.0 bar", how=("400 rpm", "warm")), static]
    alone = told_of(tarrow(facts[0]), COMPRESSION)
    both = told_of(tarrow(*facts), COMPRESSION)
    assert "cannot tell a leak" in " ".join(alone)
    assert "this and the leak-down together" in sentence(both, "effective area")
    assert "not which part leaks" in sentence(both, "effective area")


# -- leak tests ----------------------------------------------------------------------------------


def test_a_gauge_too_coarse_for_the_rule_decides_nothing() -> None:
    """A fall of 0.01 bar where 0.05 is allowed, on a gauge that may be off by 0.5 bar."""
    coarse = Gauge(
        "LG-1", "low-pressure gauge", "0.5 bar"
    )  # under the same name, so it replaces LOW
    values = ("0.40 bar", "0.39 bar", "6 min", "21 °C", "21 °C")
    fine, told_by_coarse = leak(*values), GaugeUsed(coarse)
    assert tarrow(fine).verdicts[LEAK, "as found"].word == "within"
    assert tarrow(told_by_coarse, fine).verdicts[LEAK, "as found"].word == "undecided"


def test_a_cooling_case_is_told_apart_from_a_leak() -> None:
    """Ideal gas: 1 K of 294.15 K at 1.413 bar absolute is 0.0048 bar (p ΔT/T)."""
    lines = told_of(tarrow(leak("0.40 bar", "0.39 bar", "6 min", "21 °C", "20 °C")), LEAK)
    assert "of the fall of 0.010" in sentence(lines, "temperature explains")
    assert "temperature explains 0.005" in sentence(lines, "temperature explains")


def test_without_temperatures_it_says_what_change_would_explain_the_fall() -> None:
    lines = told_of(tarrow(leak("0.40 bar", "0.39 bar", "6 min")), LEAK)
    assert "a change of −2.1 K alone" in sentence(lines, "no temperatures read")


def test_leak_rate_and_area_come_from_the_sheets_volume_or_the_typed_one() -> None:
    sheets = told_of(tarrow(leak("0.40 bar", "0.22 bar", "6 min")), LEAK)
    typed = told_of(tarrow(leak("0.40 bar", "0.22 bar", "6 min", "450 mL")), LEAK)
    # 310 mL case and 9.5 mL chamber: the space is the same wherever the piston stands
    assert "in 320 mL (case and chamber of the sheet" in sentence(sheets, "leak rate")
    assert "in 450 mL (as typed)" in sentence(typed, "leak rate")
    rates = [
        float(line.partition("leak rate ")[2].split()[0])
        for line in (sentence(sheets, "leak rate"), sentence(typed, "leak rate"))
    ]
    assert rates[1] / rates[0] == pytest.approx(450 / 319.5, rel=0.02)
    # V Δp / (t p0) = 319.5 mL × 0.18 / 1.01325 / 6 min, isothermal
    assert rates[0] == pytest.approx(319.5 * 0.18 / 1.01325 / 6, abs=0.06)


def test_a_rule_per_minute_is_shown_to_belong_to_its_volume() -> None:
    line = sentence(told_of(tarrow(leak("0.40 bar", "0.22 bar", "6 min")), LEAK), "a minute in")
    falls = [float(each) for each in re.findall(r"mL ([\d.]+) bar", line)]
    assert falls == sorted(falls, reverse=True)
    assert len(falls) == 3


def test_the_rule_is_printed_with_the_result() -> None:
    case = tarrow(leak("0.40 bar", "0.39 bar", "6 min", felt("good")))
    line = sentence(told_of(case, LEAK), "rule crankcase leak")
    assert "0.40 bar for 6 min, fall at most 0.050 bar, no bubble; never beyond 0.70 bar" in line
    assert case.verdicts[LEAK, "as found"].word == "within"


def test_any_bubble_at_a_seal_fails_whatever_the_fall() -> None:
    bubbles = leak("0.40 bar", "0.40 bar", "6 min", felt("bad"), how=("bubbles at base joint",))
    verdict = tarrow(bubbles).verdicts[LEAK, "as found"]
    assert verdict.word == "beyond"
    assert verdict.reason.startswith("bubbles at base joint; bubbles at a seal or joint fail")


def test_bubbles_at_the_testers_plug_ask_for_a_repeat() -> None:
    plug = leak("0.40 bar", "0.30 bar", "6 min", how=("bubbles at test plug",))
    verdict = tarrow(plug).verdicts[LEAK, "as found"]
    assert verdict.word == "undecided"
    assert "seal it and start the clock again" in verdict.reason


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (("0.80 bar", "0.79 bar", "6 min"), "0.70 bar"),
        (("0.40 bar", "0.39 bar", "0 min"), "end comes after the start"),
    ],
)
def test_a_test_that_cannot_be_is_refused_with_its_reason(
    values: tuple[str, ...], said: str
) -> None:
    verdict = tarrow(leak(*values)).verdicts[LEAK, "as found"]
    assert verdict.word in ("undecided", "not judged")
    assert said in verdict.reason


def test_vacuum_is_judged_by_its_own_rule_and_falls_towards_the_air() -> None:
    case = tarrow(read("crankcase vacuum", "0.35 bar", "0.28 bar", "5 min", gauge=LOW))
    verdict = case.verdicts["crankcase vacuum", "as found"]
    assert verdict.word == "beyond"
    fact = last(case, "crankcase vacuum")
    check = case.book.sheet.checks["crankcase vacuum"]
    found = leaks.leak_of(case.book, case.state, check, fact)
    assert found is not None
    assert found.test.start == -35_000.0
    assert found.result.leak_fall.value == pytest.approx(7_000.0)
    assert found.rule.limit < 0


def test_the_cooling_system_has_no_case_volume() -> None:
    case = tarrow(
        read("cooling leak", "1.10 bar", "1.05 bar", "8 min", condition="as fitted", gauge=LOW)
    )
    fact = case.state.readings["cooling leak", "as fitted"][-1].fact
    lines = leaks.what_it_tells(case.book, case.state, case.book.sheet.checks["cooling leak"], fact)
    assert "no volume known" in " ".join(lines)
    assert case.verdicts["cooling leak", "as fitted"].word == "beyond"


def test_a_leak_down_is_reported_and_judges_nothing_by_itself() -> None:
    verdict = tarrow(read("leak-down", "12 %")).verdicts["leak-down", "as found"]
    assert verdict.word == "not judged"


def test_a_leak_test_that_is_left_out_is_not_measured_rather_than_undecided() -> None:
    verdict = tarrow(leak(felt("not taken"))).verdicts[LEAK, "as found"]
    assert (verdict.word, verdict.todo) == ("not measured", "")
    assert value_words(verdict.value) == "left out"


def test_a_leak_test_that_is_left_out_says_where_that_has_to_be_signed() -> None:
    left_out = replace(leak(felt("not taken")), condition="as fitted", remark="no plugs")
    verdict = tarrow(left_out).verdicts[LEAK, "as fitted"]
    assert verdict.todo == "to go on without it: sign ready to start because REASON"
    opens = [each for each in open_at(tarrow(left_out), "ready to start") if LEAK in each.what]
    assert [(each.what, each.todo) for each in opens] == [
        (f"{LEAK}: left out", f"no plugs; {verdict.todo}")
    ]
    signed = tarrow(left_out, HoldSigned("ready to start", "rider accepts it"))
    assert not [each for each in open_at(signed, "ready to start") if LEAK in each.what]


def test_what_was_read_before_the_strip_asks_no_more_once_the_strip_has_begun() -> None:
    low = compression("9.3 bar")
    before, after = tarrow(low), tarrow(low, StepDone("washed"))
    assert COMPRESSION in [line.check for line in job_view(before, "1").asks]
    assert COMPRESSION not in [line.check for line in job_view(after, "1").asks]
    verdict = after.verdicts[COMPRESSION, "as found"]
    assert (verdict.word, verdict.todo) == ("beyond", "")


def test_a_leak_test_of_the_old_build_is_asked_for_only_until_the_strip_begins() -> None:
    hangs = FindingNoted("idle hangs")
    item = f"{LEAK}, as found"
    before, after = plan(tarrow(hangs)), plan(tarrow(hangs, StepDone("washed")))
    assert item in [each.name for each in before.items if not each.done]
    assert item not in [each.name for each in after.items if not each.done]
    assert f"{LEAK}, as fitted" in [each.name for each in after.items if not each.done]
