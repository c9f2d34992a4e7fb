"""What a PDF holds beside its text: fonts, tags, pictures; read with a library of its own."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject


def fonts(reader: PdfReader) -> dict[str, bool]:
    """Return the name of each font and whether its outlines are in the file."""
    found: dict[str, bool] = {}
    for page in reader.pages:
        for resources in _resources(page.get("/Resources")):
            for font in (resources.get("/Font") or {}).values():
                whole = font.get_object()
                inner = whole.get("/DescendantFonts", [whole])[0].get_object()
                held = inner["/FontDescriptor"].get_object()
                name = str(whole["/BaseFont"]).partition("+")[2]
                found[name] = any(key in held for key in ("/FontFile", "/FontFile2", "/FontFile3"))
    return found


def _resources(value: Any) -> Iterator[DictionaryObject]:
    if value is None:
        return
    whole = value.get_object()
    yield whole
    for each in (whole.get("/XObject") or {}).values():
        yield from _resources(each.get_object().get("/Resources"))


def elements(reader: PdfReader) -> list[DictionaryObject]:
    """Return all elements of the tag tree."""
    found: list[DictionaryObject] = []
    pending: list[Any] = [reader.root_object["/StructTreeRoot"]]
    while pending:
        each = pending.pop().get_object() if hasattr(pending[-1], "get_object") else pending.pop()
        if isinstance(each, ArrayObject):
            pending += list(each)
        elif isinstance(each, DictionaryObject):
            if "/S" in each and each.get("/Type") != "/OBJR":
                found.append(each)
            if "/K" in each:
                pending.append(each["/K"])
    return found


def pages(content: bytes) -> Iterator[Any]:
    """Yield the pages as another library renders and reads them."""
    yield from pypdfium2.PdfDocument(content)


def ink_at_the_edges(content: bytes, *, edge: float = 4.0) -> list[int]:
    """Return the numbers of pages that have ink within so many millimetres of the paper's edge."""
    dots = 60  # per inch
    strip = round(edge / 25.4 * dots)
    found = []
    for number, page in enumerate(pages(content), 1):
        grey = np.asarray(page.render(scale=dots / 72).to_pil().convert("L"))
        edges = (grey[:strip], grey[-strip:], grey[:, :strip], grey[:, -strip:])
        if min(int(each.min()) for each in edges) < 200:
            found.append(number)
    return found
