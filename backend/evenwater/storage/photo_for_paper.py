"""A photo as it goes into a file that is sent: small enough that thirty of them fit into one letter."""

import io
from typing import Final

from PIL import Image

LONGEST_PX: Final = 900
_QUALITY: Final = 78


def for_paper(content: bytes) -> bytes:
    """A photo of ours, reduced; nothing but pixels is in it, as nothing else was in what it is made of.

    Args:
        content: A JPEG that was drawn here.
    """
    with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
        picture.thumbnail((LONGEST_PX, LONGEST_PX))
        reduced = io.BytesIO()
        picture.convert("RGB").save(reduced, "JPEG", quality=_QUALITY, optimize=True)
    return reduced.getvalue()
