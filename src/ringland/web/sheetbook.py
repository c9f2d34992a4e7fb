"""The sheets that were written on the page: text files in the server's own folder.

A sheet's name is made of letters, digits and dashes, so that no path from outside becomes one.
"""

import re
from pathlib import Path

from ringland.bench.refusal import Refused

NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")
FOLDER = "sheets"


def names(folder: Path) -> list[str]:
    """Return the names of the sheets there are."""
    return sorted(file.stem for file in (folder / FOLDER).glob("*.yaml"))


def file_of(folder: Path, name: str) -> Path:
    """Return the file of a sheet that is there. Raises Refused."""
    if name not in names(folder):
        known = ", ".join(names(folder)) or "none yet"
        raise Refused(f"there is no sheet {name!r} here; there are: {known}")
    return folder / FOLDER / f"{name}.yaml"


def new_file(folder: Path, engine: str) -> Path:
    """Return the file for a new sheet, named after its engine. Raises Refused."""
    name = "-".join(re.findall(r"[a-z0-9]+", engine.casefold()))[:60]
    if not NAME.fullmatch(name):
        raise Refused("name the engine in letters and digits, such as Tarrow 124")
    if name in names(folder):
        raise Refused(f"there is a sheet {name} already: open it")
    (folder / FOLDER).mkdir(parents=True, exist_ok=True)
    return folder / FOLDER / f"{name}.yaml"
