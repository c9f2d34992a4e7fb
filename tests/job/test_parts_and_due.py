"""What to get, in two waves; what waits; what kits leave out; and hours by part."""

import pytest

from ringland.job.due import PartHours, hours_in, hours_of_parts
from ringland.job.log.entries import FindingNoted, PartDecided, PartRenewed, VerdictOverruled
from ringland.job.parts import PartsList, parts_of_sheet
from ringland.sheet.figure import parse_figure
from ringland.sheet.figures import Figures
from tests.job.making import book, bore, case, felt, read


def waits(parts: PartsList) -> dict[str, tuple[str, ...]]:
    return {line.name: line.waits_for for line in parts.lines() if line.waits_for}


def test_without_a_job_the_piston_waits_for_the_bore() -> None:
    parts = parts_of_sheet(book().sheet, "piston")
    assert "piston" not in {line.name for line in parts.first}
    assert waits(parts)["piston"] == ("bore", "out-of-round", "taper", "barrel wall")


def test_a_ring_job_renews_no_piston() -> None:
    names = {line.name for line in parts_of_sheet(book().sheet, "ring").lines()}
    assert {"ring", "clip", "base gasket"} <= names
    assert not {"piston", "pin"} & names


def test_each_line_has_the_engines_count_and_a_reason() -> None:
    for line in parts_of_sheet(book().sheet, "full").lines():
        assert line.count >= 1, line.name
        assert line.why, line.name


def test_what_a_kit_leaves_out_is_in_none_of_the_kits_before_it() -> None:
    left = parts_of_sheet(book().sheet, "piston").left_out
    assert "small-end bearing" in left["piston kit"]
    assert "piston" not in left["piston kit"]
    assert "base gasket" in left["piston kit"]
    assert "base gasket" not in left["top-end gasket set"]


def test_a_set_of_gaskets_is_not_blamed_for_what_is_no_gasket() -> None:
    left = parts_of_sheet(book().sheet, "piston").left_out["top-end gasket set"]
    assert "head washer" in left
    assert not {"plug", "small-end bearing"} & set(left)


def test_a_tool_says_what_it_is_for_and_how_to_get_by_without_it() -> None:
    why = {line.name: line.why for line in parts_of_sheet(book().sheet, "piston").tools}
    assert why["pin extractor"] == (
        "It draws the pin without load on the rod. Without it: warm the piston and push the pin by "
        "hand with a dowel of wood; no hammer."
    )
    assert "Without it" not in why["plug socket"]


def test_measured_and_good_the_piston_can_be_ordered() -> None:
    measured = [*bore(H1X="65.016", H1Y="65.021", H3X="65.010", H3Y="65.012"),
                read("barrel wall", felt("good"))]  # fmt: skip
    assert "piston" in waits(case(*measured[:-1]).parts)
    assert "piston" not in waits(case(*measured).parts)


def test_a_verdict_that_a_person_overruled_holds_no_order_up() -> None:
    measured = [*bore(H1X="65.016", H1Y="65.021", H3X="65.010", H3Y="65.012")]
    overruled = VerdictOverruled("barrel wall", "as found", "accepted", "the maker looked at it")
    assert waits(case(*measured).parts)["piston"] == ("barrel wall",)
    assert "piston" not in waits(case(*measured, overruled).parts)


def test_a_stop_keeps_the_order_waiting_though_all_is_measured() -> None:
    measured = [*bore(H1X="65.016", H1Y="65.021", H3X="65.010", H3Y="65.012"),
                read("barrel wall", felt("good"))]  # fmt: skip
    assert waits(case(*measured, FindingNoted("metal specks")).parts)["piston"] == ("metal specks",)


def test_what_is_in_hand_says_so() -> None:
    lines = {line.name: line for line in case(PartRenewed("clip", 2)).parts.lines()}
    assert lines["clip"].in_hand
    assert not lines["ring"].in_hand


def test_a_finding_brings_its_part_with_the_reason() -> None:
    job = case(FindingNoted("milky gear oil"))
    assert job.renew["pump seal"] == "milky gear oil"
    assert job.renew["pump gasket"], "renewed with the seal"
    assert "pump seal" not in case().renew


def test_a_persons_decision_outranks_the_sheet() -> None:
    assert "small-end bearing" in case().renew
    kept = PartDecided("small-end bearing", "reuse", "two hours old")
    assert "small-end bearing" not in case(kept).renew
    assert "reeds" in case(PartDecided("reeds", "renew")).renew


# -- hours -------------------------------------------------------------------------------------

FIGURES = Figures(
    hours={"piston": parse_figure("40 h", "time"), "rod": parse_figure("100 h", "time")}
)


def test_hours_of_a_part_run_from_its_own_renewal() -> None:
    piston, rod = hours_of_parts(FIGURES, 59.5, {"piston": 58.0, "rod": 0.0})
    assert (piston.run, piston.left) == (1.5, 38.5)
    assert rod.words == "40.5 h left of the maker's 100 h"


def test_hours_that_nobody_knows_are_not_zero() -> None:
    piston, _ = hours_of_parts(FIGURES, 59.5, {})
    assert (piston.run, piston.left) == (None, None)
    assert piston.words == "hours unknown; the maker gives 40 h"


def test_past_the_makers_hours_is_said_and_never_stretched() -> None:
    piston, _ = hours_of_parts(FIGURES, 103.0, {"piston": 58.0})
    assert piston.words == "5.0 h past the maker's 40 h"
    assert PartHours("piston", 40.0, 40.0).words == "0.0 h left of the maker's 40 h"


@pytest.mark.parametrize(
    ("text", "hours"), [("41.6 h", 41.6), ("90 min", 1.5), ("", None), ("12", 12)]
)
def test_hours_are_read_with_their_unit(text: str, hours: float | None) -> None:
    assert hours_in(text) == (None if hours is None else pytest.approx(hours))
