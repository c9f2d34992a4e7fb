"""The verdict: probability, norm, wear, leaves, losses."""

from math import inf, nan

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringland.measure.conformance import (
    Interval,
    Verdict,
    expected_losses,
    interval_probability,
    interval_verdict,
    judge,
    probability_within,
    share_used,
    verdict_of,
    worn,
)
from ringland.quantity.estimate import Estimate

CHECKS = settings(max_examples=80, deadline=None)
ROUNDING = 1e-12  # of a probability
values = st.floats(-10, 10)
doubts = st.floats(0.01, 20)
limits = st.one_of(st.none(), st.floats(-5, 5))


@CHECKS
@given(values, doubts, st.floats(1, 10), limits, limits)
def test_a_verdict_never_improves_when_doubt_grows(
    value: float, u: float, factor: float, lower: float | None, upper: float | None
) -> None:
    assume(not (lower is None and upper is None))
    assume(lower is None or upper is None or lower <= upper)
    before = judge(Estimate(value, u), lower=lower, upper=upper)
    after = judge(Estimate(value, u * factor), lower=lower, upper=upper)
    assert after in (before, "undecided")


@CHECKS
@given(values, doubts, st.floats(-5, 5), st.floats(0, 5), st.sampled_from([inf, 3.0]))
def test_the_three_ways_to_lie_share_out_the_probability(
    value: float, u: float, lower: float, width: float, dof: float
) -> None:
    estimate, upper = Estimate(value, u, dof), lower + width
    inside = probability_within(estimate, lower=lower, upper=upper)
    below = 1 - probability_within(estimate, lower=lower, upper=None)
    above = 1 - probability_within(estimate, lower=None, upper=upper)
    assert inside + below + above == pytest.approx(1, abs=ROUNDING)
    assert 0 <= inside <= 1


def test_a_tail_far_out_keeps_its_digits() -> None:
    far = probability_within(Estimate(-20.0, 1.0), lower=0.0, upper=1.0)
    assert far == pytest.approx(2.7536e-89, rel=1e-4, abs=0)  # normal tail beyond 20, tables


@pytest.mark.parametrize(("value", "p"), [(1.0, 1.0), (1.0000001, 0.0), (0.0, 1.0)])
def test_without_doubt_a_value_on_its_limit_conforms(value: float, p: float) -> None:
    assert probability_within(Estimate(value, 0.0), lower=0.0, upper=1.0) == p


@pytest.mark.parametrize(
    ("lower", "upper", "said"),
    [
        (None, None, "no limit is given"),
        (2.0, 1.0, "swap them"),
        (None, nan, "finite number"),
        (inf, None, "finite number"),
    ],
)
def test_limits_that_hold_nothing_are_refused(
    lower: float | None, upper: float | None, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        probability_within(Estimate(0.0, 1.0), lower=lower, upper=upper)


def test_a_coarse_gauge_never_proves_a_value_inside_its_limits_to_be_beyond() -> None:
    coarse = Estimate(0.5, 40.0)
    assert probability_within(coarse, lower=0.0, upper=1.0) < 0.05
    assert judge(coarse, lower=0.0, upper=1.0) == "undecided"
    assert judge(Estimate(3.0, 0.5), lower=0.0, upper=1.0) == "beyond"


@pytest.mark.parametrize(
    ("p", "said"),
    [(0.95, "within"), (0.9499, "undecided"), (0.05, "beyond"), (0.0501, "undecided")],
)
def test_the_norm_includes_its_ends(p: float, said: str) -> None:
    assert verdict_of(p) == said


def test_the_shop_may_ask_for_more() -> None:
    assert verdict_of(0.97, prove=0.99) == "undecided"
    with pytest.raises(ValueError, match="the proof above"):
        verdict_of(0.5, prove=0.4, disprove=0.6)
    with pytest.raises(ValueError, match="between 0 and 1"):
        verdict_of(1.2)


@pytest.mark.parametrize(
    ("value", "new_end", "limit", "said"),
    [
        (0.62, 0.45, 0.70, True),  # story S1: old gap, watch
        (0.103, 0.080, 0.110, True),  # story S1: old clearance, watch
        (0.60, 0.45, 0.70, False),
        (0.60, 0.30, 0.75, True),  # the edge of the third belongs to it
        (0.71, 0.45, 0.70, False),  # past the limit is beyond, not worn
        (21.994, 22.000, 21.990, False),  # a pin wears downward
        (21.992, 22.000, 21.990, True),
    ],
)
def test_worn_is_the_last_third_of_the_allowance(
    value: float, new_end: float, limit: float, said: bool
) -> None:
    assert worn(value, new_end, limit) is said


def test_without_an_allowance_nothing_is_worn() -> None:
    with pytest.raises(ValueError, match="no allowance"):
        share_used(1.0, 2.0, 2.0)


@pytest.mark.parametrize(
    ("low", "high", "lower", "upper", "said"),
    [
        (0.05, 0.08, None, 0.05, "beyond"),  # story S10: the limit's own leaf enters
        (0.03, 0.05, None, 0.05, "within"),
        (0.04, 0.06, None, 0.05, "undecided"),
        (None, 0.05, None, 0.05, "within"),
        (0.30, None, 0.25, None, "within"),  # half-open is enough for a minimum
        (0.30, None, 0.25, 0.45, "undecided"),
        (0.45, None, 0.25, 0.45, "beyond"),
        (None, 0.25, 0.25, 0.45, "beyond"),
        (0.20, 0.30, 0.25, 0.45, "undecided"),
        (0.25, 0.30, 0.25, 0.45, "within"),
    ],
)
def test_leaves_prove_what_the_leaf_rule_says(
    low: float | None, high: float | None, lower: float | None, upper: float | None, said: Verdict
) -> None:
    interval = Interval(low, high)
    assert interval_verdict(interval, lower=lower, upper=upper) == said
    p = interval_probability(interval, lower=lower, upper=upper)
    if said == "undecided":
        assert p is None or 0 < p < 1
    else:
        assert p == (1.0 if said == "within" else 0.0)


@CHECKS
@given(st.floats(0, 1), st.floats(0.01, 1), st.floats(0, 2), st.floats(0, 1))
def test_a_narrower_bracket_never_takes_a_proof_back(
    low: float, width: float, upper: float, share: float
) -> None:
    wide = interval_verdict(Interval(low, low + width), lower=None, upper=upper)
    half = Interval(low + share * width / 2, low + width * (1 + share) / 2)
    narrow = interval_verdict(half, lower=None, upper=upper)
    assert wide in ("undecided", narrow)


@pytest.mark.parametrize(("low", "high"), [(0.3, 0.3), (0.4, 0.3), (None, None), (nan, 1.0)])
def test_an_interval_that_cannot_be_is_refused(low: float | None, high: float | None) -> None:
    with pytest.raises(ValueError, match=r"try|finite"):
        Interval(low, high)


def test_losses_weigh_the_chance_of_failure_against_the_new_part() -> None:
    losses = expected_losses(0.9, failure=400.0, renewal=60.0)
    assert losses.fit == pytest.approx(40.0)
    assert losses.cheaper == "fit"
    assert expected_losses(0.8, failure=400.0, renewal=60.0).cheaper == "renew"
    with pytest.raises(ValueError, match="0 or more"):
        expected_losses(0.8, failure=-1.0, renewal=60.0)
