"""Each line of the log says what was read, where and with what."""

from dataclasses import replace

import pytest

from ringland.job.log.entries import Corrected, Fact, FigureTakenOver, JobOpened
from ringland.report.facts import fact_words
from tests.job.making import BORE_GAUGE, FEELER, felt, read, value

GAP = replace(
    read("ring end gap", gauge=FEELER, place="top"),
    indications=(value("0.65 mm", "goes"), value("0.70 mm", "stops")),
)
BORE = read("bore", "65.016 mm", gauge=BORE_GAUGE, place="H1-X")


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (BORE, "bore H1-X 65.016 mm with BG-1"),
        (replace(BORE, temperature="21 °C"), "bore H1-X 65.016 mm with BG-1 at 21 °C"),
        (GAP, "ring end gap top 0.65 mm goes, 0.70 mm stops with FG-1"),
        (replace(GAP, condition="as fitted"), "new ring end gap top 0.65 mm goes, 0.70 mm stops with FG-1"),
        (replace(BORE, indications=(felt("not measurable"),)), "bore H1-X not measurable"),
        (replace(read("barrel wall", felt("good")), temperature="21 °C"), "barrel wall good"),
        (Corrected("e1", BORE, "slip"), "corrected: bore H1-X 65.016 mm with BG-1, because slip"),
        (
            FigureTakenOver(("fasteners", "barrel nuts", "torque"), "22 lbf·ft @ p S-3", "misread"),
            "figure taken over: barrel nuts 22 lbf·ft @ p S-3, because misread",
        ),
        (
            JobOpened("oxbow-1", "piston", "hours are up", {}),
            "job opened on oxbow-1: piston kit, because hours are up",
        ),
    ],
)  # fmt: skip
def test_a_line_of_the_log_is_told_whole(fact: Fact, words: str) -> None:
    assert fact_words(fact) == words
