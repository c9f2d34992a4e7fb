"""Difference of two readings whose errors are partly the same.

Here: bore minus skirt (or any difference) from the two budgets: an error that both share, such as
that of the micrometer which set the bore gauge and measured the piston, enters once, with the
difference of its sensitivities; the rest adds up.
Not here: which bore and which skirt (`bore.clearances`), piston classes (`ringland.engine`).
Start with `difference`. No arrays.
"""

from ringland.measure.estimates import Budget, Contribution, MeasureError, add_up


def difference(first: Budget, second: Budget) -> Budget:
    """First minus second, with shared errors taken as shared.

    first, second : budgets in one unit; contributions with the same `shared` name are one error
    returns : budget of the difference; a shared error that cancels stands in it with 0
    Raises MeasureError where the two do not agree on how large a shared error is by more than half:
    then it is not one error.

    Source: JCGM 100:2008, F.1.2.3 (correlation by common influences), 5.2.2.

    >>> from ringland.quantity.estimate import Estimate
    >>> micrometer = Contribution("micrometer", 2.31e-6, shared="M1")
    >>> bore = add_up(0.0540, [micrometer, Contribution("bore gauge", 1.0e-6)])
    >>> skirt = add_up(0.0539, [micrometer])
    >>> round(difference(bore, skirt).estimate.u * 1e6, 1)
    1.0
    """
    shared = _shared(first) & _shared(second)
    lines = [_of_both(name, first, second) for name in sorted(shared)]
    for budget, sign in ((first, 1.0), (second, -1.0)):
        lines += [
            Contribution(line.name, line.u, line.dof, line.shared, sign * line.sensitivity)
            for line in budget.contributions
            if line.shared not in shared
        ]
    return add_up(first.estimate.value - second.estimate.value, lines)


def _shared(budget: Budget) -> set[str]:
    return {line.shared for line in budget.contributions if line.shared}


def _of_both(name: str, first: Budget, second: Budget) -> Contribution:
    a, b = (
        next(line for line in budget.contributions if line.shared == name)
        for budget in (first, second)
    )
    if abs(a.u - b.u) > 0.5 * max(a.u, b.u):
        raise MeasureError(
            f"{name}: ± {a.u:g} in one reading and ± {b.u:g} in the other is not one error; "
            "name them apart"
        )
    sensitivity = a.sensitivity - b.sensitivity
    same_sign = a.sensitivity * b.sensitivity > 0
    u = abs(a.u - b.u) if same_sign else a.u + b.u
    return Contribution(f"{name}, in both", u, min(a.dof, b.dof), name, sensitivity)
