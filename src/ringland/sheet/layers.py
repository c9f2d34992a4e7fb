"""Lay sheets over each other: fasteners spelled out, names brought to the sheet's own, variants.

A layer holds only what differs from the one below. Here each layer is made ready, so that they can
be merged name by name; what is wrong comes back as problems, and the rest is still looked at.
Not here: the order of layers and their content (`load`).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ringland.quantity import QuantityError
from ringland.sheet.fastener import parse_with_columns
from ringland.sheet.model import Sheet
from ringland.sheet.text import Path, Place, Problem, Source, Tree, did_you_mean

# sections whose names may be typed by any name of what they belong to
_NAMED_AFTER = {
    "figures": ("checks", "geometry"),
    "fasteners": ("fasteners",),
    "hours": ("parts",),
    "read back": ("checks", "geometry", "fasteners"),
}
SECTIONS = tuple(field.alias or name for name, field in Sheet.model_fields.items())


def without(source: Source, key: str) -> Source:
    """Return a source without one key of its tree."""
    tree = {name: value for name, value in source.tree.items() if name != key}
    return replace(source, tree=tree)


def spellings(layers: Iterable[Source], sections: Iterable[str]) -> dict[str, str]:
    """Return each spelling, in small letters, of each name in some sections of some layers."""
    found: dict[str, str] = {}
    for layer in layers:
        for section in sections:
            content = layer.tree.get(section)
            for name, each in content.items() if isinstance(content, dict) else ():
                also = each.get("also called", "") if isinstance(each, dict) else ""
                words = also.split(", ") if isinstance(also, str) else also
                found.setdefault(name.casefold(), name)
                for word in filter(None, words):
                    found.setdefault(str(word).strip().casefold(), name)
    return found


def made_ready(layers: Sequence[Source]) -> tuple[list[Source], list[Problem]]:
    """Return layers that can be merged: fasteners in long form, every name the sheet's own."""
    problems: list[Problem] = []
    names = {section: spellings(layers, after) for section, after in _NAMED_AFTER.items()}
    ready = []
    for layer in layers:
        for section, known in names.items():
            layer, found = _own_names(layer, section, known)
            problems += found
        layer, found = _spelled_out(layer)
        problems += found
        ready.append(layer)
    return ready, problems


def merged(layers: Iterable[Source]) -> Source:
    """Return the layers as one, a later one winning over those before it, name by name."""
    tree: Tree = {}
    places: dict[Path, Place] = {}
    written: dict[Path, Path] = {}
    names: dict[Path, Place] = {}
    for layer in layers:
        tree = _merge(tree, layer.tree)
        places |= layer.places
        written |= layer.written
        names |= layer.names
    return Source(tree, places, written, names)


def _merge(below: Any, above: Any) -> Any:
    if isinstance(below, dict) and isinstance(above, dict):
        return below | {name: _merge(below.get(name), value) for name, value in above.items()}
    return above


def _own_names(
    source: Source, section: str, known: Mapping[str, str]
) -> tuple[Source, list[Problem]]:
    content = source.tree.get(section)
    if not isinstance(content, dict):
        return source, []
    problems: list[Problem] = []
    own: Tree = {}
    places, written = dict(source.places), dict(source.written)
    for typed, value in content.items():
        name = known.get(typed.strip().casefold(), typed.strip())
        old, new = (section, typed), (section, name)
        said = source.written.get(old, old)
        if name in own:
            earlier = written[new]
            line = _at(source.names, earlier).line
            message = f"{typed!r} and {earlier[-1]!r} (line {line}) are the same thing. Keep one"
            problems.append(Problem(_at(source.names, said), said, message))
            continue
        own[name] = value
        if typed != name:
            places |= {new + p[2:]: at for p, at in source.places.items() if p[:2] == old}
        written[new] = said
    return Source({**source.tree, section: own}, places, written, source.names), problems


def _spelled_out(source: Source) -> tuple[Source, list[Problem]]:
    """Put each fastener's line into its long form, so that layers merge field by field."""
    fasteners = source.tree.get("fasteners")
    if not isinstance(fasteners, dict):
        return source, []
    problems: list[Problem] = []
    long: Tree = {}
    places = dict(source.places)
    for name, value in fasteners.items():
        path = ("fasteners", name)
        long[name] = value
        if not isinstance(value, str):
            continue
        at = _at(source.places, path)
        try:
            fields = parse_with_columns(value)
            long[name] = {each: said for each, (said, _) in fields.items()}
            places |= {
                (*path, each): replace(at, column=at.column + begins)
                for each, (_, begins) in fields.items()
            }
        except QuantityError as error:
            del long[name]
            place = Place(at.file, at.line, at.column + error.at)
            problems.append(Problem(place, source.written.get(path, path), str(error)))
    tree = {**source.tree, "fasteners": long}
    return replace(source, tree=tree, places=places), problems


def variant_layer(
    source: Source, variant: str, below: Sequence[Source]
) -> tuple[Source, list[Problem]]:
    """Return a variant as a layer: a figure or fastener that it names directly goes to its section.

    source : the engine sheet's own text; below : the layers it is laid on
    """
    here = ("variants", variant)
    content = source.tree["variants"][variant]
    if not isinstance(content, dict):
        why = "write what differs, one line each, further in"
        return Source({}, {}), [Problem(_at(source.places, here), here, why)]
    fasteners = spellings(below, _NAMED_AFTER["fasteners"])
    figures = spellings(below, _NAMED_AFTER["figures"])
    problems: list[Problem] = []
    tree: Tree = {}
    places: dict[Path, Place] = {}
    written: dict[Path, Path] = {}
    for name, value in content.items():
        said, word = (*here, name), name.strip().casefold()
        path: Path = (name,)
        if name not in SECTIONS:
            section = "fasteners" if word in fasteners else "figures"
            if word not in fasteners and word not in figures:
                known = [*figures, *fasteners, *SECTIONS]
                why = "is no section, figure or group of fasteners."
                why += did_you_mean(name, known)
                problems.append(Problem(_at(source.names, said), said, why))
                continue
            path = (section, name)
            tree.setdefault(section, {})[name] = value
        else:
            tree[name] = _merge(tree.get(name), value)
        for p, at in source.places.items():
            if p[:3] == said:
                places[path + p[3:]] = at
                written[path + p[3:]] = p
    return Source(tree, places, written, source.names), problems


def _at(places: Mapping[Path, Place], path: Path) -> Place:
    return places.get(path, Place("the job's own sheet", 1, 1))
