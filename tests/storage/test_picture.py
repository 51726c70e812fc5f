"""What is kept of a picture is its pixels: upright, reduced, and nothing of the file it came in."""

import re
import tracemalloc
from pathlib import Path

import pytest
from pictures import BOTTOM, CAMERA, TOP, bomb, drawn_over_and_over, jpeg, noted_jpeg, opened, picture, png
from PIL import Image

from evenwater.storage.picture import LONGEST_PX, MOST_PIXELS, SMALL_PX, NoPicture, TooManyPixels, redrawn

ON_DEVICES = Path(__file__).parents[2] / "frontend" / "offline" / "draw-photo.js"


def near(found: tuple[int, ...], wanted: tuple[int, ...]) -> bool:
    """Whether two colours look alike; JPEG keeps them to a few steps of 255."""
    return all(abs(a - b) <= 12 for a, b in zip(found, wanted, strict=True))


def test_a_picture_is_kept_in_two_sizes() -> None:
    kept = redrawn(jpeg(picture(3200, 2400)))
    assert (kept.width_px, kept.height_px) == opened(kept.whole).size == (LONGEST_PX, 1200)
    assert opened(kept.small).size == (SMALL_PX, 240)


def test_phones_reduce_to_the_same_sizes() -> None:
    told = dict(re.findall(r"^const (\w+_PX) = (\d+);", ON_DEVICES.read_text(encoding="utf-8"), re.MULTILINE))
    assert told == {"LONGEST_PX": str(LONGEST_PX), "SMALL_PX": str(SMALL_PX)}


def test_a_picture_that_is_small_already_is_not_blown_up() -> None:
    kept = redrawn(jpeg(picture(120, 90)))
    assert opened(kept.whole).size == opened(kept.small).size == (120, 90)


def test_place_time_camera_and_comment_are_gone() -> None:
    sent = noted_jpeg()
    assert opened(sent).getexif()[271] == CAMERA and opened(sent).getexif().get_ifd(0x8825)
    kept = redrawn(sent)
    for content in (kept.whole, kept.small):
        found = opened(content)
        assert not found.getexif()
        assert set(found.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"}
        for told in (b"Exif", CAMERA.encode(), b"Anna", b"2026:11:24", b"ICC_PROFILE", b"http://ns.adobe.com"):
            assert told not in content


# How EXIF numbers the ways a camera is held, and which corner of the upright picture the water's left end is then in:
# TIFF 6.0, tag 274 (Orientation), "the 0th row, 0th column".
HELD = {1: "top", 2: "top", 3: "bottom", 4: "bottom", 5: "left", 6: "right", 7: "right", 8: "left"}


@pytest.mark.parametrize("orientation", HELD)
def test_a_picture_is_turned_upright_by_what_the_camera_noted(orientation: int) -> None:
    kept = opened(redrawn(noted_jpeg(picture(800, 600), orientation)).whole)
    wide, high = kept.size
    assert kept.size == ((600, 800) if orientation >= 5 else (800, 600))
    seen = {
        "top": (wide // 2, 60),
        "bottom": (wide // 2, high - 60),
        "left": (60, high // 2),
        "right": (wide - 60, high // 2),
    }
    assert near(kept.getpixel(seen[HELD[orientation]]), TOP)
    others = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
    assert near(kept.getpixel(seen[others[HELD[orientation]]]), BOTTOM)


def test_what_is_see_through_comes_out_as_paper() -> None:
    glass = Image.new("RGBA", (40, 40), (200, 0, 0, 0))
    kept = opened(redrawn(png(glass)).whole)
    assert near(kept.getpixel((20, 20)), (255, 255, 255))


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA"])
def test_every_common_way_of_writing_pixels_is_read(mode: str) -> None:
    assert opened(redrawn(png(picture().convert(mode))).whole).mode == "RGB"


def test_a_printers_jpeg_is_read_too() -> None:
    kept = opened(redrawn(jpeg(picture().convert("CMYK"))).whole)
    assert kept.mode == "RGB"


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"GIF89a" + bytes(100),
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.7",
        jpeg(picture())[:40],
        jpeg(picture())[:-500],
        png(picture())[:-200],
        b"\xff\xd8\xff\xe0" + bytes(2000),
    ],
    ids=["nothing", "a GIF", "a drawing with a script", "a PDF", "a head", "a cut JPEG", "a cut PNG", "a JPEG in name"],
)
def test_what_is_no_whole_picture_is_refused(sent: bytes) -> None:
    with pytest.raises(NoPicture) as refused:
        redrawn(sent)
    assert refused.value.code == "no_picture" and refused.value.right == "a JPEG or PNG file"


def test_a_small_file_that_claims_gigabytes_is_refused_before_any_pixel_is_made() -> None:
    sent = bomb()
    assert len(sent) < 500
    tracemalloc.start()
    try:
        with pytest.raises(TooManyPixels, match="60000 x 60000"):
            redrawn(sent)
        _, most_bytes = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most_bytes < 2_000_000


def test_the_limit_of_pixels_is_kept_to_the_pixel() -> None:
    at_it = png(Image.new("1", (4000, MOST_PIXELS // 4000)))
    assert redrawn(at_it).width_px == LONGEST_PX
    with pytest.raises(TooManyPixels):
        redrawn(png(Image.new("1", (4000, MOST_PIXELS // 4000 + 1))))


def test_a_jpeg_that_is_drawn_over_and_over_is_refused() -> None:
    assert redrawn(drawn_over_and_over(2)).width_px == 64
    with pytest.raises(NoPicture, match="drawn over"):
        redrawn(drawn_over_and_over(2000))


def test_what_hangs_on_behind_a_picture_is_not_kept() -> None:
    script = b"<script>fetch('/api/sign-out', {method: 'POST'})</script>PK\x03\x04"
    kept = redrawn(jpeg(picture(), comment=script) + script)
    assert b"script" not in kept.whole + kept.small and b"PK\x03\x04" not in kept.whole + kept.small
