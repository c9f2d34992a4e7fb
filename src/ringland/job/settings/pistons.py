"""Which piston fits: classes and pistons in hand, best first; the wrong box; by stamp alone."""

from collections.abc import Iterator, Sequence
from math import isfinite

from ringland.engine.identity import check_identity
from ringland.engine.piston import MeasuredPiston, SizeClass, fit_by_stamp, rank_pistons
from ringland.job.case import Case
from ringland.job.settings.number import PLAIN, Number, other_unit
from ringland.job.settings.setting import (
    ADD_IT,
    Setting,
    joined,
    lacking,
    measured,
    new_span,
    where,
)
from ringland.quantity import Estimate, Span
from ringland.sheet.figures import Ruling

NO_CHANCE = 0.05  # below it a class is no choice; default of ISO 14253-1 for a refuted conformity
IN_HAND = "piston in hand"
NONE_SOLD = (
    "read the bore once more; then its maker or a machinist says whether it is plated again or takes "
    "another size: plating is never honed to fit"
)
LABELS, STAMPS = ("class", "label", "box"), ("stamp", "crown")


def pistons(case: Case) -> Iterator[Setting]:
    """Return how each class, and the piston in hand, would fit this bore; the best first."""
    if "piston" not in case.renew:
        return
    classes, skirt = _classes(case), measured(case, "piston skirt", "as fitted")
    if not classes and skirt is None:
        return
    window = new_span(case, "piston to barrel")
    if window is None:
        why = "the new clearance is not given in the sheet"
        todo = ADD_IT.format("piston to barrel")
        yield lacking("piston class", why, subject="piston", remark=todo)
        return
    ruling, span = window
    bore = measured(case, "bore", "as fitted", "as found")
    if bore is None:
        yield from _by_stamp(case, classes, span, ruling)
    else:
        yield from _ranked(case, bore, span, classes, ruling)
    yield from _identity(case, classes, skirt[0] if skirt else None)


def _classes(case: Case) -> list[SizeClass]:
    return [
        SizeClass(name, each.low.si, each.high.si)
        for name, each in case.book.figures.classes.items()
        if each.low is not None and each.high is not None
    ]


def _ranked(
    case: Case,
    bore: tuple[Estimate, Estimate],
    span: Span,
    classes: Sequence[SizeClass],
    ruling: Ruling,
) -> Iterator[Setting]:
    widest, least = bore
    assert span.low is not None
    assert span.high is not None
    uneven = widest.value - least.value
    skirt = measured(case, "piston skirt", "as fitted")
    in_hand = [MeasuredPiston(IN_HAND, skirt[0], _shared(case, least, skirt[0]))] if skirt else []
    room = (span.low.si, span.high.si)
    fits = rank_pistons(least, room, classes=classes, pistons=in_hand, uneven=uneven)
    unit = span.high.unit
    also = other_unit(case, unit)
    sold = [fit.probability or 0.0 for fit in fits if fit.kind == "class"]
    if sold and max(sold) < NO_CHANCE:
        yield _none_sold(Number(unit, 3, "", limits=span, also=also), least, uneven)
        fits = [fit for fit in fits if fit.kind == "measured"]
    skirt_of = {"measured": "the skirt as read", "class": "the sizes of the class"}
    for fit in fits:
        found = Number(
            unit,
            3,
            "clearance",
            u=fit.clearance.u if fit.clearance else least.u,
            low=fit.low,
            high=fit.high,
            limits=span,
            probability=fit.probability or 0.0,
            source=f"bore as read, less {skirt_of[fit.kind]}; limits: {where(ruling)}",
            also=also,
        )
        yield Setting(
            IN_HAND if fit.kind == "measured" else f"piston class {fit.name}",
            found.chance,
            joined(
                f"chance that the clearance lands in {found.allowed}",
                f"gives {found.words}",
            ),
            where(ruling),
            subject="piston",
            numbers=(found,),
        )


def _none_sold(window: Number, least: Estimate, uneven: float) -> Setting:
    read, by = (
        Number(window.unit, 3, "", value=each, also=window.also) for each in (least.value, uneven)
    )
    why = (
        f"no class sold lands in {window.allowed} in this bore "
        f"(least {read.words}, uneven by {by.words})"
    )
    return lacking("piston class", why, subject="piston", remark=NONE_SOLD)


def _shared(case: Case, bore: Estimate, skirt: Estimate) -> float:
    """The micrometer's part of both doubts, where it set the bore gauge and measured the skirt."""
    fitted = case.verdicts.get(("piston to barrel", "as fitted"))
    value = fitted.value if fitted else None
    if value is None or value.estimate is None:
        return 0.0
    # as the verdict on the clearance took it: u² = u_bore² + u_skirt² − 2 u_shared²
    shared = max((bore.u**2 + skirt.u**2 - value.estimate.u**2) / 2, 0.0)
    return float(min(shared**0.5, bore.u, skirt.u))


def _by_stamp(
    case: Case, classes: Sequence[SizeClass], span: Span, ruling: Ruling
) -> Iterator[Setting]:
    """Without a bore gauge: legal, said as such, with what it leaves unproved."""
    yield lacking(
        "piston class",
        "the bore is not measured: a class is ordered after it",
        remark="or go by stamp, unmeasured: decide piston class X because by stamp, unmeasured",
        subject="piston",
    )
    assert span.high is not None
    unit = span.high.unit
    also = other_unit(case, unit)
    nominal = case.book.figures.limits.get("bore")
    size = nominal.new if nominal else None
    barrel = (
        SizeClass("barrel", size.low.si, size.high.si)
        if size is not None and size.low is not None and size.high is not None
        else None
    )
    decided = case.state.decided.get("piston")
    for each in classes:
        fit = fit_by_stamp(barrel, each)
        chosen = decided is not None and decided.fact.decision == f"class {each.mark}"
        new = (
            Number(unit, 3, "clearance when new", low=fit.low, high=fit.high, also=also)
            if isfinite(fit.low)
            else None
        )
        yield Setting(
            f"  class {each.mark}, by stamp",
            f"{new.words} when the barrel was new" if new else "unmeasured",
            joined(
                f"decided by {decided.by}: {decided.fact.reason or 'no reason given'}"
                if chosen and decided
                else "",
                f"unmeasured; it leaves unproved: {', '.join(fit.unproved)}",
            ),
            where(ruling),
            subject="piston",
            numbers=(new,) if new else (),
        )


def _identity(
    case: Case, classes: Sequence[SizeClass], skirt: Estimate | None
) -> Iterator[Setting]:
    """Do box, crown stamp and micrometer name the same piston?"""
    renewed = case.state.renewed.get("piston")
    words = renewed[-1].fact.label.replace(",", " ").split() if renewed else []
    label, stamp = _after(words, LABELS, classes), _after(words, STAMPS, classes)
    said = [each for each in (label, stamp, skirt) if each is not None]
    if len(said) < 2 or not classes:
        return
    found = check_identity(classes, label=label, stamp=stamp, measured=skirt)
    names = {"agree": "box and piston agree", "undecided": "not settled"}
    mark, p = max(found.by_micrometer, key=lambda each: each[1], default=("", 0.0))
    likely = Number(PLAIN, 0, f"class {mark} by the micrometer", probability=p) if p else None
    by_size = f"the micrometer says class {mark} ({likely.chance})" if likely else ""
    remark = joined(
        *found.contradictions,
        by_size,
        f"the box class {label}" if label else "",
        f"the stamp class {stamp}" if stamp else "",
    )
    wrong = found.state == "readings disagree"
    yield Setting(
        "wrong box?",
        "READINGS DISAGREE" if wrong else names[found.state],
        joined(remark, "look at the stamp and measure again before it goes in" if wrong else ""),
        "piston classes of the engine sheet",
        subject="piston",
        numbers=(likely,) if likely else (),
    )


def _after(words: list[str], marks: tuple[str, ...], classes: Sequence[SizeClass]) -> str | None:
    """The class named behind one of these words, such as "class B"."""
    known = {each.mark.casefold(): each.mark for each in classes}
    for index, word in enumerate(words[:-1]):
        if word.casefold() in marks and words[index + 1].casefold() in known:
            return known[words[index + 1].casefold()]
    return None
