"""The Water page: what the water is like, what to do first, what comes; with signal and without."""

import re
from datetime import timedelta

from journeys.home import Home
from journeys.household import EVENING, Caller, in_words
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, press, sync_line
from journeys.water_screen import answer, field, open_water
from playwright.sync_api import Page, expect


def measure(page: Page, **values: str) -> None:
    """A test session, field by label."""
    open_water(page, "?add")
    for label, text in values.items():
        field(page, label).fill(text)
    press(page, "Save readings")
    if page.get_by_role("alert").is_visible():
        press(page, "Save readings")
    expect(page.get_by_role("heading", name="Water", exact=True)).to_be_visible()


def test_act_now_stands_first_and_says_what_to_do(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    measure(phone, Nitrite="0.6", pH="7.6")
    nitrite = answer(phone, "Nitrite")
    expect(nitrite).to_contain_text("act now")
    expect(nitrite).to_contain_text("2 mg/L as NO₂")
    expect(nitrite.get_by_role("list", name="First").get_by_role("listitem").first).to_be_visible()
    first = phone.get_by_role("region", name="Latest readings").get_by_role("listitem").first
    expect(first).to_contain_text("Nitrite")
    expect(answer(phone, "pH")).to_contain_text("in range")


def test_a_reading_without_signal_is_answered_on_the_phone(home: Home, keeper: Caller, phone: Page) -> None:
    keeper.keep(keeper.entry("reading", EVENING - timedelta(hours=2), quantity="ph", value=7.6))
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_water(phone)
    expect(answer(phone, "pH")).to_contain_text("in range")
    phone.context.set_offline(True)
    measure(phone, pH="9.2")
    expect(answer(phone, "pH")).to_contain_text("act now")
    expect(answer(phone, "pH")).to_contain_text("Answered on this phone")
    phone.get_by_role("button", name=re.compile("^take back: pH 9.2")).tap()
    expect(answer(phone, "pH")).to_contain_text("7.6")
    expect(answer(phone, "pH")).to_contain_text("in range")


def test_a_reading_too_old_is_not_in_range(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    measure(phone, pH="7.6")
    expect(answer(phone, "pH")).to_contain_text("in range")
    expect(answer(phone, "pH")).not_to_contain_text("Answered on this phone")
    phone.goto("about:blank")
    phone.context.set_offline(True)
    phone.clock.set_system_time((EVENING + timedelta(days=12)).timestamp())
    open_water(phone)
    expect(answer(phone, "pH")).to_contain_text("not known: old")
    expect(answer(phone, "pH")).not_to_contain_text("in range")


def test_a_keepers_own_range_moves_the_answer(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    measure(phone, pH="7.6")
    expect(answer(phone, "pH")).to_contain_text("in range")
    phone.get_by_role("link", name="Ranges").tap()
    phone.get_by_role("link", name=re.compile("^pH")).tap()
    field(phone, "drifting above").fill("7.5")
    field(phone, "act now above").fill("7.2")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("These must rise from one field to the next.")
    field(phone, "act now above").fill("8.8")
    press(phone, "Save")
    expect(answer(phone, "pH")).to_contain_text("drifting")


def test_the_chart_says_in_words_and_in_a_table_what_it_shows(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone)
    chart = phone.get_by_role("img", name=re.compile(r"^KH from [\d.]+ on \d+ \w+ to [\d.]+ °dKH on"))
    expect(chart).to_be_visible()
    expect(chart).to_have_accessible_name(re.compile(r"Expected on 1 Dec: [\d.]+ to [\d.]+\. Wanted: "))
    phone.get_by_text("As a table").first.tap()
    table = phone.get_by_role("figure").first.get_by_role("table").first
    last_reading = table.get_by_role("row", name=re.compile(r"^21 Nov 4\.5"))
    expect(last_reading).to_contain_text("80 g")


def test_the_week_ahead_has_the_plans_amounts(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone)
    week = phone.get_by_role("region", name="Buffer, the week ahead")
    rows = week.get_by_role("row")
    expect(rows).to_have_count(8)
    for day in range(7):
        dose = keeper.job("buffer", day=day)
        expect(rows.nth(day + 1)).to_contain_text(in_words(dose["amount_g"]))
    expect(rows.nth(1)).to_contain_text("Today")
    expect(rows.nth(2)).to_contain_text("Wed 25 Nov")


def test_code_that_did_not_come_is_fetched_when_there_is_signal(keeper: Caller, phone: Page) -> None:
    for path in ("**/later.js*", "**/later.css*"):
        phone.context.route(path, lambda route: route.abort())
    phone.add_init_script("delete Navigator.prototype.serviceWorker")
    sign_in(phone)
    phone.get_by_role("link", name="Water").tap()
    for path in ("**/later.css*", "**/later.js*"):
        expect(phone.get_by_role("alert")).to_contain_text("This page could not be fetched")
        phone.context.unroute(path)
        with phone.expect_response(path):
            phone.context.set_offline(True)
            phone.context.set_offline(False)
    expect(phone.get_by_role("region", name="Latest readings")).to_be_visible()


def test_code_of_another_build_is_not_run(keeper: Caller, phone: Page) -> None:
    phone.context.route("**/later.js", lambda route: route.fulfill(body="throw 1", content_type="text/javascript"))
    phone.add_init_script("delete Navigator.prototype.serviceWorker")
    sign_in(phone)
    phone.get_by_role("link", name="Water").tap()
    expect(phone.get_by_role("alert")).to_have_text(
        "This page could not be fetched, or is of a newer version. What you recorded is safe."
    )
    phone.context.unroute("**/later.js")
    press(phone, "Load again")
    expect(phone.get_by_role("region", name="Latest readings")).to_be_visible()
    expect(sync_line(phone)).to_have_text(SENT)
