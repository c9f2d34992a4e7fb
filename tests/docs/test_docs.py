"""Every command in README and docs runs, and prints what the docs show.

A block ```console holds commands behind "$ " and lines of their output; a shown line must be in the
output, in this order, and what is not shown may be more; "…" at its end stands for the rest.
A block ```text file=NAME or ```yaml file=NAME is written to a file first. A command behind "$! " is
meant to be refused.
"""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from ringland.cli import main

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
BLOCK = re.compile(r"^```(?P<kind>\w+)(?: file=(?P<file>\S+))?\n(?P<body>.*?)^```$", re.M | re.S)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_each_command_of_a_page_runs_and_prints_what_it_shows(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("RINGLAND_STORE", str(tmp_path / "bench.ringland"))
    monkeypatch.setenv("RINGLAND_BY", "Ada")
    for block in BLOCK.finditer(page.read_text(encoding="utf-8")):
        if block["file"]:
            Path(block["file"]).write_text(block["body"], encoding="utf-8")
        elif block["kind"] == "console":
            run_block(page, block["body"])


def run_block(page: Path, body: str) -> None:
    for command in re.split(r"^(?=\$!? )", body, flags=re.M):
        if not command.strip():
            continue
        line, _, shown = command.partition("\n")
        refused = line.startswith("$! ")
        words = shlex.split(line.removeprefix("$!").removeprefix("$"))
        assert words[0] in ("ringland", "./bench"), f"{page.name}: {line}"
        result = CliRunner().invoke(main, words[1:])
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert (result.exit_code != 0) is refused, f"{page.name}: {line}\n{result.output}"
        check_shown(f"{page.name}: {line}", shown, result.output)


def check_shown(where: str, shown: str, output: str) -> None:
    printed = [line.rstrip() for line in output.splitlines()]
    at = 0
    for line in (each.rstrip() for each in shown.splitlines()):
        if not line:
            continue
        start = line.removesuffix("…")
        fits = [i for i, each in enumerate(printed) if i >= at and _fits(each, line, start)]
        assert fits, f"{where}\nshown: {line}\nprinted:\n{output}"
        at = fits[0] + 1


def _fits(printed: str, line: str, start: str) -> bool:
    return printed.startswith(start) if line.endswith("…") else printed == line


def test_no_address_of_a_package_index_stands_in_the_tree() -> None:
    pattern = re.compile(r"https?://[^\s\"']*(?:/simple\b|files\.pythonhosted|registry\.npmjs)")
    found = [
        f"{path.relative_to(ROOT)}: {match[0]}"
        for path in ROOT.rglob("*")
        if path.is_file()
        and not {".git", ".venv", ".check", "node_modules"} & set(path.parts)
        and path.suffix
        in (".md", ".toml", ".txt", ".py", ".yaml", ".lock", ".json", ".js", ".cfg", "")
        and (match := pattern.search(path.read_text(encoding="utf-8", errors="ignore"))) is not None
    ]
    assert not found


def test_the_reference_names_everything_there_is() -> None:
    from ringland.bench.lines import VERBS
    from ringland.calc import CALCULATORS
    from ringland.cli import COMMANDS
    from ringland.job.holds import CONDITIONS
    from ringland.job.log.coding import ALL_KINDS
    from ringland.job.readings.values import METHODS

    reference = (ROOT / "docs" / "reference.md").read_text(encoding="utf-8")
    tables = (COMMANDS, CALCULATORS, ALL_KINDS, CONDITIONS, METHODS, VERBS)
    assert not [name for table in tables for name in table if f"`{name}" not in reference]
