"""Ask a calculator as a person types it."""

import shlex

import pytest

from ringland.calc import find
from ringland.calc.calculator import Answer, BadInputs


def ask(words: str) -> Answer:
    name, *rest = shlex.split(words)
    typed: dict[str, str | list[str]] = {}
    for option, value in zip(rest[::2], rest[1::2], strict=True):
        if option == "--at":
            places = typed.setdefault("at", [])
            assert isinstance(places, list)
            places.append(value)
        else:
            typed[option.removeprefix("--")] = value
    return find(name).answer(typed)


def refused(words: str) -> dict[str, str]:
    with pytest.raises(BadInputs) as found:
        ask(words)
    return dict(found.value.problems)
