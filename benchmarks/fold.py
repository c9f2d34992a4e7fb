"""How long it takes to fold a job's log, and whether the time grows in line with its length.

Run: .venv/bin/python benchmarks/fold.py [--turns N]
For logs of 100 to 10 000 entries it prints, in seconds: the fold from nothing; the fold of one more
entry onto the state before it; the fold of one more entry that takes an earlier one back (which begins
again from nothing); and a bare loop over the same list, which no fold can undercut. The growth ratio
is seconds per entry against those of the shortest log: 1 is linear. Timed in turns in one run, the
least of each.
"""

import argparse
import time
from collections.abc import Callable
from itertools import cycle, islice

from ringland.job.log.entries import (
    Entry,
    Fact,
    FastenerPulled,
    FindingNoted,
    Indication,
    PartsCounted,
    ReadingTaken,
    StepDone,
    Withdrawn,
)
from ringland.job.log.fold import State, fold

LENGTHS = (100, 316, 1_000, 3_162, 10_000)
AT = "2026-05-02T10:00:00+02:00"
AT_MOST = 3.0  # growth of seconds per entry over a hundredfold length that still counts as linear


def facts() -> list[Fact]:
    """Return what a bench keeps over and over, in about its usual mix."""
    places = ("H1-X", "H1-Y", "H2-X", "H3-X", "H3-Y")
    made: list[Fact] = [
        ReadingTaken("bore", "as found", (Indication("value", "65.016", "mm", "65.016"),), place)
        for place in places
    ]
    made += [FastenerPulled("barrel nuts", n, 3, "30 N·m", "TW-1") for n in (1, 3, 2, 4)]
    made += [StepDone("head off"), StepDone("barrel off"), PartsCounted("dowel", "off", 2)]
    made += [FindingNoted("chewed screw")]
    return made


def log(length: int) -> list[Entry]:
    """Return a log of so many entries."""
    return [
        Entry(f"e{n}", f"a{n // 3}", AT, "Ada", fact)
        for n, fact in enumerate(islice(cycle(facts()), length))
    ]


def bare(entries: list[Entry]) -> int:
    """Do no more than look at each entry."""
    seen = 0
    for entry in entries:
        seen += entry.fact is not None
    return seen


def least(act: Callable[[], object], turns: int) -> float:
    """Return the least seconds that an act took."""
    found = float("inf")
    for _ in range(turns):
        begun = time.perf_counter()
        act()
        found = min(found, time.perf_counter() - begun)
    return found


def row(length: int, turns: int) -> tuple[float, float, float, float]:
    """Return seconds of the bare loop, the whole fold, one more entry, one taken back."""
    entries = log(length)
    before: State = fold(entries)
    more = [Entry("x", "x", AT, "Ada", FindingNoted("loose nut"))]
    back = [Entry("y", "y", AT, "Ada", Withdrawn((f"e{length // 2}",)))]
    return (
        least(lambda: bare(entries), turns),
        least(lambda: fold(entries), turns),
        least(lambda: fold(more, before), turns),
        least(lambda: fold(back, before), turns),
    )


def main() -> None:
    """Print the table, and whether the fold is linear."""
    reader = argparse.ArgumentParser(description="Seconds to fold logs of growing length.")
    reader.add_argument("--turns", type=int, default=9)
    turns = reader.parse_args().turns
    head = ("entries", "bare loop", "fold", "one more", "taken back", "growth", "times bare")
    print("".join(f"{each:>12}" for each in head))
    first, growth = 0.0, 1.0
    for length in LENGTHS:
        loop, whole, one, back = row(length, turns)
        first = first or whole / length
        growth = whole / length / first
        seconds = "".join(f"{each:>12.6f}" for each in (loop, whole, one, back))
        print(f"{length:>12}{seconds}{growth:>12.2f}{whole / loop:>12.0f}")
    word = "linear" if growth <= AT_MOST else "NOT linear"
    print(f"per entry the longest takes {growth:.2f} times what the shortest takes: {word}")


if __name__ == "__main__":
    main()
