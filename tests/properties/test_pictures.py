"""Whatever is sent as a photo: it is refused by name, or what is kept of it is a JPEG with nothing but pixels."""

from hypothesis import example, given
from hypothesis import strategies as st
from pictures import drawn_over_and_over, jpeg, noted_jpeg, opened, picture, png
from PIL import Image

from evenwater.domain.errors import DomainError
from evenwater.storage.picture import LONGEST_PX, SMALL_PX, redrawn

SIDES = st.integers(1, 90)
WHOLE = (noted_jpeg(picture(64, 48), 6), png(picture(64, 48)), jpeg(picture(64, 48), progressive=True))
# Markers of segments that carry notes: APP1 to APP15 (Exif, XMP, ICC, MPF, Adobe) and COM. APP0 is JFIF's own.
NOTES = {*range(0xE1, 0xF0), 0xFE}


def markers(content: bytes) -> set[int]:
    """The markers of a JPEG's segments up to the first scan (ITU-T T.81, B.1.1)."""
    found, place = set[int](), 2
    while content[place] == 0xFF and content[place + 1] != 0xDA:
        found.add(content[place + 1])
        place += 2 + int.from_bytes(content[place + 2 : place + 4], "big")
    return found


def check_kept(sent: bytes) -> None:
    try:
        kept = redrawn(sent)
    except DomainError as error:
        assert error.code in ("no_picture", "too_many_pixels") and error.right
        return
    for content, longest in ((kept.whole, LONGEST_PX), (kept.small, SMALL_PX)):
        assert max(opened(content).size) <= longest
        assert not opened(content).getexif()
        assert not markers(content) & NOTES


def test_the_reader_of_markers_finds_notes_where_there_are_some() -> None:
    assert {0xE1, 0xFE} <= markers(noted_jpeg())


@given(SIDES, SIDES, st.integers(0, 2499), st.integers(1, 8), st.sampled_from(["RGB", "L", "CMYK"]))
def test_a_picture_of_any_shape_keeps_its_shape_and_none_of_its_notes(
    width_px: int, height_px: int, seed: int, orientation: int, mode: str
) -> None:
    drawn = picture(width_px, height_px, seed).convert(mode)
    sent = noted_jpeg(drawn, orientation)
    check_kept(sent)
    kept = redrawn(sent)
    turned = orientation >= 5
    assert (kept.width_px, kept.height_px) == ((height_px, width_px) if turned else (width_px, height_px))


@given(
    st.sampled_from(WHOLE),
    st.lists(st.tuples(st.integers(0, 4000), st.binary(min_size=1, max_size=4)), max_size=6),
    st.integers(0, 4000),
)
@example(drawn_over_and_over(99), [], 0)
def test_a_spoilt_file_is_refused_or_comes_out_clean(whole: bytes, spoilt: list[tuple[int, bytes]], cut: int) -> None:
    sent = bytearray(whole)
    for place, other in spoilt:
        sent[place : place + len(other)] = other
    check_kept(bytes(sent[: len(sent) - cut] if cut < len(sent) else sent))


@given(st.binary(max_size=200))
def test_bytes_of_any_kind_are_refused_by_name(sent: bytes) -> None:
    check_kept(sent)


@given(st.integers(1, 40), st.integers(1, 40))
def test_see_through_pictures_come_out_whole(width_px: int, height_px: int) -> None:
    check_kept(png(Image.new("RGBA", (width_px, height_px), (9, 9, 9, 100)), exif=Image.Exif()))
