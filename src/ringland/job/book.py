"""What rules a job: its own copy of the sheet, corrected figures taken over, leaflets of new parts.

Also the shop's norms, which never come from a sheet.
"""

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, fields, replace
from typing import Any

from ringland.job.log.entries import Condition
from ringland.job.log.fold import State
from ringland.sheet.figure import Figure
from ringland.sheet.figures import ENGINE_SHEET, Figures, Ruling, read_leaflet, ruling
from ringland.sheet.load import sheet_of
from ringland.sheet.model import SCOPES, Leaflet, Phase, Scope, Sheet


@dataclass(frozen=True, slots=True)
class Norms:
    """What a shop decides for itself; defaults in brackets.

    prove, disprove : probability that proves conformity (95 %) and leaves it refuted (5 %),
        ISO 14253-1:2017, from memory
    note, plan, stop : drop of compression below the own baseline, common practice
    torque_tolerance : share by which a nut may miss its torque before it is asked about
    room : how far from 20 °C a length may be read without correction [K], common practice
    calibration : months that a gauge's calibration holds, 0 for ever; common practice
    """

    prove: float = 0.95
    disprove: float = 0.05
    note: float = 0.10
    plan: float = 0.15
    stop: float = 0.25
    torque_tolerance: float = 0.06
    room: float = 8.0
    calibration: float = 12.0


@dataclass(frozen=True, slots=True)
class Book:
    """The sheet in force for one job.

    leaflets : title to figures, of the part sheets that came with parts of this job
    leaflet_part : title of a leaflet to its part
    taken_over : section and name of a figure that this job took over, to who and when
    """

    sheet: Sheet
    figures: Figures
    leaflets: Mapping[str, Mapping[str, Figure]]
    leaflet_part: Mapping[str, str]
    scope: Scope
    norms: Norms
    taken_over: Mapping[tuple[str, ...], str] = field(default_factory=dict)

    def source(self, section: str, name: str) -> str:
        """Return whose a figure of the sheet is: the sheet's own, or taken over by whom and when."""
        return self.taken_over.get((section, name), ENGINE_SHEET)

    def ruling(self, check: str, condition: Condition) -> Ruling | None:
        """Return the figure that rules a check on a part as found or as fitted.

        Of several leaflets, the one of the very part comes before the one of its kit.
        """
        part = self.sheet.checks[check].part
        titles = sorted(self.leaflets, key=lambda title: self.leaflet_part[title] != part)
        fitted = (
            {title: self.leaflets[title] for title in titles} if condition == "as fitted" else {}
        )
        return ruling(self.figures, check, fitted, self.source("figures", check))

    def phase_of(self, check: str, condition: Condition) -> Phase:
        """Return when a reading is taken: on a new part, while fitting."""
        phase = self.sheet.checks[check].phase
        return "fit" if condition == "as fitted" and phase == "inspect" else phase

    def applies(self, scopes: tuple[Scope, ...], feature: str) -> bool:
        """Say whether something of these scopes and this feature belongs to the job."""
        return self.scope in scopes and self.sheet.has(feature)


def book_of(state: State) -> Book:
    """Return what rules the job of a state. Raises ValueError for a log that opens no job."""
    opened = state.opened
    if opened is None:
        raise ValueError("this log has no entry that opens a job")
    sheet, figures = sheet_of(_taken_over(opened.sheet, state))
    leaflets: dict[str, Mapping[str, Figure]] = {}
    parts: dict[str, str] = {}
    for renewals in state.renewed.values():
        for said in renewals:
            if said.fact.leaflet is not None:
                leaflet = Leaflet.model_validate(said.fact.leaflet)
                leaflets[leaflet.part] = read_leaflet(leaflet, sheet)[0]
                parts[leaflet.part] = leaflet.name
    taken = {
        path[:2]: f"figure taken over by {said.by} on {said.at[:10]}"
        for path, said in state.taken_over.items()
    }
    norms = norms_of(opened.norms or {})
    return Book(sheet, figures, leaflets, parts, _scope(opened.scope), norms, taken)


def norms_of(texts: Mapping[str, str]) -> Norms:
    """Return the shop's norms from their texts; what is not named keeps its default."""
    known = {field.name for field in fields(Norms)}
    return replace(Norms(), **{k: float(v) for k, v in texts.items() if k in known})


def _scope(text: str) -> Scope:
    for scope in SCOPES:
        if text == scope:
            return scope
    raise ValueError(f"the job was opened with the scope {text!r}, which nobody knows here")


def _taken_over(tree: dict[str, Any], state: State) -> dict[str, Any]:
    if not state.taken_over:
        return tree
    changed = deepcopy(tree)
    for path, said in state.taken_over.items():
        below = changed
        for key in path[:-1]:
            below = below.setdefault(key, {})
        below[path[-1]] = said.fact.text
    return changed
