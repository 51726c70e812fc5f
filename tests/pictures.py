"""Pictures for tests, drawn here: a tidy one, one with notes a camera makes, and those meant to do harm."""

import io
import random
import struct
import zlib

from PIL import Image, ImageDraw
from PIL.ExifTags import GPS, IFD, Base

CAMERA = "Kamera Nord 7"
PLACE_D = (52.0, 31.0, 12.5)
"""Degrees, minutes and seconds of latitude that a camera noted."""
TOP, BOTTOM = (20, 90, 160), (200, 160, 60)


def picture(width_px: int = 640, height_px: int = 480, seed: int = 0) -> Image.Image:
    """The upper half is water, the lower stone; `seed` makes it another one."""
    drawn = Image.new("RGB", (width_px, height_px), BOTTOM)
    pen = ImageDraw.Draw(drawn)
    pen.rectangle((0, 0, width_px, max(0, height_px // 2 - 1)), fill=TOP)
    pen.rectangle((0, 0, 7 + seed % 50, 3 + seed // 50), fill=(seed % 256, 255 - seed % 256, 40))
    return drawn


def grainy(seed: int, width_px: int = 320, height_px: int = 240) -> Image.Image:
    """A picture that packs badly, as moving water does; another one for each seed."""
    return Image.frombytes("RGB", (width_px, height_px), random.Random(seed).randbytes(width_px * height_px * 3))


def jpeg(drawn: Image.Image, **more: object) -> bytes:
    out = io.BytesIO()
    drawn.save(out, "JPEG", **more)
    return out.getvalue()


def png(drawn: Image.Image, **more: object) -> bytes:
    out = io.BytesIO()
    drawn.save(out, "PNG", **more)
    return out.getvalue()


def noted_jpeg(drawn: Image.Image | None = None, orientation: int = 1) -> bytes:
    """As a camera writes it: with its name, the place, the time, a comment, and how it was held."""
    exif = Image.Exif()
    exif[Base.Make] = CAMERA
    exif[Base.DateTime] = "2026:11:24 16:41:07"
    exif[Base.Orientation] = orientation
    exif.get_ifd(IFD.GPSInfo).update(
        {GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: PLACE_D, GPS.GPSLongitudeRef: "E", GPS.GPSLongitude: PLACE_D}
    )
    return jpeg(drawn or picture(), exif=exif, comment=b"Anna's garden", dpi=(72, 72))


def bomb(width_px: int = 60_000, height_px: int = 60_000) -> bytes:
    """A PNG of a few hundred bytes that claims to be that large; the pixels' data are the beginning of many."""
    head = struct.pack(">IIBBBBB", width_px, height_px, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", head)
        + _chunk(b"IDAT", zlib.compress(bytes(50_000)))
        + _chunk(b"IEND", b"")
    )


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def drawn_over_and_over(scans: int) -> bytes:
    """A progressive JPEG whose last scan stands there again and again."""
    whole = jpeg(picture(64, 64), progressive=True)
    last = whole.rindex(b"\xff\xda")
    return whole[:last] + whole[last:-2] * scans + whole[-2:]


def opened(content: bytes) -> Image.Image:
    """A picture to look at, decoded."""
    found = Image.open(io.BytesIO(content))
    found.load()
    return found
