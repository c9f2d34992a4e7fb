"""The bench prompt as a talk: a question is answered, or passed over by going on."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from ringland.bench.bench import Bench
from ringland.bench.lines import Prompt
from ringland.bench.opening import add_gauge, add_machine, open_job
from ringland.cli.at import _replaced, _talk
from ringland.job.log.entries import Entry, FindingNoted, Gauge, ReadingTaken
from ringland.job.log.shop import MachineAdded
from ringland.store import open_store
from tests.stories.shop import SHEETS

Talk = Callable[..., list[Entry]]


@pytest.fixture
def talk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Talk]:
    """Return a talk: lines typed one after the other, Ctrl-C at the end; returns what was kept."""
    numbers = iter(range(10_000))
    log = open_store(tmp_path / "bench.ringland")
    bench = Bench(log, "Ada", lambda: "2026-05-02T10:00:00+02:00", lambda: f"id-{next(numbers)}")
    add_gauge(bench, Gauge("FG-1", "feeler"))
    add_machine(bench, MachineAdded("loan-3", str(SHEETS / "f-230.yaml")), hours="58 h")
    job, _ = open_job(bench, "loan-3", scope="piston")
    begun = len(bench.entries(job))

    def talked(*lines: str) -> list[Entry]:
        typed = iter(lines)

        def say(_: str) -> str:
            try:
                return next(typed)
            except StopIteration:
                raise KeyboardInterrupt from None

        monkeypatch.setattr("builtins.input", say)
        _talk(Prompt(bench, job))
        assert list(typed) == []
        return bench.entries(job)[begun:]

    yield talked
    log.close()


def values(entries: Sequence[Entry]) -> list[str]:
    facts = [entry.fact for entry in entries if isinstance(entry.fact, ReadingTaken)]
    return [f"{f.place} {i.number} {i.unit}".strip() for f in facts for i in f.indications]


@pytest.mark.parametrize("said", ["1", "0.31 mm", ".31"])
def test_an_offer_or_another_value_takes_the_place_of_the_one_in_question(
    talk: Talk, said: str
) -> None:
    assert values(talk("gap bottom 3.1 mm", said)) == ["bottom 0.31 mm"]


def test_of_several_values_only_the_one_in_question_is_replaced(talk: Talk) -> None:
    assert values(talk("bore H1X 6.5012 H1Y 65.014 mm", "1")) == [
        "H1-X 65.012 mm",
        "H1-Y 65.014 mm",
    ]


def test_keep_insists_and_again_or_nothing_keeps_nothing(talk: Talk) -> None:
    assert values(talk("gap bottom 3.1 mm", "keep")) == ["bottom 3.1 mm"]
    assert len(talk("gap bottom 3.1 mm", "again", "gap bottom 3.1 mm", "")) == 1


def test_whoever_goes_on_with_another_line_at_a_question_does_not_lose_it(talk: Talk) -> None:
    kept = talk("gap bottom 3.1 mm", "metal specks", "gap bottom .31 mm")
    assert [type(entry.fact) for entry in kept if not isinstance(entry.fact, ReadingTaken)] == [
        FindingNoted
    ]
    assert values(kept) == ["bottom 0.31 mm"]


def test_a_unit_that_was_answered_once_is_not_asked_again(talk: Talk) -> None:
    kept = talk("end float .35", "mm", "end float .36")
    assert values(kept) == ["0.35 mm", "0.36 mm"]


def test_ctrl_c_at_a_question_leaves_and_keeps_nothing(talk: Talk) -> None:
    assert talk("gap bottom 3.1 mm") == []


def test_a_value_that_is_not_in_the_line_replaces_nothing() -> None:
    assert _replaced("gap bottom 3.1 mm", "3.1 mm", ".31") == "gap bottom .31"
    assert _replaced("gap bottom 3.1 mm", "", ".31") == ""
