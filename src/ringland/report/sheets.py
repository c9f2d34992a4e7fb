"""Sheets as text for a person: figures with page and reader, what is missing and what that blocks."""

from collections.abc import Iterable, Sequence

from ringland.report.layout import columns
from ringland.sheet.missing import Missing
from ringland.sheet.showing import FigureLine, SheetView

SECTIONS = {
    "figures": "figures",
    "fasteners": "fasteners",
    "piston classes": "piston classes",
    "base gaskets": "base gaskets",
    "tests": "tests",
    "hours": "maker's hours",
    "fluids": "fluids",
}
OFFERED = "common practice, not the maker's"


def sheet_text(view: SheetView, *, everything: bool = False, width: int = 0) -> str:
    """Return the figures in force; `everything` lists all that is not given as well."""
    lines = [_head(view)]
    lines += [f"  lacks {', '.join(view.not_fitted)}"] if view.not_fitted else []
    lines += [f"  manual: {view.manual}"] if view.manual else []
    lines += [f"  variants: {', '.join(view.variants)}"] if view.variants else []
    for section, title in SECTIONS.items():
        found = [line for line in view.figures if line.section == section]
        if found:
            lines += [title, *columns(map(_row, found), width=width)]
    asked = [each for each in view.not_given if each.asked or everything]
    if asked:
        lines += ["not given (never guessed)", *missing_rows(asked, width=width)]
    if view.not_read_back:
        count = f"{view.not_read_back} of {len(view.figures)}"
        lines.append(f"{count} figures are not read back against the manual")
    return "\n".join(lines)


def _head(view: SheetView) -> str:
    variant = f", variant {view.variant}" if view.variant else ""
    years = f", {view.years}" if view.years else ""
    return f"{view.engine}{variant}{years}"


def _row(line: FigureLine) -> list[str]:
    reader = f"read back by {line.read_back}" if line.read_back else "not read back"
    if line.changed_since:
        reader = "changed since it was read back"
    variant = "of this variant" if line.of_variant else ""
    return [line.name, line.line, line.page, reader, variant]


def missing_rows(found: Iterable[Missing], *, width: int = 0) -> list[str]:
    """Return missing figures as lines: name, what it blocks, what is common practice."""
    rows = [
        [each.title, each.blocks, f"{OFFERED}: {each.common_practice}"]
        if each.common_practice
        else [each.title, each.blocks]
        for each in found
    ]
    if width and max(map(len, columns(rows)), default=0) > width:
        rows = [[title, "; ".join(rest)] for title, *rest in rows]
    return columns(rows, width=width)


def missing_text(
    engine: str, scope: str, found: Sequence[Missing], file: str, *, width: int = 0
) -> str:
    """Return what is not given; what only something else calls for is told in one line."""
    title = f"{engine}, {scope}" if scope else engine
    asked = [each for each in found if each.asked]
    rest = [each.title for each in found if not each.asked]
    if not found:
        return f"{title}: every figure is given"
    lines = [f"{title}: {len(asked)} not given, {len(rest)} more that are rarely called for"]
    lines += missing_rows(asked, width=width)
    if rest:
        lines.append(f"rarely called for: {', '.join(rest)}")
    lines.append(f"Nothing is guessed. Type what the manual gives into {file}, and check it again.")
    return "\n".join(lines)
