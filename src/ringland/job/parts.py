"""What to get: parts in two waves, what kits leave out, tools, supplies; with or without a job.

Wave 1 is needed whatever is found; wave 2 hangs on measuring. A part whose size waits for a
reading is in the list from the start and is not ordered before the reading.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from ringland.job.consequences import Brought
from ringland.job.log.fold import State
from ringland.job.steps import count_of
from ringland.job.verdicts.verdict import Verdicts
from ringland.sheet.model import Scope, Sheet, Supply


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the parts list.

    why : the reason; waits_for : readings that decide which one
    in_hand : a new one is there
    """

    name: str
    count: int
    why: str
    waits_for: tuple[str, ...] = ()
    in_hand: bool = False
    also_called: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartsList:
    """What a job needs. `left_out` names the kit, then what it usually leaves out."""

    first: tuple[Line, ...]
    second: tuple[Line, ...]
    left_out: dict[str, tuple[str, ...]] = field(default_factory=dict)
    tools: tuple[Line, ...] = ()
    supplies: tuple[Line, ...] = ()

    def lines(self) -> tuple[Line, ...]:
        """Return both waves."""
        return self.first + self.second


def renewed_parts(
    sheet: Sheet, scope: Scope, brought: Brought, decided: Mapping[str, str]
) -> dict[str, str]:
    """Return each part that is renewed, with the reason.

    decided : part to a person's decision; "reuse" outranks the rest
    """
    renew: dict[str, str] = {
        name: part.why or "always renewed"
        for name, part in sheet.parts.items()
        if scope in part.renew and sheet.has(part.fitted_to)
    }
    for name, source in brought.renew.items():
        renew.setdefault(name, source)
    for name, decision in decided.items():
        if decision == "renew" or decision.startswith("class"):
            renew.setdefault(name, "decided")
        elif name in renew and decision != "send out":
            del renew[name]
    grown = True
    while grown:
        grown = False
        for name, part in sheet.parts.items():
            with_it = [other for other in part.renew_with if other in renew]
            if with_it and name not in renew and sheet.has(part.fitted_to) and name not in decided:
                renew[name] = part.why or f"with the {with_it[0]}"
                grown = True
    return renew


def parts_of_sheet(sheet: Sheet, scope: Scope) -> PartsList:
    """Return the list for a sheet and a scope, without any job: the counter's question."""
    return _listed(sheet, scope, renewed_parts(sheet, scope, Brought(), {}), {}, None, {})


def parts_of_job(
    sheet: Sheet,
    scope: Scope,
    renew: Mapping[str, str],
    state: State,
    verdicts: Verdicts,
    stopped: Mapping[str, str],
) -> PartsList:
    """Return the list for a job: what is renewed, what is in hand, what waits.

    stopped : parts whose order waits for a stop, by its source
    """
    return _listed(sheet, scope, renew, state.renewed, verdicts, stopped)


def _listed(
    sheet: Sheet,
    scope: Scope,
    renew: Mapping[str, str],
    in_hand: Mapping[str, object],
    verdicts: Verdicts | None,
    stopped: Mapping[str, str],
) -> PartsList:
    lines: dict[str, Line] = {}
    for name, why in renew.items():
        part = sheet.parts[name]
        waits = tuple(check for check in part.waits_for if not _settled(check, verdicts))
        waits += (stopped[name],) if name in stopped else ()
        lines[name] = Line(
            name, count_of(sheet, name), why, waits, name in in_hand, part.also_called
        )
    always = {name for name, part in sheet.parts.items() if scope in part.renew or part.renew_with}
    first = tuple(
        line for name, line in lines.items() if name in always and not sheet.parts[name].waits_for
    )
    second = tuple(line for line in lines.values() if line not in first)
    return PartsList(
        first,
        second,
        _left_out(sheet, lines),
        _things(sheet, scope, tools=True),
        _things(sheet, scope, tools=False),
    )


def _settled(check: str, verdicts: Verdicts | None) -> bool:
    verdict = (verdicts or {}).get((check, "as found"))
    return verdict is not None and (
        verdict.overruled is not None
        or verdict.word in ("within", "within, worn", "not judged", "beyond")
    )


def _left_out(sheet: Sheet, lines: Mapping[str, Line]) -> dict[str, tuple[str, ...]]:
    """For each kit in play: what is in none of the kits up to it, so that nobody relies on it."""
    in_play = {sheet.parts[name].in_kit for name in lines} - {""}
    left: dict[str, tuple[str, ...]] = {}
    bought: set[str] = set()
    for kit in sheet.kits:
        bought.add(kit)
        if kit in in_play:
            outside = tuple(
                name
                for name in lines
                if sheet.parts[name].in_kit not in bought
                and (sheet.parts[name].one_use or not _is_of_seals(sheet, kit))
            )
            if outside:
                left[kit] = outside
    return left


def _is_of_seals(sheet: Sheet, kit: str) -> bool:
    """Nobody looks for a plug or a bearing in a set of gaskets."""
    return all(part.one_use for part in sheet.parts.values() if part.in_kit == kit)


def _why(thing: Supply) -> str:
    """What it is for, and how to get by without it."""
    instead = thing.instead
    return f"{thing.why} Without it: {instead[0].lower()}{instead[1:]}" if instead else thing.why


def _things(sheet: Sheet, scope: Scope, *, tools: bool) -> tuple[Line, ...]:
    return tuple(
        Line(name, 1, _why(thing))
        for name, thing in (sheet.tools if tools else sheet.supplies).items()
        if scope in thing.scopes and sheet.has(thing.fitted_to)
    )
