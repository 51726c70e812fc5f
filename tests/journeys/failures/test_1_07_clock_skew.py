"""Row 1.7: the phone's clock is wrong. What is due must not follow it; what was done must not land in another year."""

from datetime import UTC, datetime, timedelta

import pytest
from journeys.failures.device import on_device, tick
from journeys.household import EVENING
from journeys.phones import make_ready_for_no_signal, sign_in
from playwright.sync_api import Page, expect

NOW = EVENING.astimezone(UTC)
WRONG = {
    "three hours fast": NOW + timedelta(hours=3),
    "three hours slow": NOW - timedelta(hours=3),
    "in 1970": datetime(1970, 1, 1, 0, 20, tzinfo=UTC),
    "in 2099": datetime(2099, 6, 1, 12, 0, tzinfo=UTC),
}


@pytest.fixture(params=WRONG)
def off(request) -> timedelta:
    """How far the phone's clock is ahead of home's."""
    return WRONG[request.param] - NOW


@pytest.fixture
def wrong_phone(keeper, new_phone, home, off) -> Page:
    page = new_phone(now=lambda: home.clock().astimezone(UTC) + off)
    sign_in(page)
    return page


def the_round(page: Page) -> str:
    """Everything the round says, once a card is open."""
    expect(page.get_by_role("article", name="Covers on")).to_be_visible()
    return page.locator("main").inner_text()


def test_the_round_is_that_of_a_phone_whose_clock_is_right_with_signal_and_without(wrong_phone, phone):
    sign_in(phone)
    make_ready_for_no_signal(wrong_phone)
    assert the_round(wrong_phone) == the_round(phone)
    wrong_phone.context.set_offline(True)
    wrong_phone.reload()
    expect(wrong_phone.get_by_text("no signal")).to_be_visible()
    assert the_round(wrong_phone) == the_round(phone)


def test_a_tick_lands_at_home_when_it_was_made_and_nothing_else_is_due_for_it(wrong_phone, keeper, home, off):
    def others() -> list[tuple[str, str, str]]:
        days = keeper.plan()["days"]
        jobs = [job for day in days for job in day["jobs"] if job["standing_job"] != "cover"]
        return [(job["id"], job["opens_at"], job["state"]) for job in jobs]

    before = others()
    wrong_phone.context.set_offline(True)
    tick(wrong_phone, "Covers on")
    wrong_phone.context.set_offline(False)
    expect(wrong_phone.get_by_text("All sent")).to_be_visible()
    arrived = keeper.log("tick")[-1]
    late_s = (home.clock() - datetime.fromisoformat(arrived["placed_at"])).total_seconds()
    assert 0 <= late_s < 60
    assert arrived["placed_on"] == "2026-11-24"
    assert arrived["entry"]["due_on"] == "2026-11-24"
    # What the phone said is kept as it said it.
    told = datetime.fromisoformat(arrived["entry"]["happened_at"])
    assert abs(told - home.clock().astimezone(UTC) - off) < timedelta(minutes=1)
    assert arrived["time_doubtful"] is (abs(off) > timedelta(days=1))
    assert others() == before


def test_what_the_phone_holds_is_not_let_go_as_old_by_a_clock_years_ahead(keeper, new_phone, home):
    page = new_phone(now=lambda: home.clock().astimezone(UTC) + (WRONG["in 2099"] - NOW))
    sign_in(page)
    make_ready_for_no_signal(page)
    kept = set(on_device(page).entries)
    assert kept
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_text("no signal")).to_be_visible()
    page.clock.run_for(15_000)
    page.reload()
    expect(page.get_by_role("article", name="Covers on")).to_be_visible()
    assert set(on_device(page).entries) == kept


def test_of_a_clock_that_cannot_be_right_somebody_is_asked(keeper, new_phone, home):
    page = new_phone(now=lambda: home.clock().astimezone(UTC) + (WRONG["in 1970"] - NOW))
    sign_in(page)
    tick(page, "Covers on")
    expect(page.get_by_text("All sent")).to_be_visible()
    page.get_by_role("link", name="Pond book").click()
    expect(page.get_by_text("Set this phone's clock right, then say here when this was.")).to_be_visible()
