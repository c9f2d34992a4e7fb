"""Counts, hold points and the prestart: what came off is accounted for before anything closes."""

import pytest

from ringland.job.case import Case
from ringland.job.counts import Tally
from ringland.job.holds import Open, open_at
from ringland.job.log.entries import (
    CauseNamed,
    FindingNoted,
    FindingResolved,
    HoldSigned,
    LossExplained,
    PartDecided,
    PartRenewed,
    PartsCounted,
    PhotoTaken,
    StepDone,
    StepSetAside,
)
from ringland.job.prestart import prestart
from tests.job.making import bore, case, felt, pull, read, said, strip


def tally(job: Case, part: str, side: str) -> Tally:
    return next(each for each in job.tallies if (each.part, each.side) == (part, side))


def whats(opens: list[Open]) -> list[str]:
    return [each.what for each in opens]


COUNTED = (
    PartsCounted("head washer", "off", 5), PartsCounted("clip", "off", 2),
    PartsCounted("rag", "on", 1),
)  # fmt: skip


# -- counts ------------------------------------------------------------------------------------


def test_a_count_is_owed_once_its_step_is_done() -> None:
    assert not tally(case(), "dowel", "off").is_open
    owed = tally(case(StepDone("dowels counted")), "dowel", "off")
    assert owed.is_open
    assert owed.question() == "dowel: not counted off; the sheet says 2"


def test_one_short_is_open_until_its_loss_is_explained() -> None:
    short = (*strip(), PartsCounted("dowel", "off", 1))
    assert tally(case(*short), "dowel", "off").missing == 1
    assert not tally(case(*short, LossExplained("dowel", 1, "in the foot")), "dowel", "off").is_open


def test_a_new_part_does_not_close_the_loss_of_an_old_one() -> None:
    short = (*strip(), PartsCounted("dowel", "off", 1), PartRenewed("dowel", 1))
    assert tally(case(*short), "dowel", "off").is_open


def test_one_more_than_the_sheet_knows_is_open_too() -> None:
    job = case(*strip(), PartsCounted("dowel", "off", 3))
    assert tally(job, "dowel", "off").question() == "dowel: 3 off; the sheet says only 2"


def test_the_last_count_counts() -> None:
    job = case(*strip(), PartsCounted("dowel", "off", 1), PartsCounted("dowel", "off", 2))
    assert not tally(job, "dowel", "off").is_open


# -- hold points -------------------------------------------------------------------------------


def test_the_strips_gate_opens_when_all_is_counted() -> None:
    shut = case(*strip(), *COUNTED)
    assert whats(open_at(shut, "all accounted for")) == ["dowel: not counted off; the sheet says 2"]
    assert (
        open_at(case(*strip(), *COUNTED, PartsCounted("dowel", "off", 2)), "all accounted for")
        == []
    )


def test_a_hold_that_may_be_signed_opens_with_a_name() -> None:
    signed = HoldSigned("all accounted for", "counted by the customer")
    assert open_at(case(*strip(), *COUNTED, signed), "all accounted for") == []


def test_a_lost_piece_stays_open_whoever_signs() -> None:
    lost = (*strip(), *COUNTED, PartsCounted("dowel", "off", 1))
    job = case(*lost, HoldSigned("all accounted for", "a new one is cheap"))
    assert [(o.what, o.never_signed) for o in open_at(job, "all accounted for")] == [
        ("dowel: 1 of 2 off: find it", True)
    ]


def test_clips_are_proven_by_two_people_or_two_photos() -> None:
    once = said(StepDone("second clip in"), by="Ada", number=1)
    again = said(StepDone("second clip in"), by="Ada", number=2)
    other = said(StepDone("second clip in"), by="Ben", number=3)
    photos = [PhotoTaken(name, "second clip in") for name in ("one", "two")]
    assert open_at(case(once, again), "clips and arrow"), "one person twice is one person"
    assert open_at(case(once, photos[0]), "clips and arrow")
    assert open_at(case(once, other), "clips and arrow") == []
    assert open_at(case(once, *photos), "clips and arrow") == []


@pytest.mark.parametrize(
    ("counts", "what"),
    [
        ([("on", 1)], "rag: 1 went in, none counted out"),
        ([("on", 2), ("off", 1)], "rag: 2 went in, 1 came out"),
        ([("off", 1)], ""),
        ([("on", 1), ("off", 1)], ""),
    ],
)
def test_as_many_rags_come_out_as_went_in(counts: list[tuple[str, int]], what: str) -> None:
    done = StepDone("rag into the mouth")
    told = [PartsCounted("rag", "on" if side == "on" else "off", n) for side, n in counts]
    found = open_at(
        case(done, *told, HoldSigned("rag counted out", "I am sure")), "rag counted out"
    )
    assert whats(found) == ([what] if what else [])


def test_a_damage_needs_a_cause_with_its_proof_before_fitting() -> None:
    damage = FindingNoted("four-corner seizure")
    assert whats(open_at(case(damage), "causes named")) == ["four-corner seizure: no cause named"]
    named = CauseNamed("four-corner seizure", "cold start", "rider says so")
    assert open_at(case(damage, named), "causes named") == []


def test_an_undecided_reading_waits_for_a_decision_on_a_part_that_stays() -> None:
    undecided = bore(H1X="65.058")
    found = open_at(case(*undecided), "parts decided")
    assert [each.kind for each in found] == ["decision"]
    assert found[0].todo
    assert open_at(case(*undecided, PartDecided("barrel", "reuse", "15 h")), "parts decided") == []


def test_a_reading_not_taken_needs_its_reason() -> None:
    without = open_at(case(), "all measured")
    assert any(each.what == "barrel wall: not measured" for each in without)
    with_one = open_at(case(read("barrel wall", felt("not taken"))), "all measured")
    assert not any(each.what.startswith("barrel wall") for each in with_one)


# -- prestart ----------------------------------------------------------------------------------


def test_what_nobody_can_sign_stands_first() -> None:
    opens = prestart(case(FindingNoted("metal specks")))
    assert opens[0].what.startswith("metal specks: ")
    assert opens[0].never_signed
    never = [each.never_signed for each in opens]
    assert never == sorted(never, reverse=True)


def test_signing_everything_leaves_what_nobody_can_sign() -> None:
    job = case()
    signed = [HoldSigned(name, "hurry") for name, step in job.steps.items() if step.hold]
    aside = [StepSetAside(n, "hurry") for n, s in job.steps.items() if not s.hold and not s.tighten]
    left = prestart(case(*signed, *aside, FindingNoted("metal specks"), FindingNoted("loose nut")))
    assert {each.kind for each in left if each.never_signed} >= {"stop", "torque"}
    torque = {each.what.partition(":")[0] for each in left if each.kind == "torque"}
    assert torque == set(job.groups())


def test_a_stop_that_was_resolved_forbids_no_more() -> None:
    found = FindingNoted("metal specks")
    resolved = FindingResolved("metal specks", "crank changed")
    assert any("metal specks" in each.what for each in prestart(case(found)))
    assert not any("metal specks" in each.what for each in prestart(case(found, resolved)))


def test_a_finding_lifts_a_stop_only_when_it_comes_after() -> None:
    binds, free = FindingNoted("dowel missing"), FindingNoted("dowel found")
    assert case(binds, free).brought.open_stops() == ()
    assert [s.source for s in case(free, binds).brought.open_stops()] == ["dowel missing"]


def test_one_nut_short_forbids_the_start() -> None:
    all_but_one = [pull(p, s) for s in (1, 2, 3) for p in (1, 2, 3, 4)]
    all_but_one += [pull(p, 4) for p in (1, 2, 3)]
    mine = [o for o in prestart(case(*all_but_one)) if o.what.startswith("barrel nuts")]
    assert whats(mine) == ["barrel nuts: number 4 not pulled at check pass"]
    assert not [o for o in prestart(case(*all_but_one, pull(4, 4))) if "barrel nuts" in o.what]
