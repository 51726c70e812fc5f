"""A photo as it goes into a file that is sent: small enough that thirty of them fit into one letter."""

import io
from typing import Final

from PIL import Image

from evenwater.storage.picture import BROKEN

LONGEST_PX: Final = 900
_QUALITY: Final = 78


def for_paper(content: bytes) -> bytes | None:
    """A photo of ours, reduced; nothing but pixels is in it, as nothing else was in what it is made of.

    None when its file is no picture any more, as on a worn disk: the rest of a report still stands.

    Args:
        content: A JPEG that was drawn here.
    """
    reduced = io.BytesIO()
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
            picture.thumbnail((LONGEST_PX, LONGEST_PX))
            picture.convert("RGB").save(reduced, "JPEG", quality=_QUALITY, optimize=True)
    except BROKEN:
        return None
    return reduced.getvalue()
