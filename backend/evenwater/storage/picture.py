"""A picture as it is kept: drawn anew, so that nothing is left of the file it came in but what is seen.

- Where it was taken, by what and when, names, thumbnails of what was cut away, a script hung on behind: all of it is
  gone, because only the pixels go on. Turned upright first.
- How many pixels it has is read from its head and limited before any is decoded: a few hundred bytes can claim
  gigabytes. How often a JPEG goes over them all is limited too: each time costs as much as the first.
"""

import io
import struct
import warnings
import zlib

from msgspec import Struct
from PIL import Image, ImageOps

from evenwater.domain.errors import DomainError

MOST_PIXELS = 12_500_000
LONGEST_PX = 1600
SMALL_PX = 320
_QUALITY, _SMALL_QUALITY = 85, 75
_MOST_SCANS = 100
_NEXT_SCAN = b"\xff\xda"
_RIGHT = "a JPEG or PNG file"
# What devices send, and what is drawn on screens; the fewer decoders a stranger's bytes reach, the better.
_FORMATS = ("JPEG", "PNG")
# What the library raises at a file that is broken, or was made to break it.
BROKEN = (
    *(OSError, EOFError, SyntaxError, ValueError, TypeError, LookupError, ArithmeticError),
    *(struct.error, zlib.error, Image.DecompressionBombError),
)
# Its own limit warns first and refuses at twice the size; ours refuses.
Image.MAX_IMAGE_PIXELS = None


class NoPicture(DomainError):
    """Bytes that are no whole picture of a kind we take."""

    code = "no_picture"


class TooManyPixels(DomainError):
    """A picture that would take more memory than one is worth."""

    code = "too_many_pixels"


class Redrawn(Struct, frozen=True):
    """A picture in both its sizes, each a JPEG without anything but pixels."""

    whole: bytes
    small: bytes
    width_px: int
    height_px: int


def redrawn(content: bytes) -> Redrawn:
    """Decode what was sent, turn it upright, reduce it, and draw it anew.

    Raises:
        NoPicture: it is none, or not whole.
        TooManyPixels: more than MOST_PIXELS.
    """
    with warnings.catch_warnings():
        # A camera's notes may make no sense; they are thrown away with the rest.
        warnings.simplefilter("ignore", UserWarning)
        try:
            with Image.open(io.BytesIO(content), formats=_FORMATS) as picture:
                _require_size(picture)
                _require_few_scans(content)
                return _drawn(picture)
        except BROKEN as error:
            raise NoPicture(f"this is no whole picture ({type(error).__name__})", where="body", right=_RIGHT) from error


def size_of(content: bytes) -> tuple[int, int]:
    """(width, height) of a picture that was drawn here [px].

    Raises:
        NoPicture: it is none.
    """
    try:
        with Image.open(io.BytesIO(content), formats=_FORMATS) as picture:
            return picture.size
    except BROKEN as error:
        raise NoPicture("this is no picture", where="file", right=_RIGHT) from error


def _require_size(picture: Image.Image) -> None:
    width, height = picture.size
    if width * height > MOST_PIXELS:
        raise TooManyPixels(
            f"the picture has {width} x {height} pixels", where="body", right=f"at most {MOST_PIXELS} pixels"
        )


def _require_few_scans(content: bytes) -> None:
    """A camera's JPEG has one scan, one made for the web some ten (its marker cannot stand among the pixels' data)."""
    scans = content.count(_NEXT_SCAN)
    if scans > _MOST_SCANS:
        raise NoPicture(f"the picture is drawn over {scans} times", where="body", right=_RIGHT)


def _drawn(picture: Image.Image) -> Redrawn:
    picture.draft("RGB", (LONGEST_PX, LONGEST_PX))  # a large JPEG is decoded at a half or a quarter of its size
    ImageOps.exif_transpose(picture, in_place=True)
    picture.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
    whole = _on_paper(picture)
    small = whole.copy()
    small.thumbnail((SMALL_PX, SMALL_PX), Image.Resampling.LANCZOS)
    return Redrawn(_as_jpeg(whole, _QUALITY), _as_jpeg(small, _SMALL_QUALITY), *whole.size)


def _on_paper(picture: Image.Image) -> Image.Image:
    """The pixels alone, on white where one sees through: a new picture knows nothing of the one it was made from."""
    paper = Image.new("RGB", picture.size, "white")
    if picture.has_transparency_data:
        seen = picture.convert("RGBA")
        paper.paste(seen, mask=seen.getchannel("A"))
    else:
        paper.paste(picture.convert("RGB"))
    return paper


def _as_jpeg(picture: Image.Image, quality: int) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
    return out.getvalue()
