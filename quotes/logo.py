"""A shop's logo as it is kept: checked, made small, drawn anew, so that nothing of the uploaded file is kept. Pure."""

from __future__ import annotations

import warnings
from base64 import b64encode
from io import BytesIO

from PIL import Image

MOST_BYTES = 2_000_000
# What it is kept as, in pixels: three times what a paper shows of it at 72 to the inch.
WIDE, HIGH = 480, 120
_MOST_PIXELS = 40_000_000
# A JPEG may bring its dots in layers, ten or so; a layer of 60 bytes has the reader go through all dots again.
_LAYER, _MOST_LAYERS = b"\xff\xda", 50


class LogoError(ValueError):
    """What can't be taken as a logo: one sentence."""


def read_logo(content: bytes) -> str:
    """The picture as PNG in base64, no larger than WIDE by HIGH. Raises LogoError."""
    if len(content) > MOST_BYTES:
        raise LogoError("This picture is larger than 2 MB: send a smaller one.")
    try:
        with warnings.catch_warnings():
            # Django's handler of uploads says nothing of what a picture unpacks to.
            warnings.simplefilter("error")
            picture = Image.open(BytesIO(content), formats=("PNG", "JPEG"))
            if picture.width * picture.height > _MOST_PIXELS:
                raise LogoError("This picture has more than 40 million dots: send a smaller one.")
            if picture.format == "JPEG" and content.count(_LAYER) > _MOST_LAYERS:
                raise LogoError("This picture comes in too many layers: send a PNG of it.")
            drawn = picture.convert("RGBA")
    except LogoError:
        raise
    # Whatever a damaged file makes the reader raise, it is no picture to us.
    except Exception:
        raise LogoError("This is no picture that can be read: send a PNG or a JPEG.") from None
    drawn.thumbnail((WIDE, HIGH), Image.Resampling.LANCZOS)
    made = BytesIO()
    drawn.save(made, "PNG", optimize=True)
    return b64encode(made.getvalue()).decode()
