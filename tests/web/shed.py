"""A shed for the page's tests: gauges, a machine with the invented engine, a job, on a real store.

The server runs as its own process, as at the bench; tests may write to the same store beside it.
"""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path

from ringland.bench.bench import Bench
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_gauge, add_machine, open_job
from ringland.job.log.entries import Baseline, Gauge
from ringland.job.log.shop import MachineAdded
from ringland.store import open_store

LEAVES = (".05", ".10", ".15", ".20", ".25", ".28", ".29", ".30", ".31", ".32", ".33", ".35",
          ".40", ".45", ".50", ".55", ".60", ".65")  # fmt: skip
GAUGES = (
    Gauge("CG-1", "compression gauge", resolution="0.1 bar", high="20 bar"),
    Gauge("BG-2", "bore gauge", "4 µm", "0.001 mm", set_with="M-1"),
    Gauge("TS-1", "telescoping gauge", "15 µm", "0.001 mm"),
    Gauge("M-1", "fine micrometer", "2 µm", "0.001 mm", "50 mm", "75 mm"),
    Gauge("FG-1", "feeler", leaves=tuple(f"0{leaf} mm" for leaf in LEAVES)),
    Gauge("LP-1", "low-pressure gauge", resolution="0.005 bar", high="1.6 bar"),
    Gauge("CT-1", "cap tester", resolution="0.01 bar", high="2 bar"),
    Gauge("CP-1", "caliper", "0.02 mm", "0.01 mm"),
    Gauge("SO-1", "solder", "0.03 mm", "0.01 mm"),
    Gauge("TW-2", "torque wrench", "", "0.5 N·m", "5 N·m", "60 N·m", length="300 mm"),
    Gauge("TW-1", "torque wrench", "", "0.1 N·m", "1 N·m", "15 N·m"),
)
SHEET = Path(str(files("ringland.demo").joinpath("tarrow-124.yaml")))
PATIENCE_S = 20


def stamp(minutes_ago: float = 0.0) -> str:
    """Return an instant some minutes ago, as a store keeps it."""
    return (datetime.now(UTC) - timedelta(minutes=minutes_ago)).isoformat(timespec="seconds")


@contextmanager
def bench_at(folder: Path, by: str = "Ada", minutes_ago: float = 0.0) -> Iterator[Bench]:
    """Open the bench of a shed beside its server, as a command does."""
    log = open_store(folder / "shed.db")
    try:
        yield Bench(log, by, lambda: stamp(minutes_ago), lambda: uuid.uuid4().hex)
    finally:
        log.close()


def say(folder: Path, *lines: str, by: str = "Ada", minutes_ago: float = 0.0) -> None:
    """Say lines at job 1, as at the prompt of the command line."""
    with bench_at(folder, by, minutes_ago) as bench:
        prompt = Prompt(bench, "1")
        for line in lines:
            prompt.say(line)


def fill(folder: Path, *, scope: str = "full", jobs: int = 1) -> None:
    """Put gauges, one machine and its jobs into a new shed."""
    folder.mkdir(parents=True, exist_ok=True)
    with bench_at(folder) as bench:
        for gauge in GAUGES:
            add_gauge(bench, gauge)
        machine = MachineAdded("oxbow-3", str(SHEET), altitude="600 m")
        base = Baseline("12.4 bar", "CG-1", "0 h", "600 m")
        add_machine(bench, machine, hours="41.6 h", baseline=base, part_hours={"ring": "20 h"})
        for _ in range(jobs):
            open_job(bench, "oxbow-3", scope=scope, reason="down on power")


def free_port() -> int:
    """Return a port that is free now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Server:
    """A server process of one shed; it can be stopped hard and started again on its port."""

    def __init__(self, folder: Path, *more: str, scheme: str = "http") -> None:
        self.folder, self.more, self.port = folder, more, free_port()
        self.base = f"{scheme}://localhost:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start, and wait until it answers."""
        code = "from ringland.cli import main; main()"
        command = ["serve", "--store", str(self.folder / "shed.db"), "--port", str(self.port)]
        log = (self.folder / "server.log").open("ab")
        with log:
            self.process = subprocess.Popen(
                [sys.executable, "-c", code, *command, "--by", "Ada", *self.more],
                stdout=log,
                stderr=log,
                env={**os.environ, "PYTHONUNBUFFERED": "1"},
            )
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            assert self.process.poll() is None, (self.folder / "server.log").read_text()
            time.sleep(0.05)
        raise AssertionError("the server does not answer")

    def kill(self) -> None:
        """Stop it as a power cut does."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
        self.process = None

    def get(self, path: str) -> str:
        """Return a page's text."""
        with urllib.request.urlopen(self.base + path) as answer:
            text: str = answer.read().decode()
            return text
