"""What the demo prints to try works as it is printed."""

import json
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ringland.cli import main


def run(line: str) -> Result:
    return CliRunner().invoke(main, shlex.split(line))


@pytest.mark.parametrize("own", [False, True], ids=["without a store", "with a store of one's own"])
def test_each_line_to_try_works_as_it_is_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, own: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("RINGLAND_STORE", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    if own:
        assert run("machine add mine").exit_code == 0
    said = run("demo").stdout
    tries = [line.strip() for line in said.partition("Try:\n")[2].splitlines()]
    commands = [line.split("  ")[0].removeprefix("ringland ") for line in tries]
    assert len(commands) == 8
    assert any("--store oxbow" in command for command in commands) is own
    for command in commands:
        if not command.startswith("serve"):  # it would not end by itself
            found = run(command)
            assert found.exit_code == 0, f"{command}\n{found.output}"


def test_the_demo_fits_a_screen_and_a_second_one_is_refused_with_what_to_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert len(run("demo --in shed").stdout.splitlines()) <= 40
    again = run("demo --in shed")
    assert again.exit_code == 2
    assert "ringland at oxbow-3 --store shed" in again.stderr


def test_each_job_is_opened_when_its_work_begins(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run("demo")
    for job in range(1, 5):
        lines = map(json.loads, run(f"job export {job} --store oxbow").stdout.splitlines())
        times = [line["at"] for line in lines if "at" in line]
        assert times[0][:10].startswith("2026-05-")
        assert times == sorted(times)
