"""What a sheet does not give, and what that blocks. Nothing is guessed in its place.

Common practice stands beside a missing figure, marked as such: it is offered and never rules.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ringland.sheet.figures import Figures
from ringland.sheet.model import Check, Scope, Sheet

Side = Literal["", "new", "limit"]
STANDARD_SIZE = "bore"  # the size that rules per bore are worked out with
PER_BORE = "a leaflet's gap per bore is not worked out"


@dataclass(frozen=True, slots=True)
class Missing:
    """One figure that is not given.

    section : where it belongs in the sheet; side : "new" or "limit" when only that half is missing
    blocks : what cannot be said or done without it
    asked : `sheet new` asks for it, or every job of the scope wants it
    """

    section: str
    name: str
    side: Side
    blocks: str
    common_practice: str
    asked: bool

    @property
    def title(self) -> str:
        """The name, and which half of the figure it is."""
        return f"{self.name}, {self.side}" if self.side else self.name


def missing(sheet: Sheet, figures: Figures, scope: Scope | None = None) -> list[Missing]:
    """Return what is not given, for one scope or for any, what is asked for first."""
    found = [
        *_limits(sheet, figures, scope),
        *_torques(sheet, figures, scope),
        *_rest(sheet, figures, scope),
    ]
    return sorted(found, key=lambda each: not each.asked)


def _limits(sheet: Sheet, figures: Figures, scope: Scope | None) -> Iterator[Missing]:
    for name, check in sheet.checks.items():
        if not _has_figure(sheet, check) or not _in(scope, check.scopes):
            continue
        if check.profile:
            if check.profile not in figures.tests:
                blocks = _without_rule(check)
                asked = check.needed
                yield Missing("tests", check.profile, "", blocks, check.common_practice, asked)
            continue
        side = _missing_side(figures, name, check)
        if side is not None:
            blocks = _without_limit(sheet, name, check, side)
            asked = check.needed or _is_asked(sheet, name, scope)
            yield Missing("figures", name, side, blocks, check.common_practice, asked)


def _has_figure(sheet: Sheet, check: Check) -> bool:
    judged_by_figure = check.unit not in ("feel", "count") and check.limit not in (
        "feel",
        "count",
        "reported",
    )
    return judged_by_figure and check.method != "percent of baseline" and sheet.has(check.fitted_to)


def _missing_side(figures: Figures, name: str, check: Check) -> Side | None:
    figure = figures.own(name)
    if figure is None:
        return ""
    is_range = figure.new is not None and figure.nominal is None
    if check.taken != "as fitted" and figure.service is None:
        return None if check.limit == "both" and is_range else "limit"
    fitted_to_range = check.taken != "as found" and check.limit == "both"
    return "new" if figure.new is None and (fitted_to_range or name == STANDARD_SIZE) else None


def _is_asked(sheet: Sheet, name: str, scope: Scope | None) -> bool:
    return any(q.figure == name and _in(scope, q.scopes) for q in sheet.questions)


def _in(scope: Scope | None, scopes: tuple[Scope, ...]) -> bool:
    return scope is None or scope in scopes


def _without_limit(sheet: Sheet, name: str, check: Check, side: Side) -> str:
    classes = "; no piston class is proposed" if check.method == "clearance" else ""
    if side == "new" and name == STANDARD_SIZE:
        return PER_BORE
    if side == "new":
        return f"a new part is held to the limit in service only{classes}"
    feel = [each for each, other in sheet.checks.items() if other.tells_instead == name]
    word = "wear is " if side == "limit" else ""
    if feel:
        return f"{word}judged by feel ({', '.join(feel)})"
    rule = f"; {PER_BORE}" if name == STANDARD_SIZE and not side else ""
    return f"{word}reported, not judged{classes if not side else ''}{rule}"


def _without_rule(check: Check) -> str:
    if check.needed and check.phase == "prestart":
        return "the test cannot be passed: the start waits until a named person signs why"
    return "reported, not judged"


def _torques(sheet: Sheet, figures: Figures, scope: Scope | None) -> Iterator[Missing]:
    for name, group in sheet.fasteners.items():
        if name in figures.torques or not sheet.has(group.fitted_to):
            continue
        if not _in(scope, group.scopes):
            continue
        by_feel = "tightened by feel, and recorded so"
        blocks = by_feel if group.by_feel else "no setting for the wrench"
        asked = not group.by_feel or _is_asked(sheet, name, scope)
        yield Missing("fasteners", name, "", blocks, "", asked)


def _rest(sheet: Sheet, figures: Figures, scope: Scope | None) -> Iterator[Missing]:
    piston = sheet.parts.get("piston")
    if piston and not figures.classes and any(_in(scope, (each,)) for each in piston.renew):
        blocks = "no piston class is proposed for the measured bore"
        yield Missing("piston classes", "piston classes", "", blocks, "", asked=False)
    if not figures.hours:
        yield Missing("hours", "hours", "", "'due' tells no hours left", "", asked=False)
