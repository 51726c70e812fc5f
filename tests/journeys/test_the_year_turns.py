"""The year turns: in October holding grows dear and the keeper lets the warmth down, step by step, never against a warm
spell; in April it comes back up."""

import re
from collections.abc import Callable
from datetime import datetime

from journeys.home import Home
from journeys.household import ZONE, Caller
from journeys.phones import sign_in
from journeys.round_screen import card, press, sync_line, take_back_button
from journeys.warm_year import SETTINGS, Keeping
from journeys.warmth_screen import open_warmth
from playwright.sync_api import Page, expect


def evening(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}T17:30").replace(tzinfo=ZONE)


def heater_line(page: Page, words: str) -> None:
    """What the round says of the heater today."""
    page.goto("/round")
    expect(page.get_by_role("main")).to_contain_text(re.compile(words))


def test_the_year_turns(home: Home, new_phone: Callable[..., Page]) -> None:
    home.clock.set(evening("2026-10-06"))
    keeper = Caller(home.url, home.clock).begin()
    keeper.set_up(**SETTINGS)
    life = Keeping(keeper, evening("2026-09-14").replace(hour=0, minute=0), 20.0)
    life.live(23, air_c=14.0)

    # Early October: it still pays, and the page says until when.
    phone = new_phone()
    sign_in(phone)
    open_warmth(phone)
    holding = phone.get_by_text("Holding 20 °C another week").locator("..")
    expect(holding).to_contain_text(re.compile(r"€\d+\.\d\d"))
    expect(holding).to_contain_text(re.compile(r"From about \d+ (October|November) it costs more than €2\.50 a day\."))
    expect(phone.get_by_role("button", name="Agree")).to_have_count(0)

    # A colder month on, it does not: the keeper agrees.
    home.clock.set(evening("2026-11-05"))
    life.live(30, air_c=7.0)
    phone = new_phone()
    sign_in(phone)
    open_warmth(phone)
    expect(phone.get_by_role("heading", name="Step down to 12 °C")).to_be_visible()
    expect(phone.get_by_role("main")).to_contain_text("more than the €2.50 you would spend")
    press(phone, "Agree")
    expect(phone.get_by_text("step-down, day 1 · tonight's setting 20 °C")).to_be_visible()
    assert keeper.log("set")[-1]["entry"]["value"]["starts_on"] == "2026-11-05"

    # Each step is a job of its day, and is made on the screen.
    home.clock.set(evening("2026-11-08"))
    life.live(3, air_c=7.0)
    phone = new_phone()
    sign_in(phone)
    stop = card(phone, "Heater setting")
    expect(stop).to_contain_text("Heater setting to 19 °C")
    expect(stop).to_contain_text("Step 1 of the step-down, from 20 °C.")
    press(stop, "Set")
    expect(take_back_button(phone, "Heater setting to 19 °C")).to_be_visible()
    expect(sync_line(phone)).to_have_text("All sent 17:30")
    life.has_set(19.0)

    # A warm spell is used, never fought: the setting waits, the heater rests.
    home.clock.set(evening("2026-11-11"))
    life.warm_spell(21.5)
    life.live(3, air_c=19.0)
    phone = new_phone()
    sign_in(phone)
    assert keeper.job("heater")["state"] == "stood_down"
    assert keeper.job("heater")["setting_c"] == 19
    assert "by itself: the setting waits at 19 °C." in keeper.job("heater")["reason"]
    open_warmth(phone)
    expect(phone.get_by_text("step-down, day 7 · tonight's setting 19 °C")).to_be_visible()

    # And after it the next step comes, one at a time.
    home.clock.set(evening("2026-11-16"))
    life.live(5, air_c=5.0)
    assert (keeper.job("heater")["setting_c"], keeper.job("heater")["state"]) == (18, "open")

    # April: the winter was spent at 12; the way up is offered, at the same care.
    home.clock.set(evening("2027-04-12"))
    keeper.close()
    keeper = Caller(home.url, home.clock).sign_in()  # a winter is longer than a sign-in holds
    april = Keeping(keeper, evening("2027-03-20").replace(hour=0, minute=0), 12.0)
    april.live(24, air_c=9.5)
    phone = new_phone()
    sign_in(phone)
    open_warmth(phone)
    press(phone, "Stop the step-down here")
    expect(phone.get_by_role("heading", name="Step up to 20 °C")).to_be_visible()
    press(phone, "Agree")
    expect(phone.get_by_text("step-up, day 1 · tonight's setting 12 °C")).to_be_visible()
    home.clock.set(evening("2027-04-15"))
    april.live(3, air_c=10.0)
    assert keeper.job("heater")["setting_c"] == 13
    assert keeper.job("heater")["reason"] == "Step 1 of the step-up, from 12 °C."
    keeper.close()
