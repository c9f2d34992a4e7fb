"""Jobs for the tests of paper: played from lines as they are typed, on the invented engine."""

import re
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from io import BytesIO
from pathlib import Path

from PIL import Image
from pypdf import PdfReader

from ringland.bench.bench import Bench
from ringland.bench.hours import part_hours
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_gauge, add_machine, open_job
from ringland.job.log.entries import Baseline, Fact, Gauge
from ringland.job.log.shop import MachineAdded
from ringland.report.paper.blocks import Paper
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.render import pdf
from ringland.store import open_store

NOW = "2026-06-01T10:00:00+02:00"
ADDRESS = "http://bench.example:8010"
LEAVES = tuple(f"{n / 100:.2f} mm" for n in (*range(4, 11), *range(15, 105, 5)))
GAUGES = (
    Gauge("CG-1", "compression gauge", "", "0.1 bar", "0 bar", "20 bar"),
    Gauge("BG-2", "bore gauge", "5 µm", "0.001 mm", "50 mm", "75 mm", set_with="MIC-1"),
    Gauge("MIC-1", "fine micrometer", "3 µm", "0.001 mm", "50 mm", "75 mm"),
    Gauge("FG-1", "feeler", leaves=LEAVES),
    Gauge("LP-1", "low-pressure gauge", "0.02 bar", "0.01 bar", "0 bar", "1 bar"),
    Gauge("TW-1", "torque wrench", "", "0.25 N·m", "2 N·m", "15 N·m", length="185 mm"),
    Gauge("TW-2", "torque wrench", "", "1 N·m", "10 N·m", "60 N·m", length="300 mm"),
)
STRIPPED = (
    "by Ada", "when 2026-05-02 09:00", "compression 10.6 bar", "done due", "done get", "done strip",
    "done linkage released", "done strip", "head washers off 5", "dowels off 1", "clips off 2",
    "shims off 2", "found dowel in the transfer recess", "rag on 1", "chewed screw on the clutch side",
)  # fmt: skip
MEASURED = (
    "done inspect", "temp 21 °C", "bore H1X 53.241 H1Y 53.247 H2X 53.236 H2Y port H3X 53.228 H3Y 53.230",
    "barrel wall good", "old piston skirt 53.128", "old gap bottom .45 top .47", "small end good",
    "big end good", "overrule bore reuse because the club rides it gently", "done decide",
)  # fmt: skip
BUILT = (
    "when 2026-05-09 10:00", "renew piston class B", "renew base gasket 0.40 mm", "renew all", "by Ben",
    "new piston skirt 53.152", "new gap bottom .30 top .35", "ring in groove rolls freely", "done fit",
    "squish EX 1.06 IN 1.00 IGN 1.03 CL 1.02", "dowels on 2", "clips on 2",
    "torque barrel nuts with TW-2 adapter 50 mm at 0", "torque barrel nuts ok",
    "torque barrel nuts ok", "torque barrel nuts ok", "torque barrel nuts ok",
    "when 2026-05-09 15:00", "turns freely smooth", "leak .40 .39 bar 6 min no bubble",
    "new compression 12.5 bar",
)  # fmt: skip
WHOLE = (*STRIPPED, *MEASURED, *BUILT)


@dataclass(frozen=True, slots=True)
class Shed:
    """A bench with one job in it."""

    bench: Bench
    job: str

    def keep(self, *facts: Fact, at: str = "") -> None:
        """Keep facts as they are."""
        self.bench.keep(self.job, facts, at)

    def file(self, **more: object) -> JobFile:
        """Return what papers are printed from."""
        case = self.bench.case(self.job)
        opened = case.state.opened
        assert opened is not None
        hours = tuple(part_hours(self.bench, opened.machine))
        return JobFile(case, self.job, hours, "38.2 h", address=ADDRESS, **more)  # type: ignore[arg-type]


def demo_sheet() -> str:
    """Return the text of the invented engine's sheet."""
    return (files("ringland.demo") / "tarrow-124.yaml").read_text(encoding="utf-8")


def shed(
    folder: Path,
    lines: Sequence[str] = WHOLE,
    *,
    by: str = "Ada",
    machine: str = "oxbow-9",
    scope: str = "piston",
    reason: str = "hours are up",
) -> Shed:
    """Return a new bench with one machine and one job, the lines played."""
    sheet = folder / "sheet.yaml"
    sheet.write_text(demo_sheet(), encoding="utf-8")
    log = open_store(folder / "store")
    bench = Bench(log, by, lambda: NOW, lambda: uuid.uuid4().hex)
    for gauge in GAUGES:
        add_gauge(bench, gauge)
    add_machine(
        bench,
        MachineAdded(machine, str(sheet)),
        hours="38.2 h",
        baseline=Baseline("12.6 bar", "CG-1", "2 h"),
        part_hours={"piston": "0 h", "rod": "0 h"},
    )
    job, _ = open_job(bench, machine, scope=scope, reason=reason)
    prompt = Prompt(bench, job)
    for line in lines:
        prompt.say(line)
    return Shed(bench, job)


def photo(width: int = 64, height: int = 48) -> bytes:
    """Return a small photo."""
    out = BytesIO()
    Image.new("RGB", (width, height), (200, 40, 40)).save(out, "JPEG")
    return out.getvalue()


def read(paper: Paper, **more: str) -> PdfReader:
    """Return a paper's PDF, opened by a library that did not write it."""
    return PdfReader(BytesIO(pdf(paper, **more)))  # type: ignore[arg-type]


def text_of(reader: PdfReader) -> str:
    """Return all the text, without the spaces and breaks that setting it in columns brings."""
    return bare("".join(page.extract_text() for page in reader.pages))


def bare(text: str) -> str:
    """Return a text without spaces, breaks, and places where a long word may break."""
    return re.sub(r"[\s\u200b]", "", text)
