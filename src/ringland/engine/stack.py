"""Which base gasket, head gasket or skim brings the squish home, side by side.

A base gasket lifts the barrel: squish, clearance volume and every port edge move. A head gasket, or
metal off the head or the barrel's top face, moves squish and volume and leaves the ports.
Not here: solder readings (`squish`), what the maker allows (two gaskets, machining): the person
leaves such stacks out.
Start with `rank_stacks`.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import product
from math import hypot
from typing import NamedTuple

from ringland.engine.ports import Port, Window, raised, window
from ringland.engine.refusal import OutOfRange, mm, require_not_negative, require_window
from ringland.engine.slider_crank import Crank
from ringland.engine.volumes import bore_area, full_ratio, swept_volume, trapped_ratio
from ringland.quantity import Estimate
from ringland.quantity.checked import checked
from ringland.quantity.probability import probability_within

WANTED = 0.95  # default of ISO 14253-1:2017 for proving conformity


@checked
class Stack(NamedTuple):
    """What lies between case and head, thicknesses as tightened [m].

    base, head : gaskets; head is 0 for an O-ring head
    skim : metal taken off the head's or barrel's top face since the measurement [m]
    """

    base: float
    head: float = 0.0
    skim: float = 0.0

    def check(self) -> None:
        for name in ("base", "head", "skim"):
            require_not_negative(name, getattr(self, name))


class Layout(NamedTuple):
    """The engine around the stack, as measured with the fitted stack.

    crank : stroke, rod and offset
    bore : diameter [m]
    clearance : clearance volume [m³], or None where it was not measured
    ports : governing edges with the fitted base gasket
    """

    crank: Crank
    bore: float
    clearance: Estimate | None = None
    ports: tuple[Port, ...] = ()


class Choice(NamedTuple):
    """One stack with all that it brings.

    stack : what would be fitted
    squish : expected height [m]
    probability : that it lies inside the window
    full : compression ratio over the whole stroke, where the clearance is known
    trapped : by name of exhaust port (one for each position of the power valve)
    windows : of all ports
    """

    stack: Stack
    squish: Estimate
    probability: float
    full: Estimate | None = None
    trapped: tuple[tuple[str, Estimate], ...] = ()
    windows: tuple[Window, ...] = ()


def stacks_of(
    bases: Iterable[float], heads: Iterable[float] = (0.0,), skims: Iterable[float] = (0.0,)
) -> list[Stack]:
    """Every stack that can be made of what is available.

    bases, heads, skims : thicknesses [m]

    >>> len(stacks_of([0.0003, 0.0004, 0.0005], [0.0], [0.0, 0.0001]))
    6
    """
    return [Stack(*each) for each in product(bases, heads, skims)]


def squish_with(measured: Estimate, fitted: Stack, wanted: Stack, *, u_swap: float) -> Estimate:
    """Squish to expect with another stack than the one measured.

    measured : squish with `fitted` [m]
    fitted, wanted : stacks
    u_swap : standard uncertainty that one renewed gasket adds, since it takes its own set [m];
        metal taken off is taken as measured
    returns : expected squish [m]

    Source: addition of heights; JCGM 100:2008, 5.1.2.

    >>> after = squish_with(
    ...     Estimate(1.14e-3, 15e-6), Stack(0.4e-3), Stack(0.5e-3), u_swap=10e-6
    ... )
    >>> round(after.value * 1e3, 2), round(after.u * 1e6, 1)
    (1.24, 18.0)
    """
    require_not_negative("u_swap", u_swap)
    change = height_change(fitted, wanted)
    swapped = (fitted.base != wanted.base) + (fitted.head != wanted.head)
    return Estimate(measured.value + change, hypot(measured.u, u_swap * swapped**0.5), measured.dof)


def height_change(fitted: Stack, wanted: Stack) -> float:
    """What another stack adds to the squish [m]."""
    return (wanted.base - fitted.base) + (wanted.head - fitted.head) - (wanted.skim - fitted.skim)


def rank_stacks(
    measured: Estimate,
    fitted: Stack,
    options: Sequence[Stack],
    *,
    limits: tuple[float, float],
    u_swap: float,
    layout: Layout | None = None,
) -> list[Choice]:
    """All stacks side by side, best first.

    First come those that land inside the window with `WANTED` probability or more: without
    machining before with it, then nearer to its middle. The others follow by probability.

    measured : squish with the stack that was fitted [m]
    fitted : that stack
    options : stacks to compare, at least one
    limits : squish window of the sheet, smallest and largest [m]
    u_swap : as of `squish_with` [m]
    layout : the engine, for compression ratio and port timing of each
    Raises OutOfRange where the limits run downward, or piston and head would meet.
    """
    require_window("window", limits)
    if not options:
        raise OutOfRange("base", "no gasket to choose from: name at least one")
    middle = (limits[0] + limits[1]) / 2

    def worth(choice: Choice) -> tuple[bool, float, float, float]:
        off = abs(choice.squish.value - middle)
        if choice.probability >= WANTED:
            return False, choice.stack.skim, off, 0.0
        return True, -choice.probability, off, choice.stack.skim

    found = [_choice(measured, fitted, each, limits, u_swap, layout) for each in options]
    return sorted(found, key=worth)


def _choice(
    measured: Estimate,
    fitted: Stack,
    wanted: Stack,
    limits: tuple[float, float],
    u_swap: float,
    layout: Layout | None,
) -> Choice:
    squish = squish_with(measured, fitted, wanted, u_swap=u_swap)
    chance = probability_within(squish, *limits)
    if layout is None:
        return Choice(wanted, squish, chance)
    ports = [raised(port, wanted.base - fitted.base) for port in layout.ports]
    windows = tuple(window(layout.crank, port) for port in ports)
    if layout.clearance is None:
        return Choice(wanted, squish, chance, windows=windows)
    clearance = _clearance(layout.clearance, layout.bore, height_change(fitted, wanted))
    trapped = tuple(
        (port.name, trapped_ratio(layout.bore, port.travel, clearance))
        for port in ports
        if port.role == "exhaust"
    )
    full = full_ratio(swept_volume(layout.bore, layout.crank.stroke), clearance)
    return Choice(wanted, squish, chance, full, trapped, windows)


def _clearance(clearance: Estimate, bore: float, change: float) -> Estimate:
    """Clearance volume after the head moved by `change`, over the area of the bore."""
    volume = clearance.value + bore_area(bore) * change
    if not volume > 0:
        raise OutOfRange(
            "skim",
            f"lowering the head by {mm(-change)} leaves no clearance volume: check the unit",
        )
    return Estimate(volume, clearance.u, clearance.dof)


def change_wanted(
    measured: Estimate, limits: tuple[float, float], *, u_swap: float, probability: float = WANTED
) -> tuple[float, float] | None:
    """Least and largest change of height that lands inside the window with a wanted probability.

    measured : squish as it is [m]
    limits : squish window [m]
    u_swap : standard uncertainty that the renewed gasket adds [m]
    probability : wanted, 0.5 or more and below 1
    returns : changes [m], positive for a thicker stack; None where no change is that sure, because
        the window is too narrow for the doubt

    Source: JCGM 106:2012, 7.4, solved by halving.

    >>> change = change_wanted(Estimate(1.62e-3, 15e-6), (1.0e-3, 1.4e-3), u_swap=10e-6)
    >>> [round(each * 1e3, 2) for each in change]
    [-0.59, -0.25]
    """
    require_window("window", limits)
    if not 0.5 <= probability < 1:
        raise OutOfRange("probability", f"probability is {probability:g}: 0.5 or more, below 1")
    low, high = limits
    doubt = hypot(measured.u, u_swap)

    def chance(change: float) -> float:
        return probability_within(Estimate(measured.value + change, doubt, measured.dof), low, high)

    middle = (low + high) / 2 - measured.value
    if chance(middle) < probability:
        return None
    reach = (high - low) / 2
    ends = [_edge(chance, middle, middle + sign * reach, probability) for sign in (-1, 1)]
    return ends[0], ends[1]


def _edge(
    chance: Callable[[float], float], inside: float, outside: float, probability: float
) -> float:
    """Halve towards the last change that is still sure enough."""
    for _ in range(60):
        between = (inside + outside) / 2
        inside, outside = (
            (between, outside) if chance(between) >= probability else (inside, between)
        )
    return inside
