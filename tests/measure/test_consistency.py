"""Readings that cannot all be true."""

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringland.measure.consistency import Relation, check_linked, chi_square_above
from ringland.measure.estimates import MeasureError
from ringland.quantity.estimate import Estimate

CHECKS = settings(max_examples=40, deadline=None)
GAP = Relation(
    "gap high − gap low = π (bore high − bore low)",
    {"gap high": 1.0, "gap low": -1.0, "bore high": -pi, "bore low": pi},
)


def gaps(gap_high: float, bore_high: float) -> dict[str, Estimate]:
    return {
        "gap high": Estimate(gap_high, 0.007),
        "gap low": Estimate(0.31, 0.007),
        "bore high": Estimate(bore_high, 0.0025),
        "bore low": Estimate(65.011, 0.0025),
    }


def test_gap_and_bore_of_the_plain_job_agree() -> None:
    """Story S1: 0.31 low, 0.34 high; 0.03/π ≈ 0.010 is about the taper."""
    found = check_linked(gaps(0.34, 65.020), [GAP])
    assert not found.disagrees
    assert found.probability > 0.5
    assert found.measure_next == ""


def test_a_gap_that_the_bore_cannot_make_disagrees_and_one_relation_cannot_tell_which() -> None:
    found = check_linked(gaps(0.43, 65.020), [GAP])
    assert found.disagrees
    assert set(found.likely_wrong) == {"gap high", "gap low", "bore high", "bore low"}
    assert found.measure_next.startswith("gap")
    assert found.discrepancies[GAP.name] == pytest.approx(0.12 - pi * 0.009)


def test_two_relations_that_share_a_reading_name_it() -> None:
    read = {
        "label": Estimate(64.955, 0.003),
        "stamp": Estimate(64.955, 0.003),
        "micrometer": Estimate(64.925, 0.0015),
    }
    same = [
        Relation("label = micrometer", {"label": 1, "micrometer": -1}),
        Relation("stamp = micrometer", {"stamp": 1, "micrometer": -1}),
    ]
    found = check_linked(read, same, repeatable=["micrometer"])
    assert found.likely_wrong == ("micrometer",)
    assert found.measure_next == "micrometer"
    assert found.suspects[0].off_by == pytest.approx(-0.030, abs=1e-9)
    assert found.suspects[0].agrees_without == pytest.approx(1)


def test_what_cannot_be_read_again_is_not_what_to_measure_next() -> None:
    read = {
        "label": Estimate(64.955, 0.003),
        "stamp": Estimate(64.985, 0.003),
        "micrometer": Estimate(64.985, 0.0015),
    }
    same = [
        Relation("label = micrometer", {"label": 1, "micrometer": -1}),
        Relation("stamp = micrometer", {"stamp": 1, "micrometer": -1}),
    ]
    found = check_linked(read, same, repeatable=["micrometer"])
    assert found.likely_wrong == ("label",)
    assert found.measure_next == "micrometer"


def test_a_constant_and_a_tolerance_of_the_relation_count() -> None:
    """Squish before and after a skim of 0.06: 1.20 to 1.14."""
    read = {"before": Estimate(1.20, 0.015), "after": Estimate(1.04, 0.015)}
    exact = Relation("before − after = skim", {"before": 1, "after": -1}, constant=0.06)
    loose = Relation(exact.name, exact.factors, constant=0.06, tolerance=0.1)
    assert check_linked(read, [exact]).disagrees
    assert not check_linked(read, [loose]).disagrees


@CHECKS
@given(st.floats(-0.5, 0.5), st.floats(1, 5))
def test_readings_disagree_less_when_doubt_grows(off: float, factor: float) -> None:
    sure = gaps(0.34 + off, 65.020)
    vague = {name: Estimate(each.value, each.u * factor) for name, each in sure.items()}
    assert check_linked(vague, [GAP]).probability >= check_linked(sure, [GAP]).probability


@CHECKS
@given(st.permutations(["gap high", "gap low", "bore high", "bore low"]), st.floats(0.1, 1000))
def test_neither_order_nor_unit_changes_the_test(order: list[str], scale: float) -> None:
    read = gaps(0.43, 65.020)
    first = check_linked(read, [GAP])
    turned = {name: Estimate(read[name].value * scale, read[name].u * scale) for name in order}
    again = check_linked(turned, [GAP])
    assert again.chi_square == pytest.approx(first.chi_square, rel=1e-6)


def test_a_sure_quantity_is_no_suspect() -> None:
    read = {"a": Estimate(1.0, 0.0), "b": Estimate(2.0, 0.1)}
    found = check_linked(read, [Relation("a = b", {"a": 1, "b": -1})])
    assert [each.quantity for each in found.suspects] == ["b"]


@pytest.mark.parametrize(
    ("relations", "said"),
    [
        ([], "no relation"),
        ([Relation("r", {"c": 1.0})], "no reading of c"),
        ([Relation("r", {"a": 1.0}, tolerance=-1.0)], "0 or more"),
        ([Relation("r", {"a": float("nan")})], "finite"),
        ([Relation("r", {"sure": 1.0})], "nothing in it is in doubt"),
        ([Relation("r", {"a": 1.0, "b": -1.0}), Relation("s", {"a": 2.0, "b": -2.0})], "follows"),
    ],
)
def test_relations_that_cannot_be_tested_are_refused(relations: list[Relation], said: str) -> None:
    read = {"a": Estimate(1.0, 0.1), "b": Estimate(1.0, 0.1), "sure": Estimate(1.0, 0.0)}
    with pytest.raises(MeasureError, match=said):
        check_linked(read, relations)


def test_an_improper_significance_or_chi_square_is_refused() -> None:
    with pytest.raises(MeasureError, match="significance"):
        check_linked(gaps(0.34, 65.020), [GAP], significance=0.0)
    with pytest.raises(MeasureError, match="chi-square"):
        chi_square_above(-1.0, 1)
    assert chi_square_above(2000.0, 3) == 0
