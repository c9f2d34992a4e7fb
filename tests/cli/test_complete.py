"""Tab in the shell offers what can be typed."""

from pathlib import Path

import pytest
from click.shell_completion import ShellComplete

from ringland.cli import main


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from click.testing import CliRunner

    folder = tmp_path_factory.mktemp("complete") / "oxbow"
    assert CliRunner().invoke(main, ["demo", "--in", str(folder)]).exit_code == 0
    return folder


def offered(args: list[str], incomplete: str) -> list[str]:
    shell = ShellComplete(main, {}, "ringland", "_RINGLAND_COMPLETE")
    return [item.value for item in shell.get_completions(args, incomplete)]


def test_jobs_are_offered_by_machine(shed: Path) -> None:
    assert offered(["plan", "--store", str(shed)], "oxbow-") == [f"oxbow-{n}" for n in (1, 2, 3, 4)]


def test_names_of_the_sheet_are_offered_word_by_word(shed: Path) -> None:
    store = ["--store", str(shed)]
    assert offered(["torque", *store, "oxbow-2"], "bar") == ["barrel"]
    assert "nuts" in offered(["torque", *store, "oxbow-2", "barrel"], "")
    assert "ring" in offered(["measure", *store, "oxbow-2"], "ri")


def test_a_store_that_is_not_there_offers_nothing(tmp_path: Path) -> None:
    assert offered(["plan", "--store", str(tmp_path / "none")], "") == []
