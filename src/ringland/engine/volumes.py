"""Swept and clearance volume, full and trapped compression ratio.

Here: the clearance from a burette reading in place, or from chamber, gasket, deck and dome measured
apart; the ratios with their doubt.
Not here: what a cranking gauge reads (`ringland.gas`), squish (`squish`).
Start with `swept_volume` and `clearance_in_place`.
"""

from math import isfinite, pi, sqrt

from ringland.engine.refusal import OutOfRange, mm, require_positive
from ringland.quantity import Estimate


def bore_area(bore: float) -> float:
    """Area of the bore [m²].

    bore : diameter [m]

    >>> round(bore_area(0.0532) * 1e6, 1)
    2222.9
    """
    require_positive("bore", bore)
    return pi / 4 * bore * bore


def swept_volume(bore: float, stroke: float) -> float:
    """Volume swept by one piston.

    bore : diameter of the cylinder [m]
    stroke : travel of the piston [m]
    returns : swept volume [m³]

    Source: geometry of a cylinder.

    >>> round(swept_volume(0.0532, 0.0560) * 1e6, 1)
    124.5
    """
    require_positive("stroke", stroke)
    return bore_area(bore) * stroke


def clearance_in_place(poured: Estimate, plug_hole: Estimate) -> Estimate:
    """Volume above the piston at top dead centre, from oil poured in through the plug hole.

    poured : what the burette gave until the hole stood full [m³]
    plug_hole : what of it stood in the hole where the plug's body goes [m³]; zero where it was
        filled only to the thread's lower end
    returns : clearance volume with the plug in [m³]
    Raises OutOfRange where nothing is left.

    Common practice: thin oil, ring land sealed with grease, engine tipped so that the hole is the
    highest point, piston at top dead centre by dial indicator.

    >>> round(clearance_in_place(Estimate(13.0e-6, 0.1e-6), Estimate(2.6e-6, 0.1e-6)).value * 1e6, 2)
    10.4
    """
    left = poured.value - plug_hole.value
    if plug_hole.value < 0 or left <= 0:
        raise OutOfRange(
            "plug-hole",
            f"plug hole {plug_hole.value * 1e6:g} mL of {poured.value * 1e6:g} mL poured: it takes "
            "0 mL or more and less than was poured",
        )
    return Estimate(left, sqrt(poured.u**2 + plug_hole.u**2))


def clearance_from_parts(chamber: float, *, gasket: float, deck: float, dome: float = 0.0) -> float:
    """Clearance volume from parts measured on the bench.

    chamber : volume of the head under a flat plate with the plug in [m³]
    gasket : volume in the head gasket's opening [m³], see `disc`
    deck : volume from the barrel's top face to the crown's edge at top dead centre [m³], negative
        where the edge stands proud
    dome : volume by which the crown rises above its edge [m³], negative for a dish
    returns : clearance volume [m³]
    Raises OutOfRange where nothing is left.

    Source: addition of volumes.

    >>> round(clearance_from_parts(11e-6, gasket=1.1e-6, deck=0.5e-6, dome=2.4e-6) * 1e6, 2)
    10.2
    """
    total = chamber + gasket + deck - dome
    if not (isfinite(total) and total > 0):
        raise OutOfRange(
            "chamber",
            f"chamber, gasket and deck less the dome come to {total * 1e6:g} mL: a clearance volume "
            "is above 0 mL; check the sign of deck and dome",
        )
    return total


def disc(diameter: float, height: float) -> float:
    """Volume of a flat disc [m³], such as a gasket's opening or the deck space.

    diameter : [m], above 0
    height : [m], negative where the space is filled instead

    >>> round(disc(0.0545, 0.0005) * 1e6, 2)
    1.17
    """
    return bore_area(diameter) * height


def full_ratio(swept: float, clearance: Estimate) -> Estimate:
    """Compression ratio over the whole stroke, (V_s + V_c)/V_c.

    swept : swept volume [m³]
    clearance : clearance volume [m³], above 0
    returns : ratio, with the doubt that the clearance brings (JCGM 100, 5.1.2)
    Raises OutOfRange.

    >>> round(full_ratio(124.5e-6, Estimate(10.4e-6, 0.15e-6)).value, 2)
    12.97
    """
    if not clearance.value > 0:
        raise OutOfRange(
            "clearance", f"clearance is {clearance.value * 1e6:g} mL: give more than 0 mL"
        )
    if not swept > 0:
        raise OutOfRange("swept", f"swept volume is {swept * 1e6:g} mL: give more than 0 mL")
    above = swept / clearance.value
    return Estimate(1 + above, above * clearance.u / clearance.value, clearance.dof)


def trapped_ratio(bore: float, exhaust_travel: float, clearance: Estimate) -> Estimate:
    """Compression ratio from the closing of the exhaust port on.

    bore : diameter [m]
    exhaust_travel : piston below top dead centre where the exhaust opens and closes [m]; one for
        each position of a power valve
    clearance : clearance volume [m³]
    returns : ratio with its doubt

    Source: (V_trapped + V_c)/V_c; Blair, Design and Simulation of Two-Stroke Engines (1996),
    section 1.4 (from memory).

    >>> round(trapped_ratio(0.0532, 0.0275, Estimate(10.4e-6, 0.15e-6)).value, 2)
    6.88
    """
    require_positive("exhaust", exhaust_travel)
    return full_ratio(bore_area(bore) * exhaust_travel, clearance)


def clearance_for_ratio(swept: float, ratio: float) -> float:
    """Clearance volume [m³] that gives a wanted full or trapped ratio.

    swept : swept volume of the same stroke, whole or from exhaust closing [m³]
    ratio : wanted ratio, above 1
    Raises OutOfRange.

    >>> round(clearance_for_ratio(124.5e-6, 13.0) * 1e6, 3)
    10.375
    """
    if not ratio > 1:
        raise OutOfRange("ratio", f"a compression ratio of {ratio:g} is none: above 1")
    return swept / (ratio - 1)


def deck_from_depths(exhaust: float, intake: float) -> float:
    """Deck height from a depth gauge on both sides of the crown's edge.

    exhaust, intake : depth below the barrel's top face at top dead centre [m], negative where the
        edge stands proud; both sides, because the piston rocks about its pin
    returns : their mean [m]

    >>> round(deck_from_depths(0.00024, 0.00016) * 1e3, 3)
    0.2
    """
    for name, depth in (("exhaust depth", exhaust), ("intake depth", intake)):
        if not (isfinite(depth) and abs(depth) < 0.1):
            raise OutOfRange(name, f"{name} is {mm(depth)}: give a depth within ±100 mm")
    return (exhaust + intake) / 2
