"""The view as JSON for a program; field names only grow."""

import json
from dataclasses import asdict, is_dataclass
from typing import Any


def as_json(view: Any) -> str:
    """Return a view, or a list of view lines, as one JSON text."""
    return json.dumps(_plain(view), ensure_ascii=False)


def _plain(view: Any) -> Any:
    if is_dataclass(view) and not isinstance(view, type):
        return asdict(view)
    if isinstance(view, list | tuple):
        return [_plain(each) for each in view]
    if isinstance(view, dict):
        return {name: _plain(each) for name, each in view.items()}
    return view
