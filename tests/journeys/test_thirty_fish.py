"""Thirty fish lifted on one afternoon without signal, each with its photo, by a phone that dies twice on the way."""

import re

import pytest
from journeys.bowl import kept_length, new_measures
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import KeptPhone, make_ready_for_no_signal, sign_in
from journeys.photo_phone import photos_at, photos_on, sent_photos, shot
from journeys.round_screen import press
from journeys.waiting import until
from playwright.sync_api import Page, expect

FISH = 30
DIES_WITH = (11, 22)
"""Which fish are in the bowl when it dies."""


@pytest.fixture(autouse=True)
def register(keeper: Caller) -> None:
    """Thirty fish, each with a name."""
    sets = [
        {"target": f"fish/fish-{n}", "field": "name", "value": name_of(n), "effective_from": None} for n in range(FISH)
    ]
    keeper.keep(*(keeper.entry("set", **one) for one in sets))


def name_of(n: int) -> str:
    return f"Fish {n:02}"


def length_of(n: int) -> float:
    """No two alike [cm]."""
    return 30 + n / 2


def test_thirty_fish_bowled_without_signal_by_a_phone_that_dies_twice_are_all_there_once(
    home: Home, keeper: Caller, kept_phone: KeptPhone
) -> None:
    page = kept_phone.open(home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    page.get_by_role("link", name="Fish", exact=True).click()
    expect(page.get_by_role("article", name=name_of(FISH - 1))).to_be_visible()
    kept_phone.close()  # as on any other evening: the cookie is on its disk

    page = kept_phone.open(home.clock, offline=True)
    page.goto("/fish?bowl")
    press(page, "Begin")
    for n in range(FISH):
        lift(page, n)
        if n in DIES_WITH:
            page = opened_again_after_its_death(page, home, kept_phone, n)
        press(page, "Done, next fish")
        expect(page.get_by_text(f"{n + 1} of {FISH} done")).to_be_visible()
    assert new_measures(keeper) == [] and photos_at(home) == [], "nothing has left the phone yet"
    taken = photos_on(page)
    assert len(taken) == FISH and {one["state"] for one in taken} == {"waiting"}

    page.context.set_offline(False)
    until(lambda: len(new_measures(keeper)) == FISH, "every fish is home", page, patience_s=60)
    until(lambda: len(photos_at(home)) == FISH, "every photo is home", page, patience_s=60)
    found = new_measures(keeper)
    assert [(one["fish"], one["length_cm"]) for one in found] == [(f"fish-{n}", length_of(n)) for n in range(FISH)]
    assert len({one["session"] for one in found}) == 1
    named = [one["photos"] for one in found]
    assert all(len(sums) == 1 for sums in named) and len({sums[0] for sums in named}) == FISH
    assert sorted(sums[0] for sums in named) == photos_at(home) == sorted(one["sum"] for one in taken)
    assert sorted(sent_photos(home)) == photos_at(home), "none was sent twice"
    expect(page.get_by_text(f"{FISH} of {FISH} done")).to_be_visible()


def lift(page: Page, n: int) -> None:
    """Into the bowl, photographed and measured."""
    page.get_by_role("button", name=re.compile(f"^{name_of(n)}")).click()
    page.locator(".photo-field input:not([capture])").set_input_files([shot(n)])
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    page.get_by_role("textbox", name="Length").fill(f"{length_of(n):g}")


def opened_again_after_its_death(page: Page, home: Home, phone: KeptPhone, n: int) -> Page:
    """The phone dies in the hand; started again, it goes on with the same fish, its photo and its length."""
    until(lambda: kept_length(page) == f"{length_of(n):g}", "the last key is on the disk", page)
    phone.die()
    page = phone.open(home.clock, offline=True)
    page.goto("/fish?bowl")
    expect(page.get_by_role("heading", name=name_of(n), level=1)).to_be_visible()
    expect(page.get_by_role("textbox", name="Length")).to_have_value(f"{length_of(n):g}")
    expect(page.get_by_role("button", name="take out: photo 1")).to_be_visible()
    return page
