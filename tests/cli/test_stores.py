"""Which store a command works on when nobody names one; no work lands in another shop's store."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ringland.cli import main
from ringland.cli.stores import FILE
from ringland.store import default_path

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Return a shell in an empty folder, of a user without a store."""
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    monkeypatch.delenv("RINGLAND_STORE", raising=False)
    monkeypatch.setenv("RINGLAND_BY", "Ada")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return lambda *words: CliRunner().invoke(main, [*words])


def begin(run: Run, folder: str, machine: str) -> None:
    """Make a store in a folder below, with one machine in it."""
    Path(folder).mkdir()
    assert run("machine", "add", machine, "--store", f"{folder}/{FILE}").exit_code == 0


def machines(run: Run, store: Path) -> list[str]:
    said = run("machine", "list", "--store", str(store))
    return [line.split()[0] for line in said.stdout.splitlines()]


def test_the_only_store_one_folder_below_is_found_and_told(run: Run) -> None:
    begin(run, "oxbow", "oxbow-3")
    said = run("machine", "list")
    assert said.exit_code == 0
    assert "oxbow-3" in said.stdout
    assert f"oxbow/{FILE}, the only one here" in said.stderr


def test_a_store_in_this_folder_comes_before_the_users_own_and_is_told(run: Run) -> None:
    run("machine", "add", "mine")
    begin(run, "oxbow", "oxbow-3")
    inside = pytest.MonkeyPatch()
    with inside.context() as at:
        at.chdir("oxbow")
        said = run("machine", "list")
    assert "oxbow-3" in said.stdout
    assert f"{FILE} in this folder" in said.stderr


def test_ones_own_store_is_used_without_a_word_and_before_one_below(run: Run) -> None:
    run("machine", "add", "mine")
    begin(run, "oxbow", "oxbow-3")
    said = run("machine", "list")
    assert said.stdout.startswith("mine")
    assert said.stderr == ""


def test_a_first_machine_is_never_put_into_a_store_below(run: Run) -> None:
    begin(run, "oxbow", "oxbow-3")
    said = run("machine", "add", "mine")
    assert said.exit_code == 0
    assert f"a new store: {default_path()}" in said.stderr
    assert machines(run, default_path()) == ["mine"]
    assert machines(run, Path("oxbow")) == ["oxbow-3"]


def test_a_job_is_not_opened_into_a_new_store(run: Run) -> None:
    said = run("job", "open", "mine")
    assert said.exit_code == 4
    assert "ringland machine add NAME" in said.stderr
    assert not default_path().exists()


def test_of_several_stores_below_one_must_be_named(run: Run) -> None:
    begin(run, "oxbow", "oxbow-3")
    begin(run, "my shop", "red")
    said = run("machine", "list")
    assert said.exit_code == 4
    assert "--store 'my shop', --store oxbow" in said.stderr


def test_where_there_is_no_store_it_is_said_how_one_begins(run: Run) -> None:
    said = run("plan", "oxbow-3")
    assert said.exit_code == 4
    assert "there is no store yet" in said.stderr
    assert "ringland demo" in said.stderr
    assert not default_path().exists()


def test_a_job_of_another_store_at_hand_is_refused_with_what_to_type(run: Run) -> None:
    run("machine", "add", "mine")
    begin(run, "oxbow", "oxbow-3")
    said = run("plan", "oxbow-3")
    assert said.exit_code == 2
    assert f"The store oxbow/{FILE} has oxbow-3: add --store oxbow" in said.stderr


def test_a_named_store_is_the_only_one_looked_at(run: Run) -> None:
    begin(run, "oxbow", "oxbow-3")
    begin(run, "other", "red")
    said = run("plan", "oxbow-3", "--store", "other")
    assert said.exit_code == 2
    assert "oxbow/" not in said.stderr


def test_hints_show_the_program_as_it_was_called(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "ringland job open red" in run("machine", "add", "red").stdout
    monkeypatch.setenv("RINGLAND_CALLED", "./bench")
    assert "./bench job open blue" in run("machine", "add", "blue").stdout
    assert "Open one: ./bench job open red --scope full" in run("plan", "red").stderr
    assert "Add it: ./bench machine add white" in run("job", "open", "white").stderr
