"""Which cause a job's evidence points at, and what each damage still holds up.

Not here: what counts as evidence (`evidence`), the table and its weights (`ringland.gas.causes`).
Start with `causes_of`.
"""

from dataclasses import dataclass, replace

from ringland.gas.causes import RankedCause, best_next_check, damage_holds, rank_causes
from ringland.gas.causes_table import Evidence
from ringland.job.case import Case
from ringland.job.evidence import FINDINGS, evidence_of
from ringland.job.log.entries import CauseNamed
from ringland.job.log.fold import Said
from ringland.job.verdicts.judge import is_opened

# told by the engine as it ran; once the strip has begun nobody can look at them any more
WHOLE_ENGINE = (
    "compression", "wet compression", "leak test", "bubbles", "leak-down", "idle", "smoke",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Damage:
    """A damage and what fitting waits for.

    until : what must hold before anything new goes over it, common practice
    candidates : causes that bring it, ranked; proven : those that the evidence proves
    named : who named its cause, with the proof; while there is none, the hold stays shut
    """

    name: str
    until: str
    candidates: tuple[str, ...]
    proven: tuple[str, ...]
    named: Said[CauseNamed] | None


@dataclass(frozen=True, slots=True)
class Causes:
    """What the evidence says.

    ranked : causes that anything speaks for, proven ones first
    sources : evidence in the table's words to what it comes from in this job
    check_next : the one thing not looked at yet that would separate the leading causes best
    """

    ranked: tuple[RankedCause, ...]
    damages: tuple[Damage, ...]
    sources: dict[str, str]
    check_next: str


def causes_of(case: Case) -> Causes:
    """Return the causes in the light of everything that the job knows."""
    sources = evidence_of(case)
    found: dict[str, list[str]] = {}
    for thing, value in sources:
        found.setdefault(thing, []).append(value)
    gone = WHOLE_ENGINE if is_opened(case.book, case.state) else ()
    return Causes(
        tuple(_still(gone, each) for each in rank_causes(found)) if found else (),
        tuple(_damages(case, found)),
        {f"{thing}: {value}": said for (thing, value), said in sources.items()},
        (best_next_check(found, gone=gone) or "") if found else "",
    )


def _still(gone: tuple[str, ...], cause: RankedCause) -> RankedCause:
    left = tuple(thing for thing in cause.check_next if thing not in gone)
    return replace(cause, check_next=left)


def _damages(case: Case, found: dict[str, list[str]]) -> list[Damage]:
    holds = {hold.damage: hold for hold in damage_holds(found)} if found else {}
    return [
        Damage(
            name,
            holds[picture].until if picture in holds else "the cause is named",
            holds[picture].candidates if picture in holds else (),
            holds[picture].named if picture in holds else (),
            case.state.causes.get(name),
        )
        for name in case.brought.damages
        for picture in [_picture(name)]
    ]


def _picture(damage: str) -> str:
    """The damage's name in the table of causes."""
    facts: tuple[Evidence, ...] = FINDINGS.get(damage, ())
    return next((value for thing, value in facts if thing == "piston"), damage)
