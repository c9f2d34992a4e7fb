"""Photos from outside: opened with care, turned upright, made smaller, written anew without their data.

Position, time and camera that a phone writes into a photo are left behind.
"""

import warnings
from io import BytesIO

from ringland.bench.refusal import Refused

LONGEST_SIDE = 1600  # px; enough to read a stamp
MOST_PIXELS = 60_000_000
QUALITY = 82


def clean_photo(content: bytes) -> bytes:
    """Return a photo as a small JPEG without any data but the picture. Raises Refused."""
    from PIL import Image, ImageOps

    if not content:
        raise Refused("the photo is empty: take it again")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with Image.open(BytesIO(content), formats=("JPEG", "PNG", "WEBP")) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise Refused("the photo has too many pixels: take it with a lower setting")
                image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
                upright = ImageOps.exif_transpose(image)
                upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
                bare = Image.new("RGB", upright.size, "white")
                bare.paste(upright.convert("RGB"))
    except Refused:
        raise
    except Exception as error:  # whatever a damaged file makes a decoder raise
        raise Refused(
            f"this is no photo that can be read (JPEG, PNG or WebP): {type(error).__name__}"
        ) from None
    out = BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
