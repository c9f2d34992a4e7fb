"""Facts to plain JSON values and back. Logs of any released version are read forever."""

import json
from collections.abc import Mapping
from dataclasses import MISSING, asdict, fields
from typing import Any

from ringland.job.log.entries import KINDS, Baseline, Corrected, Fact, Gauge, Indication
from ringland.job.log.shop import SHOP_KINDS, ShopFact

ALL_KINDS: dict[str, type] = KINDS | SHOP_KINDS
_KIND_OF = {kind: name for name, kind in ALL_KINDS.items()}


class UnknownKind(ValueError):
    """An entry of a kind that this version does not know: written by a newer one."""


def encode(fact: Fact | ShopFact) -> tuple[str, dict[str, Any]]:
    """Return a fact's kind and its fields as JSON values, leaving out what is at its default."""
    if isinstance(fact, Corrected):
        kind, body = encode(fact.fact)
        return _KIND_OF[Corrected], {
            "entry": fact.entry,
            "kind": kind,
            "fact": body,
            "reason": fact.reason,
        }
    body = {
        field.name: _tree_or_plain(field.name, getattr(fact, field.name))
        for field in fields(fact)
        if field.default is MISSING or getattr(fact, field.name) != field.default
    }
    return _KIND_OF[type(fact)], body


def decode(kind: str, body: Mapping[str, Any]) -> Any:
    """Return the fact of a kind and its fields. Raises UnknownKind."""
    if kind not in ALL_KINDS:
        raise UnknownKind(
            f"the log holds an entry {kind!r}, which a newer Ringland wrote: update this one"
        )
    if ALL_KINDS[kind] is Corrected:
        return Corrected(body["entry"], decode(body["kind"], body["fact"]), body.get("reason", ""))
    return ALL_KINDS[kind](**{name: _whole(name, value) for name, value in body.items()})


# Trees whose order means something: kept as JSON text, since JSON objects have no order of keys.
_TREES = ("sheet", "leaflet")


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Gauge | Baseline | Indication):
        defaults = {field.name: field.default for field in fields(value)}
        said = asdict(value).items()
        return {name: _plain(each) for name, each in said if each != defaults[name]}
    return value


def _tree_or_plain(name: str, value: Any) -> Any:
    if name in _TREES and isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    return _plain(value)


def _whole(name: str, value: Any) -> Any:
    if name in _TREES and isinstance(value, str) and value.startswith("{"):
        return json.loads(value)
    if name == "indications":
        return tuple(Indication(**each) for each in value)
    if name == "gauge" and isinstance(value, dict):
        return Gauge(**{**value, "leaves": tuple(value.get("leaves", ()))})
    if name == "baseline" and value is not None:
        return Baseline(**value)
    return tuple(value) if isinstance(value, list) else value
