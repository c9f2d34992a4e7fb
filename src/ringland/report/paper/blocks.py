"""What a paper is made of: worded blocks, without any layout.

A paper is frozen and finished: the template only sets it. Start with `Paper`.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Style = Literal["plain", "lead", "note", "caution", "stop"]
PaperSize = Literal["a4", "us-letter"]
SIZES: dict[str, PaperSize] = {"a4": "a4", "letter": "us-letter"}  # as a person names them
LONGEST_WORD = 22  # characters without a space after which a line may break
_LONG = re.compile(rf"[^\s\u200b]{{{LONGEST_WORD}}}(?=[^\s\u200b])")
# control characters have no glyph; overrides of direction would turn what stands beside them
_UNPRINTABLE = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202d\u202e\ufeff]")
# a name written from right to left is set apart, or it would take the figure beside it along
_HEBREW_TO_ARABIC = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]+"
_RIGHT_TO_LEFT = re.compile(f"{_HEBREW_TO_ARABIC}(?:[ .'-]+{_HEBREW_TO_ARABIC})*")
# letters of private use mean nothing to another reader: ISO 19005-2 level A forbids them
_PRIVATE = re.compile("[\ue000-\uf8ff\ufdd0-\ufdef\ufffe\uffff\U000f0000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing, chart or photo.

    name : file name, unique for its content; alt : what it says, for those who do not see it
    content : SVG text, or a photo's JPEG
    width : share of the column it may fill
    caption : a line below; empty for none
    """

    name: str
    content: str | bytes
    alt: str
    width: float = 1.0
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of a table.

    text : first line; body : lines below it; small : lines below those, smaller
    sign : a picture before the text, which repeats it; picture : instead of text, or below it
    inline : `small` follows on the same line
    """

    text: str = ""
    small: str = ""
    body: str = ""
    sign: Picture | None = None
    picture: Picture | None = None
    bold: bool = False
    inline: bool = False


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 begins a section."""

    text: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    text: str
    style: Style = "plain"


@dataclass(frozen=True, slots=True)
class Facts:
    """Labels with their values, set in columns."""

    rows: tuple[tuple[str, str], ...]
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose head repeats on each page. widths : shares of the whole; dense : rows close up."""

    head: tuple[str, ...]
    rows: tuple[tuple[str | Cell, ...], ...]
    widths: tuple[float, ...]
    dense: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A list; `box` gives each a box to tick, `columns` sets it in columns."""

    items: tuple[str | Cell, ...]
    box: bool = False
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Beside:
    """A picture with blocks to its right, kept together. share : of the width, for the picture."""

    picture: Picture
    blocks: "tuple[Block, ...]"
    share: float = 0.3


@dataclass(frozen=True, slots=True)
class Gallery:
    """Pictures in columns, alone or with words beside them."""

    pictures: tuple[Picture | Beside, ...]
    columns: int = 2


@dataclass(frozen=True, slots=True)
class Blanks:
    """Lines to write on by pencil, each with its label."""

    labels: tuple[str, ...]
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Keep:
    """Blocks that stay on one page. with_next : and on that of the block that follows."""

    blocks: "tuple[Block, ...]"
    with_next: bool = False


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins a page."""


Block = (
    Heading | Text | Facts | Table | Items | Gallery | Beside | Blanks | Keep | NewPage | Picture
)


@dataclass(frozen=True, slots=True)
class Label:
    """A bag's label. code : QR code of the address in `address`; number : of the bag."""

    number: str
    step: str
    parts: tuple[str, ...]
    orientation: str
    foot: str
    code: Picture
    address: str


@dataclass(frozen=True, slots=True)
class Paper:
    """A finished paper.

    title : its one sentence; kind : what it is, for the foot of each page; about : whose it is
    date : ISO date; fixed, so that the same job prints the same bytes
    one_page : what stands before the first `NewPage` is set smaller where it would not fit one page
    """

    kind: str
    title: str
    about: str
    date: str
    blocks: tuple[Block, ...] = ()
    labels: tuple[Label, ...] = ()
    lang: str = "en"
    one_page: bool = False


def printable(text: str) -> str:
    """Return a text that every page can carry: no control characters, and long words may break.

    >>> printable("a\\x07b"), printable("x" * 50).count("\\u200b")
    ('a b', 2)
    """
    clean = _UNPRINTABLE.sub(" ", text).encode("utf-8", "replace").decode("utf-8")
    clean = _PRIVATE.sub("\N{REPLACEMENT CHARACTER}", clean)
    clean = _RIGHT_TO_LEFT.sub("\N{RIGHT-TO-LEFT ISOLATE}\\g<0>\N{POP DIRECTIONAL ISOLATE}", clean)
    return _LONG.sub(lambda found: f"{found[0]}\u200b", clean)


def listed(items: Iterable[str | Cell], *, none: str, **more: object) -> Items | Text:
    """Return a list, or the sentence that says there is nothing."""
    found = tuple(items)
    box, columns = bool(more.get("box")), more.get("columns", 1)
    assert isinstance(columns, int)
    return Items(found, box, columns) if found else Text(none)


def section(title: str, *blocks: Block, level: int = 1) -> tuple[Block, ...]:
    """Return blocks under a heading, or nothing where there are none."""
    return (Heading(title, level), *blocks) if blocks else ()


def table(
    head: Sequence[str],
    rows: Iterable[Sequence[str | Cell]],
    widths: Sequence[float],
    *,
    none: str,
    dense: bool = False,
) -> Table | Text:
    """Return a table, or the sentence that says there is nothing."""
    found = tuple(tuple(row) for row in rows)
    return Table(tuple(head), found, tuple(widths), dense) if found else Text(none)
