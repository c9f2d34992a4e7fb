"""The torque wrench in hand: its scale, its nearest mark, and what is claimed for it.

Here: the setting in the wrench's own unit at its nearest mark, what the nut then gets, the
permissible deviation, and which wrench on the shelf suits a torque.
Not here: the lever of an adapter (`adapter`). Start with `set_for` or `choose`.
"""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from typing import NamedTuple

from ringland.fasten.adapter import delivered, setting
from ringland.quantity.checked import checked
from ringland.quantity.units import Unit

CLAIMED_FROM = Decimal("0.20")  # of the maximum; ISO 6789: the range that is tested and claimed
SMALL_TOOL = 10.0  # N·m: at or below this maximum the wider deviation holds; ISO 6789
SMALL_DEVIATION = 0.06  # of the setting; ISO 6789, maximum up to 10 N·m
DEVIATION = 0.04  # of the setting; ISO 6789, maximum above 10 N·m


class WrenchRefused(ValueError):
    """A torque that this wrench cannot be set to, or for which nothing is claimed."""


@checked
class TorqueWrench(NamedTuple):
    """A torque wrench and its scale, in the unit that is printed on it.

    low, high : ends of its scale, in `unit`
    graduation : from one mark to the next, in `unit`; marks are counted from `low`
    unit : a unit of torque
    length : middle of the grip to middle of the drive [m]; None where nobody measured it
    """

    name: str
    low: Decimal
    high: Decimal
    graduation: Decimal
    unit: Unit
    length: float | None = None

    def check(self) -> None:
        if self.unit.kind != "torque":
            raise ValueError(f"{self.name}: its scale is in a unit of torque, not {self.unit.name}")
        if not 0 <= self.low < self.high:
            raise ValueError(
                f"{self.name}: its scale runs upward, not from {self.low} to {self.high}"
            )
        if not 0 < self.graduation <= self.high - self.low:
            raise ValueError(
                f"{self.name}: the step between marks is above 0 and no more than the scale, "
                f"not {self.graduation} {self.unit.name}"
            )
        if self.length is not None and not self.length > 0:
            raise ValueError(f"{self.name}: its length is above 0, not {self.length} m")


class Offset(NamedTuple):
    """An offset adapter as it stands on the wrench.

    length : middle of the drive to middle of the nut [m]
    angle : 0 straight out, pi/2 square, pi folded back [rad]
    """

    length: float
    angle: float


class WrenchSetting(NamedTuple):
    """One wrench set for one torque.

    mark : the number to set on its scale, in its own unit
    exact : the setting before it was brought to a mark [N·m]
    setting : what that mark stands for [N·m]
    torque : what the nut then gets [N·m]
    wanted : what it should get [N·m]
    deviation : permissible relative deviation of the tool [1]; None where nothing is claimed
    """

    wrench: TorqueWrench
    mark: Decimal
    exact: float
    setting: float
    torque: float
    wanted: float
    deviation: float | None

    @property
    def missed(self) -> float:
        """How far the nearest mark leaves the nut from the torque wanted [N·m]."""
        return self.torque - self.wanted


class Choice(NamedTuple):
    """The wrenches that suit, best first, and why the others do not.

    Empty `suited` means that no wrench on the shelf covers the torque: a small screw may then be
    tightened by feel, and is recorded as such.
    """

    suited: tuple[WrenchSetting, ...]
    refused: tuple[tuple[TorqueWrench, str], ...]


def permissible_deviation(wrench: TorqueWrench, setting: float) -> float | None:
    """What the standard lets a wrench be off, as a share of its setting.

    setting : shown by the wrench [N·m]
    returns : relative deviation, to either side [1]; None below 20 % or above 100 % of its maximum,
        where nothing is claimed

    Source: ISO 6789, as restated in a tool maker's check sheet (2011): 4 % where the tool's maximum
    is over 10 N·m, 6 % up to there, from 20 % of the maximum up.

    >>> from ringland.quantity import find_unit
    >>> wrench = TorqueWrench("10-60", Decimal(10), Decimal(60), Decimal("0.5"), find_unit("N·m"))
    >>> permissible_deviation(wrench, 30.0), permissible_deviation(wrench, 11.0)
    (0.04, None)
    """
    high = wrench.unit.to_si(wrench.high)
    if not float(CLAIMED_FROM) * high * (1 - 1e-12) <= setting <= high * (1 + 1e-12):
        return None
    return SMALL_DEVIATION if high <= SMALL_TOOL else DEVIATION


def nearest_mark(wrench: TorqueWrench, setting: float) -> Decimal:
    """The mark of the scale nearest to a setting, in the wrench's own unit; half to even.

    setting : wanted on the wrench [N·m]
    Raises WrenchRefused where it lies off the scale.

    >>> from ringland.quantity import find_unit
    >>> wrench = TorqueWrench("10-60", Decimal(10), Decimal(60), Decimal("0.5"), find_unit("N·m"))
    >>> nearest_mark(wrench, 26.84)
    Decimal('27.0')
    """
    number = Decimal(repr(wrench.unit.from_si(setting)))
    half = wrench.graduation / 2
    if not wrench.low - half <= number <= wrench.high + half:
        raise WrenchRefused(
            f"{wrench.name} reads {wrench.low} to {wrench.high} {wrench.unit.name}; "
            f"{_plain(number)} {wrench.unit.name} is off its scale: take another wrench"
        )
    steps = ((number - wrench.low) / wrench.graduation).to_integral_value(ROUND_HALF_EVEN)
    last = ((wrench.high - wrench.low) / wrench.graduation).to_integral_value("ROUND_FLOOR")
    return wrench.low + min(max(steps, Decimal(0)), last) * wrench.graduation


def set_for(
    wrench: TorqueWrench, torque: float, *, offset: Offset | None = None, final: bool = True
) -> WrenchSetting:
    """Set a wrench for a torque at the nut: its nearest mark, and what the nut then gets.

    torque : wanted at the nut [N·m], above 0
    offset : the adapter; None for a socket straight on the drive, also on a straight extension
    final : the value the nut keeps. A snugging stage is not final: it may lie below 20 %
    Raises WrenchRefused with the reason; AdapterError for a geometry without a lever.

    >>> from math import radians
    >>> from ringland.quantity import find_unit
    >>> wrench = TorqueWrench("10-60", Decimal(10), Decimal(60), Decimal(1), find_unit("N·m"), 0.3)
    >>> found = set_for(wrench, 30.0, offset=Offset(0.050, radians(45)))
    >>> str(found.mark), round(found.torque, 2), found.deviation
    ('27', 30.18, 0.04)
    """
    if not torque > 0:
        raise WrenchRefused(f"the torque is {torque:g} N·m: it is above 0")
    ratio = 1.0
    if offset is not None:
        if wrench.length is None:
            raise WrenchRefused(
                f"{wrench.name}: measure it from the middle of the grip to the middle of the drive; "
                "with an adapter its length counts"
            )
        exact = setting(torque, wrench.length, offset.length, offset.angle)
        ratio = delivered(1.0, wrench.length, offset.length, offset.angle)
    else:
        exact = torque
    mark = nearest_mark(wrench, exact)
    shown = wrench.unit.to_si(mark)
    deviation = permissible_deviation(wrench, shown)
    if final and deviation is None:
        raise WrenchRefused(_too_low(wrench, exact))
    return WrenchSetting(wrench, mark, exact, shown, shown * ratio, torque, deviation)


def _too_low(wrench: TorqueWrench, exact: float) -> str:
    least = wrench.high * CLAIMED_FROM
    return (
        f"{_plain(Decimal(repr(wrench.unit.from_si(exact))))} {wrench.unit.name} is below 20 % of "
        f"the maximum of {wrench.name} ({_plain(least)} {wrench.unit.name}): nothing is claimed for it "
        "there. Take a smaller wrench for the final value; a snugging stage may use this one"
    )


def _plain(number: Decimal) -> str:
    return f"{float(number):.4g}"


def choose(
    shelf: Sequence[TorqueWrench],
    torque: float,
    *,
    offset: Offset | None = None,
    final: bool = True,
) -> Choice:
    """Sort a shelf of wrenches for one torque.

    torque : wanted at the nut [N·m], above 0
    offset, final : as in `set_for`
    returns : those that suit, the one first at which the nut may end nearest to the torque wanted
        (nearest mark and permissible deviation together; then the smaller wrench), and the refused
    Raises AdapterError.

    >>> from ringland.quantity import find_unit
    >>> newton_metre = find_unit("N·m")
    >>> shelf = [TorqueWrench("10-60", Decimal(10), Decimal(60), Decimal("0.5"), newton_metre),
    ...          TorqueWrench("2-15", Decimal(2), Decimal(15), Decimal("0.1"), newton_metre)]
    >>> [each.wrench.name for each in choose(shelf, 8.0).suited]
    ['2-15']
    """
    suited: list[WrenchSetting] = []
    refused: list[tuple[TorqueWrench, str]] = []
    for wrench in shelf:
        try:
            suited.append(set_for(wrench, torque, offset=offset, final=final))
        except WrenchRefused as reason:
            refused.append((wrench, str(reason)))
    suited.sort(key=_worst)
    return Choice(tuple(suited), tuple(refused))


def _worst(each: WrenchSetting) -> tuple[bool, float, float]:
    claimed = 0.0 if each.deviation is None else each.deviation
    at_worst = abs(each.missed) + claimed * each.torque
    return each.deviation is None, at_worst, each.wrench.unit.to_si(each.wrench.high)
