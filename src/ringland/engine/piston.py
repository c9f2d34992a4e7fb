"""Which piston fits the bore: size classes as sold, pistons as measured, and the wrong box.

Here: the probability that the clearance lands in its window, for a class (any size of it is as
likely) and for a piston with its own reading; what holds when nothing was measured and the stamps
are all there is; whether label, crown stamp and micrometer agree.
Not here: what a bore or skirt reading is worth (`ringland.measure`), the limits (`ringland.sheet`).
Start with `rank_pistons`.
"""

from collections.abc import Sequence
from math import inf, sqrt
from typing import NamedTuple

from ringland.engine.landing import probability_class_lands
from ringland.engine.refusal import (
    OutOfRange,
    mm,
    require_not_negative,
    require_positive,
    require_window,
)
from ringland.quantity import Estimate
from ringland.quantity.checked import checked
from ringland.quantity.probability import probability_within


@checked
class SizeClass(NamedTuple):
    """A class the maker sells or stamps: its mark and its sizes [m], which may be one size."""

    mark: str
    low: float
    high: float

    def check(self) -> None:
        require_positive(f"class {self.mark}", self.low)
        require_window(f"class {self.mark}", (self.low, self.high))


class MeasuredPiston(NamedTuple):
    """A piston in hand: what it is called and its skirt diameter [m] with its doubt.

    shared : the part of u that bore and piston reading have in common [m], such as the error of
        the micrometer that measured the piston and set the bore gauge; it cancels
    """

    name: str
    diameter: Estimate
    shared: float = 0.0


class Fit(NamedTuple):
    """How a piston would fit.

    name : class mark or the piston's name
    kind : "class", "measured" or "by stamp"
    low, high : least and largest clearance, over the sizes and the bore's unevenness [m]
    probability : that the clearance lies in the window; None where the bore was not measured
    clearance : least clearance of a measured piston with its doubt [m]
    unproved : what this way leaves open, empty for a measured piston
    """

    name: str
    kind: str
    low: float
    high: float
    probability: float | None
    clearance: Estimate | None = None
    unproved: tuple[str, ...] = ()


CLASS_UNPROVED = ("the piston's own size inside its class: measure it before it goes in",)
STAMP_UNPROVED = (
    "wear of the bore since it was stamped",
    "out-of-round and taper",
    "that stamp and label tell the true size",
    "the clearance itself",
)


def clearance(bore: Estimate, piston: Estimate, *, u_shared: float = 0.0) -> Estimate:
    """Clearance of a measured piston in a measured bore.

    bore, piston : diameters [m]
    u_shared : the part of both u that is the same error [m], at most the smaller u
    returns : bore less piston [m]; the shared part cancels. Negative where the piston is larger
    Raises OutOfRange.

    Source: JCGM 100:2008, 5.2.2 with the covariance u_shared².

    >>> u = sqrt(2e-6**2 + 0.7e-6**2)  # micrometer 2 µm, the rest 0.7 µm
    >>> found = clearance(Estimate(0.053230, u), Estimate(0.053182, u), u_shared=2e-6)
    >>> round(found.value * 1e6, 1), round(found.u * 1e6, 2)
    (48.0, 0.99)
    """
    if not 0 <= u_shared <= min(bore.u, piston.u):
        raise OutOfRange(
            "shared",
            f"shared doubt is {mm(u_shared)}: 0 mm to the smaller of the two, "
            f"{mm(min(bore.u, piston.u))}",
        )
    own = [(bore.u**2 - u_shared**2, bore), (piston.u**2 - u_shared**2, piston)]
    variance = sum(part for part, _ in own)
    few = sum(part**2 / each.dof for part, each in own)
    dof = variance**2 / few if few else inf
    return Estimate(bore.value - piston.value, sqrt(variance), dof)


def fit_of_class(
    bore: Estimate, sizes: SizeClass, limits: tuple[float, float], *, uneven: float = 0.0
) -> Fit:
    """How a piston of a class would fit, any size of the class being as likely.

    bore : smallest diameter where the skirt runs [m]
    sizes : the class
    limits : smallest and largest clearance of the sheet when new [m]
    uneven : how much larger the bore reads elsewhere along the skirt's way [m]; the smallest place
        must keep the least clearance, the largest the greatest (one gauge: its error is shared)
    """
    room = _room(limits, uneven)
    chance = probability_class_lands(bore, (sizes.low, sizes.high), room) if room else 0.0
    low, high = bore.value - sizes.high, bore.value + uneven - sizes.low
    return Fit(sizes.mark, "class", low, high, chance, unproved=CLASS_UNPROVED)


def fit_of_piston(
    bore: Estimate, piston: MeasuredPiston, limits: tuple[float, float], *, uneven: float = 0.0
) -> Fit:
    """How a measured piston would fit.

    bore : smallest diameter where the skirt runs [m]
    piston : name, diameter and shared doubt
    limits : smallest and largest clearance [m]
    uneven : as of `fit_of_class` [m]
    """
    room = _room(limits, uneven)
    found = clearance(bore, piston.diameter, u_shared=piston.shared)
    chance = probability_within(found, *room) if room else 0.0
    return Fit(piston.name, "measured", found.value, found.value + uneven, chance, found)


def _room(limits: tuple[float, float], uneven: float) -> tuple[float, float] | None:
    """The window left for the least clearance; None where the bore alone uses it up."""
    require_window("window", limits)
    require_not_negative("uneven", uneven)
    low, high = limits[0], limits[1] - uneven
    return (low, high) if low <= high else None


def fit_by_stamp(barrel: SizeClass | None, piston: SizeClass) -> Fit:
    """How a piston fits by the stamps alone, without a bore gauge: legal, and nothing is proved.

    barrel : class stamped on the barrel, its sizes when new; None where it has none, as for another
        make's piston in its one standard size
    piston : class by stamp, letter or colour
    returns : a fit without probability; its clearance range holds for the new barrel only, and is
        nan where the barrel has no class
    """
    if barrel is None:
        nothing = float("nan")
        return Fit(piston.mark, "by stamp", nothing, nothing, None, unproved=STAMP_UNPROVED)
    low, high = barrel.low - piston.high, barrel.high - piston.low
    return Fit(piston.mark, "by stamp", low, high, None, unproved=STAMP_UNPROVED)


def rank_pistons(
    bore: Estimate,
    limits: tuple[float, float],
    *,
    classes: Sequence[SizeClass] = (),
    pistons: Sequence[MeasuredPiston] = (),
    uneven: float = 0.0,
) -> list[Fit]:
    """Every class and every measured piston, the most probable fit first.

    bore : smallest diameter where the skirt runs [m]
    limits : smallest and largest clearance when new [m]
    classes : as the maker sells them
    pistons : as measured
    uneven : as of `fit_of_class` [m]
    Raises OutOfRange.

    >>> fits = rank_pistons(
    ...     Estimate(65.010e-3, 2.5e-6), (0.050e-3, 0.080e-3),
    ...     classes=[SizeClass("I", 64.940e-3, 64.950e-3), SizeClass("II", 64.950e-3, 64.960e-3)],
    ... )
    >>> [(fit.name, round(fit.probability, 3)) for fit in fits]
    [('I', 1.0), ('II', 0.9)]
    """
    require_positive("bore", bore.value)
    if not classes and not pistons:
        raise OutOfRange("class", "no piston to choose from: give a class or a measured piston")
    found = [fit_of_class(bore, each, limits, uneven=uneven) for each in classes]
    found += [fit_of_piston(bore, each, limits, uneven=uneven) for each in pistons]
    middle = (limits[0] + limits[1]) / 2
    return sorted(
        found,
        key=lambda fit: (-round(fit.probability or 0.0, 6), abs((fit.low + fit.high) / 2 - middle)),
    )
