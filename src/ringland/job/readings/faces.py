"""A face read at points: its flatness as the narrowest zone that holds them all, tilt removed.

Each point is a reading at a place named by where it lies, "at 12,34 mm".
Start with `of_points`.
"""

import re
from collections.abc import Mapping
from dataclasses import replace

from ringland.job.readings.value import Form, Value
from ringland.measure.estimates import MeasureError
from ringland.quantity import Estimate, show_number

LEAST = 4  # points; three always lie in one plane
_PLACE = re.compile(r"at (-?[\d.]+),(-?[\d.]+) mm$")


def place_of(x: float, y: float) -> str:
    """Return the place of a point [m].

    >>> place_of(0.012, -0.034)
    'at 12,-34 mm'
    """
    return f"at {x * 1e3:.10g},{y * 1e3:.10g} mm"


def is_point(place: str) -> bool:
    """Say whether a place is one of a face's points."""
    return _PLACE.match(place) is not None


def of_points(whole: Value, places: Mapping[str, Value], noise: float) -> Value:
    """Return the flatness of a face from its points; with too few, why there is none.

    whole : what its places share; noise : standard uncertainty of each height, SI
    """
    from ringland.measure.flatness import lap, minimum_zone

    doubtful = next((value.doubt for value in places.values() if value.doubt), "")
    points = [
        (float(at[1]) * 1e-3, float(at[2]) * 1e-3, value.estimate.value)
        for place, value in places.items()
        if (at := _PLACE.match(place)) and value.estimate is not None
    ]
    if doubtful or len(points) < LEAST:
        few = f"{len(points)} points show no flatness: read {LEAST} or more, spread over the face"
        return replace(whole, doubt=doubtful or few)
    try:
        zone, cut = minimum_zone(points), lap(points)
    except MeasureError as error:
        return replace(whole, doubt=str(error))
    off = f"{show_number(cut.deepest * 1e3, 3)} mm"
    notes = (
        f"narrowest zone of {len(points)} points, tilt removed (ISO 1101)",
        f"lapping it flat takes {off} off at the most",
    )
    return replace(
        whole,
        estimate=Estimate(zone.width, noise * 2**0.5),
        least=None,
        budget=None,
        least_budget=None,
        place="",
        form=Form((), noise, tuple(points)),
        notes=notes,
    )
