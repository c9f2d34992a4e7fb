"""How long paper takes: a build sheet of some six pages with 40 readings and 6 plots, and the rest.

Run: python -m benchmarks.paper. Each line prints a time and its target.
"""

import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from pypdf import PdfReader

from ringland.job.life import Point
from ringland.job.log.entries import Indication, ReadingTaken
from ringland.report.paper.build import build_sheet
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.papers import PAPERS
from ringland.report.paper.plots import plots
from ringland.report.paper.render import pdf
from tests.report.shed import shed

BUILD_SHEET = 2.0  # s, the first one in a process, imports of the plots included
OTHERS = 0.5  # s, any other paper
READINGS, PLOTS = 40, 6
HISTORY = tuple(
    Point(check, hours, low + wear * hours, 0.01, "mm", limit, False, "1")
    for check, low, wear, limit in (
        ("ring end gap", 0.31, 0.004, 0.60),
        ("piston to barrel", 0.05, 0.0006, 0.10),
    )
    for hours in (0.0, 10.0, 20.0, 30.0, 38.2)
)


def job(folder: Path) -> JobFile:
    """Return a job with at least 40 readings and 6 plots."""
    whole = shed(folder)
    taken = sum(map(len, whole.bench.case(whole.job).state.readings.values()))
    more = range(max(0, READINGS - taken))
    whole.keep(
        *(
            ReadingTaken(
                "big end radial", "as found", (Indication("value", "0.02", "mm"),), f"turn {n}"
            )
            for n in more
        )
    )
    return replace(whole.file(), history=HISTORY)


def line(name: str, seconds: float, target: float) -> bool:
    """Print one time; return whether it meets its target."""
    met = seconds <= target
    print(f"{name:<52} {seconds:6.2f} s (target ≤ {target:g} s) {'met' if met else 'MISSED'}")
    return met


def main() -> int:
    """Measure, print, and say by the exit code whether all targets are met."""
    with TemporaryDirectory() as folder:
        file = job(Path(folder))
        start = perf_counter()
        content = pdf(build_sheet(file))
        first = perf_counter() - start
        start = perf_counter()
        pdf(build_sheet(file))
        again = perf_counter() - start
        readings = sum(map(len, file.case.state.readings.values()))
        drawn, pages = len(plots(file)), len(PdfReader(BytesIO(content)).pages)
        about = f"{pages} pages, {readings} readings, {drawn} plots"
        assert readings >= READINGS
        assert drawn >= PLOTS
        met = [line(f"build sheet, {about}", first, BUILD_SHEET)]
        met.append(line("the same again", again, BUILD_SHEET))
        for name, paper in PAPERS.items():
            if name != "build":
                start = perf_counter()
                pdf(paper(file))
                met.append(line(name, perf_counter() - start, OTHERS))
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
