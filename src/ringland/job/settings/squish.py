"""Which of the base gaskets brings the squish home: all side by side, best first."""

from collections.abc import Iterator
from dataclasses import replace

from ringland.engine.refusal import OutOfRange
from ringland.engine.stack import Choice, Stack, rank_stacks, stacks_of
from ringland.job.case import Case
from ringland.job.settings.number import Number, estimated, other_unit
from ringland.job.settings.ports import (
    angle_open,
    doubts_of,
    page_of_ports,
    page_of_ratio,
    ratio,
    trapped_words,
)
from ringland.job.settings.setting import (
    Setting,
    coarse,
    joined,
    lacking,
    measured,
    new_span,
    where,
)
from ringland.job.shape import shape
from ringland.quantity import QuantityError, Span, parse_quantity
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
        yield lacking("base gasket", "; ".join(missing), subject="squish")
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
        yield lacking("base gasket", str(refused), subject="squish")
        return
    for choice in choices:
        yield _height(case, choice, fitted, span, ruling)
        yield from _with_it(case, choice, STATED if choice is choices[0] else "")


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


def _height(case: Case, choice: Choice, fitted: float, span: Span, ruling: Ruling) -> Setting:
    assert span.high is not None
    unit = span.high.unit
    decimals, also = coarse(unit.name), other_unit(case, unit)
    thick = Number(unit, decimals, "thickness", choice.stack.base)
    is_fitted = abs(choice.stack.base - fitted) < SAME
    found = estimated("squish", choice.squish, unit, decimals, also)
    source = f"the squish as read, the gaskets' difference; limits: {where(ruling)}"
    squish = replace(found, limits=span, probability=choice.probability, source=source)
    return Setting(
        f"base gasket {thick.words}",
        f"squish {squish.words}: {squish.chance}",
        joined(
            f"chance to land in {squish.allowed}",
            "as it was measured" if is_fitted else "measure again after the change",
        ),
        where(ruling),
        subject="squish",
        numbers=(squish, replace(thick, source="engine sheet, base gaskets")),
    )


def _with_it(case: Case, choice: Choice, stated: str) -> Iterator[Setting]:
    """Ratio and timing with this gasket, as far as the sheet gives the engine's shape.

    stated : what is taken for granted, said with the first of them
    """
    doubts, page = doubts_of(case.book), page_of_ports(case.book)
    timing = [
        replace(
            angle_open(each, doubts.get(each.port.name)),
            what=f"{each.port.name} open",
            source=page,
        )
        for each in choice.windows
    ]
    trapped = [ratio(f"trapped from {name}", each) for name, each in choice.trapped]
    open_ = ", ".join(f"{each.what} {each.words}" for each in timing)
    if choice.full is not None:
        full = ratio("full", choice.full)
        yield Setting(
            "  with it",
            f"ratio {full.words} full",
            joined(trapped_words(trapped), open_, stated),
            page_of_ratio(case.book),
            subject="squish",
            numbers=(full, *trapped, *timing),
        )
    elif open_:
        lacks = "ratio: the head volume is not in the sheet"
        yield Setting("  with it", open_, lacks, page, subject="squish", numbers=tuple(timing))
