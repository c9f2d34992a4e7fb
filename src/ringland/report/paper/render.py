"""Set a paper as PDF: PDF/A-2a and PDF/UA-1, fonts embedded, the same bytes for the same paper.

User text never becomes source of the typesetter: it goes in as a JSON file beside the template.
Letters that the typeface lacks come from the faces that ship with matplotlib; what none of them
holds is printed as a box that names its script, and stays text for a reader or a search.
"""

import json
import tempfile
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ringland.report.paper.blocks import Paper, PaperSize, Picture, printable

if TYPE_CHECKING:
    from typst import Fonts

FOOT = 60  # letters of the foot's line


def pdf(paper: Paper, *, size: PaperSize = "a4") -> bytes:
    """Return a paper as PDF."""
    import typst

    with tempfile.TemporaryDirectory(prefix="ringland-") as folder:
        root = Path(folder)
        template = "labels.typ" if paper.labels else "paper.typ"
        source = files("ringland.report.paper") / "templates"
        for name in ("blocks.typ", template):
            (root / name).write_text((source / name).read_text("utf-8"), "utf-8")
        for picture in _pictures(paper):
            content = picture.content
            raw = content.encode() if isinstance(content, str) else content
            (root / picture.name).write_bytes(raw)
        tree = {**_plain(paper), "size": size, "day": paper.date[:10], "foot": _foot(paper.about)}
        (root / "paper.json").write_text(json.dumps(tree, ensure_ascii=False), "utf-8")
        made = typst.compile(
            str(root / template),
            root=str(root),
            font_paths=_faces(),
            ignore_system_fonts=True,
            format="pdf",
            # ISO 19005-2 level A and ISO 14289-1, as the typesetter checks them
            pdf_standards=["a-2a", "ua-1"],
            timestamp=datetime.fromisoformat(paper.date[:10]).replace(tzinfo=UTC),
        )
    assert isinstance(made, bytes)
    return made


@cache
def _faces() -> "Fonts":
    """The faces, read once; never those of the machine, so that pages match on all of them."""
    import typst

    folders = [str(folder) for folder in font_folders()]
    return typst.Fonts(include_system_fonts=False, font_paths=folders)


def font_folders() -> list[Path]:
    """Return where the faces lie: our own, then those of other scripts."""
    found = [Path(str(files("ringland.report") / "fonts"))]
    library = find_spec("matplotlib")  # found, not imported: its import costs half a second
    if library is not None and library.submodule_search_locations:
        found.append(Path(library.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf")
    return found


def _foot(about: str) -> str:
    """Whose page it is, on one line."""
    return printable(about if len(about) <= FOOT else f"{about[: FOOT - 1]}…")


def _pictures(value: Any) -> Iterator[Picture]:
    if isinstance(value, Picture):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from _pictures(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _pictures(getattr(value, field.name))


def _plain(value: Any) -> Any:
    """The paper as JSON: each block with its kind, pictures by the name of their file."""
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if is_dataclass(value):
        tree = {
            field.name: _plain(getattr(value, field.name))
            for field in fields(value)
            if field.name != "content"
        }
        if isinstance(value, Picture):
            tree["name"] = value.name
        return {"kind": type(value).__name__.casefold(), **tree}
    return value
