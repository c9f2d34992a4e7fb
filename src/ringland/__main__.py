"""Where `ringland` and `python -m ringland` start.

A calculator's plain line (`calc premix --ratio 32 --fuel "5 L"`) is answered at once. Help, files, a
mistake and every other command go to the command line proper (`ringland.cli`), whose framework
alone takes longer to import than an answer takes here (`benchmarks/startup.py`).
"""

import os
import sys
from collections.abc import Sequence
from typing import Any

from ringland.calc import CALCULATORS, find
from ringland.calc.calculator import BadInputs, Field

FLAGS = ("--json",)


def main() -> None:
    """Run the command line that was typed."""
    answer = plain_answer(sys.argv[2:]) if sys.argv[1:2] == ["calc"] else None
    if answer is not None:
        _say(answer)
        return
    from ringland.bench.called import CALLED
    from ringland.cli import main as command_line

    command_line(prog_name=os.environ.get(CALLED), complete_var="_RINGLAND_COMPLETE")


def _say(answer: str) -> None:
    try:
        print(answer, flush=True)
    except BrokenPipeError:  # the reader had enough, as `head` has; Python's own recipe
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def plain_answer(words: Sequence[str]) -> str | None:
    """Return what a calculator answers to its name and plain options.

    returns : None for all that is not such a line, or has no answer: the command line says why
    """
    if not words or words[0] not in CALCULATORS:
        return None
    calculator = find(words[0])
    options = [word for word in words[1:] if word not in FLAGS]
    typed = _typed(calculator.fields, options)
    if typed is None:
        return None
    try:
        answer = calculator.answer(typed)
    except BadInputs:
        return None
    from ringland.report import answer as rendering  # a line for the command line goes without

    return rendering.as_json(answer) if "--json" in words else rendering.as_text(answer)


def _typed(fields: Sequence[Field], options: Sequence[str]) -> dict[str, Any] | None:
    """Name to text, or to texts where a field takes many; None where a word is no plain option."""
    known = {f"--{each.name}": each for each in fields if each.kind != "csv"}
    typed: dict[str, Any] = {}
    if len(options) % 2 or any(word not in known for word in options[::2]):
        return None
    for word, text in zip(options[::2], options[1::2], strict=True):
        each = known[word]
        typed[each.name] = (*typed.get(each.name, ()), text) if each.many else text
    return typed


if __name__ == "__main__":
    main()
