"""What a person sees of files that are no plain photo: huge, torn, of a kind unknown here, or meant to harm."""

import io

import pytest
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.photo_phone import choose, open_book, photos_on, shot
from journeys.round_screen import press
from journeys.waiting import until
from photo_notes import noted_everywhere, notes_in
from pictures import bomb, jpeg, opened, picture
from PIL import Image
from playwright.sync_api import Page, expect


@pytest.fixture
def form(keeper: Caller, phone: Page) -> Page:
    """A phone with a note begun."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_book(phone)
    press(phone, "Write a note")
    phone.get_by_label("Note").fill("A look")
    return phone


def file(name: str, content: bytes) -> dict[str, object]:
    return {"name": name, "mimeType": "image/jpeg", "buffer": content}


def white_png(width_px: int, height_px: int) -> bytes:
    """Whole and small, whatever it claims: paper in one bit a pixel packs to almost nothing."""
    out = io.BytesIO()
    Image.new("1", (width_px, height_px), 1).save(out, "PNG")
    return out.getvalue()


def test_each_is_told_by_its_name_and_the_good_one_is_taken(form: Page) -> None:
    heic = b"\0\0\0\x18ftypheic" + bytes(400)
    choose(
        form,
        file("torn.jpg", jpeg(picture())[:300]),
        file("from an iPhone.HEIC", heic),
        file("claims.png", bomb()),
        file("paper.png", white_png(12_000, 11_000)),
        shot(1),
    )
    alert = form.get_by_role("alert")
    for name in ("torn.jpg", "from an iPhone.HEIC", "claims.png"):
        expect(alert).to_contain_text(f"{name} is not a picture this phone can show. A photo as JPEG or PNG would do.")
    expect(alert).to_contain_text("paper.png has more pixels than a phone can take in: over 120 million.")
    expect(form.get_by_role("button", name="take out: photo 1")).to_be_visible()
    expect(form.get_by_role("button", name="take out: photo 2")).to_have_count(0)
    assert len(photos_on(form)) == 1


def test_a_photo_of_fifty_million_pixels_is_reduced_beside_the_page(form: Page) -> None:
    choose(form, file("huge.jpg", jpeg(picture(8192, 6144))))
    expect(form.get_by_role("button", name="take out: photo 1")).to_be_visible()
    assert [worker.url.rpartition("/")[2] for worker in form.workers] == ["photo-worker.js"]
    press(form, "Save")
    (kept,) = photos_on(form)
    assert kept["size"] <= 300_000


def test_a_browser_without_such_workers_reduces_on_the_page_and_turns_it_upright_too(form: Page, home: Home) -> None:
    form.evaluate("() => { delete globalThis.OffscreenCanvas; }")
    choose(form, file("held on its side.jpg", noted_everywhere(6)))
    expect(form.get_by_role("button", name="take out: photo 1")).to_be_visible()
    assert form.workers == []
    press(form, "Save")
    assert sent(home, form).size == (480, 640)


def test_nothing_but_pixels_leaves_the_phone(form: Page, home: Home) -> None:
    choose(form, file("held on its side.jpg", noted_everywhere(6)))
    expect(form.get_by_role("button", name="take out: photo 1")).to_be_visible()
    press(form, "Save")
    assert sent(home, form).size == (480, 640)


def sent(home: Home, page: Page) -> Image.Image:
    """The photo as it went over the line, with no note in it."""
    until(lambda: any(call.method == "PUT" for call in home.line.calls), "it is sent", page)
    content = next(call.body for call in home.line.calls if call.method == "PUT")
    # The browser says which colours it means; of the place, the day and the people nothing is left.
    assert set(notes_in(content)) <= {"colour profile"}
    return opened(content)
