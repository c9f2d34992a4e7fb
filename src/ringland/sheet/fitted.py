"""Words of a sheet that belong to one kind of engine: "lift [water cooling: , sponge it out]."

What stands in such brackets is said only of an engine that has the feature. Start with
`fitted_words`.
"""

import re
from collections.abc import Iterable
from typing import Any

from ringland.sheet.figures import Trouble
from ringland.sheet.text import Path, Tree, did_you_mean

# what is worded; figures, fluids and titles of manuals are kept as typed
WORDED = ("phases", "checks", "findings", "steps", "parts", "tools", "supplies", "fasteners")
_BELONGS = re.compile(r"\s*\[([a-z ]+): ?([^\]]*)\]")


def fitted_words(tree: Tree) -> tuple[Tree, list[Trouble]]:
    """Return a merged tree with the words that hold for its engine, and features nobody knows.

    >>> steps = {"head off": {"words": "Lift[water cooling: , sponge it out], oil the wall."}}
    >>> fitted_words({"features": "water cooling", "steps": steps})[0]["steps"]
    {'head off': {'words': 'Lift, sponge it out, oil the wall.'}}
    >>> air = {"features": "water cooling", "not fitted": "water cooling", "steps": steps}
    >>> fitted_words(air)[0]["steps"]
    {'head off': {'words': 'Lift, oil the wall.'}}
    """
    known, missing = (_names(tree.get(key)) for key in ("features", "not fitted"))
    troubles: list[Trouble] = []

    def told(value: Any, path: Path) -> Any:
        match value:
            case str() if "[" in value:
                return _BELONGS.sub(lambda found: said(found, path), value).strip()
            case dict():
                return {key: told(below, (*path, str(key))) for key, below in value.items()}
            case list():
                below = [told(each, (*path, str(at))) for at, each in enumerate(value)]
                return [each for each in below if each != ""]
        return value

    def said(found: re.Match[str], path: Path) -> str:
        feature, words = found.groups()
        if feature not in known:
            near = did_you_mean(feature, known)
            troubles.append(Trouble(path, f"there is no feature {feature!r}.{near}"))
        if feature in missing:
            return ""
        joins = words[:1] in ",;.:" or not found.string[: found.start()]
        return words if joins else f" {words}"

    worded = {key: told(tree[key], (key,)) for key in WORDED if key in tree}
    return tree | worded, troubles


def _names(value: object) -> set[str]:
    if isinstance(value, str):
        return {each.strip() for each in value.split(",")}
    return set(map(str, value)) if isinstance(value, Iterable) else set()
