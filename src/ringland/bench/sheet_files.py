"""Sheets written to disk: a new one never over an old one, a changed one whole or not at all."""

import os
import tempfile
from pathlib import Path

from ringland.bench.refusal import Refused

BOM = "\ufeff"


def free_path(path: Path) -> Path:
    """Return the path, with a number behind its name where the file exists already."""
    number = 2
    found = path
    while found.exists():
        found = path.with_stem(f"{path.stem}-{number}")
        number += 1
    return found


def write_new(path: Path, text: str, *, replacing: bool = False) -> None:
    """Write a new sheet. Raises Refused; then nothing was written.

    replacing : the person agreed that the file there goes
    """
    if replacing:
        replace_text(path, text)
        return
    try:
        with path.open("x", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        raise Refused(f"{path}: is there already; nothing was written over it") from None
    except OSError as error:
        raise Refused(f"{path}: cannot be written: {error.strerror}") from None


def exact_text(path: Path) -> str:
    """Return a file's text with its line ends and its byte-order mark as they stand."""
    return path.read_bytes().decode("utf-8")


def replace_text(path: Path, text: str) -> None:
    """Put a text in a file's place, whole or not at all. Raises Refused."""
    real = path.resolve()  # a link stays a link
    name = ""
    try:
        handle, name = tempfile.mkstemp(dir=real.parent, prefix=f".{real.name}.")
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if real.exists():
            os.chmod(name, real.stat().st_mode)
        os.replace(name, real)
    except OSError as error:
        if name and os.path.exists(name):
            os.unlink(name)
        raise Refused(f"{path}: cannot be written: {error.strerror}") from None
