"""Readings as CSV: all of them, as read, and harmless to a spreadsheet."""

import csv
import io
from pathlib import Path

import pytest

from ringland.job.log.entries import Indication, ReadingTaken
from ringland.report.csv import COLUMNS, readings_csv
from tests.report.shed import STRIPPED, Shed, shed


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_indication_is_a_line_in_the_order_it_was_taken(whole: Shed) -> None:
    case = whole.bench.case(whole.job)
    found = rows(readings_csv(case, whole.job))
    taken = [
        (said.entry, each.evidence, each.number, each.unit, each.typed)
        for readings in case.state.readings.values()
        for said in readings
        for each in said.fact.indications
    ]
    assert sorted(
        (r["entry"], r["evidence"], r["number"], r["unit"], r["typed"].removeprefix("'"))
        for r in found
    ) == sorted(taken)
    assert [r["at"] for r in found] == sorted(r["at"] for r in found)
    bore = next(r for r in found if r["place"] == "H1-X")
    assert (bore["number"], bore["unit"], bore["gauge_kind"]) == ("53.241", "mm", "bore gauge")
    assert (bore["temperature"], bore["by"], bore["verdict"]) == ("21 °C", "Ada", "undecided")


@pytest.mark.parametrize("sly", ["=1+1", "@SUM(A1)", "+cmd", "-x", "\tx"])
def test_a_remark_is_never_a_formula(tmp_path: Path, sly: str) -> None:
    one = shed(tmp_path, STRIPPED)
    one.keep(
        ReadingTaken("bore", "as found", (Indication("value", "53.2", "mm"),), "H1-X", remark=sly)
    )
    found = rows(readings_csv(one.bench.case(one.job), one.job))[-1]
    assert found["remark"] == f"'{sly}"


def test_a_number_below_zero_stays_a_number(tmp_path: Path) -> None:
    one = shed(tmp_path, STRIPPED)
    one.keep(ReadingTaken("bore", "as found", (Indication("value", "-0.005", "mm"),), "H1-X"))
    assert rows(readings_csv(one.bench.case(one.job), one.job))[-1]["number"] == "-0.005"


def test_a_job_without_readings_has_its_head_alone(tmp_path: Path) -> None:
    none = shed(tmp_path, ())
    assert readings_csv(none.bench.case(none.job), none.job) == ",".join(COLUMNS) + "\r\n"
