"""The Water page: what the water is like, what to do first, what comes; with signal and without."""

from journeys.household import Caller, in_words
from journeys.phones import sign_in
from journeys.round_screen import press, sync_line
from journeys.water_screen import open_water
from playwright.sync_api import Page, expect


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
    expect(sync_line(phone)).to_have_text("All sent 16:45")
