"""A photo as it goes into a file: smaller, whole, and nothing in it but what is seen."""

from pictures import grainy, jpeg, noted_jpeg, opened, picture

from evenwater.storage.photo_for_paper import LONGEST_PX, for_paper
from evenwater.storage.picture import redrawn


def test_it_is_no_longer_than_paper_needs_and_keeps_its_shape():
    small = opened(for_paper(redrawn(jpeg(picture(2000, 1000))).whole))
    assert (small.format, small.size) == ("JPEG", (LONGEST_PX, LONGEST_PX // 2))


def test_one_that_is_small_already_is_not_blown_up():
    assert opened(for_paper(jpeg(picture(300, 200)))).size == (300, 200)


def test_no_notes_of_the_camera_are_in_it():
    assert not opened(for_paper(noted_jpeg(picture(1200, 900)))).getexif()


def test_a_file_that_is_no_picture_any_more_gives_none():
    whole = jpeg(picture(1200, 900))
    assert [for_paper(one) for one in (b"", b"worn disk", whole[: len(whole) // 2])] == [None, None, None]


def test_thirty_of_them_fit_into_a_letter():
    whole = redrawn(jpeg(grainy(1, 1600, 1200), quality=85)).whole
    assert len(for_paper(whole)) < 600_000
