"""What a reading is worth: value, standard uncertainty, degrees of freedom."""

from math import inf, isfinite
from typing import NamedTuple

from ringland.quantity.checked import checked


@checked
class Estimate(NamedTuple):
    """A value with its doubt, in the SI unit of its kind.

    value : best estimate
    u : standard uncertainty (JCGM 100, 2.3.1), not negative
    dof : degrees of freedom of u; infinite where u is taken as known
    """

    value: float
    u: float
    dof: float = inf

    def check(self) -> None:
        if not isfinite(self.value):
            raise ValueError(f"an estimate needs a finite value, not {self.value}")
        if not (isfinite(self.u) and self.u >= 0):
            raise ValueError(f"a standard uncertainty is finite and not negative, not {self.u}")
        if not self.dof > 0:
            raise ValueError(f"degrees of freedom are positive, not {self.dof}")
