"""What can go wrong on a helper's phone: a wrong clock, no signal for a week, trouble, dates that are moved."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.line import answers
from journeys.neighbour import (
    BAG_G,
    add_photo,
    change,
    hand_over_to_kim,
    link_for_kim,
    told_by_kim,
    use_this_phone,
    with_signal,
    without_signal,
)
from journeys.photo_phone import choose, go_on, make_photos_slow, photos_at, shot
from journeys.round_screen import card, press, sync_line
from journeys.waiting import until
from playwright.sync_api import Page, expect

TODAY = EVENING.date()
TOMORROW = TODAY + timedelta(days=1)
SLOW_DOWN = answers(429, "application/json", '{"code":"slow_down","what":"too many attempts","where":"","right":""}')
NewPhone = Callable[..., Page]


@pytest.mark.parametrize("days_off", [-1, 1])
def test_a_phone_whose_clock_is_a_day_off_shows_home_s_day_and_its_entries_count_for_it(
    link: str, new_phone: NewPhone, keeper: Caller, days_off: int
) -> None:
    wrong = timedelta(days=days_off)
    kims = new_phone(now=lambda: EVENING + wrong)
    use_this_phone(kims, link)
    expect(kims.get_by_text("Day 1 of 10")).to_be_visible()
    expect(kims.get_by_role("heading", name="Rehearsal")).to_have_count(0)
    press(card(kims, "Covers on"), "Done")
    until(lambda: len(told_by_kim(keeper)) == 1, "the tick is home", kims)
    (tick,) = told_by_kim(keeper)
    assert (tick["entry"]["due_on"], tick["placed_on"]) == (TODAY.isoformat(), TODAY.isoformat())
    without_signal(kims, EVENING + wrong + timedelta(minutes=10))
    press(card(kims, "Buffer"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")
    with_signal(kims, EVENING + wrong + timedelta(minutes=20))
    until(lambda: len(told_by_kim(keeper)) == 2, "the dose is home", kims)
    assert told_by_kim(keeper)[1]["placed_on"] == TODAY.isoformat()
    assert told_by_kim(keeper)[1]["entry"]["amount_g"] == BAG_G


def test_a_bag_stays_shut_without_signal_once_somebody_gave_and_there_is_no_way_around(
    kims: Page, keeper: Caller
) -> None:
    dose = keeper.entry("dose", amount_g=50, substance="sodium_bicarbonate")
    keeper.keep(dose)
    kims.reload()
    expect(card(kims, "Buffer")).to_contain_text("Marit gave 50 g at 16:45.")
    without_signal(kims, EVENING + timedelta(minutes=30))
    bag = card(kims, "Buffer")
    expect(bag).to_contain_text("held back")
    expect(bag).to_contain_text("leave this bag shut")
    assert bag.get_by_role("button").all_text_contents() == ["note"]


def test_a_bag_given_on_a_day_the_keeper_moved_away_stays_shut_and_is_named(kims: Page, keeper: Caller) -> None:
    without_signal(kims, EVENING + timedelta(minutes=10))
    press(card(kims, "Buffer"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")
    change(keeper, "begins_on", TOMORROW.isoformat())
    with_signal(kims, EVENING + timedelta(minutes=20))
    expect(sync_line(kims)).to_contain_text("1 set aside")
    change(keeper, "begins_on", TODAY.isoformat())
    kims.reload()
    expect(kims.get_by_text("Day 1 of 10")).to_be_visible()
    line = kims.get_by_role("button", name="Buffer")
    expect(line).to_contain_text("You gave this at 16:55, and it could not be taken. Leave the bag shut.")
    line.click()
    assert card(kims, "Buffer").get_by_role("button").all_text_contents() == ["note"]
    sync_line(kims).click()
    expect(kims.get_by_role("listitem")).to_contain_text("Tue 24 Nov, 16:55")
    expect(kims.get_by_role("listitem")).to_contain_text("the first day had been moved")
    expect(kims.get_by_text("ring, and say what you did")).to_be_visible()
    without_signal(kims, EVENING + timedelta(days=12))
    expect(kims.get_by_role("heading", name="Thank you")).to_be_visible()
    expect(kims.get_by_role("link", name="Ring Marit")).to_have_count(1)


def test_a_week_without_signal_the_bags_are_still_there(kims: Page) -> None:
    without_signal(kims, EVENING + timedelta(days=7))
    expect(kims.get_by_text("This list is some days old. Go on by it")).to_be_visible()
    expect(card(kims, "Buffer")).to_contain_text(f"Bag 8 {BAG_G} g")
    press(card(kims, "Buffer"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")


def test_something_wrong_reaches_the_keepers_with_words_and_a_photo(kims: Page, keeper: Caller, home: Home) -> None:
    kims.get_by_role("link", name="Something is wrong").click()
    kims.get_by_role("link", name="Fish gasping at the surface").click()
    expect(kims.get_by_role("listitem")).to_have_count(3)
    expect(kims.get_by_text("In doubt: do nothing, and ring.")).to_be_visible()
    expect(kims.get_by_role("link", name="Ring Marit")).to_have_attribute("href", "tel:+491701234567")
    kims.get_by_label("What do you see?").fill("Three at the top, <b>mouths</b> open")
    choose(kims, shot(7))
    expect(kims.get_by_role("button", name="take out: photo 1")).to_be_visible()
    press(kims, "Tell Marit")
    expect(kims.get_by_role("main").get_by_role("status").filter(has_text="Sent 16:4")).to_be_visible()
    expect(kims.get_by_text("Ring as well")).to_be_visible()
    (told,) = told_by_kim(keeper)
    look = told["entry"]
    assert (look["kind"], look["trouble"], look["text"]) == ("look", "gasping", "Three at the top, <b>mouths</b> open")
    until(lambda: look["photos"][0] in photos_at(home), "the photo is home", kims)


def test_something_wrong_does_not_wait_for_its_photo_which_comes_after(kims: Page, keeper: Caller, home: Home) -> None:
    kims.get_by_role("link", name="Something is wrong").click()
    kims.get_by_role("link", name="Fish gasping at the surface").click()
    make_photos_slow(kims)
    choose(kims, shot(1))
    press(kims, "Tell Marit")
    until(lambda: [one["entry"]["kind"] for one in told_by_kim(keeper)] == ["look"], "the keepers are told", kims)
    go_on(kims)
    until(lambda: len(told_by_kim(keeper)) == 2, "a note is home", kims)
    note = told_by_kim(keeper)[1]["entry"]
    until(lambda: note["photos"][0] in photos_at(home), "and its photo", kims)
    assert (note["kind"], note["text"]) == ("note", "Fish gasping at the surface")


def test_something_wrong_without_signal_says_to_ring(kims: Page, keeper: Caller) -> None:
    without_signal(kims, EVENING + timedelta(minutes=10))
    kims.get_by_role("link", name="Something is wrong").click()
    kims.get_by_role("link", name="Something else").click()
    press(kims, "Tell Marit")
    expect(kims.get_by_text("Not sent: ring.")).to_be_visible()
    expect(sync_line(kims)).to_contain_text("1 waiting")
    with_signal(kims, EVENING + timedelta(minutes=20))
    until(lambda: [one["entry"]["trouble"] for one in told_by_kim(keeper)] == ["other"], "it came after all", kims)


def test_something_wrong_is_told_of_the_pond_they_look_after(kims: Page, keeper: Caller) -> None:
    second = {"name": "Fry pond", "zone": "Europe/Berlin", "volume_l": 2000}
    cover = {"text": "Net on", "windows": {"on": {"part": "dusk", "opens": "15:00", "closes": "22:00"}}}
    told = {"pond": second, "job/net": cover}
    keeper.keep(
        *(
            {**keeper.entry("set", target=target, field=field, value=value, effective_from=None), "pond": "fry-pond"}
            for target, fields in told.items()
            for field, value in fields.items()
        )
    )
    change(keeper, "jobs", ["fry-pond/net"])
    kims.reload()
    expect(kims.get_by_text("Net on")).to_be_visible()
    for pond in ("fry-pond", "long-pond"):
        kims.goto("/round?wrong=gasping")
        if pond == "long-pond":
            change(keeper, "jobs", ["fry-pond/net", f"{pond}/cover"])
            kims.reload()
            kims.get_by_label("Pond").select_option("Long pond")
        press(kims, "Tell Marit")
        expect(kims.get_by_text("Ring as well")).to_be_visible()
        assert told_by_kim(keeper)[-1]["entry"]["pond"] == pond


def test_a_dead_fish_is_on_the_phone_as_on_the_sheet_and_reaches_the_keepers(kims: Page, keeper: Caller) -> None:
    kims.goto("/round?wrong")
    kims.get_by_role("link", name="A fish is dead or looks ill").click()
    expect(kims.get_by_role("listitem").first).to_have_text("Lift a dead one out with the net; leave the others.")
    press(kims, "Tell Marit")
    expect(kims.get_by_text("Ring as well")).to_be_visible()
    (told,) = told_by_kim(keeper)
    assert (told["entry"]["trouble"], told["entry"]["wrong"]) == ("other", ["fish"])


def test_where_they_feed_nothing_it_says_so(kims: Page, keeper: Caller) -> None:
    none = kims.get_by_text("Give no food, however they beg.")
    expect(none).to_have_count(0)
    change(keeper, "jobs", ["long-pond/cover"])
    kims.reload()
    expect(none).to_be_visible()


def test_a_thing_of_which_nothing_is_said_is_not_shown(kims: Page, keeper: Caller) -> None:
    change(keeper, "shown", [{"what": "stopcock"}, {"what": "feed", "where": "Blue tin"}])
    kims.goto("/things")
    expect(kims.get_by_text("Blue tin")).to_be_visible()
    expect(kims.get_by_role("heading", level=2)).to_have_count(1)
    change(keeper, "shown", [{"what": "stopcock"}])
    kims.reload()
    expect(kims.get_by_text("Nobody has said where things are. Ring and ask.")).to_be_visible()


def test_one_day_longer_and_one_day_shorter_reach_the_phone(kims: Page, keeper: Caller, home: Home) -> None:
    expect(kims.get_by_text("Day 1 of 10")).to_be_visible()
    change(keeper, "ends_on", (TODAY + timedelta(days=10)).isoformat())
    kims.reload()
    expect(kims.get_by_text("Day 1 of 11")).to_be_visible()
    change(keeper, "ends_on", TODAY.isoformat())
    kims.reload()
    expect(kims.get_by_text("Day 1 of 1 · the last day")).to_be_visible()
    home.clock.set(EVENING + timedelta(days=1))
    with_signal(kims, home.clock())
    expect(kims.get_by_role("heading", name="Thank you")).to_be_visible()
    change(keeper, "ends_on", TOMORROW.isoformat())
    kims.reload()
    expect(kims.get_by_text("Day 2 of 2 · the last day")).to_be_visible()
    expect(card(kims, "Covers on")).to_be_visible()


def test_called_off_before_it_began_there_is_nothing_left_to_do(keeper: Caller, phone: Page, home: Home) -> None:
    hand_over_to_kim(keeper, TODAY + timedelta(days=3), TODAY + timedelta(days=9))
    use_this_phone(phone, link_for_kim(keeper))
    expect(phone.get_by_text("It begins Fri 27 Nov.")).to_be_visible()
    change(keeper, "called_off", True)
    asked = len(home.line.to("/api/start"))
    phone.reload()
    expect(phone.get_by_role("heading", name="Thank you")).to_be_visible()
    expect(phone.get_by_text("There is nothing more to do.")).to_be_visible()
    phone.wait_for_timeout(1500)  # nothing is to happen: the phone does not ask home again and again
    assert len(home.line.to("/api/start")) - asked <= 3


def test_pages_for_keepers_show_a_helper_nothing_but_the_round(kims: Page) -> None:
    for path in ("/water", "/book", "/pond", "/jobs", "/hand-overs", "/sign-in", "/past"):
        kims.goto(path)
        expect(kims.get_by_text("Day 1 of 10")).to_be_visible()
        expect(kims.get_by_role("navigation", name="Main")).to_have_count(0)


def test_where_things_are_is_there_without_signal(kims: Page) -> None:
    kept = "caches.open('pictures').then((one) => one.keys()).then((all) => all.length)"
    until(lambda: kims.evaluate(kept) == 2, "the pictures are kept", kims)
    without_signal(kims, EVENING + timedelta(minutes=10))
    kims.get_by_role("link", name="Where things are").click()
    expect(kims.get_by_text("Under the kitchen window")).to_be_visible()
    drawn = kims.get_by_role("img", name="Picture: Under the kitchen window")
    until(lambda: drawn.evaluate("(one) => one.naturalWidth") > 0, "the picture is drawn", kims)


def test_a_picture_the_keeper_changes_later_comes_with_the_next_signal(kims: Page, keeper: Caller) -> None:
    shown = [{"what": "spares", "where": "In the shed", "photo": add_photo(keeper, 9)}]
    change(keeper, "shown", shown)
    kims.goto("/things")
    expect(kims.get_by_role("heading", name="Spares")).to_be_visible()
    drawn = kims.get_by_role("img", name="Picture: In the shed")
    until(lambda: drawn.evaluate("(one) => one.naturalWidth") == 329, "the new picture is drawn", kims)


def test_a_helper_cannot_take_back_what_a_keeper_did(kims: Page, keeper: Caller) -> None:
    at: Any = EVENING
    keeper.keep(keeper.tick("cover", "on", at))
    kims.reload()
    done = kims.get_by_role("listitem").filter(has_text="Covers on")
    expect(done).to_contain_text("Marit")
    expect(done.get_by_role("button", name="take back")).to_have_count(0)
