"""An offset adapter on a torque wrench: what to set so that the nut gets the maker's figure.

Here: the setting and its inverse, their sensitivities and uncertainty.
Not here: the wrench's scale and marks (`wrench`). Start with `setting`.

The wrench feels the hand's force times its own length; the nut feels the same force times the
length from the hand to the nut, measured along the wrench. Straight out, the nut gets more than the
wrench shows; at 90 degrees the same; folded back, less.
"""

from math import cos, isfinite, pi, sin, sqrt
from typing import NamedTuple

from ringland.quantity import Estimate

_NOTHING_LEFT = 1e-9  # of both lengths together: rounding of the cosine, not a lever


class AdapterError(ValueError):
    """A geometry that has no setting. `name` is the argument that is to blame."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(message)
        self.name = name


class Sensitivities(NamedTuple):
    """How far a setting moves for each of its inputs.

    torque : per N·m of the torque wanted [1]
    wrench_length : per metre of the wrench [N]
    adapter_length : per metre of the adapter [N]
    angle : per radian of the angle [N·m]
    """

    torque: float
    wrench_length: float
    adapter_length: float
    angle: float


def lever_ratio(wrench_length: float, adapter_length: float, angle: float) -> float:
    """What the nut gets for each newton metre that the wrench shows.

    wrench_length : middle of the grip to middle of the drive [m], above 0
    adapter_length : middle of the drive to middle of the nut [m], 0 or more
    angle : 0 where the adapter points straight out, away from the hand; pi/2 square;
        pi folded back along the handle [rad], 0 to pi
    returns : (L + A cos theta) / L [1]
    Raises AdapterError where the nut comes under the hand or behind it: no lever is left.

    Source: moments about nut and drive of one force at the grip.

    >>> from math import radians
    >>> round(lever_ratio(0.300, 0.050, radians(45)), 4)
    1.1179
    """
    if not (isfinite(wrench_length) and wrench_length > 0):
        raise AdapterError(
            "wrench_length",
            f"the length of the wrench is {wrench_length * 1000:g} mm: it is above 0, from the "
            "middle of the grip to the middle of the drive",
        )
    if not (isfinite(adapter_length) and adapter_length >= 0):
        raise AdapterError(
            "adapter_length",
            f"the length of the adapter is {adapter_length * 1000:g} mm: it is 0 or more, from the "
            "middle of the drive to the middle of the nut",
        )
    if not 0 <= angle <= pi:
        raise AdapterError(
            "angle",
            f"the angle of the adapter is {angle * 180 / pi:g} deg: it runs from 0 deg (straight "
            "out) over 90 deg (square) to 180 deg (folded back)",
        )
    arm = wrench_length + adapter_length * cos(angle)
    if arm <= _NOTHING_LEFT * (wrench_length + adapter_length):
        raise AdapterError(
            "adapter_length",
            f"an adapter of {adapter_length * 1000:g} mm at {angle * 180 / pi:g} deg reaches back "
            f"to the grip or past it on a wrench of {wrench_length * 1000:g} mm: no lever is left and no "
            "setting exists; turn the adapter to 90 deg or use a longer wrench",
        )
    return arm / wrench_length


def _checked(torque: float, what: str) -> float:
    if not (isfinite(torque) and torque > 0):
        raise AdapterError(what, f"the {what} is {torque:g} N·m: it is above 0")
    return torque


def setting(torque: float, wrench_length: float, adapter_length: float, angle: float) -> float:
    """What to set on the wrench so that the nut gets the torque wanted.

    torque : wanted at the nut [N·m], above 0
    wrench_length, adapter_length, angle : as in `lever_ratio` [m, m, rad]
    returns : setting of the wrench [N·m]
    Raises AdapterError.

    Source: S = T L / (L + A cos theta), as in torque manuals for straight adapters (cos 0 = 1).

    >>> from math import radians
    >>> [round(setting(20, 0.300, 0.050, radians(deg)), 4) for deg in (45, 90, 135)]
    [17.8915, 20.0, 22.6719]
    """
    return _checked(torque, "torque") / lever_ratio(wrench_length, adapter_length, angle)


def delivered(setting: float, wrench_length: float, adapter_length: float, angle: float) -> float:
    """What the nut gets at a setting: the inverse of `setting`.

    setting : shown by the wrench [N·m], above 0
    wrench_length, adapter_length, angle : as in `lever_ratio` [m, m, rad]
    returns : torque at the nut [N·m]
    Raises AdapterError.

    >>> round(delivered(60, 12, 2, 0), 6)  # lengths may be in any one unit
    70.0
    """
    return _checked(setting, "setting") * lever_ratio(wrench_length, adapter_length, angle)


def setting_sensitivities(
    torque: float, wrench_length: float, adapter_length: float, angle: float
) -> Sensitivities:
    """Partial derivatives of `setting`; arguments and errors as there.

    Source: JCGM 100:2008, 5.1.3, of S = T L / (L + A cos theta).

    >>> from math import radians
    >>> round(setting_sensitivities(20, 0.300, 0.050, radians(45)).angle, 3)  # N·m per radian
    1.886
    """
    T, L, A = _checked(torque, "torque"), wrench_length, adapter_length
    D = L * lever_ratio(L, A, angle)
    return Sensitivities(
        torque=L / D,
        wrench_length=T * A * cos(angle) / D**2,
        adapter_length=-T * L * cos(angle) / D**2,
        angle=T * L * A * sin(angle) / D**2,
    )


def setting_estimate(
    torque: Estimate, wrench_length: Estimate, adapter_length: Estimate, angle: Estimate
) -> Estimate:
    """`setting` with its standard uncertainty from those of its four inputs, taken as independent.

    torque : wanted at the nut [N·m]; u 0 where the maker's figure is taken as it stands
    wrench_length, adapter_length, angle : as in `lever_ratio` [m, m, rad]
    returns : setting [N·m]. First order: at 0 and at pi the angle counts for nothing in it.
    Raises AdapterError.

    Source: JCGM 100:2008, 5.1.2 and G.4.1 (degrees of freedom).

    >>> from math import radians
    >>> exact = Estimate(20, 0)
    >>> lengths = Estimate(0.300, 0.002), Estimate(0.050, 0.0005)
    >>> round(setting_estimate(exact, *lengths, Estimate(radians(45), radians(3))).u, 5)
    0.10133
    """
    inputs = (torque, wrench_length, adapter_length, angle)
    values = torque.value, wrench_length.value, adapter_length.value, angle.value
    c = setting_sensitivities(*values)
    slopes = (c.torque, c.wrench_length, c.adapter_length, c.angle)
    return _combined(setting(*values), slopes, inputs)


def delivered_estimate(
    setting: Estimate, wrench_length: Estimate, adapter_length: Estimate, angle: Estimate
) -> Estimate:
    """`delivered` with its standard uncertainty; give the wrench's own deviation as u of `setting`.

    setting : shown by the wrench [N·m]
    wrench_length, adapter_length, angle : as in `lever_ratio` [m, m, rad]
    returns : torque at the nut [N·m]; first order, inputs independent
    Raises AdapterError.

    Source: JCGM 100:2008, 5.1.2 and G.4.1.

    >>> straight = Estimate(0.300, 0.002), Estimate(0.050, 0.0005), Estimate(0.0, 0.05)
    >>> nut = delivered_estimate(Estimate(20, 0.46), *straight)
    >>> round(nut.value, 2), round(nut.u, 2)
    (23.33, 0.54)
    """
    S, L, A, angle_ = setting.value, wrench_length.value, adapter_length.value, angle.value
    value = delivered(S, L, A, angle_)
    slopes = (
        value / S,
        -S * A * cos(angle_) / L**2,
        S * cos(angle_) / L,
        -S * A * sin(angle_) / L,
    )
    return _combined(value, slopes, (setting, wrench_length, adapter_length, angle))


def _combined(value: float, slopes: tuple[float, ...], inputs: tuple[Estimate, ...]) -> Estimate:
    parts = [slope * each.u for slope, each in zip(slopes, inputs, strict=True)]
    u = sqrt(sum(part**2 for part in parts))
    doubt = sum(part**4 / each.dof for part, each in zip(parts, inputs, strict=True))
    return Estimate(value, u, u**4 / doubt) if doubt > 0 else Estimate(value, u)
