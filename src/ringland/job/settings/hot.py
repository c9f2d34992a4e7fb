"""The cold ring gap at which the ends would just touch, and the skirt's clearance when hot.

Both are shown beside the maker's figures and never in their place: plain growth of round parts
says nothing of a temperature or a distortion that nobody thought of.
"""

from collections.abc import Iterator
from math import sqrt

from ringland.engine.expansion import MATERIALS, ZERO_CELSIUS, Part
from ringland.engine.hotfit import (
    ASSUMED_HALF_WIDTH,
    CONDITIONS,
    Condition,
    hot_clearance,
    touching_gap,
)
from ringland.job.case import Case
from ringland.job.settings.number import end_words, estimated, other_unit
from ringland.job.settings.setting import Setting, coarse, lacking, measured, new_span
from ringland.job.shape import geometry
from ringland.quantity import Estimate

# a sheet names the kind of a metal; any of the kind's alloys in the table may be meant
KINDS: dict[str, tuple[str, ...]] = {
    "cast iron": ("grey iron", "ductile iron"),
    "iron": ("grey iron", "ductile iron"),
    "steel": ("carbon steel", "alloy steel", "stainless ring steel"),
    "cast aluminium": ("cast aluminium", "Al-12Si", "Al-18Si"),
    "aluminium": ("cast aluminium", "Al-12Si", "Al-18Si", "4032", "2618"),
    "forged aluminium": ("4032", "2618"),
}
# a barrel is cast of a structural alloy, a piston of one with much silicon
BARREL: dict[str, tuple[str, ...]] = {
    "cast aluminium": ("cast aluminium",),
    "aluminium": ("cast aluminium",),
}
PISTON: dict[str, tuple[str, ...]] = {"cast aluminium": ("Al-12Si", "Al-18Si")}
ASSUMED = "temperatures are assumed"
SOURCE = "linear expansion; handbook values"


def hot_gaps(case: Case, *, explain: bool) -> Iterator[Setting]:
    """Return the cold gap at which the ends touch, in the worst condition; explained, in all."""
    bore = geometry(case.book, "bore")
    window = new_span(case, "ring end gap")
    if bore is None or window is None or "ring" not in case.renew:
        return
    cylinder, ring = _expansion(case, "barrel"), _expansion(case, "ring")
    unknown = [name for name, found in (("barrel", cylinder), ("ring", ring)) if found is None]
    if cylinder is None or ring is None:
        missing = f"the sheet does not name the metal of {' and '.join(unknown)} (materials:)"
        yield lacking("  ends would touch at", missing, subject="ring")
        return
    _, span = window
    assert span.low is not None
    touching = {
        each.name: touching_gap(
            bore.si, cylinder=_at(cylinder, each.bore), ring=_at(ring, each.ring)
        )
        for each in CONDITIONS
    }
    worst = max(touching, key=lambda name: touching[name].value)
    shown = CONDITIONS if explain else tuple(each for each in CONDITIONS if each.name == worst)
    unit = span.low.unit
    for each in shown:
        found = touching[each.name]
        gap = estimated("touching gap", found, unit, coarse(unit.name), other_unit(case, unit))
        yield Setting(
            "  ends would touch at",
            f"{gap.words} cold" if found.value > 0 else "no cold gap: they open",
            f"{_words(each)}; {ASSUMED}; a figure to compare with: the maker's minimum "
            f"{end_words(span.low)} stands",
            SOURCE,
            subject="ring",
            numbers=(gap,) if found.value > 0 else (),
        )


def hot_skirt(case: Case) -> Iterator[Setting]:
    """Return the skirt's clearance in each assumed condition, where metals and fit are known."""
    bore, cylinder = geometry(case.book, "bore"), _expansion(case, "barrel")
    piston = _expansion(case, "piston")
    found = measured(case, "piston to barrel", "as fitted")
    window = new_span(case, "piston to barrel")
    if bore is None or cylinder is None or piston is None or found is None or window is None:
        return
    assert window[1].high is not None
    unit = window[1].high.unit
    for each in CONDITIONS:
        hot = hot_clearance(
            bore.si, found[1], cylinder=_at(cylinder, each.bore), piston=_at(piston, each.skirt)
        )
        left = estimated("clearance, hot", hot, unit, coarse(unit.name) + 1, other_unit(case, unit))
        yield Setting(
            "  skirt's clearance, hot",
            left.words,
            f"{_words(each, skirt=True)}; {ASSUMED}; a round, evenly hot piston is a worst case: a skirt "
            "is ground to leave room. It permits nothing",
            SOURCE,
            subject="piston",
            numbers=(left,),
        )


def _words(each: Condition, *, skirt: bool = False) -> str:
    inner = f"skirt {_celsius(each.skirt)}" if skirt else f"ring {_celsius(each.ring)}"
    return f"{each.name}: bore {_celsius(each.bore)}, {inner} °C"


def _celsius(kelvin: float) -> str:
    return f"{kelvin - ZERO_CELSIUS:.0f}"


def _at(expansion: Estimate, temperature: float) -> Part:
    return Part(expansion, Estimate(temperature, ASSUMED_HALF_WIDTH / sqrt(3)))


def _expansion(case: Case, part: str) -> Estimate | None:
    """Expansion of a part's metal, any alloy of the kind named being as likely."""
    text = case.book.sheet.materials.get(part, "").partition(",")[0].strip()
    own = {"barrel": BARREL, "piston": PISTON}
    alone = (text,) if text in MATERIALS else ()
    names = own.get(part, KINDS).get(text) or KINDS.get(text) or alone
    if not names:
        return None
    ends = [
        end
        for metal in (MATERIALS[name] for name in names)
        for end in (metal.expansion - metal.half_width, metal.expansion + metal.half_width)
    ]
    return Estimate((min(ends) + max(ends)) / 2, (max(ends) - min(ends)) / 2 / sqrt(3))
