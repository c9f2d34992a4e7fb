"""Readings that cannot all be true: linked quantities tested against each other.

Here: the chi-square test of given quantities that must obey linear relations, how far each one is
off in the light of the others, which is most likely wrong, and which one measurement would tell.
Not here: which quantities of a job are linked (`ringland.job`), a single slip at the keystroke.
Start with `check_linked`. No arrays: a job links a handful of quantities.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import erfc, exp, fsum, gamma, isfinite, sqrt

from ringland.measure.estimates import MeasureError
from ringland.quantity.estimate import Estimate

SIGNIFICANT = 0.01  # below this probability the readings disagree; common practice
AS_LIKELY = (
    1.0  # residuals within this of the largest are as likely wrong: nothing tells them apart
)
SINGULAR = 1e-12  # share of the largest pivot below which relations repeat each other


@dataclass(frozen=True, slots=True)
class Relation:
    """A relation Σ factor · quantity = constant that the true values obey.

    name : as said to the person, "clearance = bore − skirt"
    factors : quantity to its factor; constant : in the unit of the products
    tolerance : standard uncertainty of the relation itself (a ring that is not quite round), 0 for
        one that holds exactly
    """

    name: str
    factors: Mapping[str, float]
    constant: float = 0.0
    tolerance: float = 0.0


@dataclass(frozen=True, slots=True)
class Suspect:
    """A quantity that may be wrong.

    residual : how far off in its own standard deviations, 0 or more
    off_by : by how much it reads too high, if it alone is wrong [its unit]
    agrees_without : probability of the other readings once it is left out
    """

    quantity: str
    residual: float
    off_by: float
    agrees_without: float


@dataclass(frozen=True, slots=True)
class Consistency:
    """What the test found.

    chi_square, dof : the statistic and its degrees of freedom; probability : of one at least as
        large if all is well
    suspects : the likeliest wrong first; all are given, also when the readings agree
    likely_wrong : the quantities that nothing tells apart as the wrong one; empty when they agree
    measure_next : the one reading that would separate them; empty when they agree
    discrepancies : relation name to how far it is violated [unit of its products]
    """

    chi_square: float
    dof: int
    probability: float
    suspects: tuple[Suspect, ...]
    likely_wrong: tuple[str, ...] = ()
    measure_next: str = ""
    discrepancies: Mapping[str, float] = field(default_factory=dict)

    @property
    def disagrees(self) -> bool:
        """Whether the readings cannot all be true."""
        return bool(self.likely_wrong)


def check_linked(
    quantities: Mapping[str, Estimate],
    relations: Sequence[Relation],
    *,
    repeatable: Sequence[str] | None = None,
    significance: float = SIGNIFICANT,
) -> Consistency:
    """Test whether linked quantities can all be true, and find the one that is likely wrong.

    quantities : name to value and doubt; independent of each other
    relations : each names quantities that are there; none may follow from the others
    repeatable : what can be measured again (a label cannot); None for all
    significance : probability below which they disagree, 0 to 1
    returns : the test, with suspects
    Raises MeasureError for unknown names, no relation, relations that repeat each other or in which
    nothing is in doubt.

    Source: adjustment by conditions and its chi-square test; normalised residuals as Baarda's
    w-test (from memory). Chi-square distribution in closed form for whole degrees of freedom.

    >>> read = {"label": Estimate(64.955, 0.003), "stamp": Estimate(64.955, 0.003),
    ...         "micrometer": Estimate(64.925, 0.0015)}
    >>> same = [Relation("label is what is read", {"label": 1.0, "micrometer": -1.0}),
    ...         Relation("stamp is what is read", {"stamp": 1.0, "micrometer": -1.0})]
    >>> check_linked(read, same, repeatable=["micrometer"]).likely_wrong
    ('micrometer',)
    """
    _check(quantities, relations, significance)
    involved = [name for name in quantities if any(name in r.factors for r in relations)]
    discrepancy = [
        fsum(f * quantities[name].value for name, f in r.factors.items()) - r.constant
        for r in relations
    ]
    inverse = _inverse(_covariance(quantities, relations), relations)
    weighted = _times(inverse, discrepancy)
    chi_square = fsum(a * b for a, b in zip(discrepancy, weighted, strict=True))
    dof = len(relations)
    suspects = [
        _suspect(name, relations, (inverse, weighted), (chi_square, dof))
        for name in involved
        if quantities[name].u > 0
    ]
    suspects.sort(key=lambda each: -each.residual)
    probability = chi_square_above(chi_square, dof)
    wrong: tuple[str, ...] = ()
    if probability < significance and suspects:
        near = suspects[0].residual - AS_LIKELY
        wrong = tuple(each.quantity for each in suspects if each.residual >= near)
    return Consistency(
        chi_square,
        dof,
        probability,
        tuple(suspects),
        wrong,
        _next_reading(wrong, suspects, quantities, repeatable),
        {r.name: off for r, off in zip(relations, discrepancy, strict=True)},
    )


def _check(
    quantities: Mapping[str, Estimate], relations: Sequence[Relation], significance: float
) -> None:
    problems = []
    if not relations:
        problems.append("no relation is given: nothing links these readings")
    if not 0 < significance < 1:
        problems.append(f"a significance lies between 0 and 1, not {significance}")
    for each in relations:
        unknown = [name for name in each.factors if name not in quantities]
        if unknown:
            problems.append(f"{each.name}: no reading of {', '.join(unknown)}; leave it out")
        if not all(isfinite(f) for f in (*each.factors.values(), each.constant)):
            problems.append(f"{each.name}: factors and constant are finite numbers")
        if not (isfinite(each.tolerance) and each.tolerance >= 0):
            problems.append(f"{each.name}: a tolerance is 0 or more, not {each.tolerance}")
    if problems:
        raise MeasureError("; ".join(problems))


def _covariance(
    quantities: Mapping[str, Estimate], relations: Sequence[Relation]
) -> list[list[float]]:
    return [
        [
            fsum(
                f * b.factors[name] * quantities[name].u ** 2
                for name, f in a.factors.items()
                if name in b.factors
            )
            + (a.tolerance**2 if a is b else 0.0)
            for b in relations
        ]
        for a in relations
    ]


def _suspect(
    name: str,
    relations: Sequence[Relation],
    solved: tuple[list[list[float]], list[float]],
    test: tuple[float, int],
) -> Suspect:
    inverse, weighted = solved
    column = [r.factors.get(name, 0.0) for r in relations]
    pull = fsum(a * b for a, b in zip(column, weighted, strict=True))
    weight = fsum(a * b for a, b in zip(column, _times(inverse, column), strict=True))
    w = abs(pull) / sqrt(weight)
    chi_square, dof = test
    left = max(chi_square - w**2, 0.0)  # rounding may take it below
    without = chi_square_above(left, dof - 1) if dof > 1 else 1.0
    return Suspect(name, w, pull / weight, without)


def _next_reading(
    wrong: tuple[str, ...],
    suspects: Sequence[Suspect],
    quantities: Mapping[str, Estimate],
    repeatable: Sequence[str] | None,
) -> str:
    """The suspect whose second reading would stand furthest from its first, if it is wrong."""
    open_to = [
        each
        for each in suspects
        if each.quantity in wrong and (repeatable is None or each.quantity in repeatable)
    ] or [
        each for each in suspects if wrong and (repeatable is None or each.quantity in repeatable)
    ]
    best = max(
        open_to,
        key=lambda each: abs(each.off_by) / quantities[each.quantity].u,
        default=None,
    )
    return best.quantity if best else ""


def chi_square_above(value: float, dof: int) -> float:
    """Probability that a chi-square variable lies above a value.

    value : 0 or more; dof : whole degrees of freedom, 1 or more
    returns : 0 to 1, in closed form: a Poisson sum, with erfc for odd dof

    Source: closed form of the regularised incomplete gamma function for whole and half orders.

    >>> round(chi_square_above(3.841459, 1), 4), round(chi_square_above(5.991465, 2), 4)
    (0.05, 0.05)
    """
    if not value >= 0 or dof < 1:
        raise MeasureError(f"chi-square is 0 or more with 1 or more degrees, not {value}, {dof}")
    half = value / 2
    if half > 700:
        return 0.0
    first = 0.0 if dof % 2 == 0 else 0.5
    terms = [half ** (i + first) / gamma(i + first + 1) for i in range(dof // 2)]
    return (erfc(sqrt(half)) if first else 0.0) + exp(-half) * fsum(terms)


def _times(matrix: list[list[float]], vector: Sequence[float]) -> list[float]:
    return [fsum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def _inverse(matrix: list[list[float]], relations: Sequence[Relation]) -> list[list[float]]:
    """Inverse by Gauss-Jordan, rows scaled; a pivot near zero is a relation said twice."""
    size = len(matrix)
    scale = [sqrt(matrix[i][i]) for i in range(size)]
    if 0.0 in scale:
        name = relations[scale.index(0.0)].name
        raise MeasureError(f"{name}: nothing in it is in doubt, so it cannot be tested")
    rows = [
        [matrix[i][j] / scale[i] / scale[j] for j in range(size)]
        + [1.0 if i == j else 0.0 for j in range(size)]
        for i in range(size)
    ]
    for at in range(size):
        pivot = max(range(at, size), key=lambda i: abs(rows[i][at]))
        if abs(rows[pivot][at]) < SINGULAR:
            raise MeasureError(f"{relations[at].name}: it follows from the others, leave it out")
        rows[at], rows[pivot] = rows[pivot], rows[at]
        lead = rows[at][at]
        rows[at] = [each / lead for each in rows[at]]
        for i in range(size):
            if i != at and rows[i][at]:
                factor = rows[i][at]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[at], strict=True)]
    return [[rows[i][size + j] / scale[i] / scale[j] for j in range(size)] for i in range(size)]
