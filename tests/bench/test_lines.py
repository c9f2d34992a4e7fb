"""The one-line language: each verb does what it says, and refuses with what to do instead."""

import pytest

from ringland.bench.bench import Bench, Outcome
from ringland.bench.lines import Look, Prompt, Told
from ringland.bench.refusal import Asked, Refused
from ringland.job.log.entries import (
    CauseNamed,
    Corrected,
    FastenerPulled,
    FindingNoted,
    FindingResolved,
    HandedOver,
    HoldSigned,
    LossExplained,
    MadeSafe,
    PartDecided,
    PartRenewed,
    PartsCounted,
    StepDone,
    StepSetAside,
    TimerStarted,
    ValuePlanned,
    VerdictOverruled,
    Withdrawn,
)

STRIP = ("done due", "done get", "done strip")


def facts(prompt: Prompt, *lines: str) -> list[object]:
    """Say lines; return the facts of the last one."""
    reply = None
    for line in lines:
        reply = prompt.say(line)
    assert isinstance(reply, Outcome)
    return [entry.fact for entry in reply.entries]


@pytest.mark.parametrize(
    ("lines", "fact"),
    [
        (("done engine cold",), StepDone("engine cold")),
        (("aside washed because it came clean",), StepSetAside("washed", "it came clean")),
        # a step that is made from the strip has no line in the sheet, and a name all the same
        (("aside intake on because it goes on last",), StepSetAside("intake on", "it goes on last")),
        (("timer start intake on",), TimerStarted("intake on", "")),
        (("metal specks on the strap",), FindingNoted("metal specks", remark="on the strap")),
        (("specks",), FindingNoted("metal specks")),
        (("note chewed screw",), FindingNoted("chewed screw")),
        (("dowels off 2",), PartsCounted("dowel", "off", 2)),
        (("base dowels off 1 other not seen",), PartsCounted("dowel", "off", 1, "other not seen")),
        (("count clips on 2",), PartsCounted("clip", "on", 2)),
        (("found dowel in the rag",), LossExplained("dowel", 1, "in the rag")),
        (("renew piston class II batch 7F",), PartRenewed("piston", 1, "class II", "7F")),
        (("renew clips",), PartRenewed("clip", 2)),
        (("renew base gasket 2",), PartRenewed("base gasket", 2)),
        (("decide barrel send out because it is oval",),
         PartDecided("barrel", "send out", "it is oval")),
        (("decide ring new",), PartDecided("ring", "renew")),
        (("decide barrel send out to be plated",), PartDecided("barrel", "send out", "to be plated")),
        (("decide piston class II",), PartDecided("piston", "class II")),
        (("decide piston keep, looks good",), PartDecided("piston", "reuse", "looks good")),
        (("dowels 2 off one bent",), PartsCounted("dowel", "off", 2, "one bent")),
        (("rag in",), PartsCounted("rag", "on", 1)),
        (("rags out 2",), PartsCounted("rag", "off", 2)),
        (("cause seized is cold start because rider says so",),
         CauseNamed("four-corner seizure", "cold start", "rider says so")),
        (("overrule bore as found keep it because trail use only",),
         VerdictOverruled("bore", "as found", "keep it", "trail use only")),
        (("expect squish 1.20 mm",), ValuePlanned("squish", "1.20 mm")),
        (("sign all measured because the owner is away",),
         HoldSigned("all measured", "the owner is away")),
        (("rod blue", "resolved rod blue because a new rod is in"),
         FindingResolved("rod blue", "a new rod is in")),
        (("safe cloth over the mouth",), MadeSafe("cloth over the mouth")),
        (("hand over unstarted bottom end open",), HandedOver(False, "bottom end open")),
    ],
)  # fmt: skip
def test_a_line_is_one_fact(prompt: Prompt, lines: tuple[str, ...], fact: object) -> None:
    assert facts(prompt, *lines) == [fact]


def test_a_stop_that_nobody_signs_away_is_not_talked_away(prompt: Prompt) -> None:
    facts(prompt, "metal specks")
    with pytest.raises(Refused, match="bottom end proven"):
        prompt.say("resolved metal specks because a new crank is in")
    assert [stop.source for stop in prompt.case.brought.open_stops()] == ["metal specks"]
    prompt.say("bottom end proven")
    assert not prompt.case.brought.open_stops()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("done head off", "head off waits for plug out"),
        ("done intake on", "intake on waits for"),  # made from the strip
        ("done all accounted for", "is a hold point: it opens by itself"),
        ("done reed block off", "does not belong to this job"),
        ("done hed off", "Did you mean head off"),
        ("aside washed", "give the reason: aside STEP because REASON"),
        ("aside all tight because of haste", "is a hold point"),
        ("sign washed because of haste", "is a step, no hold point"),
        ("sign all tight because of haste", "can never be signed away"),
        ("sign all measured", "give the reason"),
        ("dowels off", "how many"),
        ("count dowels 2", "off or on"),
        ("found dowel", "where was it found"),
        ("decide barrel", "decide barrel how"),
        ("decide ring renwe", "ring: 'renwe' is none of reuse, renew, .* Did you mean renew"),
        ("plug specks", "Did you mean 'specks plug'"),
        ("wall light scratch", "Did you mean 'light scratch wall'"),
        ("65.014", "of what"),
        ("done", "which step"),
        ("cause four-corner seizure because so", "name the cause"),
        ("resolved metal specks because so", "is no open stop"),
        ("renew pistn", "Did you mean piston"),
        ("renew piston leaflet nowhere.yaml", "there is no such file"),
        ("figure squish 1.0-1.4 because wrong", "unit"),
        ("expect squish 1.2 bar", "pressure"),
        ("gauge XX-9", "On the shelf: BG-1"),
        ("unit furlong", "furlong"),
        ("when yesterday", "is no time"),
        ("by", "by whom"),
        ("correct bore H1X 65.016", "was not read yet"),
        ("hand over", "things forbid the first start"),
        ("undo", "nothing of Ada to take back"),
        ("frobnicate", "is not understood; nothing kept. Type ?"),
    ],
)
def test_what_cannot_be_done_says_why_and_keeps_nothing(
    bench: Bench, prompt: Prompt, line: str, said: str
) -> None:
    before = bench.entries("1")
    with pytest.raises((Refused, Asked), match=said):
        prompt.say(line)
    assert bench.entries("1") == before


@pytest.mark.parametrize(
    "line", ["plan", "verdicts", "parts", "settings", "prestart", "due", "log", "where", "?"]
)
def test_a_look_keeps_nothing(bench: Bench, prompt: Prompt, line: str) -> None:
    before = bench.entries("1")
    assert isinstance(prompt.say(line), Look)
    assert bench.entries("1") == before


def test_a_phase_ticked_as_a_whole_stops_at_photos_readings_and_holds(prompt: Prompt) -> None:
    ticked = facts(prompt, *STRIP)
    names = {fact.step for fact in ticked if isinstance(fact, StepDone)}
    assert {"engine cold", "barrel off", "mouth covered"} <= names
    assert "all accounted for" not in names
    with pytest.raises(Refused, match="nothing of the phase build can be ticked"):
        prompt.say("done build")


def test_a_phase_ticked_as_a_whole_is_one_act(bench: Bench, prompt: Prompt) -> None:
    facts(prompt, *STRIP)
    prompt.say("undo")
    assert "engine cold" not in bench.state("1").done
    assert "who and what" in bench.state("1").done


def test_undo_takes_back_ones_own_last_act_only(bench: Bench, prompt: Prompt) -> None:
    prompt.say("specks")
    prompt.say("by Ben")
    prompt.say("chewed screw")
    prompt.say("by Ada")
    prompt.say("undo")
    assert set(bench.state("1").findings) == {"chewed screw"}
    with pytest.raises(Refused, match="nothing of Ada"):
        prompt.say("undo")


def test_undo_twice_goes_back_two_acts(bench: Bench, prompt: Prompt) -> None:
    for line in ("specks", "chewed screw", "undo", "undo"):
        prompt.say(line)
    assert bench.state("1").findings == {}
    assert [type(e.fact) for e in bench.entries("1")][-2:] == [Withdrawn, Withdrawn]


def test_a_correction_supersedes_the_last_reading_of_its_place(
    bench: Bench, prompt: Prompt
) -> None:
    prompt.say("bore H1X 65.016 H1Y 65.021")
    (corrected,) = facts(prompt, "correct bore H1X 65.012")
    assert isinstance(corrected, Corrected)
    places = bench.case("1").verdicts["bore", "as found"].value
    assert places is not None
    assert places.places["H1-X"].estimate is not None
    assert places.places["H1-X"].estimate.value == pytest.approx(65.012e-3)
    assert places.places["H1-Y"].estimate is not None
    assert places.places["H1-Y"].estimate.value == pytest.approx(65.021e-3)


def test_the_old_rings_reading_is_corrected_after_a_new_one_is_in_hand(prompt: Prompt) -> None:
    prompt.say("gap bottom .55")
    prompt.say("renew ring")
    (corrected,) = facts(prompt, "correct old gap bottom .50")
    assert isinstance(corrected, Corrected)
    assert getattr(corrected.fact, "condition", "") == "as found"


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ("14:10", "2026-05-02T14:10:00+02:00"),
        ("2026-04-30 14:10", "2026-04-30T14:10:00+02:00"),
        ("+26 min", "2026-05-02T10:26:00+02:00"),
        ("+2 h", "2026-05-02T12:00:00+02:00"),
    ],
)
def test_what_is_keyed_in_afterwards_has_its_own_time(
    bench: Bench, prompt: Prompt, words: str, at: str
) -> None:
    assert isinstance(prompt.say(f"when {words}"), Told)
    prompt.say("specks")
    assert bench.entries("1")[-1].at == at
    prompt.say("when now")
    prompt.say("chewed screw")
    assert bench.entries("1")[-1].at == "2026-05-02T10:00:00+02:00"


def test_each_entry_has_its_person(bench: Bench, prompt: Prompt) -> None:
    prompt.say("by Ben Miller")
    prompt.say("specks")
    assert bench.entries("1")[-1].by == "Ben Miller"


@pytest.mark.parametrize("line", ["", "   ", "# only a remark"])
def test_an_empty_line_and_a_remark_do_nothing(bench: Bench, prompt: Prompt, line: str) -> None:
    before = bench.entries("1")
    assert prompt.say(line) == Told("")
    assert bench.entries("1") == before


def test_q_leaves(prompt: Prompt) -> None:
    assert prompt.say("q") is None


# -- tightening --------------------------------------------------------------------------------


@pytest.fixture
def wrenches(bench: Bench) -> None:
    from ringland.bench.opening import add_gauge
    from ringland.job.log.entries import Gauge

    add_gauge(
        bench, Gauge("TW-1", "torque wrench", "", "1 N·m", "10 N·m", "60 N·m", length="300 mm")
    )
    add_gauge(bench, Gauge("TW-9", "torque wrench", "", "1 N·m", "10 N·m", "60 N·m"))


@pytest.mark.usefixtures("wrenches")
@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("base 30", r"30 N·m \(22\.1 lbf·ft\) or 30 lbf·ft \(40\.7 N·m\)\?"),
        ("base nuts ok", "with which wrench"),
        ("base nuts with TW-1 9 ok", "unit|9 N·m"),
        ("base nuts with TW-1 stage 3 ok", "stage 1 is not complete: number 1, 2, 3, 4 to pull"),
        ("base nuts with TW-1 stage 9 ok", "stage"),
        ("base nuts by feel stage 3", "by feel is for snugging and for small screws"),
        ("base nuts with TW-9 adapter 50 mm at 0 set 26 N·m ok", "the length of TW-9 counts"),
        ("base nuts with TW-1 adapter 400 mm at 180 set 26 N·m ok", "no lever is left"),
        ("base nuts with XX-1 ok", "On the shelf"),
        ("base nuts firmly ok", "'firmly' is not understood behind a group"),
        ("reed screws ok", "are not tightened in this job"),
        ("drain screw with TW-1 ok", "off its scale: take another wrench"),
    ],
)
def test_a_pull_that_cannot_be_logged_says_what_to_do(
    bench: Bench, prompt: Prompt, line: str, said: str
) -> None:
    before = bench.entries("1")
    with pytest.raises((Refused, Asked), match=said):
        prompt.say(line)
    assert bench.entries("1") == before


@pytest.mark.usefixtures("wrenches")
def test_a_first_stage_below_the_wrenchs_scale_is_snugged(prompt: Prompt) -> None:
    assert pulled(prompt, "base nuts with TW-1 ok") == {(1, "", "", False)}
    assert pulled(prompt, "base nuts ok") == {(2, "20 N·m", "TW-1", False)}  # the mark for 19.5


def pulled(prompt: Prompt, line: str) -> set[tuple[int, str, str, bool]]:
    pulls = [fact for fact in facts(prompt, line) if isinstance(fact, FastenerPulled)]
    assert len(pulls) == 4
    return {(fact.stage, fact.setting, fact.wrench, fact.by_feel) for fact in pulls}


def one_by_one(prompt: Prompt, line: str) -> str:
    """Say a line; return its answer as the bench tells it."""
    from ringland.cli.acts import answer

    reply = prompt.say(line)
    return answer(prompt, reply)


@pytest.mark.usefixtures("wrenches")
def test_a_number_is_the_turn_and_the_log_keeps_the_place(prompt: Prompt) -> None:
    kept = facts(prompt, "base nuts with TW-1 1 ok, 2 ok")
    assert [f.position for f in kept if isinstance(f, FastenerPulled)] == [1, 3]


@pytest.mark.usefixtures("wrenches")
def test_out_of_turn_is_kept_and_told_once(prompt: Prompt) -> None:
    said = one_by_one(prompt, "base nuts with TW-1 1 ok, 3 ok")
    assert "number 1, 3 pulled snug" in said
    assert "number 3 pulled out of turn, 2 was next; kept" in said
    assert "go on with 2 and keep the order from here" in said
    assert "out of turn" not in one_by_one(prompt, "base nuts 2 ok")


@pytest.mark.usefixtures("wrenches")
def test_out_of_turn_in_the_last_round_asks_for_the_round_once_more(prompt: Prompt) -> None:
    for _ in range(3):
        one_by_one(prompt, "base nuts with TW-1 ok")
    said = one_by_one(prompt, "base nuts 2 ok, 1 ok, 3 ok, 4 ok")
    assert "number 2 pulled out of turn, 1 was next" in said
    assert "pull this round once more, all from 1 (torque barrel nuts stage 4 ok)" in said
    again = facts(prompt, "torque barrel nuts stage 4 ok")
    assert len([f for f in again if isinstance(f, FastenerPulled)]) == 4
    assert not prompt.case.progress("barrel nuts").out_of_turn
