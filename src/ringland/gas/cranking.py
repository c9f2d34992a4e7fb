"""A cranking engine on a compression gauge: the pump-up curve, stroke by stroke.

Here: a zero-dimensional model over crank angle, many engines at once. Not here: the band about its
answer (`band`), reading an observed curve (`reading`), steady flow (`flow`).
Start with `pump_up`.

The model. Each stroke traps air of the outside pressure when the exhaust port closes. The piston
squeezes it up to top dead centre: specific heats follow temperature, the walls take heat
(Hohenberg's coefficient, times a factor that nobody knows within a third), the ring lets some past
into a case at outside pressure. A check valve without resistance passes gas into the gauge, whose
gas cools towards its wall. After top dead centre nothing more can enter.
Left out: fuel vapour, waves, the case's own swing of pressure, leak through the check valve.

The method. Angle by angle, the exact reversible step of volume alternates with one step of losses
(Strang's splitting), and the gauge is brought to pressure in between. At 0.5° the first strokes are
within 0.2 % of those at 0.02°, the last within 0.05 %; with steps of 0.05° a stiff solver of the
same statement agrees within 0.02 % (tests and `benchmarks/gas.py` hold this).
"""

from dataclasses import dataclass, fields, replace
from math import inf, pi, radians

import numpy as np
from numpy.typing import NDArray

from ringland.gas.working_gas import AIR, WorkingGas

Floats = NDArray[np.float64]
Batch = float | Floats  # one value for all engines of a batch, or one for each, shape (n,)

STEP = radians(0.5)  # of crank angle
STROKES = 10
HOHENBERG = 130.0  # W/(m^2 K) with V in m^3, p in bar, T in K; Hohenberg, SAE 790825 (1979)
PISTON_SPEED_OFFSET = 1.4  # m/s, same source
CHAMBER_AREA = 2.3  # wall of crown and chamber at top dead centre over the bore's area, from memory


@dataclass(frozen=True, slots=True)
class Cranking:
    """Everything the gauge reading depends on; each value a float or an array of shape (n,).

    bore, stroke, rod : of the engine [m]
    clearance : volume at top dead centre with the plug or gauge in, before any hose [m^3]
    closing : crank angle before top dead centre at which the exhaust port closes, with the power
        valve where it stands while cranking [rad]
    speed : crank speed when the port closes [rev/s]
    slowing : share of that speed lost by top dead centre [-], 0 for a starter
    ambient : outside air pressure [Pa absolute]
    air, wall : temperatures of outside air and of the cylinder's wall [K]
    trapped : pressure trapped over outside pressure [-]
    warming : how far the trapped air has warmed from `air` towards `wall` [-], 0 to 1
    leak : effective area past the ring and elsewhere [m^2]
    heat : factor on the heat passed to the wall [-]
    dead : volume between cylinder and check valve [m^3]
    gauge : volume behind the check valve [m^3]
    gauge_cooling : time in which gas in the gauge gives its heat to the gauge [s]; inf for none
    """

    bore: Batch
    stroke: Batch
    rod: Batch
    clearance: Batch
    closing: Batch
    speed: Batch = 8.0
    slowing: Batch = 0.0
    ambient: Batch = 101_325.0
    air: Batch = 293.15
    wall: Batch = 313.15
    trapped: Batch = 1.0
    warming: Batch = 0.5
    leak: Batch = 0.0
    heat: Batch = 1.0
    dead: Batch = 0.0
    gauge: Batch = 1.5e-6
    gauge_cooling: Batch = 0.02

    def __post_init__(self) -> None:
        problems = _problems(self)
        if problems:
            raise ValueError("; ".join(problems))


# name, low, high, whether the ends belong, what to say; each in the unit of the field
_RANGES: tuple[tuple[str, float, float, str], ...] = (
    ("bore", 0.02, 0.2, "a bore of 20 to 200 mm"),
    ("stroke", 0.02, 0.2, "a stroke of 20 to 200 mm"),
    ("rod", 0.03, 0.5, "a rod of 30 to 500 mm"),
    ("clearance", 1e-6, 1e-3, "a clearance volume of 1 to 1000 mL"),
    (
        "closing",
        radians(45),
        radians(150),
        "an exhaust closing of 45 to 150° before top dead centre",
    ),
    ("speed", 0.2, 50.0, "a cranking speed of 12 to 3000 rpm"),
    ("slowing", 0.0, 0.9, "a slowing of 0 to 90 %"),
    ("ambient", 45_000.0, 110_000.0, "an absolute air pressure of 0.45 to 1.10 bar"),
    ("air", 230.0, 330.0, "air of −43 to 57 °C"),
    ("wall", 230.0, 450.0, "a wall of −43 to 177 °C"),
    ("trapped", 0.5, 1.5, "a trapped pressure of 0.5 to 1.5 times the air's"),
    ("warming", 0.0, 1.0, "a warming of 0 to 100 %"),
    ("leak", 0.0, 1e-3, "a leak of 0 to 1000 mm²"),
    ("heat", 0.0, 20.0, "a heat factor of 0 to 20"),
    ("dead", 0.0, 1e-3, "a volume before the check valve of 0 to 1000 mL"),
    ("gauge", 1e-12, 1e-3, "a volume behind the check valve of up to 1000 mL, above zero"),
    ("gauge_cooling", 1e-3, inf, "a gauge cooling time of 1 ms or more"),
)


def _problems(setting: Cranking) -> list[str]:
    found = []
    for name, low, high, said in _RANGES:
        value = np.asarray(getattr(setting, name), dtype=np.float64)
        if not bool(np.all((value >= low) & (value <= high))):
            wrong = value[~((value >= low) & (value <= high))].flat[0]
            found.append(f"{name} {wrong:g} is not {said} (in SI units)")
    if not found and not bool(np.all(np.asarray(setting.rod) > 0.5 * np.asarray(setting.stroke))):
        found.append("the rod is longer than half the stroke")
    return found


@dataclass(frozen=True, slots=True)
class PumpUp:
    """What the gauge shows.

    reading : after each stroke, gauge pressure at rest [Pa gauge], shape (n, strokes)
    ambient : outside pressure it is reckoned from [Pa absolute], shape (n,)
    """

    reading: Floats
    ambient: Floats


def piston_drop(angle: Floats, stroke: Floats, rod: Floats) -> Floats:
    """Return how far the piston is below top dead centre.

    angle : from top dead centre [rad]; stroke, rod [m]; shapes that broadcast
    returns : [m]

    Source: slider-crank without offset, exact.

    >>> float(piston_drop(np.array(0.0), np.array(0.056), np.array(0.11)))
    0.0
    """
    r = 0.5 * stroke
    s = r * np.sin(angle)
    return np.asarray(r * (1.0 - np.cos(angle)) + rod - np.sqrt(rod * rod - s * s))


def pump_up(
    setting: Cranking, *, strokes: int = STROKES, step: float = STEP, gas: WorkingGas = AIR
) -> PumpUp:
    """Return what the gauge shows after each stroke.

    setting : one engine or a batch of n
    strokes : how many compressions, 1 to 60
    step : of crank angle [rad], 0.02° to 5°
    returns : readings of shape (n, strokes), n = 1 for one engine

    Source: the module's docstring; checked against closed forms, SciPy and Cantera.

    >>> one = Cranking(0.054, 0.054, 0.105, 10.5e-6, radians(92.0))
    >>> curve = pump_up(one).reading[0]
    >>> bool(np.all(np.diff(curve) > 0)), bool(9e5 < curve[-1] < 15e5)
    (True, True)
    """
    if not 1 <= strokes <= 60:
        raise ValueError(f"{strokes} strokes: give 1 to 60")
    if not radians(0.02) <= step <= radians(5.0):
        raise ValueError(f"a step of {np.degrees(step):g}° is outside 0.02 to 5°")
    stroke_of = _Stroke(_spread(setting), step, gas)
    return PumpUp(stroke_of.run(strokes), stroke_of.ambient)


def _spread(setting: Cranking) -> Cranking:
    """The same setting with every value an array of one common length."""
    values = {
        each.name: np.atleast_1d(np.asarray(getattr(setting, each.name), dtype=np.float64))
        for each in fields(setting)
    }
    n = np.broadcast_shapes(*(value.shape for value in values.values()))
    return replace(setting, **{name: np.broadcast_to(value, n) for name, value in values.items()})


class _Stroke:
    """One compression, prepared once and run for each stroke with the gauge as it stands."""

    def __init__(self, setting: Cranking, step: float, gas: WorkingGas) -> None:
        c = {each.name: np.asarray(getattr(setting, each.name)) for each in fields(setting)}
        self.gas, self.n = gas, c["bore"].size
        self.ambient, self.wall, self.leak = c["ambient"], c["wall"], c["leak"]
        self.gauge, self.leaks = c["gauge"], bool(np.any(c["leak"] > 0.0))
        self.steps = int(np.ceil(c["closing"].max() / step))
        bore_area = 0.25 * pi * c["bore"] ** 2
        # nodes 0 (port closes) to `steps` (top dead centre), losses act at the middles
        share = np.arange(2 * self.steps + 1)[:, None] / (2.0 * self.steps)
        drop = piston_drop(c["closing"] * (1.0 - share), c["stroke"], c["rod"])
        volume = c["clearance"] + c["dead"] + bore_area * drop
        self.first, self.last = volume[0], volume[-1]
        self.middle = volume[1::2]
        self.log_r_v = np.log(gas.gas_constant / np.concatenate([self.middle, volume[-1:]]))
        self.log_ambient = np.log(self.ambient)
        stops = np.concatenate([volume[:1], self.middle, volume[-1:]])
        self.squeeze = np.log(stops[:-1] / stops[1:])  # steps + 1 rows
        speed = c["speed"] * (1.0 - c["slowing"] * share[1::2])
        self.time = (c["closing"] / self.steps) / (2.0 * pi * speed)
        self.heat_time, self.log_h = _heat_terms(c, bore_area, drop[1::2], self.middle, self.time)
        with np.errstate(divide="ignore"):
            self.keeps = np.exp(-self.time / c["gauge_cooling"])
            rest = 1.0 / c["speed"] - self.time.sum(axis=0)
            self.rest_keeps = np.exp(-rest / c["gauge_cooling"])
        self.log_start = np.log(c["air"] + c["warming"] * (c["wall"] - c["air"]))
        self.log_trapped = np.log(c["trapped"] * c["ambient"])
        self.cool = c["air"]
        self.open_pressure = self.ambient.copy()
        self.gauge_mass = self.ambient * self.gauge / (gas.gas_constant * self.cool)

    def run(self, strokes: int) -> Floats:
        shown = np.empty((self.n, strokes))
        for i in range(strokes):
            self._compress()
            self._let_cool(self.rest_keeps)
            shown[:, i] = self.open_pressure - self.ambient
        return shown

    def _compress(self) -> None:
        R = self.gas.gas_constant
        log_T = self.log_start.copy()
        log_m = self.log_trapped + np.log(self.first / R) - log_T  # p V = m R T
        k = self.gas.exponent(np.exp(log_T))
        of_T = of_m = old_T = old_m = np.zeros(self.n)
        for i in range(self.steps):
            log_T, k = self._squeeze(i, log_T, k)
            # half the losses before the gauge fills, foreseen from the last two steps, and half
            # after: so its pressure is that of the middle of the step
            log_T, log_m = log_T - (2.0 * of_T - old_T), log_m - (2.0 * of_m - old_m)
            log_T, log_m = self._fill_gauge(i, log_T, log_m, k)
            self._let_cool(self.keeps[i])
            old_T, old_m = of_T, of_m
            of_T, of_m = self._half_losses(i, log_T, log_m, k)
            log_T, log_m = log_T - of_T, log_m - of_m
        log_T, k = self._squeeze(self.steps, log_T, k)
        self._fill_gauge(self.steps, log_T, log_m, k)

    def _squeeze(self, i: int, log_T: Floats, k: Floats) -> tuple[Floats, Floats]:
        """Reversible change of volume, with γ at the middle of the step."""
        grown = self.squeeze[i]
        k = self.gas.exponent(np.exp(log_T + 0.5 * k * grown))
        return log_T + k * grown, k

    def _half_losses(
        self, i: int, log_T: Floats, log_m: Floats, k: Floats
    ) -> tuple[Floats, Floats]:
        """Fall of ln T and ln m in half a step at constant volume: heat to the wall, gas lost."""
        R, T = self.gas.gas_constant, np.exp(log_T)
        log_p = log_m + log_T + self.log_r_v[i]
        rate = self.heat_time[i] * np.exp(self.log_h[i] + 0.8 * log_p - 0.4 * log_T - log_m) * k / R
        cooled = 0.5 * rate * (1.0 - self.wall / T) * (1.0 - 0.5 * rate)
        if not self.leaks:
            return cooled, np.zeros(self.n)
        ratio = np.exp(np.minimum(self.log_ambient - log_p, 0.0))
        psi = flow_functions(ratio, self.gas.gamma)
        lost = 0.5 * self.leak * psi * np.sqrt(R * T) / self.middle[i] * self.time[i]
        return cooled + k * lost, lost

    def _fill_gauge(self, i: int, log_T: Floats, log_m: Floats, k: Floats) -> tuple[Floats, Floats]:
        """Bring the gauge to pressure where the cylinder's is the higher one, reversibly."""
        excess = log_m + log_T + self.log_r_v[i] - np.log(self.open_pressure)
        if not bool(np.any(excess > 0.0)):
            return log_T, log_m
        x = np.maximum(excess, 0.0) / (1.0 + k)
        volume = self.middle[i] if i < self.steps else self.last
        f = volume / (volume + self.gauge / self._warms(np.exp(log_T), k))
        rise = np.log1p(f * np.expm1(x))  # of ln p / γ in the gauge: p^(1/γ) V is shared out
        out = x - rise  # of ln m in the cylinder
        mass = np.exp(log_m)
        self.gauge_mass = self.gauge_mass - mass * np.expm1(-out)
        self.open_pressure = self.open_pressure * np.exp(rise * (1.0 + k))
        return log_T - k * out, log_m - out

    def _warms(self, T: Floats, k: Floats) -> Floats:
        """Rise of p V in the gauge over its fall in the cylinder, for gas that passes over [-].

        One where γ is constant. Energy: Δ(p V) = R T_g Δm + (γ_g − 1) (h − u_g) Δm.
        """
        T_g = self.open_pressure * self.gauge / (self.gauge_mass * self.gas.gas_constant)
        k_g = self.gas.exponent(T_g)
        k_mean = self.gas.exponent(0.5 * (T + T_g))
        return np.asarray((1.0 + k_g + (k_g / k_mean - 1.0) * (1.0 - T_g / T)) / (1.0 + k))

    def _let_cool(self, keeps: Floats) -> None:
        T = self.open_pressure * self.gauge / (self.gauge_mass * self.gas.gas_constant)
        self.open_pressure = self.open_pressure * (self.cool + (T - self.cool) * keeps) / T


def _heat_terms(
    c: dict[str, Floats], bore_area: Floats, drop: Floats, volume: Floats, time: Floats
) -> tuple[Floats, Floats]:
    """Wall area times time, and ln of Hohenberg's coefficient but for pressure and temperature."""
    wall_area = CHAMBER_AREA * bore_area + pi * c["bore"] * drop
    piston = 2.0 * c["stroke"] * c["speed"] * (1.0 - 0.5 * c["slowing"])
    with np.errstate(divide="ignore"):
        log_h = (
            np.log(HOHENBERG * c["heat"])
            - 0.06 * np.log(volume)
            + 0.8 * np.log(piston + PISTON_SPEED_OFFSET)
            - 0.8 * np.log(1e5)
        )
    return wall_area * time, log_h


def flow_functions(ratio: Floats, gamma: float) -> Floats:
    """Return ψ of `flow.flow_function` for pressure ratios 0 to 1 of any shape.

    >>> flow_functions(np.array([0.5, 1.0]), 1.4).round(7).tolist()
    [0.6847315, 0.0]
    """
    k = gamma
    r = np.maximum(ratio, (2.0 / (k + 1.0)) ** (k / (k - 1.0)))
    u = r ** ((k - 1.0) / k)
    return np.asarray(r / u * np.sqrt(np.maximum(2.0 * k / (k - 1.0) * (1.0 - u), 0.0)))
