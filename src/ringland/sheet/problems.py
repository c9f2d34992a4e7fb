"""Turn what the model finds wrong into problems in plain words, each with its place.

All of them at once: after the first look, what is wrong is set aside and the rest is read as well.
"""

from collections.abc import Mapping
from copy import deepcopy
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError

from ringland.sheet.figures import Trouble
from ringland.sheet.text import Path, Place, Problem, Source, Tree, did_you_mean

Model = TypeVar("Model", bound=BaseModel)
_BRANCHES = ("[key]", "int", "literal['all']")  # what the model adds to a path of its own
MOST_LOOKS = 4  # a value set aside may leave a group without what it needs; then that goes too


def validated(source: Source, model: type[Model], file: str) -> tuple[Model | None, list[Problem]]:
    """Return a tree as its model, without what was wrong in it, and what that was.

    None when too little is left to be read.
    """
    problems: list[Problem] = []
    tree = source.tree
    for look in range(MOST_LOOKS):
        try:
            return model.model_validate(tree), problems
        except ValidationError as error:
            if look == 0:
                tree = deepcopy(tree)
            for one in error.errors(include_url=False):
                path = tuple(str(part) for part in one["loc"] if part not in _BRANCHES)
                if look == 0:
                    message = _words(one, path, model)
                    unknown = one["type"] == "extra_forbidden"
                    problems.append(problem(source, path, message, file, name=unknown))
                _set_aside(tree, path, missing=one["type"] == "missing")
    return None, problems


def problem(
    source: Source, path: Path, message: str, file: str, *, at: int = 0, name: bool = False
) -> Problem:
    """Return a problem on a path of a tree, where it was written.

    at : the character of the value; name : it is the name that is wrong, not its value
    """
    place = Place(file, 1, 1)
    for length in range(len(path), -1, -1):
        if path[:length] in source.places:
            place = source.places[path[:length]]
            break
    if length == len(path):
        place = Place(place.file, place.line, place.column + at)
    if name:
        place = source.names.get(_written(source, path), place)
    return Problem(place, _said(source, path), message)


def of_troubles(source: Source, troubles: list[Trouble], file: str) -> list[Problem]:
    """Return the problems of texts that are no figures, and of names that point at nothing."""
    return [
        problem(source, each.path, each.message, file, at=each.at, name=each.of_name)
        for each in troubles
    ]


def in_order(problems: list[Problem]) -> list[Problem]:
    """Return the problems by file and line, each once."""
    once = {str(each): each for each in problems}.values()
    return sorted(once, key=lambda p: (p.place.file, p.place.line, p.place.column))


def _written(source: Source, path: Path) -> Path:
    for length in range(len(path), 0, -1):
        if path[:length] in source.written:
            return source.written[path[:length]] + path[length:]
    return path


def _said(source: Source, path: Path) -> Path:
    """The path as the file has it, the items of a list counted from 1."""
    path = _written(source, path)
    said: list[str] = []
    here: Any = source.tree
    for key in path:
        if isinstance(here, list) and key.isdigit():
            said.append(f"item {int(key) + 1}")
            here = here[int(key)] if int(key) < len(here) else None
        elif isinstance(here, str) and key.isdigit():
            said.append(f"item {int(key) + 1}")  # of a list on one line
        else:
            said.append(key)
            here = here.get(key) if isinstance(here, Mapping) else None
    return tuple(said)


def _set_aside(tree: Tree, path: Path, *, missing: bool) -> None:
    if missing and len(path) == 1:
        tree[path[0]] = ""
        return
    path = path[:-1] if missing else path
    here: Any = tree
    for depth, key in enumerate(path):
        below = here.get(key) if isinstance(here, dict) else None
        if depth == len(path) - 1 or not isinstance(below, dict):
            if isinstance(here, dict):
                here.pop(key, None)
            return
        here = below


def _words(one: Any, path: Path, model: type[BaseModel]) -> str:
    kind, name, typed = one["type"], path[-1] if path else "", one["input"]
    if kind == "extra_forbidden":
        known = words_at(path[:-1], model)
        near = did_you_mean(name, known)
        return f"{name!r} is not known here.{near or ' Known: ' + ', '.join(known)}"
    if kind == "missing":
        return f"{name!r} is needed here: write '{name}: ...'"
    if typed == "" and kind != "literal_error":
        return "nothing stands below it: write what belongs there, or take the line away"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return "write its parts on lines below it, further in, each as 'name: value'"
    if kind == "string_type":
        return "one text is wanted here, not a list or a group"
    if "literal['all']" in one["loc"] or one["loc"][-1] == "int":
        return f"{typed!r}: a number is wanted, or 'all'"
    if kind == "literal_error":
        expected = one["ctx"]["expected"].replace("'", "")
        near = did_you_mean(str(typed), expected.replace(" or ", ", ").split(", "))
        return f"{typed!r} is not one of {expected}.{near}"
    if kind == "int_parsing":
        return f"{typed!r}: a whole number is wanted, such as 4"
    if kind == "bool_parsing":
        return f"{typed!r}: write yes or no"
    return f"{typed!r}: {one['msg'].removeprefix('Input should be ')}"


def words_at(path: Path, model: type[BaseModel]) -> list[str]:
    """Return the words that may stand below a path of a model."""
    here: Any = model
    for key in path:
        here = _below(here, key)
    if isinstance(here, type) and issubclass(here, BaseModel):
        return [field.alias or name for name, field in here.model_fields.items()]
    return []


def _below(here: Any, key: str) -> Any:
    if isinstance(here, type) and issubclass(here, BaseModel):
        fields = here.model_fields.items()
        return next((f.annotation for name, f in fields if key == (f.alias or name)), None)
    arguments = get_args(here)
    if get_origin(here) is dict:
        return arguments[1]
    return arguments[0] if arguments and get_origin(here) is not UnionType else None
