"""What would settle an undecided verdict."""

from math import inf, sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ringland.measure.estimates import Contribution, MeasureError, add_up
from ringland.measure.gauges import Gauge
from ringland.measure.settle import Question, needed_u, settled_by

CHECKS = settings(max_examples=60, deadline=None)
ASKED = Question(54.036e-3, None, 54.040e-3)
COARSE = add_up(ASKED.value, [Contribution("B1", 6e-6)])
SHELF = [
    Gauge("bore gauge", name="B1", permissible_error=10e-6),
    Gauge("bore gauge", name="B2", permissible_error=4e-6),
    Gauge("bore gauge", name="B3", permissible_error=1e-6),
    Gauge("telescoping gauge", name="T1"),
]


@CHECKS
@given(st.floats(-3, 3), st.one_of(st.none(), st.floats(-2, 0)))
def test_the_needed_doubt_is_the_edge_of_a_decision(value: float, lower: float | None) -> None:
    question = Question(value, lower, 1.0)
    assume(all(abs(value - limit) > 1e-3 for limit in (lower, 1.0) if limit is not None))
    needed = needed_u(question)
    assert needed is not None
    assert question.verdict_at(needed) != "undecided"
    assert question.verdict_at(needed * 1.0001) == "undecided"


def test_one_sided_the_needed_doubt_is_the_distance_over_1_645() -> None:
    """JCGM 106:2012 Table 1: z of 95 %."""
    assert needed_u(ASKED) == pytest.approx(4e-6 / 1.6449, rel=1e-4)


def test_on_the_limit_no_gauge_will_do_and_a_norm_of_half_needs_none() -> None:
    assert needed_u(Question(1.0, None, 1.0)) is None
    assert needed_u(Question(0.5, None, 1.0, prove=0.4, disprove=0.3)) == inf


def test_the_coarsest_gauge_that_does_it_comes_first_and_the_present_one_is_not_named() -> None:
    ways = settled_by(ASKED, COARSE, shelf=SHELF, gauge="B1")
    assert [way.what for way in ways] == ["B2", "B3"]
    assert all(way.verdict == "within" for way in ways)
    assert ways[0].u == pytest.approx(4e-6 / sqrt(3))


def test_the_gauge_in_hand_is_no_way_out_however_good_it_should_be() -> None:
    in_hand = Gauge("bore gauge", name="B1", permissible_error=1e-6)
    assert settled_by(ASKED, COARSE, shelf=[in_hand], gauge="B1") == []


def test_other_doubts_stay_when_the_gauge_is_changed() -> None:
    rest = Contribution("skirt", 3e-6)
    budget = add_up(ASKED.value, [Contribution("B1", 6e-6), rest])
    assert settled_by(ASKED, budget, shelf=SHELF, gauge="B1") == []


def test_repeats_are_counted_where_scatter_is_what_is_in_the_way() -> None:
    budget = add_up(ASKED.value, [Contribution("B1", 1e-6), Contribution("scatter", 4e-6)])
    (way,) = settled_by(ASKED, budget, scatter=4e-6)
    assert (way.kind, way.times) == ("repeats", 4)  # √(1 + 16/4) = 2.24 is under 2.43; 3 give 2.52
    assert way.u == pytest.approx(sqrt(1e-12 + 16e-12 / 4))


def test_repeats_do_not_help_against_an_error_of_the_scale() -> None:
    assert settled_by(ASKED, add_up(ASKED.value, [Contribution("B1", 6e-6)]), scatter=1e-6) == []
    with pytest.raises(MeasureError, match="0 or more"):
        settled_by(ASKED, COARSE, scatter=-1e-6)


def test_one_temperature_settles_what_temperature_made_doubtful() -> None:
    lines = [Contribution("B1", 2e-6), Contribution("part_excess", 4e-6)]
    ways = settled_by(ASKED, add_up(ASKED.value, lines))
    assert [(way.kind, way.u) for way in ways] == [("temperature", 2e-6)]


def test_a_decided_verdict_needs_nothing() -> None:
    assert settled_by(ASKED, add_up(ASKED.value, [Contribution("B1", 1e-6)]), shelf=SHELF) == []
