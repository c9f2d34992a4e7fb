"""What a reading is worth: value, standard uncertainty, degrees of freedom."""

from dataclasses import dataclass
from math import inf, isfinite


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its doubt, in the SI unit of its kind.

    value : best estimate
    u : standard uncertainty (JCGM 100, 2.3.1), not negative
    dof : degrees of freedom of u; infinite where u is taken as known
    """

    value: float
    u: float
    dof: float = inf

    def __post_init__(self) -> None:
        if not isfinite(self.value):
            raise ValueError(f"an estimate needs a finite value, not {self.value}")
        if not (isfinite(self.u) and self.u >= 0):
            raise ValueError(f"a standard uncertainty is finite and not negative, not {self.u}")
        if not self.dof > 0:
            raise ValueError(f"degrees of freedom are positive, not {self.dof}")
