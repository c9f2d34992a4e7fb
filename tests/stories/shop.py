"""A shop for the stories: a store of its own, commands as they are typed, answers line by line."""

import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from ringland.cli import main

HERE = Path(__file__).parent
SHEETS = HERE / "sheets"

# The instruments of the stories; what is not said is the habit of the kind.
SHELF = (
    ("CG-1", "compression gauge", "--step", "0.1 bar"),
    ("LG-1", "low-pressure gauge", "--error", "0.02 bar", "--step", "0.01 bar"),
    ("BG-1", "bore gauge", "--step", "0.001 mm"),
    ("MM-1", "fine micrometer", "--step", "0.001 mm"),
    ("FG-1", "feeler"),
    ("SO-1", "solder"),
    ("TW-1", "torque wrench", "--from", "10 N·m", "--to", "60 N·m", "--step", "0.1 N·m",
     "--length", "300 mm"),
    ("TW-2", "torque wrench", "--from", "2 N·m", "--to", "15 N·m", "--step", "0.5 N·m"),
)  # fmt: skip


class Played:
    """What was answered to each line of a story."""

    def __init__(self, output: str, code: int) -> None:
        self.output, self.code = output, code
        self.answers: list[tuple[str, str]] = []
        for block in ("\n" + output).split("\n> ")[1:]:
            line, _, answer = block.partition("\n")
            self.answers.append((line, answer))

    def __call__(self, line: str, nth: int = 0) -> str:
        """Return the answer to a line, the nth time it was typed."""
        found = [answer for typed, answer in self.answers if typed == line]
        assert found, f"{line!r} was not typed; typed were {[typed for typed, _ in self.answers]}"
        return found[nth]

    def not_kept(self) -> list[str]:
        """Return the lines that were asked about or refused."""
        return [line for line, answer in self.answers if ".lines:" in answer]


class Shop:
    """Commands typed one after the other in one shop."""

    def __init__(self, folder: Path, *, shelf: bool = True) -> None:
        self.folder = folder
        self.store = folder / "shop.ringland"
        for gauge in SHELF if shelf else ():
            self("gauge", "add", *gauge)

    def run(self, *words: str) -> tuple[int, str]:
        """Type a command; return its exit code and all that it said."""
        said = CliRunner().invoke(
            main, [*words], env={"RINGLAND_STORE": str(self.store), "RINGLAND_BY": "Ada"}
        )
        if said.exception is not None and not isinstance(said.exception, SystemExit):
            raise said.exception
        return said.exit_code, said.output

    def __call__(self, *words: str) -> str:
        """Type a command that must work."""
        code, output = self.run(*words)
        assert code == 0, output
        return output

    def json(self, *words: str) -> Any:
        """Type a command with --json."""
        return json.loads(self(*words, "--json"))

    def open(self, machine: str, sheet: str | Path, *, scope: str = "piston", **more: str) -> str:
        """Add a machine and open a job on it; return the job's name."""
        path = sheet if isinstance(sheet, Path) else SHEETS / f"{sheet}.yaml"
        options = [w for k, v in more.items() for w in (f"--{k.replace('_', '-')}", v)]
        self("machine", "add", machine, "--sheet", str(path), *options)
        self("job", "open", machine, "--scope", scope)
        return str(len(self.json("job", "list")))

    def play(self, job: str, story: str) -> Played:
        """Play a file of lines at a job."""
        code, output = self.run("at", job, "--from", str(HERE / f"{story}.lines"))
        return Played(output, code)

    def say(self, job: str, *lines: str) -> Played:
        """Type lines at a job."""
        file = self.folder / "said.lines"
        file.write_text("\n".join(lines), encoding="utf-8")
        code, output = self.run("at", job, "--from", str(file))
        return Played(output, code)

    def words(self, job: str) -> dict[tuple[str, str], str]:
        """Return the verdict of each check and condition that the job looks at."""
        return {(v["check"], v["condition"]): v["word"] for v in self.json("verdicts", job)}

    def verdict(self, job: str, check: str, condition: str = "as found") -> Any:
        """Return one line of the verdict board."""
        board = self.json("verdicts", job)
        return next(v for v in board if (v["check"], v["condition"]) == (check, condition))

    def states(self, job: str) -> dict[str, str]:
        """Return the state of each item of the plan, by its name."""
        return {item["name"]: item["state"] for item in self.json("plan", job)}

    def kept(self, job: str) -> list[dict[str, Any]]:
        """Return the bodies of a job's log, as they are stored."""
        file = self.folder / "kept.jsonl"
        self("job", "export", job, "-o", str(file))
        lines = file.read_text(encoding="utf-8").splitlines()
        return [json.loads(line) for line in lines[1:]]
