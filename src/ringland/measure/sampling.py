"""Uncertainty by drawing from the inputs' distributions, for models that are not linear.

Here: the distributions a bench needs, the draws through a model, shortest and symmetric intervals.
Not here: the first-order route (`propagation`), form values of a face or bore (`form`).
Start with `propagate_by_sampling`. The seed is an argument: the same seed gives the same answer.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf, pi
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ringland.measure.estimates import MeasureError
from ringland.quantity.estimate import Estimate

Draws = NDArray[np.float64]
DRAWS = 1_000_000  # JCGM 101:2008, 7.2.1: enough for two digits of a 95 % interval
FEWEST, MOST = 1000, 20_000_000


class Distribution(Protocol):
    """What is known of an input: something that can be drawn from."""

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""


@dataclass(frozen=True, slots=True)
class Normal:
    """A normal distribution of mean and standard deviation u, in the input's unit."""

    mean: float
    u: float

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        return source.normal(self.mean, self.u, count)


@dataclass(frozen=True, slots=True)
class ScaledT:
    """Student's t about a mean with scale u; its standard deviation is u √(ν/(ν−2)).

    Source: JCGM 101:2008, 6.4.9. Refuses ν ≤ 2: the variance is infinite.
    """

    mean: float
    u: float
    dof: float

    def __post_init__(self) -> None:
        if not self.dof > 2:
            raise MeasureError(
                f"t with {self.dof:g} degrees of freedom has no finite variance: "
                "take more repeats or draw from the distribution itself"
            )

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        return self.mean + self.u * source.standard_t(self.dof, count)


@dataclass(frozen=True, slots=True)
class Rectangular:
    """Anywhere from low to high, equally likely (JCGM 101:2008, 6.4.2)."""

    low: float
    high: float

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        return source.uniform(self.low, self.high, count)


@dataclass(frozen=True, slots=True)
class Triangular:
    """From low to high, likeliest in the middle (JCGM 101:2008, 6.4.5)."""

    low: float
    high: float

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        return source.triangular(self.low, (self.low + self.high) / 2, self.high, count)


@dataclass(frozen=True, slots=True)
class Arcsine:
    """Swinging like a sine from low to high (JCGM 101:2008, 6.4.6)."""

    low: float
    high: float

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        middle, half = (self.low + self.high) / 2, (self.high - self.low) / 2
        return middle + half * np.sin(source.uniform(0, 2 * pi, count))


@dataclass(frozen=True, slots=True)
class InexactRectangular:
    """Rectangular, but its ends are known only to ± margin (JCGM 101:2008, 6.4.3)."""

    low: float
    high: float
    margin: float

    def draw(self, source: np.random.Generator, count: int) -> Draws:
        """Return so many independent draws."""
        a = source.uniform(self.low - self.margin, self.low + self.margin, count)
        b = self.low + self.high - a
        return a + (b - a) * source.random(count)


def of_estimate(estimate: Estimate) -> Normal | ScaledT:
    """The distribution that an estimate stands for: normal, or t where its dof are finite.

    estimate : value, u and degrees of freedom above 2
    Raises MeasureError for 2 degrees of freedom or fewer: draw from its stated distribution.

    Source: JCGM 101:2008, 6.4.7 and 6.4.9.

    >>> of_estimate(Estimate(1.0, 0.1))
    Normal(mean=1.0, u=0.1)
    """
    if estimate.dof == inf:
        return Normal(estimate.value, estimate.u)
    return ScaledT(estimate.value, estimate.u, estimate.dof)


@dataclass(frozen=True, slots=True)
class Sample:
    """Draws of a result, sorted, in its unit."""

    draws: Draws

    @property
    def mean(self) -> float:
        """Mean of the draws."""
        return float(self.draws.mean())

    @property
    def u(self) -> float:
        """Standard deviation of the draws."""
        return float(self.draws.std(ddof=1))

    @property
    def estimate(self) -> Estimate:
        """Mean and standard deviation as an estimate."""
        return Estimate(self.mean, self.u)

    def quantile(self, probability: float) -> float:
        """Value that the probability lies below, 0 to 1."""
        at = probability * (self.draws.size - 1)
        below = min(int(at), self.draws.size - 2)
        low, high = self.draws[below], self.draws[below + 1]
        return float(low + (at - below) * (high - low))

    def symmetric_interval(self, probability: float = 0.95) -> tuple[float, float]:
        """Interval with equal probability outside either end (JCGM 101:2008, 7.7.2)."""
        outside = (1 - _proper(probability)) / 2
        return self.quantile(outside), self.quantile(1 - outside)

    def shortest_interval(self, probability: float = 0.95) -> tuple[float, float]:
        """Shortest interval that holds the probability (JCGM 101:2008, 7.7.4)."""
        size = self.draws.size
        inside = min(round(_proper(probability) * size), size - 1)
        widths = self.draws[inside:] - self.draws[: size - inside]
        at = int(widths.argmin())
        return float(self.draws[at]), float(self.draws[at + inside])

    def probability_within(self, *, lower: float | None, upper: float | None) -> float:
        """Share of the draws that lies within the limits, either end open when None."""
        below = 0 if lower is None else int(np.searchsorted(self.draws, lower, "left"))
        size = int(self.draws.size)
        upto = size if upper is None else int(np.searchsorted(self.draws, upper, "right"))
        return max(upto - below, 0) / size


def propagate_by_sampling(
    model: Callable[..., Draws],
    inputs: Mapping[str, Distribution],
    *,
    seed: int,
    draws: int = DRAWS,
) -> Sample:
    """Distribution of a model's result by drawing from its inputs.

    model : takes arrays of draws by name and returns an array of results, shape (draws,)
    inputs : name to distribution; what two of them share is an input of its own
    seed : any whole number, 0 or more; draws : 1000 to 20 000 000
    returns : the sorted draws of the result
    Raises MeasureError for too few or too many draws, a result of another shape or not finite.

    Source: JCGM 101:2008, 5.9 and 7.

    >>> found = propagate_by_sampling(lambda x: x**2, {"x": Rectangular(-1, 1)}, seed=1)
    >>> round(found.mean, 2)
    0.33
    """
    if not FEWEST <= draws <= MOST:
        raise MeasureError(f"{draws} draws: {FEWEST} to {MOST} are taken")
    source = np.random.default_rng(seed)
    result = model(**{name: each.draw(source, draws) for name, each in inputs.items()})
    if np.shape(result) != (draws,):
        raise MeasureError(f"the model returns {np.shape(result)}, not one result for each draw")
    if not np.isfinite(result).all():
        raise MeasureError("the model has draws without a finite result: look at the inputs' ends")
    return Sample(np.sort(result))


def _proper(probability: float) -> float:
    if not 0 < probability < 1:
        raise MeasureError(f"a coverage probability lies between 0 and 1, not {probability}")
    return probability
