"""What a log adds up to: halves, corrections, things taken back, and its form on disk."""

import json
from dataclasses import fields
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.job.log.coding import UnknownKind, decode, encode
from ringland.job.log.entries import KINDS, Corrected, Entry, FindingNoted, PartsCounted, Withdrawn
from ringland.job.log.fold import State, fold
from tests.job.logs_of_facts import ACTS, FACTS, logs, pulls, readings
from tests.job.making import AT, entries

PROPERTY = settings(deadline=None, max_examples=120)
LOG_ONLY = {"entries", "inactive"}  # what also holds what no longer counts


def counts(state: State) -> dict[str, Any]:
    """Return all that is true after a log, without the log itself."""
    return {f.name: getattr(state, f.name) for f in fields(state) if f.name not in LOG_ONLY}


def entry(number: int, fact: Any) -> Entry:
    return Entry(f"e{number}", f"a{number}", AT, "Ada", fact)


acts = st.lists(st.one_of(*ACTS), min_size=1, max_size=8)


@PROPERTY
@given(log=logs(), share=st.floats(0, 1))
def test_folding_a_log_is_folding_its_halves(log: list[Entry], share: float) -> None:
    cut = round(share * len(log))
    whole = fold(log)
    halves = fold(log[cut:], fold(log[:cut]))
    assert halves == whole


@PROPERTY
@given(log=logs())
def test_folding_one_by_one_is_folding_all_at_once(log: list[Entry]) -> None:
    state = State()
    for each in log:
        state = fold([each], state)
    assert state == fold(log)


@PROPERTY
@given(log=logs(), more=acts)
def test_a_fold_leaves_the_state_it_began_with_alone(log: list[Entry], more: list[Any]) -> None:
    before = fold(log)
    fold([entry(50 + n, fact) for n, fact in enumerate(more)], before)
    assert before == fold(log)


@PROPERTY
@given(facts=acts, place=st.floats(0, 1, exclude_max=True), right=st.one_of(readings, pulls))
def test_a_correction_leaves_it_as_if_the_wrong_entry_had_not_been(
    facts: list[Any], place: float, right: Any
) -> None:
    at = int(place * len(facts))
    wrong = [entry(n, fact) for n, fact in enumerate(facts)]
    never = [entry(n, right if n == at else fact) for n, fact in enumerate(facts)]
    corrected = fold([*wrong, entry(99, Corrected(f"e{at}", right))])
    assert counts(corrected) == counts(fold(never))
    assert [each.fact for each in corrected.entries[:-1]] == facts


@PROPERTY
@given(facts=acts, gone=st.sets(st.integers(0, 7)))
def test_what_was_taken_back_counts_as_if_it_had_never_been(
    facts: list[Any], gone: set[int]
) -> None:
    log = [entry(n, fact) for n, fact in enumerate(facts)]
    rest = [each for n, each in enumerate(log) if n not in gone]
    taken_back = fold([*log, entry(99, Withdrawn(tuple(f"e{n}" for n in sorted(gone))))])
    assert counts(taken_back) == counts(fold(rest))
    assert taken_back.entries[: len(log)] == log


@PROPERTY
@given(facts=acts)
def test_taking_back_a_taking_back_restores_all(facts: list[Any]) -> None:
    log = [entry(n, fact) for n, fact in enumerate(facts)]
    twice = [entry(98, Withdrawn(("e0",))), entry(99, Withdrawn(("e98",)))]
    assert counts(fold([*log, *twice])) == counts(fold(log))


def test_of_two_corrections_the_later_counts() -> None:
    first, second = PartsCounted("dowel", "off", 1), PartsCounted("dowel", "off", 2)
    log = entries(PartsCounted("dowel", "off", 3), Corrected("e1", first), Corrected("e1", second))
    assert fold(log).counted["dowel", "off"].fact.count == 2


def test_a_correction_taken_back_brings_the_first_reading_back() -> None:
    log = entries(
        PartsCounted("dowel", "off", 1),
        Corrected("e1", PartsCounted("dowel", "off", 2)),
        Withdrawn(("e2",)),
    )
    assert fold(log).counted["dowel", "off"].fact.count == 1


def test_a_corrected_fact_keeps_its_own_time_and_person() -> None:
    log = [
        Entry("e1", "a1", "2026-05-02T10:00:00Z", "Ada", PartsCounted("dowel", "off", 1)),
        Entry("e2", "a2", "2026-05-04T10:00:00Z", "Ben",
              Corrected("e1", PartsCounted("dowel", "off", 2))),
    ]  # fmt: skip
    said = fold(log).counted["dowel", "off"]
    assert (said.by, said.at[:10], said.fact.count) == ("Ada", "2026-05-02", 2)


def test_a_finding_resolved_stays_noted_and_stands_no_more() -> None:
    from ringland.job.log.entries import FindingResolved

    state = fold(entries(FindingNoted("metal specks"), FindingResolved("metal specks", "seal")))
    assert "metal specks" not in state.findings
    assert "metal specks" in state.noted
    again = fold(entries(FindingNoted("x"), FindingResolved("x", "seal"), FindingNoted("x")))
    assert "x" in again.findings
    assert "x" not in again.resolved


# -- form on disk ------------------------------------------------------------------------------


def test_every_kind_of_entry_is_drawn_here() -> None:
    assert set(FACTS) == set(KINDS)


@pytest.mark.parametrize("kind", sorted(KINDS))
@settings(deadline=None, max_examples=25)
@given(data=st.data())
def test_a_fact_reads_back_as_it_was_written(kind: str, data: st.DataObject) -> None:
    fact = data.draw(FACTS[kind])
    written, body = encode(fact)
    assert written == kind
    through_disk = json.loads(json.dumps(body, sort_keys=True))  # as a store keeps it
    assert decode(written, through_disk) == fact


def test_an_unknown_kind_says_to_update() -> None:
    with pytest.raises(UnknownKind, match="'dyno-run/1', which a newer Ringland wrote: update"):
        decode("dyno-run/1", {})


def test_a_sheets_order_survives_a_store_that_sorts_keys() -> None:
    from ringland.job.log.entries import JobOpened

    tree = {"steps": {"z first": "1", "a second": "2"}}
    _, body = encode(JobOpened("m", "ring", "", tree))
    back = decode("job-opened/1", json.loads(json.dumps(body, sort_keys=True)))
    assert list(back.sheet["steps"]) == ["z first", "a second"]
