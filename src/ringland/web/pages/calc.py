"""The calculators: fields of each to a form, its answer with its drawing."""

from collections.abc import Mapping
from functools import lru_cache

from ringland.calc import CALCULATORS, find
from ringland.calc.calculator import Answer, BadInputs, Calculator
from ringland.web.pages.look import Context

MOST_CHARACTERS = 20_000  # of all fields together


def index() -> tuple[str, Context]:
    """All calculators."""
    return "calculators.html", {"title": "Calculators", "calculators": CALCULATORS}


def calculator(name: str, typed: Mapping[str, str]) -> tuple[str, Context]:
    """One calculator, and its answer where something was typed."""
    found = find(name)
    given = {k: v for k, v in typed.items() if v and k not in ("id", "at", "verb")}
    answer: Answer | None = None
    problems: list[tuple[str, str]] = []
    if given:
        try:
            answer = compute(found, given)
        except BadInputs as error:
            problems = error.problems
    context = {
        "title": found.title.rstrip("."),
        "calculator": found,
        "typed": given,
        "result": answer,
        "problems": dict(problems),
        "general": [text for name_, text in problems if name_ not in _names(found)],
        "query": given,
    }
    return "calculator.html", context


def compute(found: Calculator, typed: Mapping[str, str]) -> Answer:
    """Return the answer to what was typed. Raises BadInputs with every problem."""
    if sum(map(len, typed.values())) > MOST_CHARACTERS:
        raise BadInputs([("", f"more than {MOST_CHARACTERS} characters: type less")])
    return found.answer(texts_of(found, typed))


def texts_of(found: Calculator, typed: Mapping[str, str]) -> dict[str, str | list[str]]:
    """Return the fields' texts; one that may be given several times has one value a line."""
    many = {each.name for each in found.fields if each.many}
    return {
        name: [line.strip() for line in text.splitlines() if line.strip()]
        if name in many
        else text.strip()
        for name, text in typed.items()
    }


def _names(found: Calculator) -> set[str]:
    return {each.name for each in found.fields}


@lru_cache(maxsize=64)
def picture(name: str, typed: tuple[tuple[str, str], ...]) -> str:
    """Return the drawing that belongs to an answer, or nothing. Raises BadInputs."""
    answer = compute(find(name), dict(typed))
    return answer.svg() if answer.svg else ""
