"""The gas being squeezed: its constant and its specific heat over temperature.

Here: air as a mixture of ideal gases, and argon, whose γ is constant and therefore exact to check
with. Not here: moisture or fuel vapour (a few parts in a thousand of γ). Start with `AIR`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ringland.gas.air import R_AIR

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class WorkingGas:
    """An ideal gas.

    gas_constant : specific [J/(kg K)]
    cp_over_r : coefficients of c_p/R in rising powers of temperature [1, 1/K, 1/K^2, ...]
    gamma : ratio of specific heats used for flow through holes [-]
    """

    gas_constant: float
    cp_over_r: tuple[float, ...]
    gamma: float

    def exponent(self, temperature: Floats) -> Floats:
        """Return R/c_v = γ − 1 at temperatures [K], any shape."""
        cp = np.full_like(temperature, self.cp_over_r[-1])
        for coefficient in self.cp_over_r[-2::-1]:
            cp *= temperature
            cp += coefficient
        cp -= 1.0
        return np.reciprocal(cp, out=cp)


# N2 78.084, O2 20.942, Ar 0.934, CO2 0.040 % by volume (US Standard Atmosphere 1976, dry, today's
# CO2) with the polynomials of the GRI-Mech 3.0 thermodynamic file, 300 to 1000 K.
AIR = WorkingGas(
    R_AIR,
    (3.39215367, 4.75628205e-4, -1.0352697e-6, 2.37864743e-9, -1.22979568e-12),
    1.4,
)
ARGON = WorkingGas(8.314472 / 39.948e-3, (2.5,), 5.0 / 3.0)  # monatomic, exact
DIATOMIC = WorkingGas(R_AIR, (3.5,), 1.4)  # air with constant γ, for closed forms
