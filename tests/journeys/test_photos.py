"""Photos at the pond: on a tick, on what is done already, on a note, on trouble; seen here and on another phone."""

import re

import pytest
from journeys.failures.device import tick
from journeys.line import drops_the_call
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.photo_phone import choose, go_on, make_photos_slow, note_with, open_book, photos_at, photos_on, shot
from journeys.round_screen import card, press, sync_line
from journeys.test_every_screen import AXE, RUN_AXE, SIDEWAYS
from journeys.waiting import until
from pictures import BOTTOM, CAMERA, TOP, noted_jpeg, opened, picture
from playwright.sync_api import Locator, Page, expect

# The colour in the middle of a picture's upper and lower edge, as they are on the screen, and its size in pixels.
LOOK_AT = """async (image) => {
  await image.decode();
  const canvas = Object.assign(document.createElement("canvas"), { width: 100, height: 100 });
  const context = canvas.getContext("2d");
  context.drawImage(image, 0, 0, 100, 100);
  const at = (x, y) => [...context.getImageData(x, y, 1, 1).data.slice(0, 3)];
  return { top: at(50, 10), bottom: at(50, 90), width: image.naturalWidth, height: image.naturalHeight };
}"""


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone on its round, signed in, the app on it."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    return phone


def camera_shot(orientation: int, width_px: int = 2400, height_px: int = 1800) -> dict[str, object]:
    """A photo as a camera writes it that was held that way, with the place and the time in it."""
    content = noted_jpeg(picture(width_px, height_px), orientation)
    return {"name": "IMG_0001.JPG", "mimeType": "image/jpeg", "buffer": content}


def near(found: list[int], wanted: tuple[int, ...]) -> bool:
    return all(abs(a - b) < 14 for a, b in zip(found, wanted, strict=True))


def thumbs(inside: Page | Locator) -> Locator:
    """The photos in sight, small."""
    return inside.get_by_role("button", name=re.compile("^Photo.*: open$"))


def is_drawn(thumb: Locator) -> bool:
    return thumb.locator("img").evaluate("(image) => image.complete && image.naturalWidth > 0")


def test_a_photo_goes_with_a_tick_and_is_seen_in_the_pond_book_of_another_phone(page, new_phone, keeper, home):
    buffer = card(page, "Covers on")
    press(buffer, "photo")
    choose(page, camera_shot(1))
    expect(buffer.get_by_role("button", name="take out: photo 1")).to_be_visible()
    tick(page, "Covers on")
    expect(sync_line(page)).to_contain_text("All sent")
    until(lambda: len(photos_at(home)) == 1, "the photo is home", page)
    ticked = [one["entry"] for one in keeper.log("tick") if one["entry"].get("photos")]
    assert [(one["slot"], one["photos"]) for one in ticked] == [("on", photos_at(home))]

    other = new_phone()
    sign_in(other)
    open_book(other)
    line = other.get_by_role("listitem").filter(has=thumbs(other)).first
    expect(line).to_contain_text("done")
    until(lambda: is_drawn(thumbs(line)), "the photo is drawn", other)
    thumbs(line).click()
    dialog = other.get_by_role("dialog", name="Photo")
    expect(dialog.get_by_role("img", name="Photo")).to_be_visible()
    seen = dialog.get_by_role("img").evaluate(LOOK_AT)
    assert (seen["width"], seen["height"]) == (1600, 1200) and near(seen["top"], TOP) and near(seen["bottom"], BOTTOM)


def test_a_photo_still_made_ready_when_the_job_is_ticked_goes_with_a_note_of_its_own(page, keeper, home):
    make_photos_slow(page)
    press(card(page, "Covers on"), "photo")
    choose(page, shot(1))
    tick(page, "Covers on")
    go_on(page)
    until(lambda: keeper.log("note") and len(photos_at(home)) == 1, "it is home", page)
    (note,) = [one["entry"] for one in keeper.log("note")]
    assert note["text"].startswith("Covers on") and note["photos"] == photos_at(home)


def test_what_is_done_already_gets_its_photo_in_an_entry_of_its_own(page, keeper, home):
    tick(page, "Covers on")
    press(page, "photo: Covers on")
    choose(page, shot(1))
    press(page, "Save")
    until(lambda: keeper.log("note") and len(photos_at(home)) == 1, "it is home", page)
    (note,) = [one["entry"] for one in keeper.log("note")]
    assert note["text"].startswith("Covers on") and note["photos"] == photos_at(home)
    expect(page.get_by_role("button", name="Choose photos")).to_have_count(0)


def test_trouble_is_recorded_with_its_photo_and_without_signal_says_to_ring(page, keeper, home):
    page.get_by_role("link", name="Something is wrong").click()
    page.get_by_role("link", name="Water is low, or running away").click()
    page.context.set_offline(True)
    choose(page, shot(1))
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    press(page, "Record it and tell the household")
    expect(page.get_by_text("Not sent: ring.")).to_be_visible()
    until(lambda: thumbs(page).count() == 1 and is_drawn(thumbs(page)), "its photo stays in sight", page)
    page.context.set_offline(False)
    until(lambda: len(photos_at(home)) == 1, "the photo is home", page)
    looks = [one["entry"] for one in keeper.log("look")]
    assert [one.get("photos") for one in looks] == [photos_at(home)]


def test_trouble_does_not_wait_for_its_photo_which_comes_after(page, keeper, home):
    page.get_by_role("link", name="Something is wrong").click()
    page.get_by_role("link", name="Water is low, or running away").click()
    make_photos_slow(page)
    choose(page, shot(1))
    press(page, "Record it and tell the household")
    until(lambda: len(keeper.log("look")) == 1, "the household is told", page)
    go_on(page)
    until(lambda: keeper.log("note") and len(photos_at(home)) == 1, "it is home", page)
    (note,) = [one["entry"] for one in keeper.log("note")]
    assert (note["text"], note["photos"]) == ("Water is low, or running away", photos_at(home))


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_however_the_camera_was_held_the_photo_is_upright_small_and_says_nothing_of_the_place(page, home, orientation):
    open_book(page)
    note_with(page, "A look", camera_shot(orientation))
    until(lambda: len(photos_at(home)) == 1, "the photo is home", page)
    # The water is above the stone as the camera saw it; turned by what the camera noted it stands where it belongs.
    upright = {1: ("top", "bottom"), 3: ("bottom", "top")}
    (call,) = [one for one in home.line.calls if one.method == "PUT"]
    sent = opened(call.body)
    assert not sent.getexif() and CAMERA.encode() not in call.body and len(call.body) <= 300_000
    assert sent.size == ((1200, 1600) if orientation in (6, 8) else (1600, 1200))
    thumbs(page).click()
    seen = page.get_by_role("dialog").get_by_role("img").evaluate(LOOK_AT)
    if orientation in upright:
        water, stone = upright[orientation]
        assert near(seen[water], TOP) and near(seen[stone], BOTTOM)
    else:
        sides = sent.size[1] // 2
        right, left = sent.getpixel((sent.size[0] - 40, sides)), sent.getpixel((40, sides))
        water, stone = (right, left) if orientation == 6 else (left, right)
        assert near(list(water), TOP) and near(list(stone), BOTTOM)


def test_a_file_that_is_no_picture_is_said_to_be_none_and_the_others_are_taken(page):
    open_book(page)
    press(page, "Write a note")
    table = {"name": "test kit.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.7 the kit's own leaflet"}
    broken = {"name": "IMG_0002.HEIC", "mimeType": "image/heic", "buffer": b"\0\0\0\x18ftypheic"}
    choose(page, shot(1), table, broken)
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("test kit.pdf is not a picture this phone can show.")
    expect(alert).to_contain_text(
        "IMG_0002.HEIC is not a picture this phone can show. A photo as JPEG or PNG would do."
    )
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    expect(thumbs(page)).to_have_count(1)


def test_six_photos_go_with_an_entry_and_the_same_one_twice_is_one(page):
    open_book(page)
    press(page, "Write a note")
    choose(page, *(shot(n) for n in (1, 1, 2, 3, 4, 5, 6, 7)))
    expect(page.get_by_role("alert")).to_contain_text("No more than 6 photos go with one entry.")
    expect(thumbs(page)).to_have_count(6)
    expect(page.get_by_role("button", name="Choose photos")).to_have_count(0)
    press(page, "take out: photo 6")
    expect(page.get_by_role("button", name="Choose photos")).to_be_visible()


def test_what_this_phone_took_is_seen_without_signal_and_what_it_lacks_has_a_calm_place(page, new_phone, home):
    other = new_phone()
    sign_in(other)
    make_ready_for_no_signal(other)
    home.line.fail(drops_the_call, path="/api/photos")
    open_book(page)
    note_with(page, "A look", shot(1))
    expect(sync_line(page)).to_contain_text("1 photo waiting")
    page.context.set_offline(True)
    page.reload()
    open_book(page)
    until(lambda: thumbs(page).count() == 1 and is_drawn(thumbs(page)), "its own photo is drawn", page)
    expect(thumbs(page)).to_have_accessible_name(re.compile("not sent yet"))
    thumbs(page).click()
    expect(page.get_by_role("dialog").get_by_role("img")).to_be_visible()

    open_book(other)
    other.reload()
    expect(other.get_by_text("A look")).to_be_visible()
    expect(other.get_by_text("not here yet")).to_be_visible()
    thumbs(other).click()
    expect(other.get_by_role("dialog")).to_contain_text("This photo is not on this phone.")
    other.keyboard.press("Escape")
    home.line.clear()
    page.context.set_offline(False)
    until(lambda: len(photos_at(home)) == 1, "the photo is home", page)
    other.evaluate("document.dispatchEvent(new Event('visibilitychange')) && true")
    until(lambda: is_drawn(thumbs(other)), "it comes by itself", other)


def test_a_photo_is_looked_at_by_keyboard_alone_and_the_page_is_where_it_was_left(page):
    open_book(page)
    note_with(page, "Three looks", shot(1), shot(2), shot(3))
    thumbs(page).nth(1).focus()
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_have_accessible_name(re.compile("^Photo 2 of 3, taken 16:4"))
    page.keyboard.press("ArrowRight")
    expect(dialog).to_have_accessible_name(re.compile("^Photo 3 of 3"))
    page.keyboard.press("ArrowRight")
    expect(dialog).to_have_accessible_name(re.compile("^Photo 1 of 3"))
    page.keyboard.press("ArrowLeft")
    expect(dialog).to_have_accessible_name(re.compile("^Photo 3 of 3"))
    page.keyboard.press("Escape")
    expect(dialog).to_have_count(0)
    expect(thumbs(page).nth(1)).to_be_focused()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_anybody_can_read_and_work_photos_in_a_form_in_the_book_and_large(page, theme):
    page.emulate_media(color_scheme=theme)
    open_book(page)
    press(page, "Write a note")
    page.get_by_label("Note").fill("Two looks")
    choose(page, shot(1), shot(2))
    expect(page.get_by_role("button", name="take out: photo 2")).to_be_visible()
    check(page)
    press(page, "Save")
    expect(page.get_by_role("button", name="Write a note")).to_be_visible()
    check(page)
    thumbs(page).first.click()
    expect(page.get_by_role("dialog").get_by_role("img")).to_be_visible()
    check(page)


def check(page: Page) -> None:
    """Axe finds nothing, and a narrow phone shows it all."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    assert page.evaluate(RUN_AXE) == []
    page.set_viewport_size({"width": 320, "height": 568})
    assert page.evaluate(SIDEWAYS) == []
    page.set_viewport_size({"width": 390, "height": 844})


def test_signing_out_takes_the_households_photos_off_the_phone_and_keeps_what_waits(page, home):
    open_book(page)
    note_with(page, "Sent", shot(1))
    until(lambda: len(photos_at(home)) == 1, "the first is home", page)
    home.line.fail(drops_the_call, path="/api/photos")
    note_with(page, "Not sent", shot(2))
    expect(sync_line(page)).to_contain_text("1 photo waiting")
    page.goto("/device")
    press(page, "Sign out")
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    until(lambda: [one["state"] for one in photos_on(page)] == ["waiting"], "only what waits is here", page)
