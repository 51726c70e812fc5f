"""All that files of cameras and of picture programs carry beside their pixels, written and read by Exiv2.

Exiv2 is a library of its own that shares no code with the one that draws our pictures anew: what it does not find is
not there because we looked the wrong way.
"""

import io
from collections.abc import Iterator

import exiv2
from pictures import CAMERA, jpeg, noted_jpeg, picture, png
from PIL import Image, ImageCms

TELL_TALES = (CAMERA, "Wendel", "Sallow", "2026:11:24", "52,31.2083N")
"""Words that stand in the notes of `noted` files, and may stand in nothing that is kept."""
TRAILER = jpeg(picture(200, 150, 7), comment=b"the picture before it was cut")
"""A second picture behind the first, as phones hang on a moving one, a depth map or the uncut original."""


def noted_everywhere(orientation: int = 1) -> bytes:
    """A JPEG with notes of every kind, each of which names the place or a person, and with a picture hung on behind."""
    plain = noted_jpeg(picture(640, 480), orientation)
    with Image.open(io.BytesIO(plain)) as drawn:
        whole = jpeg(drawn, exif=drawn.getexif(), icc_profile=_profile())
    return _noted(whole) + TRAILER


def noted_png() -> bytes:
    """The same as a PNG, with words in a text chunk besides."""
    return _noted(png(picture(640, 480), icc_profile=_profile()))


def _profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def _noted(whole: bytes) -> bytes:
    file = exiv2.ImageFactory.open(whole)
    file.readMetadata()
    exif, xmp, iptc = file.exifData(), file.xmpData(), file.iptcData()
    exif["Exif.Image.Make"] = CAMERA
    exif["Exif.Image.Artist"] = "Wendel"
    exif["Exif.Photo.DateTimeOriginal"] = "2026:11:24 16:41:07"
    exif["Exif.GPSInfo.GPSLatitudeRef"] = "N"
    exif["Exif.GPSInfo.GPSLatitude"] = "52/1 31/1 125/10"
    exiv2.ExifThumb(exif).setJpegThumbnail(jpeg(picture(160, 120, 3)))
    xmp["Xmp.dc.creator"] = "Wendel"
    xmp["Xmp.exif.GPSLatitude"] = "52,31.2083N"
    iptc["Iptc.Application2.City"] = "Sallow"
    iptc["Iptc.Application2.Byline"] = "Wendel"
    file.setComment("Wendel's garden")
    file.writeMetadata()
    return bytes(file.io().data())


def notes_in(content: bytes) -> list[str]:
    """What Exiv2 finds beside the pixels: the names of all tags, and of what is no tag."""
    return sorted(_found(content))


def _found(content: bytes) -> Iterator[str]:
    file = exiv2.ImageFactory.open(content)
    file.readMetadata()
    for kind in (file.exifData(), file.xmpData(), file.iptcData()):
        yield from (str(one.key()) for one in kind)
    if file.comment():
        yield "comment"
    if file.iccProfileDefined():
        yield "colour profile"
    if exiv2.ExifThumb(file.exifData()).copy().size():
        yield "thumbnail"
    if len(list(exiv2.PreviewManager(file).getPreviewProperties())):
        yield "preview"
