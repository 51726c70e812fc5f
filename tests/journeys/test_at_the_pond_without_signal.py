"""Dusk, no bars, wet hands; the phone dies; the morning after."""

import json
import re
from collections import Counter
from datetime import datetime, timedelta
from itertools import pairwise

from journeys.home import Home
from journeys.household import EVENING, ZONE, Caller, in_words
from journeys.phones import KeptPhone, make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press, sync_line, take_back_button
from journeys.waiting import until
from playwright.sync_api import Locator, Page, expect

DUSK = EVENING + timedelta(minutes=20)
NEXT_DAY = datetime(2026, 11, 25, 10, 30, tzinfo=ZONE)
GIVES_UP_AFTER_S = 20


def test_an_evening_without_signal_arrives_once_with_its_own_times(
    home: Home, keeper: Caller, kept_phone: KeptPhone
) -> None:
    at_the_house(home, kept_phone)
    chart = keeper.job("buffer")
    before = keeper.log()

    home.clock.set(DUSK)
    page = kept_phone.open(home.clock, offline=True)
    dose_g = do_the_round(page, chart)
    kept_phone.die()
    assert keeper.log() == before

    home.clock.set(NEXT_DAY)
    page = kept_phone.open(home.clock)
    send_though_the_first_answer_comes_too_late(page, home, keeper)
    arrived = keeper.log()[len(before) :]
    check_the_evening(arrived, dose_g)
    check_today(page, keeper)


def test_a_page_left_open_over_night_shows_the_new_day(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    expect(phone.get_by_role("heading", name="Tonight's round")).to_be_visible()
    home.clock.set(NEXT_DAY)
    phone.clock.fast_forward((NEXT_DAY - EVENING).total_seconds() * 1000)
    expect(phone.get_by_role("heading", name="Today's round")).to_be_visible()
    expect(phone.get_by_text(re.compile("^25 Nov"))).to_be_visible()
    expect(card(phone, "Covers off")).to_contain_text("late since")
    expect(sync_line(phone)).to_have_text("All sent 10:30")


def at_the_house(home: Home, kept_phone: KeptPhone) -> None:
    """In the house, with signal: signed in once, looked at, put in the pocket."""
    page = kept_phone.open(home.clock)
    sign_in(page)
    make_ready_for_no_signal(page)
    kept_phone.close()


def do_the_round(page: Page, planned: dict) -> float:
    """The evening's round, offline; the grams given."""
    page.goto("/")
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()
    expect(sync_line(page)).to_have_text("All sent 16:45 · no signal")
    covers = card(page, "Covers on")
    expect(covers).to_contain_text("by 17:26")
    press(covers, "Done")
    expect(sync_line(page)).to_have_text("1 waiting, no signal")
    dose_g = give_by_reading(page, planned)
    set_the_heater_on_the_second_try(page)
    return dose_g


def give_by_reading(page: Page, planned: dict) -> float:
    """Type the KH just measured, see the amount follow, and give it."""
    buffer = card(page, "Buffer")
    expect(amount_on(buffer)).to_have_text(in_words(planned["amount_g"]))
    field = buffer.get_by_role("textbox", name="KH")
    for text, kh_dkh in (("3.5", 3.5), ("4,5", 4.5), ("4", 4.0)):
        field.fill(text)
        expect(amount_on(buffer)).to_have_text(in_words(by_chart(planned, kh_dkh)))
    press(buffer, "KH 0.5 °dKH less")
    expect(field).to_have_value("3.5")
    dose_g = by_chart(planned, 3.5)
    expect(amount_on(buffer)).to_have_text(in_words(dose_g))
    expect(buffer).to_contain_text("Gloves and eye protection")
    press(buffer, "Given")
    expect(sync_line(page)).to_have_text("3 waiting, no signal")
    return dose_g


def amount_on(buffer: Locator) -> Locator:
    """The big words on a dose's card."""
    return buffer.get_by_text(re.compile(r"^(\d*[¼½¾]?) capfuls?$|^\d+ g$")).first


def by_chart(planned: dict, kh_dkh: float) -> float:
    """What the server's chart gives for a reading, in whole quarter capfuls: straight lines between its rows."""
    rows = planned["chart"]["rows"]
    low, high = next((a, b) for a, b in pairwise(rows) if a[0] <= kh_dkh <= b[0])
    share = (kh_dkh - low[0]) / (high[0] - low[0])
    quarter_g = planned["chart"]["capful_g"] / 4
    wanted_g = low[1] + share * (high[1] - low[1])
    if wanted_g >= planned["limit_g_24h"]:
        return planned["limit_g_24h"] // quarter_g * quarter_g
    return round(wanted_g / quarter_g) * quarter_g


def set_the_heater_on_the_second_try(page: Page) -> None:
    """Ticked before it was done: taken back, done, ticked."""
    press(card(page, "Heater setting to 18.5 °C"), "Set")
    expect(sync_line(page)).to_have_text("4 waiting, no signal")
    take_back_button(page, "Heater setting to 18.5 °C").tap()
    expect(sync_line(page)).to_have_text("5 waiting, no signal")
    heater = card(page, "Heater setting to 18.5 °C")
    press(heater, "Set")
    expect(sync_line(page)).to_have_text("6 waiting, no signal")
    expect(page.get_by_text("24 Nov · dusk 16:41 · all done")).to_be_visible()


def send_though_the_first_answer_comes_too_late(page: Page, home: Home, keeper: Caller) -> None:
    """Home takes everything, but answers when the phone has given up and sends it all again."""
    home.line.fail(home.line.holds_its_answer(), times=1)
    calls = len(home.line.to("/api/sync"))
    page.goto("/")
    until(lambda: len(home.line.to("/api/sync")) > calls, "the phone's call is the one that is held", page)
    expect(sync_line(page)).to_have_text("Sending 6")
    until(lambda: len(keeper.log("take_back")) == 1, "home has kept the evening", page)
    expect(sync_line(page)).to_have_text("Sending 6")
    page.clock.fast_forward((GIVES_UP_AFTER_S + 1) * 1000)
    expect(sync_line(page)).to_have_text(re.compile(r"All sent 10:3\d"))
    sent = [json.loads(call.body)["entries"] for call in home.line.to("/api/sync")]
    assert [len(entries) for entries in sent if entries[-1:] and entries[-1]["device"] != keeper.device] == [6, 6]
    home.line.clear()


def check_the_evening(arrived: list[dict], dose_g: float) -> None:
    """Each entry once, when and as the keeper meant it."""
    entries = [one["entry"] for one in arrived]
    assert len({entry["id"] for entry in entries}) == len(entries)
    told = [(entry["kind"], entry.get("standing_job") or entry.get("quantity")) for entry in entries]
    heater = ("tick", "heater")
    assert Counter(told) == Counter(
        [("tick", "cover"), ("reading", "kh_dkh"), ("tick", "buffer"), heater, ("take_back", None), heater]
    )
    by_kind = {entry["kind"]: entry for entry in entries}
    first_heater = next(entry for entry in entries if entry.get("standing_job") == "heater")
    assert by_kind["take_back"]["entry"] == first_heater["id"]
    assert by_kind["reading"]["value"] == 3.5
    assert [entry["amount_g"] for entry in entries if "amount_g" in entry] == [dose_g]
    for one in arrived:
        happened_at = datetime.fromisoformat(one["entry"]["happened_at"])
        assert DUSK <= happened_at < DUSK + timedelta(minutes=5)
        assert happened_at.utcoffset() == DUSK.utcoffset()
        assert datetime.fromisoformat(one["placed_at"]) == happened_at
        assert (one["placed_on"], one["time_doubtful"]) == ("2026-11-24", False)
        assert datetime.fromisoformat(one["received_at"]) >= NEXT_DAY


def at_the_pond(moment: str) -> str:
    """ "10:05": a moment of the plan as the pond's clock shows it."""
    return datetime.fromisoformat(moment).astimezone(ZONE).strftime("%H:%M")


def check_today(page: Page, keeper: Caller) -> None:
    """The screen shows today, as the server has worked it out from last night."""
    expect(page.get_by_role("heading", name="Today's round")).to_be_visible()
    expect(page.get_by_text(re.compile("^25 Nov"))).to_be_visible()
    covers = keeper.job("cover", "off")
    assert covers["due_on"] == "2026-11-25"
    expect(card(page, "Covers off")).to_contain_text(f"late since {at_the_pond(covers['closes_at'])}")
    expect(card(page, "Agitate the carbon cartridges")).to_contain_text("by 17:00")
    planned = keeper.job("buffer")
    assert keeper.plan()["log_seq"] == keeper.log()[-1]["seq"]
    assert planned["due_on"] == "2026-11-25"
    tonight = page.get_by_role("button", name=re.compile("^Buffer"))
    expect(tonight).to_contain_text(f"{in_words(planned['amount_g'])} · from {at_the_pond(planned['opens_at'])}")
    page.get_by_text("Stood down today: 1").tap()
    expect(page.get_by_text("Set to 18.5 °C on Tue 24 Nov.")).to_be_visible()
    page.get_by_role("button", name=re.compile("^Tue 24 Nov")).tap()
    last_night = page.get_by_role("listitem").filter(has_text=re.compile("17:0"))
    expect(last_night).to_have_count(4)
    expect(last_night.filter(has_text="KH 3.5 °dKH")).to_be_visible()
