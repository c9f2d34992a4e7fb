"""Which piston fits: classes and pistons in hand, best first; the wrong box; by stamp alone."""

from collections.abc import Iterator, Sequence

from ringland.engine.identity import check_identity
from ringland.engine.piston import Fit, MeasuredPiston, SizeClass, fit_by_stamp, rank_pistons
from ringland.job.case import Case
from ringland.job.settings.setting import Setting, joined, measured, new_span, where
from ringland.quantity import Estimate, Unit, show_number
from ringland.sheet.figures import Ruling

NO_CHANCE = 0.05  # below it a class is no choice; default of ISO 14253-1 for a refuted conformity
IN_HAND = "piston in hand"
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
        yield Setting("piston class", "", missing=why, subject="piston")
        return
    ruling, span = window
    assert span.low is not None
    assert span.high is not None
    unit, room = span.high.unit, (span.low.si, span.high.si)
    bore = measured(case, "bore", "as fitted", "as found")
    if bore is None:
        yield from _by_stamp(case, classes, unit, ruling)
    else:
        yield from _ranked(case, bore, room, classes, unit, ruling)
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
    room: tuple[float, float],
    classes: Sequence[SizeClass],
    unit: Unit,
    ruling: Ruling,
) -> Iterator[Setting]:
    widest, least = bore
    uneven = widest.value - least.value
    skirt = measured(case, "piston skirt", "as fitted")
    in_hand = [MeasuredPiston(IN_HAND, skirt[0], _shared(case, least, skirt[0]))] if skirt else []
    fits = rank_pistons(least, room, classes=classes, pistons=in_hand, uneven=uneven)
    low, high = (show_number(unit.from_si(end), 3) for end in room)
    sold = [fit.probability or 0.0 for fit in fits if fit.kind == "class"]
    if sold and max(sold) < NO_CHANCE:
        shown = show_number(unit.from_si(least.value), 3)
        why = (
            f"no class sold lands in {low}-{high} {unit.name} in this bore (least {shown}, uneven by "
            f"{show_number(unit.step_from_si(uneven), 3)} {unit.name})"
        )
        yield Setting("piston class", "", missing=why, subject="piston")
        fits = [fit for fit in fits if fit.kind == "measured"]
    for fit in fits:
        share = 100 * (fit.probability or 0.0)
        chance = "over 99" if share > 99 else "under 1" if share < 1 else show_number(share, 0)
        name = IN_HAND if fit.kind == "measured" else f"piston class {fit.name}"
        yield Setting(
            name,
            f"{chance} %",
            joined(
                f"chance that the clearance lands in {low}-{high} {unit.name}",
                f"gives {_clearance(fit, unit)}",
            ),
            where(ruling),
            subject="piston",
        )


def _clearance(fit: Fit, unit: Unit) -> str:
    low, high = (show_number(unit.step_from_si(end), 3) for end in (fit.low, fit.high))
    doubt = fit.clearance
    more = f" ± {show_number(unit.step_from_si(2 * doubt.u), 3)}" if doubt else ""
    return f"{low} to {high}{more} {unit.name}"


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
    case: Case, classes: Sequence[SizeClass], unit: Unit, ruling: Ruling
) -> Iterator[Setting]:
    """Without a bore gauge: legal, said as such, with what it leaves unproved."""
    yield Setting(
        "piston class",
        "",
        "or go by stamp, unmeasured: decide piston class X because by stamp, unmeasured",
        missing="the bore is not measured: a class is ordered after it",
        subject="piston",
    )
    nominal = case.book.figures.limits.get("bore")
    new = nominal.new if nominal else None
    barrel = (
        SizeClass("barrel", new.low.si, new.high.si)
        if new is not None and new.low is not None and new.high is not None
        else None
    )
    decided = case.state.decided.get("piston")
    for each in classes:
        fit = fit_by_stamp(barrel, each)
        chosen = decided is not None and decided.fact.decision == f"class {each.mark}"
        yield Setting(
            f"  class {each.mark}, by stamp",
            f"{_clearance(fit, unit)} when the barrel was new" if barrel else "unmeasured",
            joined(
                f"decided by {decided.by}: {decided.fact.reason or 'no reason given'}"
                if chosen and decided
                else "",
                f"unmeasured; it leaves unproved: {', '.join(fit.unproved)}",
            ),
            where(ruling),
            subject="piston",
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
    names = {"agree": "box and piston agree", "undecided": "box and piston: cannot be told apart"}
    likely = sorted(found.by_micrometer, key=lambda each: -each[1])[:1]
    by_size = "".join(f"the micrometer says {mark} ({100 * p:.0f} %)" for mark, p in likely if p)
    remark = joined(
        *found.contradictions,
        by_size,
        f"box {label}" if label else "",
        f"stamp {stamp}" if stamp else "",
    )
    wrong = found.state == "readings disagree"
    yield Setting(
        "wrong box?",
        "READINGS DISAGREE" if wrong else names[found.state],
        joined(remark, "look at the stamp and measure again before it goes in" if wrong else ""),
        "piston classes of the engine sheet",
        subject="piston",
    )


def _after(words: list[str], marks: tuple[str, ...], classes: Sequence[SizeClass]) -> str | None:
    """The class named behind one of these words, such as "class B"."""
    known = {each.mark.casefold(): each.mark for each in classes}
    for index, word in enumerate(words[:-1]):
        if word.casefold() in marks and words[index + 1].casefold() in known:
            return known[words[index + 1].casefold()]
    return None
