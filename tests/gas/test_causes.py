import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.gas.causes import best_next_check, damage_holds, rank_causes
from ringland.gas.causes_table import CAUSES, DAMAGES, EVIDENCE

EVIDENCE_SETS = st.dictionaries(
    st.sampled_from(sorted(EVIDENCE)), st.integers(0, 30), min_size=1, max_size=6
).map(
    lambda picks: {
        thing: (EVIDENCE[thing][i % len(EVIDENCE[thing])],) for thing, i in picks.items()
    }
)


def names(found: dict[str, object]) -> list[str]:
    return [each.name for each in rank_causes(found)]  # type: ignore[arg-type]


def test_every_word_of_the_table_is_known_evidence() -> None:
    for cause in CAUSES:
        for thing, value in (*cause.weighs, *cause.proof):
            assert value in EVIDENCE[thing], (cause.name, thing, value)
        for thing in cause.check:
            assert thing in EVIDENCE, (cause.name, thing)
    assert set(DAMAGES) <= set(EVIDENCE["piston"])


def test_a_proof_speaks_for_its_cause() -> None:
    for cause in CAUSES:
        for fact in cause.proof:
            assert cause.weighs[fact] > 0, (cause.name, fact)


def test_every_damage_has_a_cause_that_can_be_proven_apart_from_it() -> None:
    for damage in DAMAGES:
        can = [
            cause.name
            for cause in CAUSES
            if cause.weighs.get(("piston", damage), 0) > 0
            and any(value not in DAMAGES for _, value in cause.proof)
        ]
        assert can, damage


def test_no_cause_is_cleared_by_compression_alone() -> None:
    near = {("compression", "near baseline")}
    for cause in CAUSES:
        assert min([cause.weighs.get(fact, 0) for fact in near]) >= -1, cause.name
    # whatever else is known, a good compression never removes a cause from the list
    for cause in CAUSES:
        for thing, value in cause.weighs:
            if thing == "compression" or cause.weighs[thing, value] <= 0:
                continue
            found = {thing: (value,), "compression": ("near baseline",)}
            assert cause.name in names(found), (cause.name, thing)  # type: ignore[arg-type]


def test_good_compression_says_nothing_about_an_air_leak() -> None:
    for cause in CAUSES:
        if "seal leaks" in cause.name or "rubber" in cause.name or "base joint" in cause.name:
            assert not any(thing == "compression" for thing, _ in cause.weighs), cause.name


def test_a_seizure_with_good_compression_and_a_leaking_seal_is_the_seal() -> None:
    # trade story: 12.9 of 13.1 bar, 0.40 to 0.22 bar in 6 min, bubbles at the ignition seal
    found = {
        "compression": ("near baseline",),
        "piston": ("exhaust-side seizure",),
        "leak test": ("fails",),
        "bubbles": ("ignition seal",),
    }
    first = rank_causes(found)[0]
    assert first.name == "ignition-side seal leaks"
    assert first.proven
    assert "fuel too lean: jet, flow or altitude" in names(found)  # type: ignore[arg-type]
    hold = damage_holds(found)[0]
    assert hold.named == ("ignition-side seal leaks",)
    assert not hold.holds


def test_a_damage_without_proven_cause_holds_the_fit_phase() -> None:
    hold = damage_holds({"piston": ("exhaust-side seizure",), "compression": ("near baseline",)})[0]
    assert hold.holds
    assert "leak test has passed" in hold.until
    assert "ignition-side seal leaks" in hold.candidates


def test_each_damage_holds_on_its_own() -> None:
    found = {"piston": ("grey intake skirt", "blue pin"), "filter": ("dust past it",)}
    holds = {each.damage: each.holds for each in damage_holds(found)}
    assert holds == {"grey intake skirt": False, "blue pin": True}


def test_a_sound_piston_holds_nothing() -> None:
    assert damage_holds({"piston": ("sound",)}) == ()


@pytest.mark.parametrize("damage", sorted(DAMAGES))
def test_the_picture_of_a_damage_is_never_its_own_proof(damage: str) -> None:
    assert damage_holds({"piston": (damage,)})[0].holds


def test_evidence_against_a_cause_is_named() -> None:
    ranked = {
        each.name: each
        for each in rank_causes({"piston": "exhaust-side seizure", "leak test": "passes"})
    }
    assert "leak test: passes" in ranked["ignition-side seal leaks"].speaks_against


def test_proven_causes_come_first_then_by_score() -> None:
    ranked = rank_causes(
        {"piston": ("exhaust-side seizure", "pitted edge"), "coolant": ("cap opens early",)}
    )
    assert ranked[0].proven
    scores = [each.score for each in ranked if not each.proven]
    assert scores == sorted(scores, reverse=True)


def test_next_check_separates_an_air_leak_from_a_lean_jet() -> None:
    assert best_next_check({"piston": "exhaust-side seizure"}) in ("leak test", "bubbles")


@given(EVIDENCE_SETS)
@settings(deadline=None, max_examples=60)
def test_next_check_is_never_one_already_made(found: dict[str, tuple[str, ...]]) -> None:
    assert best_next_check(found) not in found


@given(EVIDENCE_SETS)
@settings(deadline=None, max_examples=60)
def test_order_of_evidence_does_not_matter(found: dict[str, tuple[str, ...]]) -> None:
    backward = dict(reversed(list(found.items())))
    assert rank_causes(found) == rank_causes(backward)


def test_unknown_words_are_all_named_with_a_hint() -> None:
    with pytest.raises(ValueError, match="did you mean 'coolant'") as error:
        rank_causes({"coolent": "boiled", "plug": "yellow"})
    assert "plug: 'yellow' is none of" in str(error.value)


def test_sources_are_marked_common_practice() -> None:
    assert {each.source for each in rank_causes({"idle": "hangs high"})} == {"common practice"}
