"""Words in brackets are said only of an engine that has what they belong to."""

from collections.abc import Iterator
from importlib.resources import as_file, files
from typing import Any

import pytest

from ringland.bench.sheets import load
from ringland.sheet.fitted import fitted_words
from ringland.sheet.load import sheet_of
from ringland.sheet.text import BadSheet, Tree

HEAD_OFF = ("steps", "head off", "words")


def demo() -> Tree:
    """Return the demo's merged sheet, as a job keeps it."""
    with as_file(files("ringland.demo") / "tarrow-124.yaml") as path:
        return load(path).tree


def without(*features: str) -> Tree:
    return {**demo(), "not fitted": [*features, "electric start", "oil pump"]}


def texts(value: Any) -> Iterator[str]:
    match value:
        case str():
            yield value
        case dict():
            for below in value.values():
                yield from texts(below)
        case list() | tuple():
            for below in value:
                yield from texts(below)


def test_an_air_cooled_engine_hears_nothing_of_a_radiator() -> None:
    sheet = sheet_of(demo())[0]
    assert "radiator" in sheet.steps["engine cold"].caution
    assert "sponge the coolant out" in sheet.steps["head off"].words
    tree = fitted_words(without("water cooling"))[0]
    worded = [tree["phases"]] + [
        {**each, "fitted to": ""}
        for section in ("steps", "checks", "findings")
        for each in tree[section].values()
        if each.get("fitted to") != "water cooling"
    ]
    said = " ".join(texts([{k: v for k, v in each.items() if k in SAID} for each in worded]))
    said += " ".join(texts([each["cautions"] for each in tree["phases"].values()]))
    for word in ("radiator", "coolant", "weep hole", "water jacket"):
        assert word not in said


SAID = ("words", "caution", "why", "mistake", "instead", "orientation", "check", "likely")


def test_no_bracket_is_left_in_what_a_person_reads() -> None:
    for tree in (demo(), without("water cooling", "power valve", "carburettor")):
        told, troubles = fitted_words(tree)
        assert troubles == []
        assert not [text for text in texts(told) if "[" in text]
        assert not [text for text in texts(told) if text.startswith((" ", ",", ";"))]
        assert not [text for text in texts(told) if "  " in text or " ," in text or " ;" in text]


def test_a_caution_that_belongs_to_another_engine_leaves_no_empty_line() -> None:
    for phase in fitted_words(without("water cooling"))[0]["phases"].values():
        assert all(phase["cautions"])


def test_a_feature_that_nobody_knows_is_named_with_the_nearest_one() -> None:
    tree = demo()
    tree["steps"] = {
        **tree["steps"],
        "washed": {**tree["steps"]["washed"], "why": "[water colling: x]"},
    }
    with pytest.raises(BadSheet, match=r"water colling.*Did you mean water cooling"):
        sheet_of(tree)
