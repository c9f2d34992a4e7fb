"""Print a calculator's answer: for a person as text, for a program as JSON."""

from math import isfinite
from typing import Any

from ringland.calc.calculator import Answer


def as_text(answer: Answer) -> str:
    """Return the answer as aligned lines: headline, figures, cautions, what it rests on."""
    width = max((len(row.label) for row in answer.rows), default=0)
    value_width = max((len(row.value) for row in answer.rows), default=0)
    lines = [answer.headline]
    lines += [
        f"  {row.label:<{width}}  {row.value:<{value_width}}  {row.remark}".rstrip()
        for row in answer.rows
    ]
    lines += [f"  ! {caution}" for caution in answer.cautions]
    lines += [f"  {note}" for note in answer.notes]
    return "\n".join(lines)


def as_json(answer: Answer) -> str:
    """Return the answer's fields with its words; a number that does not exist is null."""
    import json  # a person's answer does without

    content = {
        "headline": answer.headline,
        **answer.fields,
        "notes": list(answer.notes),
        "cautions": list(answer.cautions),
    }
    return json.dumps(_finite(content), ensure_ascii=False, allow_nan=False)


def _finite(value: Any) -> Any:
    if isinstance(value, float) and not isfinite(value):
        return None
    if isinstance(value, dict):
        return {name: _finite(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(each) for each in value]
    return value
