"""Drawings of pressures: a pump-up with its band, percent of the own baseline over hours.

matplotlib is imported where something is drawn. Not here: what the readings say (`told`).
"""

from collections.abc import Sequence

from ringland.job.case import Case
from ringland.job.log.fold import Reading
from ringland.job.readings.cranking import modelled
from ringland.quantity import Estimate, show_number


def pump_up_svg(case: Case, key: Reading) -> str:
    """Return a cranking reading, stroke by stroke, within the band of sound engines of its sheet.

    Raises ValueError where the sheet's geometry is not complete.
    """
    import numpy as np

    from ringland.charts.curve import Band, Line, Points, curve_chart
    from ringland.charts.style import Words

    found = modelled(case.book, case.state.readings[key][-1].fact)
    zero = np.zeros(1)
    strokes = np.arange(found.band.middle.size + 1.0)
    low, middle, high = (
        np.concatenate([zero, each]) / 1e5
        for each in (found.band.low, found.band.middle, found.band.high)
    )
    at = np.array([float(stroke) for stroke, _ in found.run.readings])
    read = np.array([value for _, value in found.run.readings]) / 1e5
    last = int(at[-1])
    return curve_chart(
        Words(
            "Compression gauge, stroke by stroke",
            f"19 of 20 sound engines of this sheet read {low[last]:.1f} to {high[last]:.1f} bar after "
            f"{last} strokes, here and today; this one reads {read[-1]:.1f} bar.",
            "strokes",
            "gauge pressure, bar",
        ),
        lines=[Line(strokes, middle, "sound engine")],
        band=Band(strokes, low, high, "19 of 20 sound"),
        points=Points(at, read, "read"),
    )


def over_hours_svg(
    machine: str, points: Sequence[tuple[float, Estimate]], levels: Sequence[tuple[str, float]]
) -> str:
    """Return percent of the own baseline over hours with ± at 95 %.

    points : hours, share of baseline with its doubt
    levels : name and share of baseline of each of the shop's levels
    Raises ValueError when there is nothing to draw.
    """
    import numpy as np

    from ringland.charts.curve import Points, Wall, curve_chart
    from ringland.charts.style import Words

    if not points:
        raise ValueError(f"{machine} has no comparable compression reading at known hours yet")
    said = "; ".join(
        f"{show_number(hours, 1)} h {share_words(share)} of baseline" for hours, share in points
    )
    return curve_chart(
        Words(
            f"Compression of {machine} over its hours",
            f"{said}. Levels are the shop's norms.",
            "hours of the machine",
            "percent of its own baseline",
        ),
        points=Points(
            np.array([hours for hours, _ in points]),
            np.array([100 * share.value for _, share in points]),
            "read",
            np.array([200 * share.u for _, share in points]),
        ),
        walls=[Wall(100 * share, name, below=True) for name, share in levels],
    )


def share_words(share: Estimate) -> str:
    """Return a share of the baseline with its ± at 95 %: "84.1 % ± 8"."""
    return f"{show_number(100 * share.value, 1)} % ± {show_number(200 * share.u, 0)}"
