"""The engine cutaway on paper, with its numbered marks in a list beside it."""

import re

from ringland.report.drawings.engine.contents import cutaway
from ringland.report.paper.blocks import Beside, Cell, Items, Text
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.pictures import drawing

PRINTED = 480.0  # px across: the width at which the page's line widths are meant
_STEADY = re.compile(r"<[^<>]*non-scaling-stroke[^<>]*>")
_WIDTHS = re.compile(r'(stroke-width|stroke-dasharray)="([\d. ]+)"')
_ON_FULL = re.compile(r"<text[^<>]*on-full[^<>]*>")  # a number on a filled mark is white
_VIEW = re.compile(r'viewBox="([-\d.]+) ([-\d.]+) ([\d.]+) ([\d.]+)"')


def engine_picture(file: JobFile) -> Beside:
    """Return the cutaway and what its numbers mean."""
    found = cutaway(file.case, lambda part: f"#{part}")
    rows = tuple(Cell(f"{row.number}  {row.name}", row.note) for row in found.rows)
    assumed = f"Not to this engine's figures: {', '.join(found.assumed)}." if found.assumed else ""
    said = (
        f"{file.case.book.sheet.engine}, section through the cylinder: exhaust left, intake right"
    )
    numbered = ", ".join(f"{row.number} {row.name}" for row in found.rows)
    picture = drawing("engine", with_steady_lines(found.svg), alt=f"{said}. {numbered}.")
    note = Text(f"{said}. {assumed}".strip(), "note")
    return Beside(picture, (Items(rows), note), share=0.62)


def with_steady_lines(svg: str) -> str:
    """Return a drawing whose lines do not scale with it, in lines that do: print knows no others.

    >>> with_steady_lines('<svg viewBox="0 0 240 9"><path stroke-width="2" '
    ...                   'vector-effect="non-scaling-stroke"/></svg>').count('stroke-width="1"')
    1
    """
    view = _VIEW.search(svg)
    scale = float(view[3]) / PRINTED if view else 1.0

    def scaled(found: re.Match[str]) -> str:
        numbers = " ".join(f"{float(each) * scale:.3g}" for each in found[2].split())
        return f'{found[1]}="{numbers}"'

    steady = _STEADY.sub(lambda found: _WIDTHS.sub(scaled, found[0]), svg)
    return _ON_FULL.sub(lambda found: f"{found[0].replace('currentColor', '#ffffff')}", steady)
