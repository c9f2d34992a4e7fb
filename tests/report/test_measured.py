"""A compression as a number for a program, beside a verdict that goes by its share alone."""

import pytest

from ringland.job.log.entries import Gauge, ReadingTaken
from ringland.report.drawings.verdict import verdict_picture
from ringland.report.measured import Measured
from ringland.report.view import board
from tests.job.making import read
from tests.job.tarrow import BASELINE, CRANKING, tarrow

COMPRESSION = "cranking compression"
PSI = 6894.757  # Pa, NIST SP 811, B.8


def compression(value: str, *, gauge: Gauge = CRANKING) -> ReadingTaken:
    """Return a compression as found."""
    return read(COMPRESSION, value, gauge=gauge)


def numbers(*facts: ReadingTaken) -> Measured:
    """Return what a program gets of the compression."""
    line = next(line for line in board(tarrow(*facts)) if line.check == COMPRESSION)
    assert line.measured is not None
    return line.measured


def test_a_compression_is_a_pressure_with_its_doubt_a_share_and_the_shops_limit() -> None:
    found = numbers(compression("9.3 bar"))
    assert (found.number, found.unit) == (9.3, "bar")
    assert found.u == pytest.approx(0.05 * 9.3 / 2)  # the gauge's habit, 5 % at 95 %
    assert BASELINE.value == "12.6 bar"
    assert found.share == pytest.approx(9.3 / 12.6)
    assert found.lower == pytest.approx(0.75 * 12.6)  # the shop stops at 25 % below
    assert found.upper is None
    assert found.probability is None


def test_its_share_leaves_out_the_error_that_both_readings_have() -> None:
    found = numbers(compression("12.6 bar"))
    # 3 % of a repeat and 1 % of weather in each of the two, 10 K of air not noted at 0.05 %/K
    assert found.share_u == pytest.approx((2 * (0.03**2 + 0.01**2) + 0.005**2) ** 0.5, rel=1e-3)


def test_it_stands_in_the_unit_it_was_read_in() -> None:
    found = numbers(compression("135 psi"))
    assert (found.number, found.unit) == (135.0, "psi")
    assert found.lower == pytest.approx(0.75 * 12.6e5 / PSI, rel=1e-6)


def test_another_gauge_leaves_the_pressure_and_no_share() -> None:
    found = numbers(compression("9.3 bar", gauge=Gauge("CG-9", "compression gauge")))
    assert found.number == 9.3
    assert (found.share, found.share_u, found.lower) == (None, None, None)


def test_the_numbers_draw_no_wall_that_no_sheet_gives() -> None:
    case = tarrow(compression("9.3 bar"))
    assert verdict_picture(case.verdicts[COMPRESSION, "as found"], "k") == ""
