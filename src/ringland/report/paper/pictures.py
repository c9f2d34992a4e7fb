"""Pictures made ready for paper: drawings in black on white, photos in a fitting size, QR codes."""

import io
import re
from html import escape, unescape

from ringland.measure.estimates import coverage_factor
from ringland.quantity import Estimate
from ringland.report.drawings.signs import STATES, sign
from ringland.report.paper.blocks import Picture

FACE = "Atkinson Hyperlegible Next"
PLOT_SIZE = (450, 280)  # px: in half the width of a page the letters are 8 pt
PHOTO_PIXELS = 1000  # longest side: about 300 dots per inch in a column of the page
PHOTO_QUALITY = 80
WIDEST = 0.9  # share of the column that a square photo fills; a tall one less, or it fills a page
# the colours of page and calculators' drawings (look: paper, ink, one red pencil) on paper
_PRINTED = {
    "#f4f7f5": "#ffffff",
    "#0d2130": "#000000",
    "#3c5261": "#333333",
    "#70858f": "#777777",
    "#e4ebe8": "#eeeeee",
    "#ad2415": "#000000",
    "currentColor": "#000000",
}
_COLOUR = re.compile("|".join(map(re.escape, _PRINTED)))
_SAID = re.compile(r"<(title|desc)\b[^>]*>(.*?)</\1>", re.DOTALL)
_LABEL = re.compile(r'aria-label="([^"]*)"')


def for_print(svg: str) -> str:
    """Return a drawing in black on white, in the typeface of the paper.

    >>> for_print('<svg viewBox="0 0 1 1"><path fill="currentColor"/></svg>')
    '<svg font-family="Atkinson Hyperlegible Next" viewBox="0 0 1 1"><path fill="#000000"/></svg>'
    """
    black = _COLOUR.sub(lambda found: _PRINTED[found[0]], svg)
    head, rest = black.split(">", 1)
    return (
        head.replace("<svg", f'<svg font-family="{FACE}"', 1) + ">" + rest
        if ("font-family" not in head)
        else black
    )


def file_name(words: str) -> str:
    """Return words as the name of a file.

    >>> file_name("face-head gasket, as found")
    'face-head-gasket--as-found'
    """
    return "".join(letter if letter.isalnum() and letter.isascii() else "-" for letter in words)


def drawing(
    name: str, svg: str, *, alt: str = "", width: float = 1.0, caption: str = ""
) -> Picture:
    """Return a drawing as a picture; what it says is taken from it where nothing else is given.

    name : of its file, in any words that tell it from the others of the paper
    """
    return Picture(f"{file_name(name)}.svg", for_print(svg), alt or said_by(svg), width, caption)


def plot_picture(name: str, svg: str, caption: str) -> Picture:
    """Return a chart as a picture with a caption."""
    return drawing(f"plot-{name}", svg, caption=caption)


def half_width(estimate: Estimate) -> float:
    """Return the ± of an estimate at 95 %, in its own unit."""
    return float(coverage_factor(0.95, estimate.dof) * estimate.u)


def said_by(svg: str) -> str:
    """Return the text alternative that a drawing carries: its title and description, or label."""
    found = [unescape(text.strip()) for _, text in _SAID.findall(svg)]
    label = _LABEL.search(svg)
    return ". ".join(each.rstrip(".") for each in found if each) or (
        unescape(label[1]) if label else ""
    )


def sign_of(word: str) -> Picture:
    """Return the sign of a verdict's word; it stands before the word and repeats it."""
    state = STATES[word]
    svg = sign(state).replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
    return Picture(f"sign-{state}.svg", for_print(svg), word)


def photo(name: str, content: bytes | None, *, alt: str, caption: str = "") -> Picture:
    """Return a photo upright and no larger than the page needs, without what the camera wrote in it.

    content : as it was kept; None, or what no program can read, leaves a frame that says so
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(io.BytesIO(content or b"")) as found:
            upright = ImageOps.exif_transpose(found).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError):
        reason = "photo is not in the store" if content is None else "photo cannot be read"
        return Picture(f"{name}.svg", _empty_frame(reason), f"{alt}: {reason}", 1.0, caption)
    upright.thumbnail((PHOTO_PIXELS, PHOTO_PIXELS))
    jpeg = io.BytesIO()
    upright.save(jpeg, "JPEG", quality=PHOTO_QUALITY)
    tall = upright.width / upright.height
    return Picture(f"{name}.jpg", jpeg.getvalue(), alt, min(1.0, WIDEST * tall), caption)


def _empty_frame(reason: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300" font-family="{FACE}">'
        '<rect x="2" y="2" width="396" height="296" fill="none" stroke="#000000" '
        'stroke-width="2" stroke-dasharray="8 6"/><text x="200" y="156" font-size="20" '
        f'text-anchor="middle">{escape(reason)}</text></svg>'
    )


def code(name: str, address: str) -> Picture:
    """Return the QR code of an address (ISO/IEC 18004), readable with a smudge on it."""
    import segno

    out = io.BytesIO()
    made = segno.make_qr(address, error="m")
    made.save(
        out, kind="svg", border=2, xmldecl=False, svgclass=None, lineclass=None, omitsize=True
    )
    return Picture(f"{name}.svg", out.getvalue().decode(), f"QR code: {address}")
