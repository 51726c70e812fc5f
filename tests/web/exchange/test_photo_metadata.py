"""What the server shows of a photo, read back with a library that is not ours: no place, no time, nobody, nothing.

The notes of a photo tell strangers where valuable fish swim; so it is looked at in what goes out, not in what we wrote.
"""

import hashlib
from collections.abc import Callable
from typing import Any

import httpx
import pytest
from photo_notes import TELL_TALES, TRAILER, noted_everywhere, noted_png, notes_in
from pictures import opened

KINDS = {
    "a camera's JPEG": noted_everywhere,
    "one held on its side": lambda: noted_everywhere(6),
    "a PNG": noted_png,
}


async def sent_and_shown(keeper: httpx.AsyncClient, sent: bytes) -> list[bytes]:
    """Both sizes of it, as anybody of the household gets them."""
    path = f"/api/photos/{hashlib.sha256(sent).hexdigest()}"
    answer = await keeper.put(path, content=sent, headers={"Content-Type": "image/jpeg"})
    assert answer.status_code == 200, answer.text
    shown = [await keeper.get(path), await keeper.get(f"{path}/small")]
    assert [one.status_code for one in shown] == [200, 200]
    return [one.content for one in shown]


def test_the_reader_finds_every_kind_of_note_where_there_is_one() -> None:
    found = notes_in(noted_everywhere())
    for kind in ("Exif.GPSInfo.GPSLatitude", "Exif.Photo.DateTimeOriginal", "Xmp.exif.GPSLatitude", "Xmp.dc.creator"):
        assert kind in found
    for kind in ("Iptc.Application2.City", "Iptc.Application2.Byline", "comment", "colour profile", "thumbnail"):
        assert kind in found
    assert {"Exif.GPSInfo.GPSLatitude", "Xmp.dc.creator", "Iptc.Application2.City"} <= set(notes_in(noted_png()))


@pytest.mark.parametrize("make", KINDS.values(), ids=KINDS.keys())
async def test_nothing_but_pixels_comes_out(keeper: httpx.AsyncClient, make: Callable[[], bytes]) -> None:
    sent = make()
    for shown in await sent_and_shown(keeper, sent):
        assert notes_in(shown) == []
        for words in TELL_TALES:
            assert words.encode() not in shown and words.encode("utf-16-le") not in shown
        assert shown.count(b"\xff\xd8\xff") == 1 and shown.endswith(b"\xff\xd9"), "one picture, and nothing behind it"
        assert TRAILER[-200:] not in shown


async def test_the_place_and_the_people_stand_nowhere_in_the_data_folder(
    keeper: httpx.AsyncClient, household: Any
) -> None:
    await sent_and_shown(keeper, noted_everywhere())
    folder = household.settings.data
    files = [one for one in folder.rglob("*") if one.is_file()]
    assert len([one for one in files if one.suffix == ".jpg"]) == 2
    for file in files:
        content = file.read_bytes()
        assert not [words for words in TELL_TALES if words.encode() in content], file


async def test_a_photo_held_on_its_side_is_turned_although_its_note_of_that_is_gone(keeper: httpx.AsyncClient) -> None:
    whole, small = await sent_and_shown(keeper, noted_everywhere(6))
    assert opened(whole).size == (480, 640) and opened(small).size == (240, 320)
