"""The JSON Schema takes the very files that the loader takes, and refuses unknown words."""

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

import ringland
from ringland.sheet.load import load_common, load_sheet
from ringland.sheet.schema import leaflet_schema, sheet_schema
from ringland.sheet.text import BadSheet, read_source

PACKAGE = Path(ringland.__file__).parent
COMMON_FILE = PACKAGE / "sheet" / "common" / "two-stroke-single.yaml"
FILES = [
    *sorted((PACKAGE / "demo").glob("*.yaml")),
    *sorted((Path(__file__).parents[1] / "stories" / "sheets").glob("*.yaml")),
]


@cache
def validators() -> tuple[Draft202012Validator, Draft202012Validator]:
    commons = [load_common(COMMON_FILE.read_text(encoding="utf-8"), COMMON_FILE.name).sheet]
    return (
        Draft202012Validator(sheet_schema(commons)),
        Draft202012Validator(leaflet_schema(commons)),
    )


def said(tree: dict[str, Any]) -> list[str]:
    sheet, leaflet = validators()
    validator = leaflet if "part" in tree else sheet
    return [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(tree)]


def as_an_editor_reads(text: str) -> dict[str, Any]:
    tree: dict[str, Any] = YAML(typ="safe").load(text)
    return tree


def test_both_are_sound_schemas() -> None:
    for validator in validators():
        Draft202012Validator.check_schema(validator.schema)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_it_takes_every_sheet_and_leaflet_that_loads(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert said(as_an_editor_reads(text)) == []
    assert said(read_source(text, file.name).tree) == []


def test_it_knows_every_word_of_the_common_sheet() -> None:
    text = COMMON_FILE.read_text(encoding="utf-8").replace("common sheet:", "engine:")
    assert said(as_an_editor_reads(text)) == []


@pytest.mark.parametrize(
    "lines",
    [
        "figure:\n  bore: 53.2 mm\n",
        "parts:\n  clip: {cuont: 2}\n",
        "fasteners:\n  barrel nuts: {torqe: 21 N·m}\n",
        "steps:\n  head off: {phase: strp}\n",
        "phases:\n  strp: {title: x}\n",
        "parts:\n  clip: {count: many}\n",
        "parts:\n  clip: {one use: maybe}\n",
        "figures:\n  bore: 53.2\n",
        "variants:\n  late:\n    steps:\n      head off: {phsae: strip}\n",
        "checks:\n  bore: {beyond: {renw: piston}}\n",
    ],
)
def test_it_refuses_what_the_loader_refuses(lines: str) -> None:
    text = f"engine: X\nextends: two-stroke-single\n{lines}"
    assert said(as_an_editor_reads(text))
    common = {"two-stroke-single": COMMON_FILE.read_text(encoding="utf-8")}
    with pytest.raises(BadSheet):
        load_sheet(text, "s.yaml", common, variant="late" if "late" in lines else None)


def test_a_leaflet_needs_its_part_and_knows_no_other_words() -> None:
    assert said({"part": "ring", "note": "x"})
    _, leaflet = validators()
    assert list(leaflet.iter_errors({"for": "Tarrow 124"}))


def test_an_editor_is_offered_every_figure_by_every_name() -> None:
    sheet, _ = validators()
    assert isinstance(sheet.schema, dict)
    offered = sheet.schema["properties"]["figures"]["properties"]
    assert {"ring end gap", "gap", "stroke"} <= set(offered)
    assert "big end" not in offered  # a feel has no figure


@pytest.mark.parametrize(
    ("at", "is_sound"),
    [
        ("45 135 225 315", True),
        ("22,5 157.5° outer 0 180", True),
        (90, True),  # an editor reads one angle as a number
        ("45, 135", False),
        ("outer 45", False),
        ("45 left", False),
    ],
)
def test_places_are_published_with_their_pattern(at: object, is_sound: bool) -> None:
    tree = {"engine": "X", "fasteners": {"head nuts": {"count": 4, "at": at}}}
    assert (said(tree) == []) is is_sound


def test_the_ignition_side_is_one_of_two_or_not_said() -> None:
    assert said({"engine": "X", "ignition side": "left"}) == []
    assert said({"engine": "X", "ignition side": "front"}) != []
