"""The JSON Schema of an engine sheet and of a leaflet, so that an editor checks while one types.

It describes one file before layers are laid: nothing but the name is needed, a group of fasteners
may be one line, a list may stand on one line, a variant names figures and fasteners directly. Made
from the model, so that a new word needs no second place.
"""

from collections.abc import Iterable
from typing import Any

from ringland.sheet.figures import spelled
from ringland.sheet.model import Leaflet, Sheet

Schema = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"
# an editor reads 2016 as a number and yes as true; a sheet reads every scalar as text
WORDS: Schema = {"type": ["string", "number", "boolean"]}
LIST: Schema = {
    "anyOf": [WORDS, {"type": "array", "items": WORDS}],
    "description": "a list, or one line with ', ' between",
}
FLAG: Schema = {"enum": ["yes", "no", True, False]}
COUNT: Schema = {
    "anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": "^[0-9]+$"}]
}
FIGURE: Schema = {
    "type": "string",
    "minLength": 1,
    "description": "number and unit, then what holds in service, then the page: "
    "0.30-0.38 mm, max 0.60 mm @ p 4-31",
}
FASTENER_LINE: Schema = {
    "type": "string",
    "minLength": 1,
    "description": "count and thread, torque, order, condition, then where each stands in degrees "
    "clockwise from the exhaust: 4 × M8, 21 lbf·ft, crosswise, at 45 135 225 315 @ p 4-40",
}
FIGURE_SECTIONS = ("figures", "piston classes", "tests", "hours")


def sheet_schema(commons: Iterable[Sheet]) -> Schema:
    """Return the schema of an engine sheet; `commons` give the names that an editor offers."""
    commons = list(commons)
    root = Sheet.model_json_schema(by_alias=True)
    parts = {name: _loosened(part) for name, part in root.get("$defs", {}).items()}
    sections = _loosened(root)["properties"]
    for name in FIGURE_SECTIONS:
        sections[name] = _named(FIGURE, sections[name])
    sections["figures"]["properties"] = _offered(commons)
    sections["read back"] = _named(WORDS, sections["read back"])
    group = {"anyOf": [FASTENER_LINE, {"$ref": "#/$defs/FastenerGroup"}]}
    sections["fasteners"] = _named(group, sections["fasteners"])
    names = {name for common in commons for name in common.fasteners}
    sections["fasteners"]["properties"] = dict.fromkeys(sorted(names), group)
    without_name = {
        name: part for name, part in sections.items() if name not in ("engine", "extends")
    }
    variant = {
        "type": "object",
        "properties": without_name,
        "additionalProperties": {"anyOf": [FIGURE, group]},
        "description": "what differs from the figures above",
    }
    variants = {"type": "object", "additionalProperties": {"$ref": "#/$defs/Variant"}}
    return {
        "$schema": DIALECT,
        "title": "Ringland engine sheet",
        "description": "An engine's figures, typed from the maker's manual.",
        "type": "object",
        "properties": {**sections, "variants": variants},
        "required": ["engine"],
        "additionalProperties": False,
        "$defs": {**parts, "Variant": variant},
    }


def leaflet_schema(commons: Iterable[Sheet]) -> Schema:
    """Return the schema of a part's leaflet."""
    sections = _loosened(Leaflet.model_json_schema(by_alias=True))["properties"]
    sections["figures"] = _named(FIGURE, sections["figures"])
    sections["figures"]["properties"] = _offered(commons)
    return {
        "$schema": DIALECT,
        "title": "Ringland leaflet",
        "description": "The figures that come with a fitted part.",
        "type": "object",
        "properties": sections,
        "required": ["part"],
        "additionalProperties": False,
    }


def _named(content: Schema, section: Schema) -> Schema:
    """A section whose names are free, each with the same kind of content."""
    return {
        "type": "object",
        "additionalProperties": content,
        **({"description": section["description"]} if "description" in section else {}),
    }


def _offered(commons: Iterable[Sheet]) -> Schema:
    """The figures an editor offers while one types, with what each is."""
    found: Schema = {}
    for common in commons:
        for spelling, name in spelled(common):
            content = common.checks.get(name) or common.geometry[name]
            if content.unit not in ("feel", "count"):
                found.setdefault(spelling, {**FIGURE, "title": content.words})
    return found


def _loosened(schema: Schema) -> Schema:
    """A part of the model as it may stand in one layer: nothing needed, text in all its forms."""
    content = {name: _value(part) for name, part in schema.get("properties", {}).items()}
    said = schema.get("description")
    return {
        "type": "object",
        "properties": content,
        "additionalProperties": False,
        **({"description": said} if said else {}),
    }


def _value(schema: Schema) -> Schema:
    said = {"description": schema["description"]} if "description" in schema else {}
    kind = schema.get("type")
    if kind == "string" and "enum" not in schema:
        return {**WORDS, **({"pattern": schema["pattern"]} if "pattern" in schema else {}), **said}
    if kind == "boolean":
        return {**FLAG, **said}
    if kind == "integer":
        return {**COUNT, **said}
    if kind == "array":
        items = schema.get("items", {})
        if "$ref" in items:
            return {"type": "array", "items": items, **said}
        return {**LIST, **said}
    if kind == "object":
        below = schema.get("additionalProperties", {})
        content = below if "$ref" in below else _value(below) if below else {}
        names = {"propertyNames": schema["propertyNames"]} if "propertyNames" in schema else {}
        return {"type": "object", "additionalProperties": content, **names, **said}
    if "anyOf" in schema:
        return {"anyOf": [_value(each) for each in schema["anyOf"]], **said}
    kept = ("$ref", "enum", "const", "allOf")
    return {name: schema[name] for name in kept if name in schema} | said
