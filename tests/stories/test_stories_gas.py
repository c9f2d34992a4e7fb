"""Stories of compression and leak tests, played line by line through the real commands.

S3: a good compression reading beside a leaking seal. X1: two gauges and two altitudes. What must
come of them is the table "Expected results at a glance"; the figures are invented.
"""

import re
from pathlib import Path

import pytest

from tests.stories.shop import Played, Shop

# What one compression reading may not claim, in words that nobody may find in an answer.
MAY_NOT_CLAIM = (
    r"compression (is )?(ok|good|bad|healthy)\b",
    r"rings? (is|are) (worn|good|fine)",
    r"the (ring|seal|reed)s? leak",
    r"lean(er)? jet|bigger jet|smaller jet|change the jet",
)


def first_cause(answer: str) -> str:
    """Return the leading cause of a `causes` answer, with PROVEN where it is."""
    return next(line[3:] for line in answer.splitlines() if line.startswith("1  "))


@pytest.fixture(scope="module")
def s3(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Played]:
    shop = Shop(tmp_path_factory.mktemp("s3"))
    shop.open("race-1", "f-123", hours="14 h", baseline="13.1 bar", baseline_gauge="CG-1")
    return shop, shop.play("1", "s3")


@pytest.fixture(scope="module")
def x1(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Played]:
    shop = Shop(tmp_path_factory.mktemp("x1"))
    shop("gauge", "add", "HG-1", "compression gauge", "--step", "0.1 bar")
    shop.open("owner", "f-230", hours="41 h", baseline="12.4 bar", baseline_gauge="CG-1")
    return shop, shop.play("1", "x1")


class TestReadingsThatContradictTheStory:
    """S3: the seal first, then the piston, and the jets stay as they are."""

    def test_only_fitting_before_a_cause_is_named_is_refused(self, s3: tuple[Shop, Played]) -> None:
        _, played = s3
        assert played.not_kept() == ["done fit"]
        assert "nothing of the phase fit can be ticked" in played("done fit")
        assert "steps ticked" in played("done fit", nth=1)

    def test_a_good_compression_says_what_it_cannot_see(self, s3: tuple[Shop, Played]) -> None:
        _, played = s3
        said = played("compression 12.9 bar warm throttle open by kick")
        assert "within" in said
        assert "−1.5 %" in said
        assert "cannot see an air leak" in said

    def test_the_leak_test_fails_with_drift_told_apart(self, s3: tuple[Shop, Played]) -> None:
        shop, played = s3
        said = played("leak .40 .22 bar 6 min 21 °C 21 °C bubbles at ignition seal")
        assert "BEYOND" in said
        assert "STOP" in said
        assert "temperature explains 0.000" in said
        assert shop.words("1")["crankcase leak", "as found"] == "beyond"

    def test_the_seal_is_the_proven_cause_although_compression_is_near_its_baseline(
        self, s3: tuple[Shop, Played]
    ) -> None:
        _, played = s3
        said = played("causes")
        assert first_cause(said) == "ignition-side seal leaks  PROVEN"
        assert "no cause named: fitting waits" in said
        assert "the leak test has passed" in said
        assert "cleared by compression alone" in said

    def test_a_named_cause_keeps_its_proof(self, s3: tuple[Shop, Played]) -> None:
        _, played = s3
        said = played("causes", nth=1)
        assert "cause named by Ada: ignition-side seal leaks, because stream of bubbles" in said
        assert "fitting waits" not in said

    def test_the_piston_in_hand_lands_in_the_window(self, s3: tuple[Shop, Played]) -> None:
        shop, played = s3
        verdict = shop.verdict("1", "piston to barrel", "as fitted")
        assert verdict["word"] == "within"
        assert verdict["value"].startswith("0.047 to 0.052 mm ± 0.006")
        rows = {line["name"]: line for line in shop.json("settings", "1")}
        assert rows["piston in hand"]["value"] in ("99 %", "over 99 %")
        assert rows["piston class A"]["remark"].endswith("gives 0.046 to 0.061 ± 0.005 mm")
        assert played("settings").index("piston in hand") < played("settings").index("class A")

    def test_the_new_build_may_start_once_its_own_leak_test_passes(
        self, s3: tuple[Shop, Played]
    ) -> None:
        _, played = s3
        assert "crankcase leak: not done" in played("prestart")
        passed = played("leak .40 .39 bar 6 min 21 °C 21 °C no bubble")
        assert "no longer stopped by: crankcase leak" in passed
        assert "nothing forbids the first start" in played("prestart", nth=1)

    def test_nothing_claims_what_a_reading_cannot_show_and_no_jet_is_touched(
        self, s3: tuple[Shop, Played]
    ) -> None:
        shop, played = s3
        answers = "\n".join(answer for _, answer in played.answers)
        for claim in MAY_NOT_CLAIM:
            assert not re.search(claim, answers, re.IGNORECASE), claim
        assert "jet" not in str(shop.kept("1")[1:])


class TestTwoGauges:
    """X1: nine point nine bar on another gauge, six hundred metres up, is no fifth lost."""

    def test_another_gauge_at_another_altitude_is_not_comparable(
        self, x1: tuple[Shop, Played]
    ) -> None:
        _, played = x1
        said = played("compression 9.9 bar 600 m")
        assert "not comparable" in said
        assert "another gauge or hose: HG-1 against CG-1" in said
        assert "the baseline 12.4 bar were 11.5 bar in this air" in said

    def test_it_is_not_due_by_that_reading(self, x1: tuple[Shop, Played]) -> None:
        _, played = x1
        assert "9.9 bar as found: not comparable" in played("due")
        assert "norm: plan" not in played("due")

    def test_the_causes_point_at_the_reading_first(self, x1: tuple[Shop, Played]) -> None:
        _, played = x1
        assert first_cause(played("causes")) == "the reading, not the engine"

    def test_the_shops_own_gauge_tells_that_little_is_lost(self, x1: tuple[Shop, Played]) -> None:
        shop, played = x1
        assert "−2.4 %" in played("compression 12.1 bar")
        assert shop.words("1")["cranking compression", "as found"] == "within"

    def test_due_lists_both_readings_and_compares_one(self, x1: tuple[Shop, Played]) -> None:
        shop, _ = x1
        history = shop.json("due", "owner")["compression_history"]
        assert [each["gauge"] for each in history] == ["HG-1", "CG-1"]
        assert history[0]["share"] is None
        assert "another gauge" in history[0]["not_comparable"]
        assert history[1]["share"] == pytest.approx(12.1 / 12.4)
        assert history[1]["level"] == "none"

    def test_the_trend_is_drawn_from_what_is_comparable(
        self, x1: tuple[Shop, Played], tmp_path: Path
    ) -> None:
        shop, _ = x1
        file = tmp_path / "trend.svg"
        shop("due", "owner", "--svg", str(file))
        text = file.read_text(encoding="utf-8")
        assert text.startswith("<svg")
        assert "97.6 % ± 9" in text
        assert "9.9" not in re.search(r"<desc[^>]*>(.*?)</desc>", text, re.DOTALL)[1]  # type: ignore[index]
