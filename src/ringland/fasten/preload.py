"""How strongly a tightened screw clamps, as a range: it explains a torque and never sets one.

Here: preload from torque and friction, how far the screw is used, the nut factor, the torque at
which a screw reaches a share of its yield. Not here: dimensions and classes (`threads`), whether an
aluminium thread holds (`stripping`). Start with `preload_range`.

One torque gives very different clamp forces, because most of it is lost in friction: on threads
and under the head. The maker's figure holds for the maker's condition (dry, oiled, with locker);
no factor here turns one condition into another.
"""

from math import isfinite, pi, sqrt
from typing import NamedTuple

from ringland.fasten.threads import (
    PropertyClass,
    Thread,
    bearing_diameters,
    checked_friction,
    proof_load,
    stress_area,
)

FULL_USE = 0.90  # of the yield stress: the assembly utilisation of the tables in VDI 2230-1
CLICK_WRENCH_SCATTER = 0.25  # of the preload, to either side; IFI Fastener Standards, 5th ed.,
# N-12 and N-16, as quoted


class Condition(NamedTuple):
    """A condition of threads and faces, with the friction that is found in it."""

    name: str
    low: float
    high: float


# VDI 2230-1:2015, Table A5, friction classes A, B and C, from memory. A wet locker lubricates.
CONDITIONS = {
    each.name: each
    for each in (
        Condition("greased", 0.04, 0.10),
        Condition("oiled", 0.08, 0.16),
        Condition("locker", 0.08, 0.16),
        Condition("dry", 0.14, 0.24),
    )
}


class Preload(NamedTuple):
    """What a torque does at one friction.

    friction : taken for threads and head alike [1]
    force : clamp force [N]
    nut_factor : K of the short form M = K d F at this friction [1]
    yield_share : stress of pull and twist together, as a share of the yield stress [1]
    proof_share : force as a share of the proof load [1]
    """

    friction: float
    force: float
    nut_factor: float
    yield_share: float
    proof_share: float


def torque_per_force(
    thread: Thread, friction: float, *, bearing: tuple[float, float] | None = None
) -> float:
    """Torque needed for each newton of clamp force, while tightening.

    friction : coefficient in threads and under the head [1]
    bearing : outer and inner diameter of the ring that turns on the part [m]; a plain hexagon
        where nothing is given
    returns : torque over force [m]
    Raises ThreadError for a friction that is none; ValueError for a bearing ring that is none.

    Source: VDI 2230-1:2003, step R13 (its number from memory): 0.16 P + 0.58 d2 mu_G + D_Km/2 mu_K.

    >>> from ringland.fasten.threads import parse_thread
    >>> round(torque_per_force(parse_thread("M8x1"), 0.12) * 1e3, 3)
    1.29
    """
    outer, inner = bearing or bearing_diameters(thread)
    if not outer > inner >= thread.diameter * 0.9:
        raise ValueError(
            f"a bearing ring of {inner * 1e3:g} to {outer * 1e3:g} mm does not go round {thread.name}"
        )
    P, d2, D_Km, mu = thread.pitch, thread.pitch_diameter, (outer + inner) / 2, friction
    checked_friction(mu)
    return 0.16 * P + 0.58 * d2 * mu + D_Km / 2 * mu


def twist_share(thread: Thread, friction: float) -> float:
    """By how much the twist raises the stress above that of the pull alone.

    friction : coefficient in the threads [1]
    returns : equivalent stress over tensile stress, 1 or more [1]

    Source: VDI 2230-1:2003, step R7 (its number from memory; von Mises, plastic twist).

    >>> from ringland.fasten.threads import parse_thread
    >>> round(twist_share(parse_thread("M8x1"), 0.12), 3)
    1.114
    """
    d2, d0 = thread.pitch_diameter, (thread.pitch_diameter + thread.root_diameter) / 2
    slope = thread.pitch / (pi * d2) + 1.155 * checked_friction(friction)
    return sqrt(1 + 3 * (3 / 2 * d2 / d0 * slope) ** 2)


def preload_at(
    thread: Thread,
    screw: PropertyClass,
    torque: float,
    friction: float,
    *,
    bearing: tuple[float, float] | None = None,
) -> Preload:
    """Clamp force and use of the screw at one torque and one friction.

    torque : at the nut [N·m], above 0
    friction, bearing : as in `torque_per_force`
    Raises ValueError.

    Source: VDI 2230-1:2003, steps R7 and R13 (from memory); ISO 898-1 for proof load.

    >>> from ringland.fasten.threads import parse_thread, find_class
    >>> found = preload_at(parse_thread("M8x1"), find_class("10.9"), 38.3, 0.12)
    >>> round(found.force / 1e3, 1), round(found.yield_share, 2), round(found.nut_factor, 3)
    (29.7, 0.9, 0.161)
    """
    if not (isfinite(torque) and torque > 0):
        raise ValueError(f"the torque is {torque:g} N·m: it is above 0")
    lever = torque_per_force(thread, friction, bearing=bearing)
    force = torque / lever
    stress = force / stress_area(thread) * twist_share(thread, friction)
    return Preload(
        friction=friction,
        force=force,
        nut_factor=lever / thread.diameter,
        yield_share=stress / screw.yield_stress,
        proof_share=force / proof_load(thread, screw),
    )


def preload_range(
    thread: Thread,
    screw: PropertyClass,
    torque: float,
    friction: tuple[float, float],
    *,
    bearing: tuple[float, float] | None = None,
) -> tuple[Preload, Preload]:
    """The least and the greatest preload that a torque gives over a range of friction.

    torque : at the nut [N·m], above 0
    friction : lowest and highest coefficient [1]; the highest friction gives the least preload
    returns : least, greatest
    Raises ValueError.

    >>> from ringland.fasten.threads import parse_thread, find_class
    >>> low, high = preload_range(parse_thread("M8"), find_class("8.8"), 24, (0.08, 0.16))
    >>> round(low.force, -2), round(high.force, -2)
    (14200.0, 25400.0)
    """
    least, most = friction
    if least > most:
        raise ValueError(f"the friction runs from {least:g} to {most:g}: write the smaller first")
    return (
        preload_at(thread, screw, torque, most, bearing=bearing),
        preload_at(thread, screw, torque, least, bearing=bearing),
    )


def at_yield_share(
    thread: Thread,
    screw: PropertyClass,
    friction: float,
    *,
    share: float = FULL_USE,
    bearing: tuple[float, float] | None = None,
) -> tuple[float, float]:
    """Force and torque at which pull and twist together reach a share of the yield stress.

    friction, bearing : as in `torque_per_force`
    share : of the yield stress [1], above 0 up to 1
    returns : clamp force [N], torque [N·m]: a limit of the screw, not a figure to tighten to
    Raises ValueError.

    Source: VDI 2230-1:2003, Tables A1 to A4 are made so, with share 0.9.

    >>> from ringland.fasten.threads import parse_thread, find_class
    >>> force, torque = at_yield_share(parse_thread("M8x1"), find_class("10.9"), 0.12)
    >>> round(force / 1e3, 1), round(torque, 1)
    (29.7, 38.4)
    """
    if not 0 < share <= 1:
        raise ValueError(f"a share of {share:g} of the yield stress is none: above 0, up to 1")
    stress = share * screw.yield_stress / twist_share(thread, friction)
    force = stress * stress_area(thread)
    return force, force * torque_per_force(thread, friction, bearing=bearing)


def preload_by_nut_factor(torque: float, diameter: float, nut_factor: float) -> float:
    """Clamp force by the short form that handbooks give, F = M / (K d).

    torque : at the nut [N·m]
    diameter : nominal [m]
    nut_factor : K [1]; 0.20 for dry steel by one handbook, but zinc is printed as 0.20 and as 0.295:
        give the range of it that you can defend, never one default
    Raises ValueError.

    Source: Shigley's Mechanical Engineering Design, torque-to-preload relation, as quoted.

    >>> round(preload_by_nut_factor(24, 0.008, 0.20))
    15000
    """
    if not (torque > 0 and diameter > 0 and nut_factor > 0):
        raise ValueError(
            f"torque {torque:g} N·m, diameter {diameter:g} m and nut factor {nut_factor:g} "
            "are all above 0"
        )
    return torque / (nut_factor * diameter)
