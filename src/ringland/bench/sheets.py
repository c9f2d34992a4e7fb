"""Sheets as files, as a person names them: common sheets of the package, engine sheets, leaflets."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from ringland.bench.refusal import Refused
from ringland.sheet.load import Loaded, load_leaflet, load_sheet
from ringland.sheet.model import SCOPES, Scope, Sheet
from ringland.sheet.text import MOST_BYTES, BadSheet, Tree, did_you_mean


@cache
def common_sheets() -> dict[str, str]:
    """Return name to text of the common sheets that ship with the package."""
    folder = files("ringland.sheet") / "common"
    return {
        each.name.removesuffix(".yaml"): each.read_text(encoding="utf-8")
        for each in folder.iterdir()
        if each.name.endswith(".yaml")
    }


def read_text(path: Path) -> str:
    """Return the text of a sheet's file. Raises Refused for what is no text file."""
    try:
        if path.exists() and not path.is_file():
            what = "a folder: name a sheet in it" if path.is_dir() else "not a plain file"
            raise Refused(f"{path}: {what}")
        if path.stat().st_size > MOST_BYTES:
            raise Refused(
                f"{path}: larger than {MOST_BYTES:,} bytes: a sheet is a few pages of text"
            )
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        near = [p.name for p in path.parent.glob("*.yaml")][:5] if path.parent.is_dir() else []
        hint = f" Sheets there: {', '.join(near)}" if near else ""
        raise Refused(f"{path}: there is no such file.{hint}") from None
    except UnicodeDecodeError:
        raise Refused(f"{path}: not readable as text; save it as UTF-8") from None
    except OSError as error:
        raise Refused(f"{path}: {error.strerror}") from None


def load(path: Path, variant: str | None = None) -> Loaded:
    """Load an engine sheet from its file. Raises Refused with every problem of it."""
    try:
        return load_sheet(read_text(path), str(path), common_sheets(), variant=variant)
    except BadSheet as error:
        raise Refused(*map(str, error.problems)) from None


def scope_named(said: str) -> Scope:
    """Return the scope of this name, or in these words: "ring" or "ring only". Raises Refused."""
    known = next((each for each in SCOPES if said in (each, SCOPES[each])), None)
    if known is None:
        near = did_you_mean(said, SCOPES)
        raise Refused(f"scope {said!r} is none of {', '.join(SCOPES)}.{near}")
    return known


def leaflet(path: Path, sheet: Sheet) -> Tree:
    """Load a part sheet for use with an engine sheet. Raises Refused."""
    try:
        return load_leaflet(read_text(path), str(path), sheet)[0]
    except BadSheet as error:
        raise Refused(*map(str, error.problems)) from None
