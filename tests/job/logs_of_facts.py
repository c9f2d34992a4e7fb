"""Strategies: facts of every kind, and logs in which entries take back or correct each other."""

from typing import Any

from hypothesis import strategies as st

from ringland.job.log.entries import (
    Baseline,
    CauseNamed,
    Corrected,
    Entry,
    Fact,
    FastenerPulled,
    FigureTakenOver,
    FindingNoted,
    FindingResolved,
    Gauge,
    GaugeUsed,
    GroupSlackened,
    HandedOver,
    HoldSigned,
    Indication,
    JobOpened,
    LossExplained,
    MadeSafe,
    PartDecided,
    PartRenewed,
    PartsCounted,
    PhotoTaken,
    ReadingTaken,
    StepDone,
    StepSetAside,
    TimerStarted,
    TimerStopped,
    ValuePlanned,
    VerdictOverruled,
    Withdrawn,
)

words = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
quantities = st.sampled_from(["", "12 mm", "0.005 mm", "58 h", "12.4 bar", "21 °C"])
numbers = st.integers(0, 9)

# Names of the invented engine, few, so that facts meet each other.
CHECKS = ["bore", "ring end gap", "big end", "squish", "barrel wall", "piston skirt"]
FINDINGS = [
    "metal specks",
    "dowel missing",
    "dowel found",
    "four-corner seizure",
    "bottom end proven",
]
STEPS = ["head off", "barrel off", "dowels counted", "clips out", "engine cold", "all tight"]
PARTS = ["piston", "ring", "clip", "dowel", "rag", "head washer"]
HOLDS = ["all accounted for", "causes named", "ready to build", "clips and arrow"]
GROUPS = ["barrel nuts", "head nuts", "plug"]
PLACES = ["", "H1-X", "H3-Y", "EX", "IN", "bottom"]

trees = st.recursive(
    words, lambda inner: st.dictionaries(words, inner, max_size=3) | st.lists(inner, max_size=2),
    max_leaves=5,
)  # fmt: skip
gauges = st.builds(
    Gauge, id=words, kind=st.sampled_from(["feeler", "bore gauge"]), permissible_error=quantities,
    leaves=st.lists(st.sampled_from(["0.05 mm", "0.10 mm"]), max_size=2).map(tuple), set_with=words,
)  # fmt: skip
indications = st.one_of(
    st.builds(
        Indication,
        st.sampled_from(["value", "goes", "stops"]),
        st.sampled_from(["0.31", "65.012", "1.20"]),
        st.sampled_from(["mm", "in"]),
        words,
    ),
    st.builds(Indication, st.sampled_from(["good", "bad", "not sure", "not taken"])),
)
conditions = st.sampled_from(["as found", "as fitted"])
readings = st.builds(
    ReadingTaken, check=st.sampled_from(CHECKS), condition=conditions,
    indications=st.lists(indications, min_size=1, max_size=2).map(tuple),
    place=st.sampled_from(PLACES), remark=words, insisted=words,
)  # fmt: skip
pulls = st.builds(
    FastenerPulled, st.sampled_from(GROUPS), st.integers(1, 5), st.integers(1, 4),
    setting=st.sampled_from(["", "30 N·m", "21 lbf·ft"]), by_feel=st.booleans(),
    moved=st.sampled_from(["", "3 deg"]),
)  # fmt: skip

FACTS: dict[str, st.SearchStrategy[Any]] = {
    "job-opened/1": st.builds(
        JobOpened, machine=words, scope=st.sampled_from(["ring", "piston"]), reason=words,
        sheet=st.dictionaries(words, trees, min_size=1, max_size=3), hours=quantities,
        baseline=st.none() | st.builds(Baseline, quantities, words, quantities, quantities),
        norms=st.none() | st.dictionaries(words, words, max_size=2),
    ),
    "gauge-used/1": st.builds(GaugeUsed, gauges),
    "reading-taken/1": readings,
    "finding-noted/1": st.builds(FindingNoted, st.sampled_from(FINDINGS), words, words),
    "finding-resolved/1": st.builds(FindingResolved, st.sampled_from(FINDINGS), words),
    "parts-counted/1": st.builds(
        PartsCounted, st.sampled_from(PARTS), st.sampled_from(["off", "on"]), numbers, words
    ),
    "loss-explained/1": st.builds(LossExplained, st.sampled_from(PARTS), numbers, words),
    "step-done/1": st.builds(StepDone, st.sampled_from(STEPS), words),
    "step-set-aside/1": st.builds(StepSetAside, st.sampled_from(STEPS), words),
    "part-renewed/1": st.builds(PartRenewed, st.sampled_from(PARTS), numbers, words, words),
    "part-decided/1": st.builds(
        PartDecided, st.sampled_from(PARTS), st.sampled_from(["reuse", "renew", "class B"]), words
    ),
    "fastener-pulled/1": pulls,
    "group-slackened/1": st.builds(GroupSlackened, st.sampled_from(GROUPS), words),
    "photo-taken/1": st.builds(PhotoTaken, words, st.sampled_from(STEPS), words, words),
    "timer-started/1": st.builds(TimerStarted, st.sampled_from(STEPS), quantities),
    "timer-stopped/1": st.builds(TimerStopped, st.sampled_from(STEPS), words),
    "cause-named/1": st.builds(CauseNamed, st.sampled_from(FINDINGS), words, words),
    "verdict-overruled/1": st.builds(
        VerdictOverruled, st.sampled_from(CHECKS), conditions, words, words
    ),
    "hold-signed/1": st.builds(HoldSigned, st.sampled_from(HOLDS), words),
    "value-planned/1": st.builds(ValuePlanned, st.sampled_from(CHECKS), st.just("1.20 mm"), words),
    "figure-taken-over/1": st.builds(
        FigureTakenOver, st.lists(words, min_size=1, max_size=3).map(tuple), words, words
    ),
    "made-safe/1": st.builds(MadeSafe, words),
    "handed-over/1": st.builds(HandedOver, st.booleans(), words),
    "withdrawn/1": st.builds(Withdrawn, st.lists(words, max_size=3).map(tuple), words),
}  # fmt: skip
FACTS["corrected/1"] = st.builds(Corrected, words, st.one_of(*FACTS.values()), words)

# What happens at the bench, without what rules the job as a whole.
ACTS = [
    strategy
    for kind, strategy in FACTS.items()
    if kind not in ("job-opened/1", "figure-taken-over/1", "withdrawn/1", "corrected/1")
]


@st.composite
def logs(draw: st.DrawFn, *, most: int = 12) -> list[Entry]:
    """Draw a log: acts of two people over hours; some take back or correct others, in any order."""
    facts: list[Fact] = draw(st.lists(st.one_of(*ACTS), max_size=most))
    ids = [f"e{n}" for n in range(len(facts) + 4)]
    for _ in range(draw(st.integers(0, 4))):
        target = draw(st.sampled_from(ids))
        mending: Fact = draw(
            st.one_of(
                st.just(Withdrawn((target,))),
                st.builds(Corrected, st.just(target), st.one_of(readings, pulls)),
            )
        )
        facts.insert(draw(st.integers(0, len(facts))), mending)
    minute = 0
    made = []
    for n, fact in enumerate(facts):
        minute += draw(st.sampled_from([0, 1, 45]))
        at = f"2026-05-02T{8 + minute // 60 % 12:02}:{minute % 60:02}:00+02:00"
        made.append(Entry(ids[n], f"act{n // 2}", at, draw(st.sampled_from(["Ada", "Ben"])), fact))
    return made
