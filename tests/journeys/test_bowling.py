"""Fish after fish into the bowl, by a phone without signal that dies in the hand; and the slips of wet fingers."""

import re
from typing import Any

import pytest
from journeys.bowl import kept_length, new_measures
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import KeptPhone, launch, make_ready_for_no_signal, phone_in, sign_in
from journeys.photo_phone import choose, go_on, make_photos_slow, photos_at, shot
from journeys.round_screen import press, sync_line
from journeys.waiting import until
from playwright.sync_api import Locator, Page, Playwright, expect

FISH = {"yuki": "Yuki", "bruno": "Bruno", "grey-lady": "Grey lady"}


@pytest.fixture(autouse=True)
def register(keeper: Caller) -> None:
    """Three fish and a group; Yuki was 54 cm a year ago."""
    names = FISH | {"small-ones": "The small ones"}
    told: list[dict[str, Any]] = [
        {"target": f"fish/{id}", "field": "name", "value": name} for id, name in names.items()
    ]
    group: dict[str, Any] = {"target": "fish/small-ones", "field": "count", "value": 8}
    keeper.keep(*(keeper.entry("set", **one, effective_from=None) for one in [*told, group]))
    keeper.keep(keeper.entry("fish_measure", fish="yuki", length_cm=54, length_is="total"))


def begin(page: Page) -> None:
    page.goto("/fish?bowl")
    page.get_by_role("textbox", name="Water in the bowl now").fill("11,5")
    press(page, "Begin")


def lift(page: Page, name: str) -> None:
    page.get_by_role("button", name=re.compile(f"^{name}")).click()
    expect(page.get_by_role("heading", name=name, level=1)).to_be_visible()


def length(page: Page) -> Locator:
    return page.get_by_role("textbox", name="Length")


def done(page: Page) -> None:
    press(page, "Done, next fish")
    expect(page.get_by_role("heading", name="Bowling", level=1)).to_be_visible()


def test_a_phone_that_dies_twice_without_signal_brings_each_fish_and_photo_home_once(
    home: Home, keeper: Caller, kept_phone: KeptPhone
) -> None:
    page = kept_phone.open(home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    page.get_by_role("link", name="Fish", exact=True).click()
    expect(page.get_by_role("article", name="Grey lady")).to_be_visible()
    kept_phone.close()

    page = kept_phone.open(home.clock, offline=True)
    begin(page)
    lift(page, "Yuki")
    choose(page, shot(1))
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    length(page).fill("56,5")
    page.get_by_role("button", name="gills").click()
    done(page)
    expect(page.get_by_text("1 of 4 done · water 11.5 °C")).to_be_visible()
    lift(page, "Bruno")
    choose(page, shot(2))
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    length(page).fill("49")
    until(lambda: kept_length(page) == "49", "the last key is on the disk", page)
    kept_phone.die()

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/fish?bowl")
    expect(page.get_by_role("heading", name="Bruno", level=1)).to_be_visible()
    expect(length(page)).to_have_value("49")
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    done(page)
    lift(page, "Grey lady")
    choose(page, shot(3))
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    press(page, "standard length, without the tail fin")
    length(page).fill("40")
    done(page)
    kept_phone.die()

    page = kept_phone.open(home.clock)
    page.goto("/fish?bowl")
    expect(page.get_by_text("3 of 4 done")).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")
    until(lambda: len(photos_at(home)) == 3, "every photo is home", page)
    found = new_measures(keeper)
    lengths = [(one["fish"], one["length_cm"], one["length_is"]) for one in found]
    assert lengths == [("yuki", 56.5, "total"), ("bruno", 49, "total"), ("grey-lady", 40, "standard")]
    assert sorted(sum for one in found for sum in one["photos"]) == photos_at(home)
    assert {one["water_c"] for one in found} == {11.5}
    assert len({one["session"] for one in found}) == 1
    assert found[0]["checked"] == ["gills"]


@pytest.fixture
def page(phone: Page) -> Page:
    """A phone at the list of fish to lift."""
    sign_in(phone)
    begin(phone)
    return phone


def test_a_slip_of_the_point_is_asked_about_and_put_right_with_one_tap(page: Page, keeper: Caller) -> None:
    lift(page, "Yuki")
    length(page).fill("5.6")
    press(page, "Done, next fish")
    expect(page.get_by_role("alert")).to_contain_text("5.6 cm, and last 54 cm total")
    press(page, "It is 56 cm")
    expect(length(page)).to_have_value("56")
    done(page)
    until(lambda: [one["length_cm"] for one in new_measures(keeper)] == [56], "it is home", page)


def test_a_fish_that_shrank_is_asked_about_and_kept_when_the_keeper_says_so(page: Page, keeper: Caller) -> None:
    lift(page, "Yuki")
    length(page).fill("46")
    press(page, "Done, next fish")
    expect(page.get_by_role("alert")).to_contain_text("46 cm, and last 54 cm total")
    press(page, "Keep 46 cm")
    done(page)
    until(lambda: [one["length_cm"] for one in new_measures(keeper)] == [46], "it is home", page)


def test_pounds_typed_for_grams_are_asked_about(page: Page, keeper: Caller) -> None:
    lift(page, "Yuki")
    length(page).fill("55")
    page.get_by_role("textbox", name="Weight").fill("6.5")
    press(page, "Done, next fish")
    expect(page.get_by_role("alert")).to_contain_text("6.5 g for this fish?")
    press(page, "It is 2,948 g")
    done(page)
    until(lambda: [one["weight_g"] for one in new_measures(keeper)] == [2948], "it is home", page)


def test_where_pounds_are_read_they_are_typed_as_one_writes_them(home: Home, keeper: Caller, phone: Page) -> None:
    keeper.keep(keeper.entry("set", target="pond", field="units", value={"mass": "lb oz"}, effective_from=None))
    sign_in(phone)
    begin(phone)
    lift(phone, "Yuki")
    weight = phone.get_by_role("textbox", name="Weight")
    weight.fill("300 lb")
    expect(phone.get_by_text("136,078 g")).to_be_visible()
    press(phone, "Done, next fish")
    expect(phone.get_by_role("alert")).to_have_text("Between 0.1 oz and 132 lb 4 oz.")
    weight.fill("6 lb 20 oz")
    press(phone, "Done, next fish")
    wanted = "Pounds and ounces, such as 6 lb 4 oz, or 6.25 lb; 16 oz are a pound."
    expect(phone.get_by_role("alert")).to_have_text(wanted)
    weight.fill("100")
    press(phone, "Done, next fish")
    press(phone, "It is 6 lb 4 oz")
    done(phone)
    until(lambda: [one["weight_g"] for one in new_measures(keeper)] == [2835], "it is home", phone)
    expect(phone.get_by_role("button", name=re.compile("^Yuki"))).to_contain_text("Done · 6 lb 4 oz")


def test_the_same_fish_twice_is_asked_about_and_a_group_is_not(page: Page, keeper: Caller) -> None:
    lift(page, "Yuki")
    length(page).fill("55")
    done(page)
    lift(page, "Yuki")
    expect(page.get_by_role("alert")).to_contain_text("Measured in this session already: 55 cm total.")
    press(page, "Measure it again")
    length(page).fill("55.5")
    done(page)
    for cm in ("12", "14"):
        lift(page, "The small ones")
        length(page).fill(cm)
        done(page)
    lengths = [55, 55.5, 12, 14]
    until(lambda: [one["length_cm"] for one in new_measures(keeper)] == lengths, "both are kept, and each one", page)


TWO_TAPS = """() => {
  const done = [...document.querySelectorAll("button")].find((one) => one.textContent === "Done, next fish");
  done.click();
  done.click();
}"""


def test_two_taps_write_a_fish_down_once(page: Page, keeper: Caller) -> None:
    lift(page, "Bruno")
    length(page).fill("48")
    page.evaluate(TWO_TAPS)
    expect(page.get_by_text("1 of 4 done")).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")
    assert [one["fish"] for one in new_measures(keeper)] == ["bruno"]


def test_a_photo_that_takes_its_time_goes_with_its_own_fish(page: Page, keeper: Caller) -> None:
    lift(page, "Bruno")
    length(page).fill("48")
    make_photos_slow(page)
    choose(page, shot(4))
    page.get_by_role("button", name="Done, next fish").click()
    expect(page.get_by_role("status").filter(has_text="then it is saved")).to_be_visible()
    go_on(page)
    lift(page, "Grey lady")
    until(lambda: [len(one.get("photos", ())) for one in new_measures(keeper)] == [1], "Bruno and his photo", page)
    expect(page.get_by_role("button", name="take out")).to_have_count(0)


def test_nothing_is_no_measure_and_trouble_is_one_tap_away_and_back(page: Page) -> None:
    lift(page, "Bruno")
    press(page, "Done, next fish")
    expect(page.get_by_role("alert")).to_have_text("A length, a weight, a photo, something looked at or a note first.")
    length(page).fill("300")
    press(page, "Done, next fish")
    expect(page.get_by_role("alert")).to_have_text("Between 1 and 130 cm.")
    length(page).fill("48")
    page.get_by_role("link", name="Something is wrong").click()
    expect(page.get_by_role("heading", name="What is it?")).to_be_visible()
    page.go_back()
    expect(length(page)).to_have_value("48")


def test_three_minutes_in_the_bowl_are_said(page: Page) -> None:
    lift(page, "Bruno")
    page.clock.fast_forward("03:01")
    expect(page.get_by_text("Three minutes: back into the pond")).to_be_visible()
    press(page, "Start the clock again")
    expect(page.get_by_role("timer")).to_contain_text("0:0")


def test_a_phone_that_is_nearly_full_says_so_before_the_photo(playwright: Playwright, home: Home) -> None:
    # Chromium tells a site a round number, not the truth, unless this is off.
    with launch(playwright, "--disable-features=StaticStorageQuota") as browser:
        phone = phone_in(browser, home.url, home.clock)
        sign_in(phone)
        tool: Any = phone.context.new_cdp_session(phone)
        tool.send("Storage.overrideQuotaForOrigin", {"origin": home.url, "quotaSize": 15_000_000})
        begin(phone)
        lift(phone, "Bruno")
        expect(phone.get_by_role("alert")).to_contain_text("This phone's storage is nearly full")
