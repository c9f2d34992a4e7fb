"""The verdict: how probable it is that a value lies within its limits, and what that decides.

Here: probability of conformance (JCGM 106), the rule that turns it into a word, wear within the
allowance, what an interval between two leaves proves, expected loss of fitting or renewing.
Not here: form values biased by noise (`form`), what would settle an undecided one (`settle`).
Start with `judge`. No arrays: a command judges one reading in a short-lived process.
"""

from math import inf, isfinite
from typing import Literal, NamedTuple

from ringland.quantity import probability
from ringland.quantity.checked import checked
from ringland.quantity.estimate import Estimate

Verdict = Literal["within", "undecided", "beyond"]

PROVE = 0.95  # default of ISO 14253-1:2017, from memory: conformity is proven at 95 %
DISPROVE = 0.05  # and nonconformity at 95 %, which leaves 5 % for conformity
LAST_THIRD = 2 / 3  # common practice: "worn" starts in the last third of the allowance
ROUND_OFF = 1e-9  # share of the allowance; 0.60 of 0.30 to 0.75 is the third's edge, not past it


def probability_within(estimate: Estimate, *, lower: float | None, upper: float | None) -> float:
    """Probability that the true value lies within its limits.

    estimate : value, standard uncertainty and degrees of freedom; any unit
    lower, upper : limits in the same unit; None where there is none, but one of them is needed
    returns : 0 to 1; with u = 0 it is 0 or 1, and a value on a limit conforms
    Raises ValueError for limits that are missing, not finite or the wrong way round.

    Source: JCGM 106:2012, 7.2 to 7.4 (normal), scaled t where degrees of freedom are finite
    (JCGM 101:2008, 6.4.9).

    >>> round(probability_within(Estimate(-5.47, 0.05), lower=None, upper=-5.40), 3)
    0.919
    """
    check_limits(lower, upper)
    return probability.probability_within(
        estimate, -inf if lower is None else lower, inf if upper is None else upper
    )


def check_limits(lower: float | None, upper: float | None) -> None:
    """Refuse limits that no value could be held against.

    lower, upper : limits in one unit; None where there is none
    Raises ValueError that says what is wrong and what to do.
    """
    if lower is None and upper is None:
        raise ValueError("no limit is given: name a lower limit, an upper limit or both")
    for name, limit in (("lower", lower), ("upper", upper)):
        if limit is not None and not isfinite(limit):
            raise ValueError(f"the {name} limit is {limit}: give a finite number or leave it out")
    if lower is not None and upper is not None and lower > upper:
        raise ValueError(f"the lower limit {lower} is above the upper limit {upper}: swap them")


def verdict_of(p: float, *, prove: float = PROVE, disprove: float = DISPROVE) -> Verdict:
    """Turn a probability of conformance into a verdict.

    p : probability that the value conforms, 0 to 1
    prove : from here on it is within; disprove : down to here it is beyond (the shop's norm)
    Raises ValueError where 0 <= disprove < prove <= 1 does not hold, or p is no probability.

    Source: ISO 14253-1:2017, default probabilities (from memory).

    >>> verdict_of(0.97), verdict_of(0.5), verdict_of(0.01)
    ('within', 'undecided', 'beyond')
    """
    if not 0 <= p <= 1:
        raise ValueError(f"a probability lies between 0 and 1, not {p}")
    if not 0 <= disprove < prove <= 1:
        raise ValueError(
            f"the norm proves at {prove} and disproves at {disprove}: "
            "both lie between 0 and 1, the proof above"
        )
    if p >= prove:
        return "within"
    return "beyond" if p <= disprove else "undecided"


def judge(
    estimate: Estimate,
    *,
    lower: float | None,
    upper: float | None,
    prove: float = PROVE,
    disprove: float = DISPROVE,
) -> Verdict:
    """Judge a value against its limits by the shop's norm.

    Beyond is proven against one limit, not against both at once: where the gauge is so coarse that
    hardly any of the probability fits between two limits, it has proven nothing.

    estimate : value and its doubt; lower, upper : limits in the same unit, one of them needed
    prove, disprove : the norm, as in `verdict_of`
    Raises ValueError as `probability_within` and `verdict_of` do.

    >>> judge(Estimate(0.5, 40.0), lower=0.0, upper=1.0)
    'undecided'
    """
    p = probability_within(estimate, lower=lower, upper=upper)
    verdict = verdict_of(p, prove=prove, disprove=disprove)
    if verdict != "beyond" or lower is None or upper is None:
        return verdict
    above = probability_within(estimate, lower=lower, upper=None)
    below = probability_within(estimate, lower=None, upper=upper)
    return verdict_of(min(above, below), prove=1.0, disprove=disprove)


def share_used(value: float, new_end: float, limit: float) -> float:
    """Share of the wear allowance that is used up: 0 at the end of new, 1 at the limit.

    value, new_end, limit : in one unit; the limit may lie above (a gap) or below (a pin)
    returns : below 0 for better than new, above 1 past the limit
    Raises ValueError where there is no allowance between new and limit.

    >>> round(share_used(0.62, 0.45, 0.70), 2)
    0.68
    """
    if limit == new_end:
        raise ValueError(f"the limit {limit} equals the end of new: there is no allowance to wear")
    return (value - new_end) / (limit - new_end)


def worn(value: float, new_end: float, limit: float) -> bool:
    """Whether a value that is within stands in the last third of its allowance.

    value, new_end, limit : as in `share_used`; a value past the limit is not worn but beyond
    Raises ValueError where there is no allowance.

    Source: common practice.

    >>> worn(0.62, 0.45, 0.70), worn(0.50, 0.45, 0.70), worn(21.994, 22.000, 21.990)
    (True, False, False)
    """
    return LAST_THIRD - ROUND_OFF <= share_used(value, new_end, limit) <= 1


@checked
class Interval(NamedTuple):
    """Where a value lies, from `low` (included) to `high` (excluded); an open end is None.

    One leaf that goes gives `low`; one that does not go gives `high`.
    """

    low: float | None
    high: float | None

    def check(self) -> None:
        for end in (self.low, self.high):
            if end is not None and not isfinite(end):
                raise ValueError(f"an end of an interval is finite or left open, not {end}")
        if self.low is not None and self.high is not None and not self.low < self.high:
            raise ValueError(
                f"what goes ({self.low}) is not below what does not go ({self.high}): "
                "try both leaves again"
            )
        if self.low is None and self.high is None:
            raise ValueError("an interval open at both ends says nothing: try a leaf")


def interval_verdict(interval: Interval, *, lower: float | None, upper: float | None) -> Verdict:
    """What an interval between leaves proves against the limits.

    The leaf rule (common practice): the upper limit's own leaf entering means beyond; one leaf
    entering with the next untried is half-open, which is enough to prove a minimum.

    interval : from the leaf that goes to the one that does not
    lower, upper : limits in the same unit, one of them needed
    Raises ValueError for limits that are missing or the wrong way round.

    >>> interval_verdict(Interval(0.05, 0.08), lower=None, upper=0.05)
    'beyond'
    >>> interval_verdict(Interval(0.30, None), lower=0.25, upper=None)
    'within'
    """
    check_limits(lower, upper)
    sides: list[Verdict] = []
    if upper is not None:
        sides.append(_upper_side(interval, upper))
    if lower is not None:
        sides.append(_lower_side(interval, lower))
    if "beyond" in sides:
        return "beyond"
    return "undecided" if "undecided" in sides else "within"


def _upper_side(interval: Interval, upper: float) -> Verdict:
    if interval.low is not None and interval.low >= upper:
        return "beyond"
    return "within" if interval.high is not None and interval.high <= upper else "undecided"


def _lower_side(interval: Interval, lower: float) -> Verdict:
    if interval.high is not None and interval.high <= lower:
        return "beyond"
    return "within" if interval.low is not None and interval.low >= lower else "undecided"


def interval_probability(
    interval: Interval, *, lower: float | None, upper: float | None
) -> float | None:
    """Probability of conformance of an interval: 1 or 0 where proven, else the share inside.

    interval : between two leaves, every place in it equally likely (JCGM 100:2008, 4.3.7)
    lower, upper : limits in the same unit, one of them needed
    returns : None where an open end leaves it without a probability

    >>> interval_probability(Interval(0.35, 0.40), lower=None, upper=0.36)
    0.2
    """
    verdict = interval_verdict(interval, lower=lower, upper=upper)
    if verdict != "undecided":
        return 1.0 if verdict == "within" else 0.0
    if interval.low is None or interval.high is None:
        return None
    a = interval.low if lower is None else max(interval.low, lower)
    b = interval.high if upper is None else min(interval.high, upper)
    return round((b - a) / (interval.high - interval.low), 12)


class Losses(NamedTuple):
    """Expected loss of fitting a part as it is, and the sure loss of renewing it."""

    fit: float
    renew: float

    @property
    def cheaper(self) -> Literal["fit", "renew"]:
        """Which of the two costs less; at equal cost the new part."""
        return "fit" if self.fit < self.renew else "renew"


def expected_losses(p: float, *, failure: float, renewal: float) -> Losses:
    """Expected loss of fitting against renewing, where the sheet gives both costs.

    p : probability that the part conforms, 0 to 1
    failure : what it costs when a part that does not conform is fitted, any one money
    renewal : what the new part costs, same money
    Raises ValueError for a probability outside 0 to 1 or a negative cost.

    Source: expected cost of a decision, JCGM 106:2012, 9 (the consumer's risk), one part.

    >>> expected_losses(0.9, failure=400.0, renewal=60.0).cheaper
    'fit'
    """
    if not 0 <= p <= 1:
        raise ValueError(f"a probability lies between 0 and 1, not {p}")
    for name, cost in (("failure", failure), ("renewal", renewal)):
        if not (isfinite(cost) and cost >= 0):
            raise ValueError(f"the cost of {name} is {cost}: give 0 or more")
    return Losses(fit=(1 - p) * failure, renew=renewal)
