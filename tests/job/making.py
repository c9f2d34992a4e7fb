"""Jobs made by hand for the tests: facts in, a case out, on one invented engine loaded once."""

from dataclasses import replace
from functools import cache
from itertools import count
from pathlib import Path

from ringland.bench.sheets import load
from ringland.job.book import Book, book_of
from ringland.job.case import Case, case_of
from ringland.job.log.entries import (
    Condition,
    Entry,
    Evidence,
    Fact,
    FastenerPulled,
    Gauge,
    GaugeUsed,
    Indication,
    JobOpened,
    PartRenewed,
    ReadingTaken,
    StepDone,
)
from ringland.job.log.fold import fold
from ringland.quantity import parse_quantity

F_230 = Path(__file__).parents[1] / "stories" / "sheets" / "f-230.yaml"
AT, LATER = "2026-05-02T10:00:00+02:00", "2026-05-02T13:00:00+02:00"

BORE_GAUGE = Gauge("BG-1", "bore gauge", resolution="0.001 mm")
MICROMETER = Gauge("MM-1", "fine micrometer", resolution="0.001 mm")
FEELER = Gauge("FG-1", "feeler")
SOLDER = Gauge("SO-1", "solder")
DIAL = Gauge("DI-1", "dial indicator", resolution="0.01 mm")
SHELF = (BORE_GAUGE, MICROMETER, FEELER, SOLDER, DIAL)


@cache
def opened(scope: str = "piston", file: Path = F_230) -> JobOpened:
    """Return the entry that opens a job of a scope on an invented engine."""
    return JobOpened("loan-3", scope, "", load(file).tree, "58 h")


@cache
def book(scope: str = "piston", file: Path = F_230) -> Book:
    """Return what rules such a job."""
    return book_of(fold([Entry("open", "open", AT, "Ada", opened(scope, file))]))


def entries(*facts: Fact, by: str = "Ada", at: str = AT) -> list[Entry]:
    """Return facts as entries of one act each, numbered from 1."""
    return [Entry(f"e{n}", f"a{n}", at, by, fact) for n, fact in enumerate(facts, 1)]


def case(*facts: Fact | Entry, scope: str = "piston", now: str = AT) -> Case:
    """Return the job after these facts; an `Entry` says by whom and when."""
    number = count(1)
    made = [
        fact if isinstance(fact, Entry) else Entry(f"e{n}", f"a{n}", AT, "Ada", fact)
        for fact, n in zip(facts, number, strict=False)
    ]
    start = [Entry("open", "open", AT, "Ada", opened(scope))]
    start += [Entry(g.id, g.id, AT, "Ada", GaugeUsed(g)) for g in SHELF]
    state = fold([*start, *made])
    own = any(isinstance(f, PartRenewed) and f.leaflet for f in facts) or state.taken_over
    return case_of(state, now, None if own else book(scope))


def said(fact: Fact, *, by: str = "Ada", at: str = AT, number: int = 0) -> Entry:
    """Return one fact as an entry with its person and time."""
    return Entry(f"s{number}{by}{at}", f"act{number}{by}{at}", at, by, fact)


def value(text: str, evidence: Evidence = "value") -> Indication:
    """Return an indication from a text such as "53.214 mm"."""
    quantity = parse_quantity(text)
    return Indication(evidence, str(quantity.number), quantity.unit.name, text)


def felt(evidence: Evidence) -> Indication:
    """Return what an eye or a finger says."""
    return Indication(evidence, typed=evidence)


def read(
    check: str,
    *indications: str | Indication,
    place: str = "",
    condition: Condition = "as found",
    gauge: Gauge | None = None,
) -> ReadingTaken:
    """Return a reading; a text is a value with its unit."""
    made = tuple(value(each) if isinstance(each, str) else each for each in indications)
    return ReadingTaken(check, condition, made, place, gauge.id if gauge else "")


def bore(**places: str) -> list[ReadingTaken]:
    """Return readings of the bore in mm, as in bore(H1X="65.016")."""
    return [
        read("bore", f"{text} mm", place=f"{name[:2]}-{name[2]}", gauge=BORE_GAUGE)
        for name, text in places.items()
    ]


def pull(position: int, stage: int, setting: str = "30 N·m", **more: str) -> FastenerPulled:
    """Return a barrel nut pulled."""
    return replace(
        FastenerPulled("barrel nuts", position, stage, setting, "TW-1"),
        **more,  # type: ignore[arg-type]  # only texts are asked for here
    )


def strip() -> list[Fact]:
    """Return all strip steps of a piston kit, ticked."""
    return [
        StepDone(name)
        for name, step in case().steps.items()
        if step.phase == "strip" and not step.hold
    ]
