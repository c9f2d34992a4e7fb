"""ISO metric threads and screw materials: the dimensions and strengths that preload needs.

Here: reading "M8" or "M8x1", basic and limit diameters, stress area, property classes.
Not here: forces (`preload`), what an aluminium thread bears (`stripping`). Start with `parse_thread`.
"""

import re
from math import isfinite, pi
from typing import NamedTuple

# nominal diameter [mm] -> coarse pitch [mm]; ISO 261
COARSE = {
    3: 0.5,
    4: 0.7,
    5: 0.8,
    6: 1.0,
    7: 1.0,
    8: 1.25,
    10: 1.5,
    12: 1.75,
    14: 2.0,
    16: 2.0,
}  # fmt: skip
# nominal diameter [mm] -> least bearing diameter of a hexagon head [mm] (ISO 4014, product grade A;
# M7 from memory) and medium clearance hole [mm] (ISO 273)
HEXAGON = {
    3: (4.57, 3.4),
    4: (5.88, 4.5),
    5: (6.88, 5.5),
    6: (8.88, 6.6),
    7: (9.63, 7.6),
    8: (11.63, 9.0),
    10: (14.63, 11.0),
    12: (16.63, 13.5),
    14: (19.64, 15.5),
    16: (22.49, 17.5),
}
MM = 1e-3
# Basic profile, ISO 68-1 and ISO 724: share of the pitch taken from the diameter
PITCH_DIAMETER = 0.649519  # 3 sqrt(3) / 8
MINOR_OF_NUT = 1.082532  # 5 sqrt(3) / 8
ROOT_OF_SCREW = 1.226869  # 17 sqrt(3) / 24, with the rounded root
_LEAST_PITCH, _MOST_PITCH = 0.03, 0.25  # of the diameter: what a pitch of this trade can be


class ThreadError(ValueError):
    """Text that is no metric thread or no property class known here."""


class Thread(NamedTuple):
    """An ISO metric thread: nominal diameter and pitch [m]."""

    diameter: float
    pitch: float

    @property
    def name(self) -> str:
        """Its designation: M8 where the pitch is the coarse one, else M8x1."""
        size = f"M{self.diameter / MM:g}"
        coarse = COARSE.get(round(self.diameter / MM))
        is_coarse = coarse is not None and abs(coarse * MM - self.pitch) < 1e-9
        return size if is_coarse else f"{size}x{self.pitch / MM:g}"

    @property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter d2 = D2 [m]; ISO 724."""
        return self.diameter - PITCH_DIAMETER * self.pitch

    @property
    def root_diameter(self) -> float:
        """Minor diameter of the screw d3 [m]; ISO 898-1, 9.1.6.1."""
        return self.diameter - ROOT_OF_SCREW * self.pitch

    @property
    def minor_diameter(self) -> float:
        """Basic minor diameter of the nut D1 [m]; ISO 724."""
        return self.diameter - MINOR_OF_NUT * self.pitch


class PropertyClass(NamedTuple):
    """What a marked class of screw is required to bear, for M3 to M16 [Pa].

    tensile : least tensile strength R_m
    yield_stress : least stress at 0.2 % (or lower yield) R_p0.2
    proof : stress under proof load S_p
    """

    name: str
    tensile: float
    yield_stress: float
    proof: float


# ISO 898-1:2013, Table 3, diameters up to 16 mm
CLASSES = {
    each.name: each
    for each in (
        PropertyClass("4.6", 400e6, 240e6, 225e6),
        PropertyClass("4.8", 420e6, 340e6, 310e6),
        PropertyClass("5.6", 500e6, 300e6, 280e6),
        PropertyClass("5.8", 520e6, 420e6, 380e6),
        PropertyClass("6.8", 600e6, 480e6, 440e6),
        PropertyClass("8.8", 800e6, 640e6, 580e6),
        PropertyClass("9.8", 900e6, 720e6, 650e6),
        PropertyClass("10.9", 1040e6, 940e6, 830e6),
        PropertyClass("12.9", 1220e6, 1100e6, 970e6),
    )
}


def parse_thread(text: str) -> Thread:
    """Read a metric thread as it is written: "M8", "M8x1", "M 10 × 1,25".

    Source: ISO 965-1 designation; coarse pitch of ISO 261 where none is written.
    Raises ThreadError.

    >>> parse_thread("M8"), parse_thread("M10 × 1,25").name
    (Thread(diameter=0.008, pitch=0.00125), 'M10x1.25')
    """
    found = re.fullmatch(r"\s*[Mm]\s*(\d+(?:[.,]\d+)?)\s*(?:[x×X*-]\s*(\d+(?:[.,]\d+)?))?\s*", text)
    if not found:
        raise ThreadError(f"{text.strip()!r} is not a metric thread: write it as M8 or M8x1")
    diameter = float(found[1].replace(",", "."))
    coarse = COARSE.get(int(diameter)) if diameter == int(diameter) else None
    if coarse is None:
        sizes = ", ".join(f"M{size}" for size in COARSE)
        raise ThreadError(f"M{diameter:g} is not a size known here: {sizes}")
    pitch = float(found[2].replace(",", ".")) if found[2] else coarse
    if not _LEAST_PITCH * diameter <= pitch <= min(coarse, _MOST_PITCH * diameter):
        raise ThreadError(
            f"a pitch of {pitch:g} mm does not go with M{diameter:g}: its coarse pitch is "
            f"{coarse:g} mm, and a fine one is smaller"
        )
    return Thread(round(diameter * MM, 12), round(pitch * MM, 12))


def find_class(name: str) -> PropertyClass:
    """The property class of a marking, "8.8" or "8,8".

    Raises ThreadError.

    >>> find_class("10,9").proof
    830000000.0
    """
    found = CLASSES.get(name.strip().replace(",", "."))
    if found is None:
        raise ThreadError(
            f"{name.strip()!r} is no property class: read it on the head; known are "
            f"{', '.join(CLASSES)}"
        )
    return found


def stress_area(thread: Thread) -> float:
    """Nominal stress area of the screw [m^2].

    Source: ISO 898-1:2013, 9.1.6.1: A_s = pi/4 ((d2 + d3)/2)^2.

    >>> round(stress_area(parse_thread("M8")) * 1e6, 1)
    36.6
    """
    return pi / 4 * ((thread.pitch_diameter + thread.root_diameter) / 2) ** 2


def proof_load(thread: Thread, screw: PropertyClass) -> float:
    """Force that a screw of the class bears without staying longer [N].

    Source: ISO 898-1:2013, Tables 3, 5 and 7: stress area times S_p.

    >>> round(proof_load(parse_thread("M6"), find_class("8.8")), -2)
    11700.0
    """
    return stress_area(thread) * screw.proof


def bearing_diameters(thread: Thread) -> tuple[float, float]:
    """Outer and inner diameter on which a plain hexagon head or nut bears [m].

    Source: ISO 4014 (least bearing diameter) and ISO 273 (medium hole).

    >>> bearing_diameters(parse_thread("M8x1"))
    (0.01163, 0.009)
    """
    outer, hole = HEXAGON[round(thread.diameter / MM)]
    return round(outer * MM, 12), round(hole * MM, 12)


class Limits(NamedTuple):
    """The sizes of a 6g screw in a 6H thread at which they engage least [m].

    screw_major : least major diameter of the screw
    screw_pitch : least pitch diameter of the screw
    nut_pitch : greatest pitch diameter of the internal thread
    nut_minor : greatest minor diameter of the internal thread
    """

    screw_major: float
    screw_pitch: float
    nut_pitch: float
    nut_minor: float


def loosest_fit(thread: Thread) -> Limits:
    """The limits of a 6g screw in a 6H thread at which they engage least.

    Source: ISO 965-1:1998, 13: the formulas behind its tables, not rounded as there
    (they agree to 0.01 mm).

    >>> limits = loosest_fit(parse_thread("M10"))
    >>> round(limits.screw_major * 1e3, 2), round(limits.nut_pitch * 1e3, 2)
    (9.74, 9.2)
    """
    d, P = thread.diameter / MM, thread.pitch / MM
    band = next(
        (low * high) ** 0.5
        for low, high in ((2.8, 5.6), (5.6, 11.2), (11.2, 22.4))
        if low < d <= high
    )
    g = (15 + 11 * P) * 1e-3
    screw_major_band = (180 * P ** (2 / 3) - 3.15 / P**0.5) * 1e-3
    screw_pitch_band = 90 * P**0.4 * band**0.1 * 1e-3
    nut_minor_band = (230 * P**0.7 if P >= 1 else 433 * P - 190 * P**1.22) * 1e-3
    return Limits(
        screw_major=(d - g - screw_major_band) * MM,
        screw_pitch=thread.pitch_diameter - (g + screw_pitch_band) * MM,
        nut_pitch=thread.pitch_diameter + 1.32 * screw_pitch_band * MM,
        nut_minor=thread.minor_diameter + nut_minor_band * MM,
    )


def checked_friction(value: float) -> float:
    """Return a coefficient of friction, or raise ThreadError where it cannot be one.

    >>> checked_friction(0.12)
    0.12
    """
    if not (isfinite(value) and 0.02 <= value <= 1):
        raise ThreadError(
            f"a friction of {value:g} is none: clean steel threads lie between 0.08 and 0.25, "
            "and 0.02 to 1 is taken"
        )
    return value
