"""Row 1.17: photos without signal, on a thin line, on a full phone, at a full home, cut off in the middle.

They go in a lane of their own: nothing here holds back an entry, and no entry holds back a photo.
"""

import re
import shutil

import pytest
from journeys.failures.conftest import in_storage
from journeys.failures.device import come_into_sight, note, on_device
from journeys.failures.test_1_04_indexeddb_fails import ROOM, fill_up, limit
from journeys.household import EVENING
from journeys.line import answers, drops_the_answer, drops_the_call, server_error
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.photo_phone import choose, note_with, open_book, photos_at, photos_on, sent_photos, shot
from journeys.waiting import until
from msgspec.structs import replace
from playwright.sync_api import Page, expect

THIN_LINE = {"offline": False, "latency": 100, "downloadThroughput": 93_750, "uploadThroughput": 93_750}
"""750 kbit/s each way, 100 ms."""
NOTES, EACH = 4, 5
LATER = "{ const now = performance.now.bind(performance); let on = 0; performance.now = () => now() + (on += 6e5); }"
"""Ten minutes pass whenever the page looks."""


@pytest.fixture
def page(keeper, phone) -> Page:
    """A phone at its pond book, signed in, the app on it."""
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_book(phone)
    return phone


def waits(page: Page, count: int) -> None:
    """The line at the top says how many photos wait, and that the entries do not."""
    words = f"All sent 16:4\\d · {count} {'photo' if count == 1 else 'photos'} waiting"
    expect(page.get_by_role("status").get_by_text(pattern(words))).to_be_visible()


def all_sent(page: Page) -> None:
    # The line may still say so of what went before.
    until(lambda: all(one["state"] != "waiting" for one in photos_on(page)), "no photo waits", page)
    expect(page.get_by_role("status").get_by_text(pattern("All sent 16:4\\d"))).to_be_visible()


def pattern(words: str) -> re.Pattern[str]:
    return re.compile(f"^{words}$")


def the_photo(page: Page) -> str:
    """The sum of the one photo on this phone."""
    (one,) = photos_on(page)
    return one["sum"]


def lose_on_the_way(home, failure) -> None:
    """Every photo meets that failure; entries pass."""
    home.line.fail(failure, path="/api/photos")


def test_twenty_photos_on_a_thin_line_arrive_once_each_though_the_phone_dies_while_it_sends(keeper, kept_phone, home):
    before = kept_phone.open(home.clock)
    sign_in(before)
    make_ready_for_no_signal(before)
    kept_phone.close()  # as on any other evening: the cookie is on its disk
    page = kept_phone.open(home.clock)
    page.goto("/")
    expect(page.get_by_text("All sent")).to_be_visible()
    open_book(page)
    page.context.set_offline(True)
    for n in range(NOTES):
        note_with(page, f"The {n}th look at the fish", *(shot(n * EACH + m) for m in range(EACH)))
    expect(page.get_by_text(f"{NOTES} waiting, no signal")).to_be_visible()
    taken = photos_on(page)
    assert len(taken) == NOTES * EACH and {one["state"] for one in taken} == {"waiting"}
    assert max(one["size"] for one in taken) <= 300_000

    page.context.new_cdp_session(page).send("Network.emulateNetworkConditions", THIN_LINE)
    page.context.set_offline(False)
    until(lambda: len(keeper.log("note")) == NOTES, "the notes are home", page)
    assert len(photos_at(home)) < NOTES * EACH, "no note waited for its photos"
    until(lambda: len(photos_at(home)) >= 3, "some photos are home", page, patience_s=60)
    kept_phone.die()
    assert 3 <= len(photos_at(home)) < NOTES * EACH, "the phone died while it was sending"

    page = kept_phone.open(home.clock)
    page.goto("/")
    until(lambda: len(photos_at(home)) == NOTES * EACH, "every photo is home", page, patience_s=60)
    all_sent(page)
    assert photos_at(home) == sorted(one["sum"] for one in taken)
    assert {one["state"] for one in photos_on(page)} == {"home"}
    logged = [one["entry"]["photos"] for one in keeper.log("note")]
    assert sorted(one for photos in logged for one in photos) == photos_at(home)
    again = len(sent_photos(home)) - NOTES * EACH
    assert again <= 1, "only what was under way is sent a second time"


def test_an_entry_never_waits_for_its_photo_nor_the_photo_for_its_entry(page, home, keeper):
    lose_on_the_way(home, drops_the_call)
    note_with(page, "A spot behind the fin", shot(1))
    waits(page, 1)
    (logged,) = keeper.log("note")
    assert logged["entry"]["photos"] == [the_photo(page)] and photos_at(home) == []

    home.line.fail(server_error)  # now the entries meet trouble, and photos pass
    come_into_sight(page)
    note(page, "written while home was in trouble")
    until(lambda: photos_at(home) == [the_photo(page)], "the photo is home", page)
    expect(page.get_by_text("1 waiting")).to_be_visible()
    home.line.clear()
    come_into_sight(page)
    all_sent(page)


def test_a_tab_frozen_while_it_sends_photos_is_not_waited_for_for_ever(page, home):
    other = page.context.new_page()
    other.goto("/about.html")
    other.evaluate("void navigator.locks.request('evenwater-photos', () => new Promise(() => {}))")
    note_with(page, "A spot behind the fin", shot(1))
    waits(page, 1)
    page.evaluate(LATER)
    all_sent(page)
    assert photos_at(home) == [the_photo(page)]


def test_a_photo_whose_answer_was_lost_is_sent_again_and_taken_as_one(page, home):
    home.line.fail(drops_the_answer, times=1, path="/api/photos")
    note_with(page, "A spot behind the fin", shot(1))
    until(lambda: len(sent_photos(home)) >= 2, "it is sent again", page)
    all_sent(page)
    assert photos_at(home) == [the_photo(page)]
    assert set(sent_photos(home)) == {the_photo(page)}


@pytest.mark.parametrize(
    "stranger",
    [
        answers(200, "text/html", "<!doctype html><title>Welcome</title>"),
        answers(200, "application/json", '{"sum": "of another", "verdict": "accepted"}'),
        answers(404, "application/json", '{"status": "no such page"}'),
        answers(511, "text/html", "sign in to this network"),
        answers(503, "application/json", '{"code":"storage","what":"the disk is full","where":"","right":"later"}'),
    ],
    ids=["a hotel's page", "another's answer", "a proxy's page", "a network's sign-in", "home in trouble"],
)
def test_whoever_else_answers_the_photo_waits_on_and_counts_nothing_against_it(page, home, stranger):
    lose_on_the_way(home, stranger)
    note_with(page, "A spot behind the fin", shot(1))
    until(lambda: len(sent_photos(home)) >= 1, "it was tried", page)
    waits(page, 1)
    assert [one["state"] for one in photos_on(page)] == ["waiting"]
    home.line.clear()
    come_into_sight(page)
    all_sent(page)
    assert photos_at(home) == [the_photo(page)]


def test_a_photo_at_which_home_fails_stands_behind_the_others(page, home):
    page.context.set_offline(True)
    note_with(page, "The first look", shot(1))
    first = the_photo(page)
    note_with(page, "The second look", shot(2))
    home.line.fail(server_error, path=f"/api/photos/{first}")
    page.context.set_offline(False)
    until(lambda: len(photos_at(home)) == 1, "the second is home", page)
    assert sent_photos(home)[0] == first, "the older one went first"
    waits(page, 1)
    home.line.clear()
    come_into_sight(page)
    all_sent(page)
    assert len(photos_at(home)) == 2


def test_what_home_can_never_take_stays_on_the_phone_is_said_and_holds_up_no_other(page, home):
    refusal = '{"code":"no_picture","what":"this is no whole picture","where":"body","right":"a JPEG or PNG file"}'
    home.line.fail(answers(400, "application/json", refusal), times=1, path="/api/photos")
    note_with(page, "Two looks", shot(1), shot(2))
    until(lambda: sorted(one["state"] for one in photos_on(page)) == ["home", "refused"], "both were tried", page)
    assert len(photos_at(home)) == 1
    expect(page.get_by_text("home cannot take it")).to_be_visible()
    page.get_by_role("button", name="home cannot take it").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("This is no whole picture. Right would be: a JPEG or PNG file.")
    with page.expect_download() as saved:
        dialog.get_by_role("link", name="Save to this phone").click()
    assert saved.value.path().stat().st_size == max(one["size"] for one in photos_on(page) if one["state"] == "refused")
    page.keyboard.press("Escape")
    page.reload()
    page.goto("/device")
    expect(page.get_by_text("1 photo could not be sent:")).to_be_visible()
    expect(page.get_by_role("button", name="home cannot take it")).to_be_visible()


def test_a_full_phone_says_so_keeps_the_entry_and_sends_the_photo_from_memory(keeper, phone, home):
    limit(phone, home.url, ROOM)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_book(phone)
    phone.get_by_role("button", name="Write a note").click()  # the photos' script is here before there is no room
    expect(phone.get_by_role("button", name="Choose photos")).to_be_visible()
    phone.get_by_role("button", name="Cancel").click()
    lose_on_the_way(home, drops_the_call)
    fill_up(phone, home.url)
    note_with(phone, "A spot behind the fin", shot(1))
    expect(phone.get_by_role("alert")).to_contain_text("The phone's storage is full")
    expect(phone.get_by_text("only in this page's memory")).to_be_visible()
    assert photos_on(phone) == []
    until(lambda: len(keeper.log("note")) == 1, "the entry is home", phone)
    home.line.clear()
    come_into_sight(phone)
    until(lambda: len(photos_at(home)) == 1, "the photo is home", phone)
    assert keeper.log("note")[0]["entry"]["photos"] == photos_at(home)


def test_a_full_home_is_told_of_and_the_photo_goes_when_there_is_room(page, home):
    home.settings = replace(home.settings, photo_room_mb=0)
    home.restart()
    note_with(page, "A spot behind the fin", shot(1))
    waits(page, 1)
    full = "The household's photos fill the 0 MB there are for them. Right would be: more room with --photo-room"
    expect(page.get_by_text(full).first).to_be_visible()
    page.goto("/device")
    expect(page.get_by_text("1 photo waits to be sent")).to_be_visible()
    expect(page.get_by_text(full)).to_be_visible()
    home.settings = replace(home.settings, photo_room_mb=10)
    home.restart()
    come_into_sight(page)
    all_sent(page)
    expect(page.get_by_text("No photos wait.")).to_be_visible()
    assert photos_at(home) == [the_photo(page)]


def test_home_put_back_from_a_copy_gets_again_the_photos_it_lacks_and_no_others(page, home, tmp_path):
    note_with(page, "Before the copy", shot(1))
    until(lambda: len(photos_at(home)) == 1, "the first is home", page)
    home.stop()
    shutil.copytree(home.settings.data, tmp_path / "copy")
    home.start()
    note_with(page, "After the copy", shot(2))
    until(lambda: len(photos_at(home)) == 2, "the second is home", page)
    all_sent(page)
    both = photos_at(home)
    sent = len(sent_photos(home))
    home.stop()
    shutil.rmtree(home.settings.data)
    shutil.copytree(tmp_path / "copy", home.settings.data)
    home.start()
    in_storage(home, lambda database: database.begin_epoch())
    assert len(photos_at(home)) == 1
    come_into_sight(page)
    until(lambda: photos_at(home) == both, "home has both again", page)
    assert len(sent_photos(home)) == sent + 1, "what it had is not sent again"


def test_a_phone_that_clears_its_storage_under_an_open_page_gets_its_photos_back_and_sends_them(page, home):
    lose_on_the_way(home, drops_the_call)
    note_with(page, "A spot behind the fin", shot(1))
    waits(page, 1)
    sum_before = the_photo(page)
    tool = page.context.new_cdp_session(page)
    tool.send("Storage.clearDataForOrigin", {"origin": home.url, "storageTypes": "indexeddb"})
    until(lambda: [one["sum"] for one in photos_on(page)] == [sum_before], "the photo is back", page)
    home.line.clear()
    come_into_sight(page)
    until(lambda: photos_at(home) == [sum_before], "the photo is home", page)


def test_a_photo_cleared_away_with_its_page_closed_is_said_to_be_gone(page, home):
    lose_on_the_way(home, drops_the_call)
    note_with(page, "A spot behind the fin", shot(1))
    waits(page, 1)
    page.reload()  # the bytes are in this page's memory no more
    waits(page, 1)
    tool = page.context.new_cdp_session(page)
    tool.send("Storage.clearDataForOrigin", {"origin": home.url, "storageTypes": "indexeddb"})
    expect(page.get_by_text("lost: the phone cleared it")).to_be_visible()
    page.get_by_role("button", name="lost: the phone cleared it").click()
    expect(page.get_by_role("dialog")).to_contain_text("Right would be: to take it again.")
    assert [one["state"] for one in photos_on(page)] == ["refused"]


def test_a_photo_nobody_recorded_anything_with_is_never_sent(page, home):
    page.get_by_role("button", name="Write a note").click()
    page.get_by_label("Note").fill("No, nothing")
    choose(page, shot(1), shot(2))
    page.get_by_role("button", name="take out: photo 1").click()
    expect(page.get_by_role("button", name="take out: photo 2")).to_have_count(0)
    page.get_by_role("button", name="Cancel").click()
    note(page, "Something else")
    all_sent(page)
    come_into_sight(page)
    until(lambda: not on_device(page).outbox, "nothing waits", page)
    assert sent_photos(home) == [] and [one["state"] for one in photos_on(page)] == ["picked"]
    page.clock.set_system_time(EVENING.timestamp() + 2 * 86_400)
    page.reload()
    open_book(page)
    page.get_by_role("button", name="Write a note").click()
    until(lambda: photos_on(page) == [], "it is let go", page)
