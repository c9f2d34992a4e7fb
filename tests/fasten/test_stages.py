"""Stages, interruption, and what moved degrees say."""

from math import radians

import pytest

from ringland.fasten.retorque import Joint, advice
from ringland.fasten.stages import Movement, judge_movement, stages_of


def test_stages_rise_to_the_full_value_and_end_with_a_check() -> None:
    stages = stages_of(30.0)
    assert [stage.torque for stage in stages] == pytest.approx([9.0, 19.5, 30.0, 30.0])
    assert [stage.final for stage in stages] == [False, False, True, True]
    assert [stage.check for stage in stages] == [False, False, False, True]
    assert [stage.number for stage in stages] == [1, 2, 3, 4]


def test_the_maker_s_own_shares_are_taken() -> None:
    assert [stage.name for stage in stages_of(12.0, shares=(0.5, 1.0))] == [
        "50 %",
        "100 %",
        "check",
    ]


@pytest.mark.parametrize("shares", [(), (0.3, 0.65), (0.65, 0.3, 1.0), (0.5, 0.5, 1.0), (0.0, 1.0)])
def test_shares_that_do_not_rise_to_one_are_refused(shares: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="exactly 1"):
        stages_of(30.0, shares=shares)


@pytest.mark.parametrize("torque", [0.0, -1.0, float("nan")])
def test_a_final_torque_is_above_nothing(torque: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        stages_of(torque)


def verdicts(degrees: dict[str, float]) -> dict[str, Movement]:
    angles = {name: radians(angle) for name, angle in degrees.items()}
    return {each.fastener: each.movement for each in judge_movement(angles)}


def test_a_nut_that_moves_more_than_thirty_degrees_is_an_open_question() -> None:
    found = judge_movement({"1": radians(30.5), "2": radians(29.5)})
    assert [each.movement for each in found] == [Movement.OPEN, Movement.SETTLING]
    assert found[0].is_open
    assert "pulled thread" in found[0].follow_up


def test_nuts_that_hardly_move_are_settled() -> None:
    assert set(verdicts({"1": 0, "2": 3, "3": 4.9}).values()) == {Movement.SETTLED}


def test_just_five_degrees_is_no_longer_settled() -> None:
    assert verdicts({"1": 5.0, "2": 4.99})["1"] is Movement.SETTLING
    assert verdicts({"1": 5.0, "2": 4.99})["2"] is Movement.SETTLED


def test_all_moving_alike_is_a_settling_gasket_and_not_one_bad_nut() -> None:
    assert set(verdicts({"1": 20, "2": 22, "3": 19, "4": 24}).values()) == {Movement.SETTLING}


def test_one_that_turns_far_more_than_its_fellows_is_open() -> None:
    found = verdicts({"1": 2, "2": 3, "3": 16, "4": 2})
    assert found["3"] is Movement.MORE_THAN_FELLOWS
    assert found["1"] is Movement.SETTLED


def test_two_bad_ones_do_not_hide_each_other() -> None:
    found = verdicts({"1": 2, "2": 20, "3": 3, "4": 20, "5": 2, "6": 2})
    assert found["2"] is found["4"] is Movement.MORE_THAN_FELLOWS


def test_a_small_difference_is_not_blown_up_by_still_fellows() -> None:
    assert verdicts({"1": 0, "2": 0, "3": 4})["3"] is Movement.SETTLED


def test_an_only_fastener_has_no_fellows() -> None:
    (only,) = judge_movement({"drain": radians(12)})
    assert only.fellows is None
    assert only.movement is Movement.SETTLING


def test_a_turn_backwards_is_refused() -> None:
    with pytest.raises(ValueError, match="fastener 2"):
        judge_movement({"1": 0.0, "2": -0.1})


def test_only_a_settling_gasket_is_pulled_again() -> None:
    assert [advice(joint).retorque for joint in Joint] == [True, False, False]
    assert all("cold" in advice(joint).when.lower() for joint in Joint)
    assert all("moved degrees" in advice(joint).log[0] for joint in Joint)
