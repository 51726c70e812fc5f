"""Two weeks back as they were shown then, two weeks ahead, and the year on one page."""

import re
from datetime import datetime, timedelta

from journeys.home import Home
from journeys.household import EVENING, ZONE, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press, sync_line, take_back_button
from journeys.waiting import until
from playwright.sync_api import Locator, Page, expect

NEXT_MORNING = datetime(2026, 11, 25, 8, 30, tzinfo=ZONE)


def the_day(page: Page, date: str) -> Locator:
    return page.get_by_role("toolbar", name="Days").get_by_role("button", name=re.compile(f"^{date}"))


def test_a_day_gone_by_stands_as_it_was_shown_with_what_became_of_each_job(
    home: Home, keeper: Caller, phone: Page
) -> None:
    sign_in(phone)
    press(card(phone, "Covers on"), "Done")
    expect(take_back_button(phone, "Covers on")).to_be_visible()
    heater = card(phone, "Heater setting to 18.5 °C")
    press(heater, "not done")
    press(heater, "could not")
    press(heater, "Save")
    expect(sync_line(phone)).to_contain_text("All sent")
    until(lambda: len(keeper.log("not_done")) == 1, "the evening has arrived", phone)

    home.clock.set(NEXT_MORNING)
    # What is altered afterwards does not alter what was shown.
    keeper.keep(keeper.entry("set", target="job/cover", field="texts", value={"on": "Lids on", "off": "Lids off"}))
    phone.clock.fast_forward((NEXT_MORNING - EVENING).total_seconds() * 1000)
    phone.goto("/round")
    expect(phone.get_by_role("button", name=re.compile("^Lids on"))).to_be_visible()
    expect(the_day(phone, "Tue 24 Nov")).to_have_accessible_name(re.compile("missed"))
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    the_day(phone, "Tue 24 Nov").tap()
    expect(phone.get_by_role("heading", name="Tue 24 Nov")).to_be_visible()
    stops = phone.get_by_role("main").get_by_role("listitem")
    expect(stops.filter(has_text=re.compile(r"Covers on.*16:45"))).to_be_visible()
    expect(stops.filter(has_text="not done: could not · 16:4")).to_be_visible()
    expect(stops.filter(has_text="Buffer").filter(has_text="missed, was due by")).to_be_visible()
    expect(phone.get_by_text("Lids on")).to_have_count(0)


def test_what_else_was_recorded_that_day_stands_below_its_round(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    expect(sync_line(phone)).to_contain_text("All sent")
    keeper.keep(keeper.reading(4.5), keeper.entry("note", text="Leaves all over the pond."))
    home.clock.set(NEXT_MORNING)
    phone.clock.fast_forward((NEXT_MORNING - EVENING).total_seconds() * 1000)
    phone.goto("/round?day=2026-11-24")
    expect(phone.get_by_role("heading", name="Also recorded")).to_be_visible()
    entries = phone.get_by_role("main").get_by_role("listitem")
    expect(entries.filter(has_text="Leaves all over the pond.")).to_be_visible()
    expect(entries.filter(has_text="KH 4.5 °dKH")).to_be_visible()
    # What answered a job stands on the round, and not once more below it.
    expect(entries.filter(has_text="Covers off")).to_have_count(1)


def test_two_weeks_ahead_say_what_comes_and_how_much_it_asks(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    days = keeper.plan()["days"]
    phone.context.set_offline(True)
    for ahead in (1, 13):
        on = EVENING.date() + timedelta(days=ahead)
        day = next(one for one in days if one["date"] == on.isoformat())
        button = the_day(phone, f"{on:%a} {on.day} {on:%b}")
        expect(button).to_contain_text(f"{day['minutes']} min")
        button.tap()
        for job in day["jobs"]:
            if job["state"] == "open":
                expect(phone.get_by_role("listitem").filter(has_text=job["text"]).first).to_be_visible()
    the_last = EVENING.date() + timedelta(days=13)
    expect(phone.get_by_role("heading", name=f"{the_last:%a} {the_last.day} {the_last:%b}")).to_be_visible()


def test_a_heavy_day_says_so_and_what_can_slip_until_when(keeper: Caller, phone: Page) -> None:
    made = {"text": "Lift out each basket", "minutes": 90, "waits_days": 3}
    target = {"target": "job/baskets", "effective_from": None}
    keeper.keep(*(keeper.entry("set", field=field, value=value, **target) for field, value in made.items()))
    sign_in(phone)
    expect(phone.get_by_text(re.compile(r"a heavy day$"))).to_be_visible()
    expect(phone.get_by_text("Can slip: Lift out each basket (until Fri).")).to_be_visible()
    expect(the_day(phone, "Tue 24 Nov")).to_contain_text("heavy")


def test_the_year_on_one_page_has_its_seasonal_work_and_last_years_dates(keeper: Caller, phone: Page) -> None:
    made = {
        "text": "Leaf net on",
        "recur": {"every": "rule", "rule": "FREQ=YEARLY"},
        "starts_on": "2024-10-10",
        "season": {"from": "10-10", "to": "12-05"},
    }
    target = {"target": "job/leaf-net", "effective_from": None}
    keeper.keep(*(keeper.entry("set", field=field, value=value, **target) for field, value in made.items()))
    for year in (2025, 2026):
        keeper.keep(keeper.tick("leaf-net", "day", datetime(year, 10, 12, 10, tzinfo=ZONE)))
    sign_in(phone)
    phone.get_by_role("link", name="The year on one page").tap()
    expect(phone.get_by_role("heading", name="The year 2026")).to_be_visible()
    october = phone.get_by_role("listitem").filter(has=phone.get_by_role("heading", name="October"))
    expect(october).to_contain_text("Leaf net on 10 Oct to 5 Dec")
    expect(october).to_contain_text("done 12 Oct · last year 12 Oct")
    expect(phone.get_by_role("heading", name="November")).to_contain_text("now")
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.reload()
    expect(october).to_contain_text("last year 12 Oct")
