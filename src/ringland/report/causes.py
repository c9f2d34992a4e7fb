"""The view of the causes: what speaks for and against each, what proves it, what to check next."""

from collections.abc import Sequence
from dataclasses import dataclass

from ringland.gas.causes import RankedCause
from ringland.job.case import Case
from ringland.job.causes import Damage, causes_of

AT_MOST = 5  # causes that are shown unless all are wanted
# a thing of the table of causes, as what a person goes and looks at
TO_LOOK_AT = {
    "compression": "compression, on the baseline's gauge",
    "wet compression": "compression once more, with a teaspoon of oil",
    "leak test": "a leak test of the crankcase",
    "bubbles": "where it bubbles under pressure",
    "leak-down": "a leak-down test, and where the air comes out",
    "plug": "the plug, for specks and dots",
    "piston": "the piston, its streaks, colours and edges",
    "coolant": "the coolant, its level and a pressure test",
    "gear oil": "the gear oil, its level and look",
    "idle": "the idle, whether it hangs or wanders",
    "smoke": "the smoke, its colour and smell",
    "filter": "the filter's seat and the boot, for dust",
    "fuel": "the fuel, its oil and age, jets and flow",
    "bottom end": "big end and mains, for play and noise",
    "power valve": "the power valve, its travel and marks",
    "reeds": "the reeds, for chips and gaps at the tips",
    "clearance": "the clearance, bore less skirt",
    "bore": "the bore, its size, glaze and plating",
    "ring gap": "the ring's end gap",
    "port edges": "port edges and bridge",
    "squish": "the squish, by solder",
    "head face": "the head's face, for flatness",
    "warm-up": "how the rider warms it up",
    "dowels": "the dowels, counted",
    "base nuts": "the barrel nuts, whether one was loose",
    "ignition": "the timing, and the plug's grade",
    "needles": "the needles, counted",
    "pin clips": "the pin's clips, their seat and gap",
    "hours on the piston": "the piston's hours",
}
NOTE = (
    "Order by common practice, no probability. No cause is cleared by compression alone; "
    "a plug can stop a job and never clears one. A cause is named by a person, with its proof."
)


@dataclass(frozen=True, slots=True)
class CauseLine:
    """One cause. speaks_for, speaks_against : evidence, as it was read or seen in the job."""

    name: str
    proven: bool
    score: int
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    proven_by: str
    check_next: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class DamageLine:
    """A damage. said : the cause that a person named, with proof; empty while fitting waits."""

    name: str
    until: str
    candidates: tuple[str, ...]
    proven: tuple[str, ...]
    said: str
    waits: bool


@dataclass(frozen=True, slots=True)
class CausesView:
    """Damages and causes of a job."""

    damages: tuple[DamageLine, ...]
    causes: tuple[CauseLine, ...]
    check_next: str
    note: str = NOTE


def causes_view(case: Case) -> CausesView:
    """Word the causes of a job."""
    found = causes_of(case)
    return CausesView(
        tuple(map(_damage, found.damages)),
        tuple(_cause(each, found.sources) for each in found.ranked),
        TO_LOOK_AT.get(found.check_next, ""),
    )


def _damage(damage: Damage) -> DamageLine:
    named = damage.named
    said = f"{named.by}: {named.fact.cause}, because {named.fact.evidence}" if named else ""
    return DamageLine(
        damage.name, damage.until, damage.candidates, damage.proven, said, named is None
    )


def _cause(each: RankedCause, sources: dict[str, str]) -> CauseLine:
    def told(facts: Sequence[str]) -> tuple[str, ...]:
        return tuple(sources.get(fact, fact) for fact in facts)

    return CauseLine(
        each.name,
        each.proven,
        each.score,
        told(each.speaks_for),
        told(each.speaks_against),
        each.proven_by,
        tuple(TO_LOOK_AT[thing] for thing in each.check_next),
        each.source,
    )


def causes_text(view: CausesView, *, everything: bool = False) -> str:
    """Return the causes for a person; the leading ones unless all are wanted."""
    lines = []
    for damage in view.damages:
        state = f"cause named by {damage.said}" if damage.said else "no cause named: fitting waits"
        lines.append(f"{damage.name}: {state}; before anything new goes in: {damage.until}")
        if damage.proven:
            lines.append(f"     what is known here proves: {', '.join(damage.proven)}")
    if not view.causes:
        return "\n".join([*lines, "nothing found yet speaks for a cause: note what is seen"])
    shown = view.causes if everything else view.causes[:AT_MOST]
    for number, cause in enumerate(shown, 1):
        lines.append(f"{number}  {cause.name}{'  PROVEN' if cause.proven else ''}")
        lines += [f"     for      {each}" for each in cause.speaks_for]
        lines += [f"     against  {each}" for each in cause.speaks_against]
        if not cause.proven:
            lines.append(f"     proof    {cause.proven_by}")
            if cause.check_next:
                lines.append(f"     check    {'; '.join(cause.check_next)}")
    left = len(view.causes) - len(shown)
    if left:
        lines.append(f"and {left} more, with less for them: -a shows all")
    if view.check_next:
        lines.append(f"what would tell most: {view.check_next}")
    return "\n".join([*lines, view.note])
