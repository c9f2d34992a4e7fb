"""Which side gives way when a steel screw is pulled out of an aluminium thread.

Here: the sheared areas of both threads over the engaged length and the weakest of the three ways
to fail. Not here: the preload that pulls (`preload`). Start with `weakest`.
"""

from math import isfinite, pi, sqrt
from typing import NamedTuple

from ringland.fasten.threads import Limits, PropertyClass, Thread, loosest_fit, stress_area

SCREW_SHEAR = 0.60  # shear strength of a steel screw over its tensile strength; VDI 2230-1, memory
# Shear strength of cast aluminium round a stud [Pa]: from memory, the span of common sand and die
# castings (tensile 180 to 240 MPa, shear about 0.7 of it). A casting is what it is: ask.
CAST_ALUMINIUM = (125e6, 170e6)


class Pullout(NamedTuple):
    """The forces at which a screw and its thread fail, in the loosest 6g/6H fit [N].

    breaks : the screw tears across its stress area
    screw_strips : the screw's own thread shears
    part_strips : the thread in the part shears
    weakest : "part", "screw thread" or "screw"
    """

    breaks: float
    screw_strips: float
    part_strips: float

    @property
    def weakest(self) -> str:
        """Which of the three comes first."""
        ways = {
            "part": self.part_strips,
            "screw thread": self.screw_strips,
            "screw": self.breaks,
        }
        return min(ways, key=lambda way: ways[way])

    @property
    def force(self) -> float:
        """The least of the three [N]."""
        return min(self.breaks, self.screw_strips, self.part_strips)


def part_shear_area(pitch: float, engaged: float, *, screw_major: float, nut_pitch: float) -> float:
    """Area that shears when the internal thread strips.

    pitch, engaged : of the thread; length in engagement [m]
    screw_major : major diameter of the screw [m]
    nut_pitch : pitch diameter of the internal thread [m]
    returns : area [m^2]

    Source: FED-STD-H28/2B: A_n = pi n L D_s (1/(2n) + tan 30 deg (D_s - E_n)).

    >>> round(part_shear_area(1.5e-3, 10e-3, screw_major=9.968e-3, nut_pitch=9.206e-3) * 1e6, 1)
    248.4
    """
    _checked(engaged)
    return pi * screw_major * engaged / pitch * (pitch / 2 + (screw_major - nut_pitch) / sqrt(3))


def screw_shear_area(
    pitch: float, engaged: float, *, screw_pitch: float, nut_minor: float
) -> float:
    """Area that shears when the screw's own thread strips.

    pitch, engaged : of the thread; length in engagement [m]
    screw_pitch : pitch diameter of the screw [m]
    nut_minor : minor diameter of the internal thread [m]
    returns : area [m^2]

    Source: FED-STD-H28/2B: A_s = pi n L K_n (1/(2n) + tan 30 deg (E_s - K_n)).

    >>> round(screw_shear_area(1.5e-3, 10e-3, screw_pitch=8.862e-3, nut_minor=8.676e-3) * 1e6, 1)
    155.8
    """
    _checked(engaged)
    return pi * nut_minor * engaged / pitch * (pitch / 2 + (screw_pitch - nut_minor) / sqrt(3))


def weakest(thread: Thread, screw: PropertyClass, engaged: float, *, part_shear: float) -> Pullout:
    """Forces at which screw, screw thread and part thread give way.

    engaged : length of thread in engagement, without chamfers [m], above 0
    part_shear : shear strength of the part [Pa], above 0
    Raises ValueError.

    Source: FED-STD-H28/2B areas in the loosest 6g/6H fit; no allowance for a worn, once repaired or
    hot thread, which bears less.

    >>> from ringland.fasten.threads import parse_thread, find_class
    >>> weakest(parse_thread("M8"), find_class("8.8"), 0.012, part_shear=140e6).weakest
    'part'
    """
    if not (isfinite(part_shear) and part_shear > 0):
        raise ValueError(f"a shear strength of {part_shear / 1e6:g} MPa is none: it is above 0")
    fit = loosest_fit(thread)
    return Pullout(
        breaks=screw.tensile * stress_area(thread),
        screw_strips=SCREW_SHEAR * screw.tensile * _screw_area(thread, engaged, fit),
        part_strips=part_shear * _part_area(thread, engaged, fit),
    )


def engagement_for(thread: Thread, force: float, *, part_shear: float) -> float:
    """Engaged length at which the part's thread just bears a force [m].

    force : pull [N], above 0
    part_shear : shear strength of the part [Pa], above 0
    Raises ValueError.

    >>> from ringland.fasten.threads import parse_thread
    >>> round(engagement_for(parse_thread("M8"), 29_000, part_shear=140e6) * 1e3, 1)
    12.3
    """
    if not (force > 0 and part_shear > 0):
        raise ValueError("force and shear strength are above 0")
    return force / part_shear / _part_area(thread, 1.0, loosest_fit(thread))


def _part_area(thread: Thread, engaged: float, fit: Limits) -> float:
    return part_shear_area(
        thread.pitch, engaged, screw_major=fit.screw_major, nut_pitch=fit.nut_pitch
    )


def _screw_area(thread: Thread, engaged: float, fit: Limits) -> float:
    return screw_shear_area(
        thread.pitch, engaged, screw_pitch=fit.screw_pitch, nut_minor=fit.nut_minor
    )


def _checked(engaged: float) -> None:
    if not (isfinite(engaged) and engaged > 0):
        raise ValueError(
            f"an engaged length of {engaged * 1e3:g} mm is none: count the turns from first grip to "
            "the end, times the pitch"
        )
