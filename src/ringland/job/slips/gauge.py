"""What a gauge can show at all: its kind, its range, its steps, its leaves.

Start with `gauge_slip`.
"""

from decimal import Decimal
from itertools import combinations

from ringland.job.log.entries import Gauge
from ringland.job.readings.gauging import LIKE, number_of, range_words
from ringland.job.slips.size import Slip
from ringland.measure.gauges import HABITS
from ringland.quantity import Quantity, parse_quantity

SAME_LEAF = 1e-6  # m
FINE_STEP = 2e-6  # m; up to here a gauge shows digits, and nobody reads between its steps
BETWEEN_MARKS = 10  # a coarser scale is read to a tenth of its marks at best; common practice


def gauge_slip(gauge: Gauge, quantity: Quantity) -> Slip | None:
    """Ask about a value that this gauge cannot have shown."""
    habit = HABITS.get(LIKE.get(gauge.kind, gauge.kind))
    if habit is not None and habit.quantity != quantity.unit.kind:
        return Slip(
            f"{quantity}: {gauge.id} is a {gauge.kind}, which reads no {quantity.unit.kind}."
        )
    return (
        _range_slip(gauge, quantity) or _leaf_slip(gauge, quantity) or _step_slip(gauge, quantity)
    )


def _range_slip(gauge: Gauge, quantity: Quantity) -> Slip | None:
    low, high = number_of(gauge.low), number_of(gauge.high)
    if gauge.kind == "solder" and high is not None and quantity.si >= high:
        return Slip(
            f"{quantity}: {gauge.id} is {gauge.high} thick when fresh, so it was not squeezed there."
        )
    inside = (low is None or quantity.si >= low) and (high is None or quantity.si <= high)
    if inside:
        return None
    return Slip(
        f"{quantity}: {gauge.id} reads {range_words(gauge)}. Another gauge, or another unit?"
    )


def _leaf_slip(gauge: Gauge, quantity: Quantity) -> Slip | None:
    """Ask about a thickness that no leaf of the set, and no sum of up to three, can show."""
    if not gauge.leaves:
        return None
    leaves = [parse_quantity(leaf, "length").si for leaf in gauge.leaves]
    sums = [sum(stack) for n in (1, 2, 3) for stack in combinations(leaves, n)]
    if any(abs(each - quantity.si) <= SAME_LEAF for each in sums):
        return None
    near = min(sums, key=lambda each: abs(each - quantity.si))
    likely = f"{quantity.unit.from_si(near):.4g} {quantity.unit.name}"
    return Slip(
        f"{quantity}: no leaf of {gauge.id}, nor a sum of them, is that thick. Nearest: {likely}.",
        (likely,),
    )


def _step_slip(gauge: Gauge, quantity: Quantity) -> Slip | None:
    """Ask about digits finer than the gauge's steps, where both are in one unit."""
    if not gauge.resolution:
        return None
    step = parse_quantity(gauge.resolution)
    if step.unit != quantity.unit or step.number <= 0:
        return None
    shown = step.number
    if step.unit.kind != "length" or step.si > FINE_STEP:
        shown = step.number / BETWEEN_MARKS
    if quantity.number % shown == 0:
        return None
    near = (quantity.number / step.number).to_integral_value() * step.number
    likely = f"{near.quantize(_place(step.number))} {quantity.unit.name}"
    return Slip(
        f"{quantity}: {gauge.id} shows steps of {gauge.resolution}. Which digit is one too many?",
        (likely,),
    )


def _place(step: Decimal) -> Decimal:
    return Decimal(1).scaleb(int(step.as_tuple().exponent))
