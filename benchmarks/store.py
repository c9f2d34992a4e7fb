"""Commits per second of the log, as a ratio to a bare sqlite3 insert of the same bytes.

Run: .venv/bin/python benchmarks/store.py [COMMITS]
Both write to the same folder with the same settings, in turns, in one run; the disk sets the pace of
both, so that only the ratio says something about the log. Then: reading a long stream back.
"""

import json
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from itertools import count
from pathlib import Path

from ringland.store import Line, open_store
from ringland.store.line import columns_of
from ringland.store.schema import SETTINGS

TURNS = 7
LONG = 10_000
NUMBERS = count()


def entry(n: int) -> Line:
    """Return a line the size of a usual reading."""
    body = {"check": "bore", "place": "H1X", "indications": ["53.214"], "gauge": "bore-gauge-2"}
    return Line(f"{n:032x}", f"{n:032x}", "reading-taken/1", "2026-05-02T10:00:00Z", "Ada", body)


def bare(path: Path) -> sqlite3.Connection:
    """Return a connection with the log's settings to a table with the log's columns, no guards."""
    db = sqlite3.connect(path, isolation_level=None)
    for setting in SETTINGS:
        db.execute(setting)
    db.execute("CREATE TABLE line (seq INTEGER PRIMARY KEY, id UNIQUE, act, kind, at, who, body)")
    return db


def pace(act: Callable[[Line], object], commits: int) -> float:
    """Return commits per second."""
    begun = time.perf_counter()
    for _ in range(commits):
        act(entry(next(NUMBERS)))
    return commits / (time.perf_counter() - begun)


def main(commits: int) -> None:
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        folder = Path(name)
        with closing(open_store(folder / "log")) as log, closing(bare(folder / "bare")) as db:
            insert = "INSERT INTO line VALUES (NULL, ?, ?, ?, ?, ?, ?)"
            ours, theirs = [], []
            for _ in range(TURNS):
                ours.append(pace(lambda each: log.append("job/1", [each]), commits))
                theirs.append(pace(lambda each: db.execute(insert, columns_of(each)), commits))
            ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
            log.append("job/2", [entry(next(NUMBERS)) for _ in range(LONG)])
            begun = time.perf_counter()
            log.read("job/2")
            read_s = time.perf_counter() - begun
    result = {
        "sqlite": sqlite3.sqlite_version,
        "log_commits_per_s": round(statistics.median(ours)),
        "bare_commits_per_s": round(statistics.median(theirs)),
        "ratio_median": round(statistics.median(ratios), 3),
        "ratio_range": [round(min(ratios), 3), round(max(ratios), 3)],
        "read_us_per_line": round(read_s / LONG * 1e6, 1),
    }
    print(json.dumps(result))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
