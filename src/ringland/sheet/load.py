"""Lay a sheet's layers over each other and read the whole, with every problem in its place.

Layers, each holding only what differs: the common sheet that an engine sheet extends, the engine
sheet, one of its variants. A layer wins over those before it, name by name.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from ringland.quantity import QuantityError
from ringland.sheet.figure import parse_fastener
from ringland.sheet.figures import Figures, canonical, read_figures, read_leaflet
from ringland.sheet.model import Content, Leaflet, Sheet
from ringland.sheet.references import broken_references
from ringland.sheet.text import (
    BadSheet,
    Path,
    Place,
    Problem,
    Source,
    Tree,
    did_you_mean,
    read_source,
)


@dataclass(frozen=True, slots=True)
class Loaded:
    """A sheet that is sound: its merged tree (what a job keeps), its content, its figures."""

    tree: Tree
    sheet: Sheet
    figures: Figures
    variants: tuple[str, ...] = ()


def load_sheet(
    text: str, file: str, common: Mapping[str, str], *, variant: str | None = None
) -> Loaded:
    """Load an engine sheet over the common sheet it extends.

    text, file : the sheet's text, and the name used in messages
    common : name to text of the common sheets there are
    variant : one of the sheet's `variants`, or None for the base figures
    Raises BadSheet with every problem.
    """
    source = read_source(text, file)
    base = _extended(source, common)
    layers = [base] if base else []
    variants = source.tree.get("variants", {})
    own = Source({k: v for k, v in source.tree.items() if k != "variants"}, source.places)
    layers.append(own)
    if not isinstance(variants, dict):
        raise BadSheet(
            [
                Problem(
                    source.places[("variants",)],
                    ("variants",),
                    "name each variant, then what differs",
                )
            ]
        )
    if variant is not None:
        if variant not in variants:
            at = source.places.get(("variants",), Place(file, 1, 1))
            known = ", ".join(variants) or "none"
            raise BadSheet(
                [Problem(at, ("variants",), f"no variant {variant!r} here; there are: {known}")]
            )
        layers.append(_variant(source, variant, layers))
    loaded = _whole([_spelled_out(layer) for layer in layers], file)
    return Loaded(loaded.tree, loaded.sheet, loaded.figures, tuple(variants))


def load_common(text: str, file: str) -> Loaded:
    """Load a common sheet by itself, as if an engine without figures extended it."""
    source = read_source(text, file)
    named = Source(
        {"engine": source.tree.get("common sheet", file), **_without(source.tree, "common sheet")},
        source.places,
    )
    return _whole([_spelled_out(named)], file)


def load_leaflet(text: str, file: str, sheet: Sheet) -> tuple[Tree, Leaflet]:
    """Load a part sheet to be used with an engine sheet. Raises BadSheet."""
    source = read_source(text, file)
    try:
        leaflet = Leaflet.model_validate(source.tree)
    except ValidationError as error:
        raise BadSheet(_problems(error, source.places, file)) from None
    problems = [
        Problem(
            _place(source.places, trouble.path, file, trouble.at), trouble.path, trouble.message
        )
        for trouble in read_leaflet(leaflet, sheet)[1]
    ]
    if leaflet.name not in sheet.parts:
        near = did_you_mean(leaflet.name, sheet.parts)
        problems.append(
            Problem(
                _place(source.places, ("part",), file),
                ("part",),
                f"the engine has no part {leaflet.name!r}.{near}",
            )
        )
    if problems:
        raise BadSheet(problems)
    return source.tree, leaflet


def sheet_of(tree: Tree) -> tuple[Sheet, Figures]:
    """Read a merged tree again, as a job keeps it. Raises BadSheet if it is no longer readable."""
    loaded = _whole([Source(tree, {})], "the job's own sheet")
    return loaded.sheet, loaded.figures


def _without(tree: Tree, key: str) -> Tree:
    return {name: value for name, value in tree.items() if name != key}


def _extended(source: Source, common: Mapping[str, str]) -> Source | None:
    name = source.tree.get("extends")
    if name is None:
        return None
    if name not in common:
        at = source.places[("extends",)]
        raise BadSheet(
            [
                Problem(
                    at,
                    ("extends",),
                    f"there is no common sheet {name!r}.{did_you_mean(str(name), common)}",
                )
            ]
        )
    found = read_source(common[name], f"{name}.yaml")
    return Source(_without(found.tree, "common sheet"), found.places)


def _variant(source: Source, variant: str, layers: list[Source]) -> Source:
    """A variant may name a figure or a fastener directly; put each below its section."""
    sections = {(field.alias or name) for name, field in Sheet.model_fields.items()}
    tree: Tree = {}
    places = dict(source.places)
    fasteners = {name for layer in layers for name in layer.tree.get("fasteners", {})}
    content = source.tree["variants"][variant]
    if not isinstance(content, dict):
        at = source.places[("variants", variant)]
        raise BadSheet([Problem(at, ("variants", variant), "write what differs, one line each")])
    for name, value in content.items():
        section = None if name in sections else "fasteners" if name in fasteners else "figures"
        target = tree if section is None else tree.setdefault(section, {})
        target[name] = value
        path: Path = (name,) if section is None else (section, name)
        old = ("variants", variant, name)
        places |= {path + p[3:]: at for p, at in source.places.items() if p[:3] == old}
    return Source(tree, places)


def _spelled_out(source: Source) -> Source:
    """Put each fastener's line into its long form, so that layers merge field by field."""
    fasteners = source.tree.get("fasteners")
    if not isinstance(fasteners, dict):
        return source
    problems: list[Problem] = []
    long: Tree = {}
    for name, value in fasteners.items():
        try:
            long[name] = parse_fastener(value) if isinstance(value, str) else value
        except QuantityError as error:
            path = ("fasteners", name)
            problems.append(Problem(_shifted(source.places[path], error.at), path, str(error)))
    if problems:
        raise BadSheet(problems)
    return Source({**source.tree, "fasteners": long}, source.places)


def _merge(below: Any, above: Any) -> Any:
    if isinstance(below, dict) and isinstance(above, dict):
        return below | {name: _merge(below.get(name), value) for name, value in above.items()}
    return above


def _whole(layers: list[Source], file: str) -> Loaded:
    tree: Tree = {}
    places: dict[Path, Place] = {}
    for layer in layers:
        tree = _merge(tree, layer.tree)
        places |= layer.places
    tree, places = _by_own_names(tree, places)
    try:
        sheet = Sheet.model_validate(tree)
    except ValidationError as error:
        raise BadSheet(_problems(error, places, file)) from None
    figures, troubles = read_figures(sheet)
    problems = [
        Problem(_place(places, trouble.path, file, trouble.at), trouble.path, trouble.message)
        for trouble in [*troubles, *broken_references(sheet)]
    ]
    if problems:
        raise BadSheet(problems)
    return Loaded(tree, sheet, figures)


def _by_own_names(tree: Tree, places: dict[Path, Place]) -> tuple[Tree, dict[Path, Place]]:
    """Figures may be typed by any name of their check; keep them by the sheet's own."""
    figures, checks = tree.get("figures"), tree.get("checks")
    if not isinstance(figures, dict) or not isinstance(checks, dict):
        return tree, places
    try:
        names = Sheet.model_validate(
            {"engine": "", "checks": checks, "geometry": tree.get("geometry", {})}
        )
    except ValidationError:
        return tree, places  # said in full by the caller
    own = {name: canonical(names, name) for name in figures}
    places = places | {
        ("figures", own[name]): places[("figures", name)]
        for name in figures
        if ("figures", name) in places
    }
    return {**tree, "figures": {own[name]: value for name, value in figures.items()}}, places


def _place(places: Mapping[Path, Place], path: Path, file: str, at: int = 0) -> Place:
    for length in range(len(path), -1, -1):
        if path[:length] in places:
            return _shifted(places[path[:length]], at if length == len(path) else 0)
    return Place(file, 1, 1)


def _shifted(place: Place, by: int) -> Place:
    return Place(place.file, place.line, place.column + by)


def _known_words() -> set[str]:
    found: list[type[Content]] = Content.__subclasses__()
    return {field.alias or name for model in found for name, field in model.model_fields.items()}


def _problems(error: ValidationError, places: Mapping[Path, Place], file: str) -> list[Problem]:
    found = []
    for one in error.errors():
        path = tuple(str(part) for part in one["loc"])
        kind, name = one["type"], path[-1] if path else ""
        if kind == "extra_forbidden":
            message = f"{name!r} is not known here.{did_you_mean(name, _known_words())}"
        elif kind == "missing":
            message = f"{name!r} is needed"
        elif kind in ("model_type", "dict_type", "model_attributes_type"):
            message = "write its parts on indented lines below it"
        elif kind == "string_type":
            message = "one text is wanted here, not a list or a group"
        else:
            message = f"{one['input']!r}: {one['msg'].removeprefix('Input should be ')}"
        found.append(Problem(_place(places, path, file), path, message))
    return found
