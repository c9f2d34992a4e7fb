"""The numbers behind the settings: what a program is told is what a person reads.

The engine is the demo's invented Tarrow 124. Inches: 25.4 mm exactly (NIST SP 811, B.8).
"""

import random
from dataclasses import replace
from decimal import Decimal
from math import sqrt
from statistics import stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringland.engine.ports import Port, window
from ringland.engine.slider_crank import Crank
from ringland.job.case import Case
from ringland.job.log.entries import (
    Fact,
    FastenerPulled,
    Gauge,
    GaugeUsed,
    PartDecided,
    PartRenewed,
)
from ringland.job.settings import Setting, settings
from ringland.job.settings.number import Number, other_unit, span_words
from ringland.quantity import Quantity, Span, find_unit
from ringland.report.measured import SettingNumber
from ringland.report.view import settings_view
from tests.job.making import FEELER, MICROMETER, SOLDER, bore, read
from tests.job.tarrow import rows, tarrow

MM, INCH = find_unit("mm"), find_unit("in")
INCH_FEELER = Gauge("FG-IN", "feeler", resolution="0.001 in", leaves=("0.0015 in", "0.002 in"))
PISTON = read("piston skirt", "53.152 mm", condition="as fitted", gauge=MICROMETER)
TIGHT = read("ring end gap", "0.20 mm", place="bottom", condition="as fitted", gauge=FEELER)
WITH_ADAPTER = FastenerPulled(
    "barrel nuts", 1, 3, "24.5 N·m", "TW-1", "300 mm", "50 mm", "0 deg", False
)
WHOLE: list[Fact] = [
    *bore(H1X="53.214", H1Y="53.214", H3X="53.212", H3Y="53.212"),
    *(
        read("squish", "1.02 mm", place=place, condition="as fitted", gauge=SOLDER)
        for place in ("EX", "IN", "IGN", "CL")
    ),
    PartRenewed("base gasket", 1, "0.40 mm"),
    PartRenewed("piston", 1, "class B"),
    PISTON,
    TIGHT,
    WITH_ADAPTER,
]
BY_STAMP: list[Fact] = [PartDecided("piston", "class B", "by stamp, unmeasured")]


def everything(*facts: Fact) -> list[Setting]:
    """Return all settings that explaining adds too."""
    return settings(tarrow(*facts, scope="full"), explain=True)


def told(case: Case, name: str, what: str) -> SettingNumber:
    """Return a number of the first setting of a name, as a program gets it."""
    line = next(line for line in settings_view(case) if line.name == name)
    return next(each for each in line.numbers if each.what == what)


@pytest.mark.parametrize("facts", [[], BY_STAMP, WHOLE, [GaugeUsed(INCH_FEELER), *WHOLE]])
def test_each_number_for_a_program_is_printed_in_the_words_beside_it(facts: list[Fact]) -> None:
    for row in everything(*facts):
        text = " ".join((row.name, row.value, row.remark))
        for number in row.numbers:
            once = number.digits in row.value and row.value.endswith(number.unit.name)
            assert number.words in text or once, (row, number)
            assert number.probability is None or number.chance in text, (row, number)


@pytest.mark.parametrize("facts", [[], BY_STAMP, WHOLE])
def test_only_what_has_no_number_tells_a_program_none(facts: list[Fact]) -> None:
    without = {row.name.strip() for row in everything(*facts) if row.value and not row.numbers}
    assert without <= {"order", "retorque", "ends would touch at"}  # the ends that open


def test_a_setting_that_is_not_given_has_no_number_rather_than_zero() -> None:
    lines = settings_view(tarrow(without=("piston to barrel", "base gaskets", "head volume")))
    missing = [line for line in lines if line.missing]
    assert len(missing) >= 3
    assert all(line.numbers == () for line in missing)
    every = [each for line in lines for each in line.numbers]
    assert any(each.number is None for each in every)  # a window has no value of its own
    assert all(each.u != 0 and each.probability != 0 for each in every)


def test_the_squish_of_a_gasket_is_told_with_its_doubt_window_chance_and_source() -> None:
    found = told(tarrow(*WHOLE), "base gasket 0.50 mm", "squish")
    assert (found.number, found.unit) == (1.12, "mm")
    # solder is worth ±0.030 mm at 95 %; a gasket that is changed adds 0.010 mm
    assert found.u == pytest.approx(sqrt(0.015**2 + 0.010**2), rel=1e-6)
    assert (found.lower, found.upper) == (0.9, 1.15)
    assert found.probability == pytest.approx(0.952, abs=0.001)  # z = 0.03 / 0.01803, tables
    assert found.source.endswith("limits: engine sheet, p 4-27")


def test_the_nut_is_told_what_the_wrench_may_be_off() -> None:
    case = tarrow()
    wanted, nut = (told(case, "barrel nuts", what) for what in ("torque", "at the nut"))
    assert (wanted.number, wanted.unit, wanted.source) == (21.0, "lbf·ft", "engine sheet, p 4-40")
    # ISO 6789: ±4 % above 10 N·m; 28.5 × 0.96 and × 1.04 by hand
    assert (nut.low, nut.number, nut.high) == (27.36, 28.5, 29.64)
    assert nut.source == "TW-1, ISO 6789"


def test_a_torque_from_a_range_is_its_middle_within_its_ends() -> None:
    case = tarrow()
    group = replace(case.book.figures.torques["stay bolts"], new=_span("22", "26", "N·m"))
    torques = {**case.book.figures.torques, "stay bolts": group}
    book = replace(case.book, figures=replace(case.book.figures, torques=torques))
    ranged = replace(case, book=book)
    found = told(ranged, "stay bolts", "torque")
    assert (found.number, found.lower, found.upper) == (24.0, 22.0, 26.0)
    assert "the middle of the sheet's 22-26 N·m" in rows(ranged)["stay bolts"].remark


def test_a_port_angle_is_as_sure_as_the_digits_of_the_sheet() -> None:
    """Second method: the digits drawn at random within half a last place (JCGM 101)."""
    draw = random.Random(3).uniform

    def near(millimetres: float) -> float:
        return (millimetres + draw(-0.05, 0.05)) * 1e-3

    def once() -> float:
        crank, port = Crank(near(56.0), near(110.0)), Port("exhaust", near(28.2), "exhaust")
        return window(crank, port).duration * 180 / 3.14159265

    found = told(tarrow(), "exhaust", "open")
    assert found.u == pytest.approx(stdev(once() for _ in range(4000)), rel=0.05)
    assert "open 193.8 ± 0.3°" in rows(tarrow())["exhaust"].value


# -- a gauge of the other system -----------------------------------------------------------------


def test_an_inch_gauge_has_the_window_in_inches_rounded_inward() -> None:
    found = rows(tarrow(GaugeUsed(INCH_FEELER), TIGHT))
    # 0.30/25.4 = 0.01181, 0.38/25.4 = 0.01496: never outside the maker's window
    assert found["ring end gap"].value == "0.30-0.38 mm (0.0119-0.0149 in)"
    assert found["squish spread"].value == "max 0.10 mm (max 0.0039 in)"
    assert found["piston to barrel"].value == "0.045-0.070 mm (0.00178-0.00275 in)"
    assert found["to file off"].value.endswith(" (0.0045 in)")  # 0.115 / 25.4 = 0.00453
    assert "read 0.200 ± 0.015 mm (0.00787 ± 0.00059 in)" in found["to file off"].remark
    assert found["retorque angle"].value == "max 30°"


def test_a_metric_shelf_is_told_no_inches() -> None:
    assert not any(" in)" in row.value + row.remark for row in everything(*WHOLE))


def test_a_sheet_in_inches_has_millimetres_beside_it_for_a_metric_shelf() -> None:
    assert other_unit(tarrow(), INCH) == MM
    assert other_unit(tarrow(), MM) is None


def test_a_reading_in_inches_asks_for_inches_too() -> None:
    skirt = read("piston skirt", "2.0926 in", condition="as fitted", gauge=MICROMETER)
    assert rows(tarrow(skirt))["squish"].value == "0.90-1.15 mm (0.0355-0.0452 in)"


def _span(low: str, high: str, unit: str = "mm") -> Span:
    return Span(*(Quantity(Decimal(end), find_unit(unit)) for end in (low, high)))


@given(
    low=st.decimals("0", "60", places=3), wide=st.decimals("0.001", "0.9", places=3),
    home=st.sampled_from(["mm", "in"]),
)  # fmt: skip
def test_a_window_in_a_second_unit_never_allows_more_and_is_never_empty(
    low: Decimal, wide: Decimal, home: str
) -> None:
    other = INCH if home == "mm" else MM
    span = _span(f"{low}", f"{low + wide}", home)
    assert span.low
    assert span.high
    second = span_words(span, other).partition("(")[2].rstrip(")").partition(" ")[0]
    least, _, most = second.partition("-")
    ends = [other.to_si(Decimal(each)) for each in (least, most or least)]
    assert span.low.si - 1e-12 <= ends[0] <= ends[1] <= span.high.si + 1e-12


def test_a_doubt_that_is_there_is_never_printed_as_none() -> None:
    fine = Number(MM, 2, "squish", 1.02e-3, 1e-6)
    assert fine.words == "1.020 ± 0.002 mm"
