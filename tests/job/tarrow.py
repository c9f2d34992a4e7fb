"""Jobs on the demo's Tarrow 124, whose sheet gives geometry, materials and every figure."""

from functools import cache
from importlib.resources import as_file, files

from ringland.bench.sheets import load
from ringland.job.case import Case, case_of
from ringland.job.log.entries import Baseline, Entry, Fact, Gauge, GaugeUsed, JobOpened
from ringland.job.log.fold import fold
from ringland.job.settings import Setting, settings
from tests.job.making import AT, SHELF

WRENCH = Gauge("TW-1", "torque wrench", "", "0.1 N·m", "10 N·m", "60 N·m", length="300 mm")
SMALL = Gauge("TW-2", "torque wrench", "", "0.25 N·m", "2 N·m", "15 N·m")
CRANKING = Gauge("CG-1", "compression gauge", "", "0.1 bar")
LOW = Gauge("LG-1", "low-pressure gauge", "0.02 bar", "0.01 bar", "0 bar", "1 bar")
BASELINE = Baseline("12.6 bar", "CG-1", "2 h")


@cache
def opened(scope: str, variant: str | None = None) -> JobOpened:
    """Return the entry that opens a job on the Tarrow."""
    with as_file(files("ringland.demo") / "tarrow-124.yaml") as path:
        return JobOpened("oxbow-9", scope, "", load(path, variant).tree, "38 h", BASELINE)


def tarrow(
    *facts: Fact, scope: str = "piston", without: tuple[str, ...] = (), **changed: str
) -> Case:
    """Return a job on the Tarrow after these facts.

    without : figures and sections that its sheet lacks; changed : materials and fluids that differ
    """
    first = opened(scope)
    if without or changed:
        tree = {name: each for name, each in first.sheet.items() if name not in without}
        tree["figures"] = {k: v for k, v in first.sheet["figures"].items() if k not in without}
        for section in ("materials", "fluids"):
            if section in tree:
                own = {k.replace("_", " "): v for k, v in changed.items()}
                known = {k: own.get(k, v) for k, v in first.sheet[section].items()}
                tree[section] = known
        first = JobOpened("oxbow-9", scope, "", tree, "38 h", BASELINE)
    shelf = [GaugeUsed(gauge) for gauge in (*SHELF, WRENCH, SMALL, CRANKING, LOW)]
    made = [Entry(f"e{n}", f"a{n}", AT, "Ada", fact) for n, fact in enumerate([*shelf, *facts])]
    return case_of(fold([Entry("open", "open", AT, "Ada", first), *made]), AT)


def rows(case: Case, *, explain: bool = False) -> dict[str, Setting]:
    """Return the settings by name, the first of each name."""
    found: dict[str, Setting] = {}
    for each in settings(case, explain=explain):
        found.setdefault(each.name.strip(), each)
    return found
