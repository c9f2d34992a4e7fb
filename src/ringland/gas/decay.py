"""A running log of pressure in a closed volume: what kind of leak, and how large.

Here: half-time ratio, straight-line fits for an orifice and for a capillary, area with its doubt.
Not here: a test with two readings and a rule (`pressure_test`). Start with `fit_decay`.

A hole lets the pressure fall as a square does, t(½→¼)/t(1→½) = 0.7071 at low pressure; a long
narrow path (a seal's lip, a joint's film) lets it fall as an exponential does, ratio 1. Temperature
drifting during the log looks like either: wait until the parts are at rest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from ringland.gas.air import check_ambient
from ringland.gas.closed_volume import leak_area
from ringland.quantity import Estimate

Floats = NDArray[np.float64]
TELLING = 6.0  # difference of chi-square needed to name the kind, about 95 % for equal odds


@dataclass(frozen=True, slots=True)
class Decay:
    """What a log of pressure says.

    kind : "orifice", "capillary" or "cannot tell"
    chi_orifice, chi_capillary : chi-square of each fit [-]; degrees of freedom are readings − 2
    half_ratio : t(½→¼)/t(1→½) [-]; None where the log does not reach a quarter
    rate : early fall of pressure [Pa/s] with its doubt, from the better fit
    area : effective area [m^2], taking it as an orifice; None without volume
    times, fitted : the better fit's curve [s], [Pa gauge]
    """

    kind: str
    chi_orifice: float
    chi_capillary: float
    half_ratio: float | None
    rate: Estimate
    area: Estimate | None
    times: Floats
    fitted: Floats


def fit_decay(
    times: Sequence[float],
    pressures: Sequence[float],
    *,
    u_pressure: float,
    ambient: float = 101_325.0,
    temperature: float = 293.15,
    volume: float | None = None,
) -> Decay:
    """Fit a decaying pressure with an orifice and with a capillary.

    times : rising [s], shape (n,), n at least 5
    pressures : falling towards zero, above it [Pa gauge], shape (n,)
    u_pressure : standard uncertainty of one reading [Pa]
    ambient : absolute [Pa]; temperature [K]; volume [m^3] for an area
    Raises ValueError for times out of order, too few readings or a log that rises.

    Both laws become straight lines: for the orifice the time since p0 is ∫dp/(p ψ), for laminar
    flow ln((p−pa)/(p+pa)) is linear in time. Each is fitted by weighted least squares.
    Source: isothermal mass balance; laminar flow of a gas, ṁ ~ p² − pa² (Hagen-Poiseuille).

    >>> t = [0.0, 60.0, 120.0, 180.0, 240.0]
    >>> fit_decay(t, [40e3, 36.2e3, 32.6e3, 29.1e3, 25.9e3], u_pressure=100.0).area is None
    True
    """
    t, p = _checked(times, pressures, u_pressure)
    check_ambient(ambient)
    air = (ambient, temperature)
    clock, slow = _orifice_clocks(p, p[0], air), _capillary_clocks(p, p[0], air)
    near = 1e-3
    d_clock = (
        _orifice_clocks(p * (1 - near), p[0], air) - _orifice_clocks(p * (1 + near), p[0], air)
    ) / (2 * near * p)
    d_slow = 1.0 / p - 1.0 / (p + 2 * ambient)
    a = _line(t, clock, d_clock * u_pressure)
    b = _line(t, slow, d_slow * u_pressure)
    kind = _kind(a[3], b[3])
    orifice = a[3] <= b[3]
    fitted = np.linspace(p[0], p[-1], 60)
    on_line = (
        _orifice_clocks(fitted, p[0], air) if orifice else _capillary_clocks(fitted, p[0], air)
    )
    line, per = (a, d_clock[0]) if orifice else (b, d_slow[0])
    rate = Estimate(line[1] / per, line[2] / per)
    area = None if volume is None else Estimate(max(a[1], 0.0) * volume, a[2] * volume)
    curve_t = (on_line - line[0]) / line[1]
    return Decay(kind, a[3], b[3], half_time_ratio(t, p), rate, area, curve_t, fitted)


def half_time_ratio(times: Floats, pressures: Floats) -> float | None:
    """Return t(½→¼)/t(1→½) of a log, between readings on a straight line; None if too short.

    times [s], pressures [Pa gauge] falling, both shape (n,)

    >>> t = np.linspace(0.0, 3.0, 301)
    >>> round(half_time_ratio(t, 1e4 * np.exp(-t)), 3)
    1.0
    """
    if pressures[-1] > 0.25 * pressures[0]:
        return None
    falling = pressures[::-1]
    half, quarter = np.interp([0.5 * pressures[0], 0.25 * pressures[0]], falling, times[::-1])
    return float((quarter - half) / (half - times[0]))


def _checked(times: Sequence[float], pressures: Sequence[float], u: float) -> tuple[Floats, Floats]:
    t, p = np.asarray(times, dtype=np.float64), np.asarray(pressures, dtype=np.float64)
    problems = []
    if t.shape != p.shape or t.ndim != 1 or t.size < 5:
        problems.append(f"{t.size} times and {p.size} pressures: give five readings or more")
    else:
        if not bool(np.all(np.diff(t) > 0)):
            at = int(np.argmin(np.diff(t) > 0))
            problems.append(f"times out of order: {t[at + 1]:g} s after {t[at]:g} s")
        if not bool(np.all(p > 0.0)):
            problems.append("a log ends while there is pressure left: leave out zeros")
        if p[-1] >= p[0] - u or bool(np.any(np.diff(p) > 6.0 * u)):
            problems.append("the pressure does not fall: warming parts, or no leak to fit")
    if not u > 0.0:
        problems.append(f"the uncertainty of a reading is above zero, not {u:g} Pa")
    if problems:
        raise ValueError("; ".join(problems))
    return t, p


def _orifice_clocks(pressures: Floats, start: float, air: tuple[float, float]) -> Floats:
    """Area × time / volume [1/m] that an orifice needs from `start` to each pressure; signed.

    air : absolute ambient pressure [Pa] and temperature [K]
    """
    ambient, temperature = air

    def one(now: float) -> float:
        high, low = max(start, now), min(start, now)
        clock = leak_area(
            ambient + high,
            ambient + low,
            duration=1.0,
            volume=1.0,
            ambient=ambient,
            temperature=temperature,
        )
        return clock if now <= start else -clock

    return np.array([one(float(each)) for each in pressures])


def _capillary_clocks(pressures: Floats, start: float, air: tuple[float, float]) -> Floats:
    """What laminar flow needs from `start` to each pressure, up to a constant [-]."""
    both = 2 * air[0]
    return np.asarray(np.log((start / (start + both)) / (pressures / (pressures + both))))


def _line(t: Floats, y: Floats, u: Floats) -> tuple[float, float, float, float]:
    """Weighted straight line: intercept, slope, its standard uncertainty, chi-square.

    Where the readings scatter more than their u says, the slope's doubt is widened to match.
    """
    w = 1.0 / u**2
    mean_t, mean_y = float(w @ t / w.sum()), float(w @ y / w.sum())
    spread = float(w @ (t - mean_t) ** 2)
    slope = float(w @ ((t - mean_t) * (y - mean_y))) / spread
    rest = y - mean_y - slope * (t - mean_t)
    chi = float(w @ rest**2)
    widened = sqrt(max(1.0, chi / (t.size - 2)))
    return mean_y - slope * mean_t, slope, widened / sqrt(spread), chi


def _kind(chi_orifice: float, chi_capillary: float) -> str:
    if abs(chi_orifice - chi_capillary) < TELLING:
        return "cannot tell"
    return "orifice" if chi_orifice < chi_capillary else "capillary"
