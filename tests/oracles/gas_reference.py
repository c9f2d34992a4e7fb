"""The cranking engine written a second time, for SciPy's stiff solver: an oracle, not the product.

Linear state (mass and temperature of cylinder and gauge), energy balances with internal energy and
enthalpy from the polynomial's integrals, a check valve that is a large regularised orifice. It
shares with `ringland.gas.cranking` the physical statement and the constants, no code of the method.
"""

from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from ringland.gas.cranking import CHAMBER_AREA, Cranking
from ringland.gas.working_gas import AIR, WorkingGas

Floats = NDArray[np.float64]
VALVE = 3e-5  # m^2, of the check valve: large, so that it hardly resists
SMOOTH = 20.0  # Pa, below which a flow is taken as linear in the pressure difference


def psi(r: float, k: float) -> float:
    critical = (2 / (k + 1)) ** (k / (k - 1))
    r = max(r, critical)
    return float(np.sqrt(2 * k / (k - 1) * (r ** (2 / k) - r ** ((k + 1) / k))))


def flow(up: float, down: float, temperature: float, area: float, gas: WorkingGas) -> float:
    """Mass flow from up to down, nothing the other way, linear near equal pressures."""
    if up <= down or area == 0.0:
        return 0.0
    near = up - SMOOTH
    factor = (
        psi(down / up, gas.gamma)
        if down < near
        else psi(near / up, gas.gamma) * ((up - down) / SMOOTH)
    )
    return area * up * factor / float(np.sqrt(gas.gas_constant * temperature))


class Engine:
    """One engine of a `Cranking` with plain floats."""

    def __init__(self, setting: Cranking, gas: WorkingGas = AIR) -> None:
        self.c: dict[str, float] = {
            name: float(np.asarray(getattr(setting, name))) for name in setting.__slots__
        }
        self.gas = gas
        self.omega = 2 * pi * self.c["speed"]

    def enthalpy(self, T: float) -> float:
        terms = (a * T ** (i + 1) / (i + 1) for i, a in enumerate(self.gas.cp_over_r))
        return self.gas.gas_constant * sum(terms)

    def cv(self, T: float) -> float:
        cp = sum(a * T**i for i, a in enumerate(self.gas.cp_over_r))
        return self.gas.gas_constant * (cp - 1.0)

    def volume(self, angle: float) -> tuple[float, float, float]:
        """Volume, its rate over time, and wall area at an angle from top dead centre (negative)."""
        c = self.c
        r, rod, s = 0.5 * c["stroke"], c["rod"], np.sin(angle)
        root = np.sqrt(rod * rod - r * r * s * s)
        x = r * (1 - np.cos(angle)) + rod - root
        dx = r * s + r * r * s * np.cos(angle) / root
        area = 0.25 * pi * c["bore"] ** 2
        volume = c["clearance"] + c["dead"] + area * x
        return (
            float(volume),
            float(area * dx * self.omega),
            float(CHAMBER_AREA * area + pi * c["bore"] * x),
        )

    def rates(self, t: float, y: Floats) -> list[float]:
        c, R = self.c, self.gas.gas_constant
        m, T, m_g, T_g = y
        V, dV, wall_area = self.volume(-c["closing"] + self.omega * t)
        p, p_g = m * R * T / V, m_g * R * T_g / c["gauge"]
        leak = flow(p, c["ambient"], T, c["leak"], self.gas)
        into = flow(p, p_g, T, VALVE, self.gas)
        piston = 2 * c["stroke"] * c["speed"]
        h = 130.0 * c["heat"] * V**-0.06 * (p / 1e5) ** 0.8 * T**-0.4 * (piston + 1.4) ** 0.8
        out = leak + into
        dT = (-p * dV - h * wall_area * (T - c["wall"]) - out * R * T) / (m * self.cv(T))
        u_g = self.enthalpy(T_g) - R * T_g
        dT_g = into * (self.enthalpy(T) - u_g) / (m_g * self.cv(T_g))
        dT_g -= (T_g - c["air"]) / c["gauge_cooling"]
        return [-out, dT, into, dT_g]

    def curve(self, strokes: int, *, beyond: float = 0.0, **options: Any) -> Floats:
        """Gauge readings [Pa gauge] after each stroke, up to `beyond` [rad] past dead centre."""
        c, R = self.c, self.gas.gas_constant
        m_g, T_g = c["ambient"] * c["gauge"] / (R * c["air"]), c["air"]
        T0 = c["air"] + c["warming"] * (c["wall"] - c["air"])
        p0 = c["trapped"] * c["ambient"]
        m0 = p0 * self.volume(-c["closing"])[0] / (R * T0)
        shown = []
        end = (c["closing"] + beyond) / self.omega
        rest = 1 / c["speed"] - end
        for _ in range(strokes):
            found = solve_ivp(self.rates, (0.0, end), [m0, T0, m_g, T_g], **options)
            assert found.success, found.message
            m_g, T_g = found.y[2, -1], found.y[3, -1]
            T_g = c["air"] + (T_g - c["air"]) * np.exp(-rest / c["gauge_cooling"])
            shown.append(m_g * R * T_g / c["gauge"] - c["ambient"])
        return np.array(shown)
