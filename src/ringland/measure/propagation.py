"""Uncertainty of a value worked out from others, by the first order of a model.

Here: sensitivities of a model, taken numerically or given, correlated inputs, the budget; the same
for many readings at once.
Not here: models too curved for the first order (`sampling`), the lines themselves (`estimates`).
Start with `propagate`. Arrays are imported only for many at once.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import fsum, inf, isfinite, sqrt
from typing import TYPE_CHECKING

from ringland.measure.estimates import Budget, Contribution, MeasureError, effective_dof
from ringland.quantity.estimate import Estimate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

ROUND_OFF = 1e-9  # share of Σu² that rounding may take below zero


def propagate(
    model: Callable[..., float],
    inputs: Mapping[str, Estimate],
    *,
    correlations: Mapping[tuple[str, str], float] | None = None,
    sensitivities: Mapping[str, float] | None = None,
) -> Budget:
    """First-order uncertainty of a model's result.

    model : takes the inputs by name, as floats, and returns a float
    inputs : name to estimate, each in its own unit
    correlations : pair of names to coefficient, −1 to 1; pairs left out are independent
    sensitivities : name to ∂result/∂input; None takes them from the model by stepping each input
        by ± its u, which is exact where the model is at most quadratic in it
    returns : the result's budget; dof by Welch-Satterthwaite
    Raises MeasureError for unknown names, a coefficient outside −1 to 1, coefficients that cannot
    all hold, a model without finite value, correlated inputs of finite dof (no formula holds).

    Source: JCGM 100:2008, 5.1.2, 5.1.3 note 2 (steps of u), 5.2.2 (correlation), G.4.1.

    >>> budget = propagate(lambda bore, skirt: bore - skirt,
    ...                    {"bore": Estimate(54.0, 0.003), "skirt": Estimate(53.9, 0.004)})
    >>> round(budget.estimate.u, 6)
    0.005
    """
    values = {name: each.value for name, each in inputs.items()}
    value = model(**values)
    if not isfinite(value):
        raise MeasureError(f"the model gives {value} at its inputs: look at their values")
    lines = []
    for name, each in inputs.items():
        if sensitivities is not None:
            slope = _given(sensitivities, name)
        elif each.u == 0:
            slope = 0.0
        else:
            slope = _slope(model, values, name, each.u)
        lines.append(Contribution(name, abs(slope) * each.u, each.dof, "", slope))
    variance = fsum([line.u * line.u for line in lines])
    dof = effective_dof(variance, lines)
    if not correlations:
        return Budget(Estimate(value, sqrt(variance), dof), tuple(lines))
    cross = _cross_terms(lines, correlations)
    total = variance + cross
    if total < -ROUND_OFF * variance:
        raise MeasureError("these correlations cannot all hold: together they make u² negative")
    return Budget(Estimate(value, sqrt(total) if total > 0 else 0.0, inf), tuple(lines), cross)


def _slope(model: Callable[..., float], values: dict[str, float], name: str, step: float) -> float:
    middle = values[name]
    values[name] = middle + step
    above = model(**values)
    values[name] = middle - step
    below = model(**values)
    values[name] = middle
    slope = (above - below) / (2 * step)
    if not isfinite(slope):
        raise MeasureError(f"the model has no finite value within ± u of {name}")
    return slope


def _given(sensitivities: Mapping[str, float], name: str) -> float:
    if name not in sensitivities:
        raise MeasureError(f"no sensitivity is given for {name}: give one for every input")
    return sensitivities[name]


def _cross_terms(lines: list[Contribution], correlations: Mapping[tuple[str, str], float]) -> float:
    by_name = {line.name: line for line in lines}
    terms = []
    for (first, second), r in correlations.items():
        unknown = [name for name in (first, second) if name not in by_name]
        if unknown or first == second:
            raise MeasureError(f"a correlation of {first} and {second}: name two inputs of these")
        if not -1 <= r <= 1:
            raise MeasureError(f"{first} and {second}: a coefficient is −1 to 1, not {r}")
        a, b = by_name[first], by_name[second]
        if min(a.dof, b.dof) < inf:
            raise MeasureError(
                f"{first} and {second} are correlated with finite degrees of freedom: "
                "no formula holds; name what they share as an input of its own"
            )
        terms.append(2 * r * a.sensitivity * b.sensitivity * _own(a) * _own(b))
    return fsum(terms)


def _own(line: Contribution) -> float:
    """The input's own u, before its sensitivity."""
    return line.u / abs(line.sensitivity) if line.sensitivity else 0.0


@dataclass(frozen=True, slots=True)
class Many:
    """Estimates of many results, each array of one shape: values, standard uncertainties, dof."""

    values: "NDArray[np.float64]"
    u: "NDArray[np.float64]"
    dof: "NDArray[np.float64]"


def propagate_many(
    model: "Callable[..., NDArray[np.float64]]",
    inputs: "Mapping[str, tuple[ArrayLike, ArrayLike, ArrayLike]]",
) -> Many:
    """First-order uncertainty of many results of one model at once, as `propagate` does for one.

    For a whole grid, or a history judged again: one step of the model serves all of them.

    model : takes arrays by name and returns an array
    inputs : name to value, standard uncertainty and degrees of freedom, arrays that broadcast
    returns : arrays of the common shape; no budget
    Raises MeasureError where a standard uncertainty is negative or a result is not finite.

    Source: as `propagate`.

    >>> found = propagate_many(lambda bore, skirt: bore - skirt, {
    ...     "bore": ([54.0, 54.1], 0.003, inf), "skirt": (53.9, 0.004, inf)})
    >>> found.u.round(6).tolist()
    [0.005, 0.005]
    """
    import numpy as np

    names = list(inputs)
    parts = [np.asarray(part, dtype=float) for each in inputs.values() for part in each]
    rows = np.broadcast_arrays(*parts)
    values = dict(zip(names, rows[0::3], strict=True))
    result = np.asarray(model(**values), dtype=float)
    variance, fourth = np.zeros(rows[0].shape), np.zeros(rows[0].shape)
    for name, u, dof in zip(names, rows[1::3], rows[2::3], strict=True):
        if (u < 0).any() or (dof <= 0).any():
            raise MeasureError(f"{name}: u is 0 or more and its degrees of freedom above 0")
        above = model(**{**values, name: values[name] + u})
        below = model(**{**values, name: values[name] - u})
        with np.errstate(invalid="ignore"):  # refused below, with words
            part = ((above - below) / 2) ** 2
        variance += part
        fourth += part**2 / dof
    if not (np.isfinite(result).all() and np.isfinite(variance).all()):
        raise MeasureError("the model has no finite value somewhere within ± u of its inputs")
    with np.errstate(divide="ignore", invalid="ignore"):
        dof_of_all = np.where(fourth > 0, variance**2 / fourth, inf)
    return Many(result, np.sqrt(variance), dof_of_all)
