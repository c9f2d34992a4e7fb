"""Piston choice: classes, measured pistons, uneven bores, stamps alone, and the wrong box."""

from math import inf, isclose, isnan, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.engine.identity import check_identity
from ringland.engine.landing import probability_class_lands
from ringland.engine.piston import (
    MeasuredPiston,
    SizeClass,
    clearance,
    fit_by_stamp,
    fit_of_class,
    fit_of_piston,
    rank_pistons,
)
from ringland.engine.refusal import OutOfRange
from ringland.quantity import Estimate
from ringland.quantity.probability import probability_below, probability_within

MICRO = 1e-6
LIMITS = (50 * MICRO, 80 * MICRO)
CLASSES = [
    SizeClass("I", 64.940e-3, 64.950e-3),
    SizeClass("II", 64.950e-3, 64.960e-3),
    SizeClass("III", 64.960e-3, 64.970e-3),
]
# bore gauge ± 0.005, micrometer ± 0.003 at 95 %, as common practice has it
BORE = Estimate(65.010e-3, 2.5 * MICRO)


def measured(name: str, size: float, u: float = 1.5 * MICRO) -> MeasuredPiston:
    return MeasuredPiston(name, Estimate(size * 1e-3, u))


def test_the_plain_job_picks_the_measured_class_two_and_shows_class_one_as_doubtful() -> None:
    # Story: bore 65.010 to 65.021; class II at 64.953 is right, class I at 64.944 undecided
    fits = rank_pistons(
        BORE, LIMITS, pistons=[measured("I", 64.944), measured("II", 64.953)], uneven=11 * MICRO
    )
    assert [fit.name for fit in fits] == ["II", "I"]
    two, one = fits
    assert isclose(two.low, 57 * MICRO, abs_tol=1e-9)
    assert isclose(two.high, 68 * MICRO, abs_tol=1e-9)
    assert isclose(one.low, 66 * MICRO, abs_tol=1e-9)
    assert isclose(one.high, 77 * MICRO, abs_tol=1e-9)
    assert two.probability is not None
    assert one.probability is not None
    assert two.probability > 0.95 > one.probability > 0.05


def test_shared_errors_cancel_and_the_rest_adds_up() -> None:
    bore = Estimate(53.230e-3, sqrt(4 + 1) * MICRO)
    piston = Estimate(53.182e-3, 2 * MICRO)
    assert isclose(clearance(bore, piston, u_shared=2 * MICRO).u, 1 * MICRO, rel_tol=1e-9)
    assert isclose(clearance(bore, piston).u, 3 * MICRO, rel_tol=1e-9)


def test_more_shared_than_either_doubt_is_refused() -> None:
    with pytest.raises(OutOfRange, match="smaller of the two") as refused:
        clearance(Estimate(0.054, 2e-6), Estimate(0.05395, 1e-6), u_shared=1.5e-6)
    assert refused.value.name == "shared"


def test_degrees_of_freedom_follow_welch_and_satterthwaite() -> None:
    found = clearance(Estimate(0.054, 2e-6, 4), Estimate(0.05395, 2e-6, 4))
    assert isclose(found.dof, 8)
    assert clearance(Estimate(0.054, 2e-6), Estimate(0.05395, 2e-6)).dof == inf


@given(
    st.floats(64.99, 65.05),
    st.floats(0.1, 10.0),
    st.sampled_from([1.0, 1.0000001, 1.5, 3.0, 30.0, inf]),
    st.floats(0.0, 0.012),
)
@settings(max_examples=80, deadline=None)
def test_a_class_is_the_mean_of_the_pistons_that_it_may_hold(
    bore: float, u: float, dof: float, width: float
) -> None:
    known = Estimate(bore * 1e-3, u * MICRO, dof)
    low, high = 64.950e-3, (64.950 + width) * 1e-3
    count = 400
    each = [
        probability_within(
            Estimate(known.value - (low + (high - low) * (n + 0.5) / count), known.u, dof), *LIMITS
        )
        for n in range(count)
    ]
    exact = probability_class_lands(known, (low, high), LIMITS)
    # the sum of 400 mid-points is this good: a class of 12 µm has steps of 0.03 µm, u is 0.1 or more
    assert abs(exact - sum(each) / count) < 2e-3
    assert 0.0 <= exact <= 1.0


def test_an_exactly_known_bore_leaves_the_share_of_the_class() -> None:
    # clearance 50 to 80 in 65.010: pistons 64.930 to 64.960; of a class 64.955-64.965 half
    exact = probability_class_lands(Estimate(65.010e-3, 0.0), (64.955e-3, 64.965e-3), LIMITS)
    assert isclose(exact, 0.5, abs_tol=1e-9)
    assert probability_class_lands(Estimate(65.010e-3, 0.0), (64.97e-3, 64.98e-3), LIMITS) == 0.0


def test_a_known_value_is_inside_or_outside_and_nothing_between() -> None:
    assert probability_within(Estimate(1.0, 0.0), 1.0, 2.0) == 1.0
    assert probability_within(Estimate(0.99, 0.0), 1.0, 2.0) == 0.0
    assert probability_below(Estimate(1.0, 0.0), 1.0) == 1.0
    assert probability_below(Estimate(1.0, 0.5), inf) == 1.0
    assert probability_below(Estimate(1.0, 0.5), -inf) == 0.0


def test_far_outside_a_window_the_probability_keeps_its_digits() -> None:
    below = probability_within(Estimate(0.0, 1.0), 10.0, 11.0)
    above = probability_within(Estimate(21.0, 1.0), 10.0, 11.0)
    assert isclose(below, 7.62e-24, rel_tol=1e-2)
    assert isclose(below, above, rel_tol=1e-12)


@given(st.floats(0.0, 0.04))
@settings(max_examples=40, deadline=None)
def test_an_uneven_bore_never_makes_a_fit_surer(uneven: float) -> None:
    even = fit_of_class(BORE, CLASSES[1], LIMITS).probability
    found = fit_of_class(BORE, CLASSES[1], LIMITS, uneven=uneven * 1e-3).probability
    assert even is not None
    assert found is not None
    assert found <= even + 1e-12


def test_a_bore_more_uneven_than_its_window_takes_no_piston() -> None:
    fit = fit_of_piston(BORE, measured("II", 64.953), LIMITS, uneven=31 * MICRO)
    assert fit.probability == 0.0


def test_a_class_leaves_its_piston_unproved_and_a_measured_one_nothing() -> None:
    assert "measure it" in fit_of_class(BORE, CLASSES[0], LIMITS).unproved[0]
    assert fit_of_piston(BORE, measured("II", 64.953), LIMITS).unproved == ()


def test_by_stamp_is_legal_and_says_what_it_leaves_unproved() -> None:
    fit = fit_by_stamp(SizeClass("B", 53.010e-3, 53.020e-3), SizeClass("B", 52.96e-3, 52.97e-3))
    assert fit.kind == "by stamp"
    assert fit.probability is None
    assert isclose(fit.low, 40 * MICRO)
    assert isclose(fit.high, 60 * MICRO)
    assert any("wear" in each for each in fit.unproved)
    assert any("clearance itself" in each for each in fit.unproved)


def test_another_make_in_its_one_size_has_no_clearance_to_show_without_a_barrel_class() -> None:
    fit = fit_by_stamp(None, SizeClass("standard", 53.95e-3, 53.95e-3))
    assert isnan(fit.low)
    assert isnan(fit.high)
    assert fit.probability is None


def test_nothing_to_choose_from_and_limits_that_run_downward_are_refused() -> None:
    with pytest.raises(OutOfRange, match="no piston to choose"):
        rank_pistons(BORE, LIMITS)
    with pytest.raises(OutOfRange, match="smaller limit first"):
        rank_pistons(BORE, (LIMITS[1], LIMITS[0]), classes=CLASSES)
    with pytest.raises(OutOfRange, match="smaller limit first"):
        SizeClass("X", 53.0e-3, 52.9e-3)


def test_label_stamp_and_micrometer_in_one_voice_agree() -> None:
    found = check_identity(
        CLASSES, label="ii", stamp="II", measured=Estimate(64.955e-3, 1.5 * MICRO)
    )
    assert found.state == "agree"
    assert found.contradictions == ()
    assert max(found.by_micrometer, key=lambda each: each[1])[0] == "II"


def test_the_wrong_box_is_named_with_who_contradicts_whom() -> None:
    found = check_identity(
        CLASSES, label="II", stamp="III", measured=Estimate(64.966e-3, 1.5 * MICRO)
    )
    assert found.state == "readings disagree"
    assert found.contradictions == (
        "label says II, stamp says III",
        "label says II, the micrometer says it is not",
    )


def test_a_size_on_the_edge_of_two_classes_cannot_be_told() -> None:
    found = check_identity(CLASSES, label="I", measured=Estimate(64.950e-3, 1.5 * MICRO))
    assert found.state == "undecided"
    assert found.contradictions == ()


def test_stamps_without_a_micrometer_still_contradict() -> None:
    assert check_identity(CLASSES, label="I", stamp="II").state == "readings disagree"
    assert check_identity(CLASSES, label="I", stamp="I").by_micrometer == ()


def test_a_mark_that_is_no_class_and_a_single_voice_are_refused() -> None:
    with pytest.raises(OutOfRange, match="classes: I, II, III") as refused:
        check_identity(CLASSES, label="I", stamp="Q")
    assert refused.value.name == "stamp"
    with pytest.raises(OutOfRange, match="two of label"):
        check_identity(CLASSES, label="I")
