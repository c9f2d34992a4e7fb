"""Ask a calculator as a person types it."""

import shlex
from typing import Any

import pytest

from ringland.calc import find
from ringland.calc.calculator import Answer, BadInputs


def ask(words: str, **fields: Any) -> Answer:
    """Return the answer to a line such as "sequence --count 6", or to a name and its fields."""
    name, *rest = shlex.split(words)
    typed = {field.replace("_", "-"): text for field, text in fields.items()}
    for option, value in zip(rest[::2], rest[1::2], strict=True):
        if option == "--at":
            typed.setdefault("at", []).append(value)
        else:
            typed[option.removeprefix("--")] = value
    return find(name).answer(typed)


def refused(words: str, **fields: Any) -> dict[str, str]:
    """Return what is wrong with each field of a question that has no answer."""
    with pytest.raises(BadInputs) as found:
        ask(words, **fields)
    return dict(found.value.problems)
