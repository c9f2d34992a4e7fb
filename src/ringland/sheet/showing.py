"""The view of a sheet: every figure in force with its page, who read it back, what is not given.

Text, JSON, page and paper draw these same lines. Start with `sheet_view`.
"""

from dataclasses import dataclass

from ringland.sheet.fastener import fastener_line
from ringland.sheet.load import Loaded
from ringland.sheet.missing import Missing, missing
from ringland.sheet.readback import is_stale, read_back_by, typed_figures


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure in force.

    read_back : by whom and when, empty when nobody did; changed_since : it was, as another value
    of_variant : the variant has it otherwise than the base
    line : the figure, for a group of fasteners with its count, thread, order and condition
    """

    section: str
    name: str
    figure: str
    page: str
    read_back: str
    changed_since: bool
    of_variant: bool
    line: str


@dataclass(frozen=True, slots=True)
class SheetView:
    """A sheet as a person gets to see it."""

    engine: str
    variant: str
    years: str
    manual: str
    extends: str
    not_fitted: tuple[str, ...]
    variants: tuple[str, ...]
    figures: tuple[FigureLine, ...]
    not_given: tuple[Missing, ...]

    @property
    def not_read_back(self) -> int:
        """How many figures nobody has read back against the manual."""
        return sum(not line.read_back for line in self.figures)


def sheet_view(loaded: Loaded, base: Loaded, variant: str = "") -> SheetView:
    """Return the view of a sheet as loaded with a variant; `base` is the same without one."""
    sheet = loaded.sheet
    before = {typed.key: typed.value for typed in typed_figures(base.sheet, base.figures)}
    lines = []
    for typed in typed_figures(sheet, loaded.figures):
        section, name = typed.path[0], typed.path[1] if len(typed.path) > 1 else typed.key
        lines.append(
            FigureLine(
                section,
                name,
                typed.value,
                typed.page,
                read_back_by(sheet, typed),
                is_stale(sheet, typed),
                before.get(typed.key) != typed.value,
                _beside(loaded, name, typed.value) if section == "fasteners" else typed.value,
            )
        )
    return SheetView(
        sheet.engine,
        variant,
        sheet.years,
        sheet.manual,
        sheet.extends,
        sheet.not_fitted,
        loaded.variants,
        tuple(lines),
        tuple(missing(sheet, loaded.figures)),
    )


def _beside(loaded: Loaded, name: str, figure: str) -> str:
    """A group of fasteners as its line in the sheet has it."""
    group = loaded.sheet.fasteners[name]
    fields = {
        "count": str(group.count),
        **group.model_dump(include={"thread", "order", "condition", "at"}),
    }
    line = fastener_line(fields, figure)
    return line if group.thread else f"{group.count} of them, {line}"
