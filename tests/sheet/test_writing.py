"""A sheet that `new` writes loads, and holds the same figures that were typed."""

from functools import cache
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

import ringland
from ringland.quantity import parse_span
from ringland.sheet.asking import Habits, Taken, take
from ringland.sheet.figure import ends_of, figure_text
from ringland.sheet.load import load_common, load_sheet
from ringland.sheet.model import Question, Sheet
from ringland.sheet.plausible import kind_asked
from ringland.sheet.text import read_source
from ringland.sheet.writing import Draft, file_name, line_of, scalar, sheet_text, together

COMMON_FILE = Path(ringland.__file__).parent / "sheet" / "common" / "two-stroke-single.yaml"
NAMES = st.text(
    st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp", "Zs"]), min_size=1
)


@cache
def common() -> dict[str, str]:
    return {"two-stroke-single": COMMON_FILE.read_text(encoding="utf-8")}


@cache
def sheet() -> Sheet:
    return load_common(common()["two-stroke-single"], "two-stroke-single.yaml").sheet


@settings(deadline=None, max_examples=200)
@given(st.lists(NAMES, min_size=1, max_size=4).map(" ".join))
def test_any_words_written_behind_a_name_are_read_as_the_same_words(words: str) -> None:
    tree = read_source(f"engine: {scalar(words)}\nfigures:\n  {scalar(words)}: x\n", "s").tree
    assert tree == {"engine": words, "figures": {words: "x"}}


@st.composite
def drafts(draw: st.DrawFn) -> Draft:
    """Some questions answered within their band, some with a page; an engine of any name."""
    draft = Draft(" ".join(draw(st.lists(NAMES, min_size=1, max_size=3))), "two-stroke-single")
    lacks = draw(st.none() | st.lists(st.sampled_from(sheet().features), unique=True))
    draft.not_fitted = None if lacks is None else tuple(lacks)
    for question in draw(st.lists(st.sampled_from(sheet().questions), unique_by=_key)):
        share = draw(st.integers(0, 100))
        page = draw(st.sampled_from(["", " @ p 4-31", " p 7", " @ it's: on #3"]))
        found = take(sheet(), question, _within(question, share) + page, habits=Habits())
        assert isinstance(found, Taken), found
        both = together(draft.taken.get(question.figure), found)
        try:
            line_of(sheet(), question.figure, both)
        except ValueError:
            continue  # new and limit drawn the wrong way round: the talk asks again
        draft.taken[question.figure] = both
    return draft


def _key(question: Question) -> tuple[str, bool]:
    return question.figure, question.asks_limit


def _within(question: Question, share: int) -> str:
    band = parse_span(question.plausible, kind_asked(sheet(), question))
    assert band.low is not None
    assert band.high is not None
    number = band.low.number + (band.high.number - band.low.number) * share / 100
    return f"{number:f} {band.high.unit.name}"


@settings(deadline=None, max_examples=60)
@given(drafts())
def test_a_new_sheet_loads_and_gives_the_same_figures(draft: Draft) -> None:
    loaded = load_sheet(sheet_text(draft, sheet()), "new.yaml", common())
    assert loaded.sheet.engine == draft.engine
    if draft.not_fitted is not None:
        assert loaded.sheet.not_fitted == draft.not_fitted
    read = {**loaded.figures.limits, **loaded.figures.torques}
    assert set(read) == set(draft.taken)
    for name, taken in draft.taken.items():
        assert read[name].page == taken.page
        assert ends_of(read[name]) == ends_of(taken.figure) or (
            figure_text(read[name]) == figure_text(taken.figure)
        )


def test_it_is_as_short_as_a_person_would_type_it() -> None:
    draft = Draft("Tarrow 124", "two-stroke-single")
    for name, limit, text in (
        ("bore", False, "53.2 mm p 4-29"),
        ("bore", True, "53.25 mm p 4-30"),
        ("barrel nuts", False, "4 x M8, 21 ft-lb, oiled, crosswise @ p 4-40"),
    ):
        question = next(q for q in sheet().questions if (q.figure, q.asks_limit) == (name, limit))
        found = take(sheet(), question, text, habits=Habits())
        assert isinstance(found, Taken)
        draft.taken[name] = together(draft.taken.get(name), found)
    assert sheet_text(draft, sheet()) == (
        "engine: Tarrow 124\n"
        "extends: two-stroke-single\n"
        "figures:\n"
        "  bore: 53.2 mm, max 53.25 mm @ p 4-29, p 4-30\n"
        "fasteners:\n"
        "  barrel nuts: 4 × M8, 21 lbf·ft, crosswise, oiled @ p 4-40\n"
    )


def test_a_file_is_named_after_its_engine_and_stays_in_its_folder() -> None:
    assert file_name("Tarrow 124") == "tarrow-124.yaml"
    assert file_name("../../etc/passwd") == "etc-passwd.yaml"
    assert file_name("   ") == "engine.yaml"
    assert len(file_name("x" * 300)) < 80


def test_a_groups_own_order_and_places_are_written_so_that_they_load() -> None:
    taken = take(
        sheet(),
        _question("barrel nuts"),
        "4 × M8, 21 N·m, order 1-3-2-4, at 40 140 220 320",
        habits=Habits(),
    )
    assert isinstance(taken, Taken), taken
    draft = Draft("X", "two-stroke-single", taken={"barrel nuts": taken})
    group = load_sheet(sheet_text(draft, sheet()), "x.yaml", common()).sheet.fasteners[
        "barrel nuts"
    ]
    assert (group.order, group.at) == ("1-3-2-4", "40 140 220 320")


def _question(figure: str) -> Question:
    return next(each for each in sheet().questions if each.figure == figure)
