"""A calculator's plain line is answered without the command framework, and just as with it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmarks.startup import examples
from ringland.__main__ import plain_answer
from ringland.cli import main

PLAIN = [words for words in examples() if words[0] != "flatness"]  # which reads a file
ADAPTER = ["adapter", "--torque", "30 N·m", "--wrench", "300 mm", "--adapter", "50 mm"]
SLOW_TO_IMPORT = ("click", "dataclasses", "inspect", "numpy", "pydantic")


@pytest.mark.parametrize("words", PLAIN, ids=lambda words: words[0])
@pytest.mark.parametrize("flag", [[], ["--json"]], ids=["text", "json"])
def test_both_ways_give_one_answer(words: list[str], flag: list[str]) -> None:
    by_framework = CliRunner().invoke(main, ["calc", *words, *flag])
    assert by_framework.exit_code == 0
    assert plain_answer([*words, *flag]) == by_framework.stdout.removesuffix("\n")


def test_a_field_that_takes_many_gathers_them_and_another_takes_the_last() -> None:
    classes = ["--class", "A 52.950-52.960 mm", "--class", "B 52.960-52.970 mm"]
    fits = ["piston", "--bore", "53.006 mm", "--window", "0.040-0.060 mm", *classes, "--json"]
    assert [each["name"] for each in json.loads(plain_answer(fits) or "")["fits"]] == ["A", "B"]
    square = [*ADAPTER, "--angle", "0", "--angle", "90", "--json"]
    assert json.loads(plain_answer(square) or "")["set_N_m"] == pytest.approx(30.0)


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["--help"],
        ["no-such-calculator"],
        ["adapter", "--help"],
        [*ADAPTER, "--angle"],
        [*ADAPTER, "--angle=45"],
        [*ADAPTER, "--angle", "45", "--svg", "drawing.svg"],
        [*ADAPTER, "--angel", "45"],
        [*ADAPTER, "--angle", "270"],
        ["flatness", "--points", "face.csv"],
    ],
    ids=" ".join,
)
def test_help_files_and_mistakes_are_left_to_the_command_line(words: list[str]) -> None:
    assert plain_answer(words) is None


def test_a_mistake_is_told_as_the_command_line_tells_it(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "ringland", "calc", *ADAPTER, "--angle", "270"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        check=False,
    )
    assert done.returncode == 2
    assert "the angle of the adapter is 270 deg" in done.stderr


@pytest.mark.parametrize("words", PLAIN, ids=lambda words: words[0])
def test_a_plain_line_imports_nothing_that_is_slow_to_start(words: list[str]) -> None:
    code = (
        "import sys\n"
        "from ringland.__main__ import main\n"
        "main()\n"
        f"print([name for name in {SLOW_TO_IMPORT} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "calc", *words], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"
