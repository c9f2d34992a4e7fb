"""The steps of one job: those of the sheet that apply, and the way back for what came off.

Build order is the reverse of strip order where the sheet says nothing else: a strip step whose
parts no build step puts back gets a reverse step of its own.
"""

from collections.abc import Mapping

from ringland.job.book import Book
from ringland.sheet.model import Counts, Sheet, Step

_REVERSE = (
    ("off", "on"),
    ("out", "in"),
    ("open", "closed"),
    ("drained", "filled"),
    ("loose", "tight"),
)


def steps_of(book: Book, added: Mapping[str, str]) -> dict[str, Step]:
    """Return name to step, those of the sheet in its order, then the generated reverse steps.

    added : steps that findings or verdicts switched on
    """
    own = {
        name: step
        for name, step in book.sheet.steps.items()
        if book.applies(step.scopes, step.fitted_to) and (not step.only_when_added or name in added)
    }
    own = {name: _counted(book, step) for name, step in own.items()}
    back = {name: way_back(name, step, own) for name, step in own.items() if _comes_off(step)}
    generated: dict[str, Step] = {}
    for name, reverse in reversed(back.items()):
        if reverse in own:
            continue
        after = [other for other, step in own.items() if name in step.needs and other in back]
        generated[reverse] = Step(
            phase="build",
            words=f"Reverse of '{name}'.",
            needs=tuple(back[other] for other in after if back[other] != reverse),
            on=own[name].off,
            orientation=own[name].orientation,
            photo="",
        )
    return own | generated


def way_back(name: str, step: Step, steps: Mapping[str, Step]) -> str:
    """Return the name of the step that puts back what a strip step takes off."""
    if step.goes_back:
        return step.goes_back
    for other, candidate in steps.items():
        if candidate.phase in ("fit", "build", "prestart") and set(step.off) <= set(candidate.on):
            return other
    for word, reverse in _REVERSE:
        if name.endswith(f" {word}"):
            return f"{name.removesuffix(word)}{reverse}"
    return f"{name}, back"


def _comes_off(step: Step) -> bool:
    return step.phase == "strip" and bool(step.off)


def _counted(book: Book, step: Step) -> Step:
    """Put numbers for "all", and leave out parts of features that this engine does not have."""
    if not step.off and not step.on:
        return step
    sides = {"off": step.off, "on": step.on}
    return step.model_copy(
        update={side: _numbers(book.sheet, counts) for side, counts in sides.items()}
    )


def _numbers(sheet: Sheet, counts: Counts) -> dict[str, int]:
    return {
        part: count_of(sheet, part) if count == "all" else count
        for part, count in counts.items()
        if sheet.has(sheet.parts[part].fitted_to)
    }


def count_of(sheet: Sheet, part: str) -> int:
    """Return how many of a part the engine has; washers follow the number of their nuts."""
    content = sheet.parts[part]
    return sheet.fasteners[content.counted_by].count if content.counted_by else content.count
