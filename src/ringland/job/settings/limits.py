"""What the new combination is fitted to: limits, the ring's gap and how much to file off."""

from collections.abc import Iterator
from dataclasses import replace
from math import sqrt

from ringland.engine.ring import filing
from ringland.job.case import Case
from ringland.job.settings.hot import hot_gaps, hot_skirt
from ringland.job.settings.number import Number, estimated, held_to, other_unit
from ringland.job.settings.setting import (
    ADD_IT,
    Setting,
    coarse,
    joined,
    lacking,
    outranks,
    where,
)
from ringland.quantity import Estimate
from ringland.sheet.figures import Ruling
from ringland.sheet.model import Check

GAP, CLEARANCE = "ring end gap", "piston to barrel"


def limits(case: Case, *, explain: bool = False) -> Iterator[Setting]:
    """Return a row for each figure that the build is held to; the gap with what hangs on it."""
    checks = case.book.sheet.checks
    through = {base for check in checks.values() for base in check.of}  # a skirt: by its clearance
    for name, check in checks.items():
        ruling = case.book.ruling(name, "as fitted")
        if check.taken == "as found" or check.unit == "feel" or not _asked(case, name, ruling):
            continue
        span = None if ruling is None else ruling.figure.new or ruling.figure.service
        if ruling is not None and span is not None:
            end = span.high or span.low
            also = other_unit(case, end.unit) if end else None
            window = held_to("allowed", span, also)
            remark = joined(_by_rule(ruling), outranks(ruling))
            yield Setting(
                name, window.words, remark, where(ruling), subject="fit", numbers=(window,)
            )
            if name == GAP:
                yield from _to_file(case, ruling)
                yield from hot_gaps(case, explain=explain)
            if name == CLEARANCE and explain:
                yield from hot_skirt(case)
        elif check.unit == "length" and name not in through and check.limit != "reported":
            remark = joined(_offered(check.common_practice), ADD_IT.format(name))
            yield lacking(name, "no figure in the sheet", remark=remark, subject="fit")


def _asked(case: Case, name: str, ruling: Ruling | None) -> bool:
    """A reading that is wanted, or a figure that the sheet gives for what is only set."""
    if case.wanted(name, "as fitted"):
        return True
    check: Check = case.book.sheet.checks[name]
    set_only = check.taken == "as fitted" and check.method in ("single", "leaf")
    return set_only and ruling is not None and case.book.applies(check.scopes, check.fitted_to)


def _offered(common_practice: str) -> str:
    return f"common practice, not the maker's: {common_practice}" if common_practice else ""


def _by_rule(ruling: Ruling) -> str:
    typed = ruling.figure.typed.partition("@")[0].strip()
    return f"by its rule {typed}" if "bore" in typed else ""


def _to_file(case: Case, ruling: Ruling) -> Iterator[Setting]:
    """How much to take off the new ring's end, once its gap is measured low in the bore."""
    gap = _fitted_gap(case)
    span = ruling.figure.new
    if gap is None or span is None or span.low is None or span.high is None:
        return
    found = filing(gap, (span.low.si, span.high.si))
    if found.aim is None:
        return
    unit = span.high.unit
    decimals, also = coarse(unit.name), other_unit(case, unit)
    read = estimated("gap as read", gap, unit, decimals + 1, also)
    least, most = (
        Number(unit, decimals + 1, what, off, also=also)
        for what, off in (("at least", found.least), ("at most", found.most))
    )
    aim = Number(unit, decimals, "to file off", found.aim, also=also)
    gap_read = replace(read, limits=span, source=f"its reading; limits: {where(ruling)}")
    reaches = f"{least.words} reaches the smallest gap, " if found.least > 0 else ""
    yield Setting(
        "  to file off",
        aim.words,
        f"one end, inward strokes, burr off, measure again; read {read.words}; "
        f"{reaches}past {most.words} it is too wide",
        "the maker's window; the aim is its lower end plus twice the doubt",
        subject="ring",
        numbers=(aim, gap_read, *([least] if reaches else []), most),
    )


def _fitted_gap(case: Case) -> Estimate | None:
    """The least gap of the new ring: it is filed for the place where it is narrowest."""
    verdict = case.verdicts.get((GAP, "as fitted"))
    value = verdict.value if verdict else None
    if value is None:
        return None
    if value.least or value.estimate:
        return value.least or value.estimate
    intervals = [place.interval for place in value.places.values()] or [value.interval]
    both = [
        (each.low, each.high)
        for each in intervals
        if each is not None and each.low is not None and each.high is not None
    ]
    if not both:
        return None
    low, high = min(both)
    return Estimate((low + high) / 2, (high - low) / sqrt(12))  # JCGM 100, 4.3.7
