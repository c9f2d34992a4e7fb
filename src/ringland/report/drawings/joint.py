"""A joint of a job from above: where its fasteners stand on the drawing, and how far they are.

Not here: how a joint is drawn (`ringland.calc.draw_joint`). Start with `joint_picture`.
"""

from collections.abc import Sequence
from math import cos, radians, sin

from ringland.calc.draw_joint import BORE, Joint, draw_joint
from ringland.fasten.sequence import Point
from ringland.job.layout import Layout

RADII = ((68.0,), (56.0, 96.0))  # of one ring, of two


def places_of(layout: Layout) -> list[Point]:
    """Return where number 1, 2, … stand: x to the right, y down the page, 0, 0 in the middle.

    >>> even = Layout(((45, 135, 225, 315),), (1, 3, 2, 4), False, False, "crosswise")
    >>> [(round(x), round(y)) for x, y in places_of(even)]
    [(-48, -48), (48, 48), (48, -48), (-48, 48)]
    """
    if len(layout.order) == 1 and not layout.is_placed:
        return [(0.0, 0.0)]
    radii = RADII[len(layout.rings) - 1]
    start = -90 if layout.seen_from else 180  # the top, or the exhaust at the left
    found = []
    for number in range(1, len(layout.order) + 1):
        ring, angle = layout.stands(number)
        turn = radians(start + angle)  # y runs down the page: a growing angle runs clockwise
        found.append((radii[ring] * cos(turn), radii[ring] * sin(turn)))
    return found


def joint_picture(layout: Layout, pulled: Sequence[int], following: int | None, title: str) -> str:
    """Return the joint as SVG.

    pulled : numbers that are tight; following : the number to pull next
    """
    elsewhere = bool(layout.seen_from)
    joint = Joint(
        places_of(layout),
        in_order=not layout.is_free,
        bore=0.0 if elsewhere else BORE,
        ignition=layout.ignition,
        top_is_up=elsewhere,
    )
    return draw_joint(joint, title, pulled=pulled, following=following)
