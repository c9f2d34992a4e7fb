"""Which of the base gaskets brings the squish home: all side by side, best first."""

from collections.abc import Iterator

from ringland.engine.refusal import OutOfRange
from ringland.engine.stack import Choice, Stack, rank_stacks, stacks_of
from ringland.job.case import Case
from ringland.job.settings.ports import degrees, ratio_words
from ringland.job.settings.setting import (
    Setting,
    joined,
    length,
    measured,
    new_span,
    plus_minus,
    where,
)
from ringland.job.shape import shape
from ringland.quantity import Estimate, QuantityError, Unit, parse_quantity, show_number
from ringland.sheet.figures import Ruling

U_SWAP = 1e-5  # m, standard uncertainty that a renewed gasket adds by its own set, common practice
SAME = 5e-6  # m: a gasket's measured thickness counts as one of the sheet's within this
STATED = "clearance and port heights of the sheet taken as with the gasket that was fitted"


def gaskets(case: Case) -> Iterator[Setting]:
    """Return a row for each base gasket of the sheet, once the squish is measured."""
    window = new_span(case, "squish")
    if window is None or not case.wanted("squish", "as fitted"):
        return
    ruling, span = window
    assert span.low is not None
    assert span.high is not None
    known = case.book.figures.gaskets
    squish, fitted = measured(case, "squish", "as fitted"), fitted_gasket(case)
    missing = [
        *(["the base gaskets sold are not in the sheet (base gaskets:)"] if not known else []),
        *(["the squish is not measured: trial build with solder"] if squish is None else []),
        *(["which gasket was in it: renew base gasket 0.40 mm"] if fitted is None else []),
    ]
    if squish is None or fitted is None or not known:
        yield Setting("base gasket", "", missing="; ".join(missing), subject="squish")
        return
    options = {round(each.si / SAME): each.si for each in known}
    options.setdefault(round(fitted / SAME), fitted)
    try:
        choices = rank_stacks(
            squish[0],
            Stack(fitted),
            stacks_of(sorted(options.values())),
            limits=(span.low.si, span.high.si),
            u_swap=U_SWAP,
            layout=shape(case.book).layout,
        )
    except OutOfRange as refused:
        yield Setting("base gasket", "", missing=str(refused), subject="squish")
        return
    for choice in choices:
        yield from _rows(choice, fitted, span.high.unit, ruling)


def fitted_gasket(case: Case) -> float | None:
    """Return the thickness [m] of the base gasket in the trial build: measured, else its label."""
    read = measured(case, "gasket thickness", "as fitted")
    if read is not None:
        return read[0].value
    for said in reversed(case.state.renewed.get("base gasket", [])):
        words = said.fact.label.replace(",", " ").split()
        for index, word in enumerate(words):
            try:
                return parse_quantity(" ".join([word, *words[index + 1 : index + 2]]), "length").si
            except QuantityError:
                continue
    return None


def _rows(choice: Choice, fitted: float, unit: Unit, ruling: Ruling) -> Iterator[Setting]:
    is_fitted = abs(choice.stack.base - fitted) < SAME
    chance = 100 * choice.probability
    share = "over 99" if chance > 99 else "under 1" if chance < 1 else show_number(chance, 0)
    squish: Estimate = choice.squish
    trapped = ", ".join(f"{ratio_words(each)} from {name}" for name, each in choice.trapped)
    timing = ", ".join(f"{each.port.name} open {degrees(each.duration)}" for each in choice.windows)
    yield Setting(
        f"base gasket {length(choice.stack.base, unit)}",
        f"squish {plus_minus(squish.value, squish.u, unit)}: {share} %",
        joined(
            "chance to land in the window",
            "as it was measured" if is_fitted else "measure again after the change",
        ),
        where(ruling),
        subject="squish",
    )
    if choice.full is not None:
        ratio = f"ratio {ratio_words(choice.full)} full" + (
            f", trapped {trapped}" if trapped else ""
        )
        yield Setting("  with it", ratio, joined(timing, STATED), subject="squish")
    elif timing:
        yield Setting(
            "  with it", timing, "ratio: the head volume is not in the sheet", subject="squish"
        )
