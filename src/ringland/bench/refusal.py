"""Two ways in which the bench does not take what was typed: it is wrong, or it must ask first."""

from dataclasses import dataclass


class Refused(ValueError):
    """Nothing was kept. Each problem names the thing, the value, what is allowed, what to do."""

    def __init__(self, *problems: str) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


class Unknown(Refused):
    """Nobody here knows that job or machine; `name` is what was asked for."""

    def __init__(self, name: str, problem: str) -> None:
        super().__init__(problem)
        self.name = name


@dataclass(frozen=True, slots=True)
class Offer:
    """One answer to a question: what will be so, and the text to type instead."""

    label: str
    text: str


class Asked(ValueError):
    """Nothing was kept yet: a question comes first.

    offers : may be empty; about : the value in question as it was typed, empty where it is several
    of_unit : only its unit is in question
    """

    def __init__(
        self,
        question: str,
        offers: tuple[Offer, ...] = (),
        *,
        about: str = "",
        of_unit: bool = False,
    ) -> None:
        super().__init__(question)
        self.question = question
        self.offers = offers
        self.about = about
        self.of_unit = of_unit
