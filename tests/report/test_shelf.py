"""The shelf says what a gauge reads, what it is worth, and when its calibration is over."""

import pytest

from ringland.job.log.entries import Gauge
from ringland.job.log.shop import Shelf
from ringland.report.shelf import ShelfLine, shelf_rows, shelf_view


def line(gauge: Gauge, today: str = "2026-05-02", **norms: str) -> ShelfLine:
    (found,) = shelf_view(Shelf({gauge.id: gauge}, norms), today)
    return found


@pytest.mark.parametrize(
    ("gauge", "said"),
    [
        (Gauge("G", "k", low="10 N·m", high="60 N·m", resolution="1 N·m"), "10 to 60 N·m by 1 N·m"),
        (Gauge("G", "k", high="1 in", resolution="0.0001 in"), "to 1 in by 0.0001 in"),
        (Gauge("G", "k", low="0 mm", high="1 in"), "0 mm to 1 in"),
        (Gauge("G", "k", leaves=("0.05 mm", "0.10 mm")), "2 leaves, 0.05 mm to 0.10 mm"),
        (Gauge("G", "k"), ""),
    ],
)
def test_a_scale_is_told_as_far_as_it_is_known(gauge: Gauge, said: str) -> None:
    assert line(gauge).reads == said


def test_a_calibration_is_over_by_the_shops_own_months() -> None:
    gauge = Gauge("MIC-1", "fine micrometer", "3 µm", calibrated="2025-04-01")
    assert "due again 2026-04-01" in line(gauge).overdue
    assert line(gauge, "2026-03-31").overdue == ""
    assert line(gauge, calibration="24").overdue == ""
    assert shelf_rows([line(gauge)])[0][-1] == "calibrated 2025-04-01, OVERDUE"
