"""A round as days really go: late by what it does, not known, food by the gram, held back while something goes on."""

import re
from datetime import timedelta
from typing import Any

import pytest
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import card, press, sync_line, take_back_button
from playwright.sync_api import Locator, Page, expect

MONDAYS = {"every": "weekdays", "days": ["mon"]}
MORNING = {"day": {"part": "morning", "opens": "07:00", "closes": "10:00"}}
CHLORINE = {"quantity": "total_chlorine_ug_per_l", "point": "after_carbon"}


def set_job(keeper: Caller, name: str, **fields: Any) -> None:
    """As if it had long been so: nobody is late with a job that was set only after its hours."""
    target, long_ago = {"target": f"job/{name}", "effective_from": None}, keeper.now() - timedelta(days=30)
    keeper.keep(*(keeper.entry("set", long_ago, field=field, value=value, **target) for field, value in fields.items()))


@pytest.fixture
def late(keeper: Caller) -> Caller:
    """Three jobs missed: one can wait, one is late since this morning, one since yesterday and it matters."""
    set_job(keeper, "drum", text="Rinse the drum", recur=MONDAYS, waits_days=3)
    set_job(keeper, "lamp", text="Look at the lamp", recur=MONDAYS, serious=True)
    set_job(keeper, "probe", text="Wipe the probe", windows=MORNING)
    return keeper


def part(page: Page, name: str) -> Locator:
    return page.locator("section").filter(has=page.get_by_role("heading", name=re.compile(f"^{name}")))


def test_what_matters_comes_first_and_what_can_wait_says_until_when(late: Caller, phone: Page) -> None:
    sign_in(phone)
    first = phone.get_by_role("article", name="Look at the lamp")
    expect(first).to_contain_text("late since Mon 20:00, and it matters")
    expect(first.get_by_role("button", name="Done", exact=True)).to_be_visible()
    stops = part(phone, "Late").get_by_role("listitem").filter(has_text="late since")
    expect(stops).to_have_text([re.compile("Look at the lamp"), re.compile("Wipe the probe.*late since 10:00")])
    expect(part(phone, "Midday").get_by_role("button", name="Rinse the drum")).to_contain_text("can wait until Thu")


def test_a_late_job_that_is_done_keeps_its_place_under_the_hand(late: Caller, phone: Page) -> None:
    sign_in(phone)
    press(card(phone, "Look at the lamp"), "Done")
    expect(take_back_button(phone, "Look at the lamp")).to_be_visible()
    expect(phone.get_by_role("article", name="Wipe the probe")).to_be_visible()
    expect(part(phone, "Late").get_by_role("listitem").filter(has_text="Look at the lamp")).to_be_visible()
    phone.reload()
    expect(part(phone, "Late").get_by_role("listitem").filter(has_text="Look at the lamp")).to_have_count(0)
    expect(part(phone, "Midday").get_by_role("listitem").filter(has_text="Look at the lamp")).to_be_visible()


def test_what_nobody_measured_is_not_known_and_leads_to_the_reading(keeper: Caller, phone: Page) -> None:
    condition = {"what": "reading", "side": "above", "value": 20, **CHLORINE}
    set_job(keeper, "flush", text="Flush the carbon", only_if=[condition])
    sign_in(phone)
    line = phone.get_by_role("button", name=re.compile("^Flush the carbon"))
    expect(line).to_contain_text("Not known: no reading of total chlorine after the carbon yet.")
    line.tap()
    flush = phone.get_by_role("article", name="Flush the carbon")
    expect(flush.get_by_role("button", name="Done", exact=True)).to_have_count(0)
    flush.get_by_role("link", name="Measure it").tap()
    expect(phone.get_by_role("button", name="Save readings")).to_be_visible()
    keeper.keep(keeper.entry("reading", value=30, **CHLORINE))
    phone.goto("/round")
    expect(card(phone, "Flush the carbon").get_by_role("button", name="Done", exact=True)).to_be_visible()


def test_food_is_given_by_the_gram_and_a_tick_is_the_feed(keeper: Caller, phone: Page) -> None:
    feeding(keeper)
    grams = keeper.job("feed", "day")["feed_g"]
    assert grams > 0
    sign_in(phone)
    feed = card(phone, "Feed")
    expect(feed.locator(".amount")).to_contain_text(f"{grams:.0f} g")
    press(feed, "other amount")
    feed.get_by_role("textbox", name="Grams fed").fill("25")
    press(feed, "Save")
    expect(take_back_button(phone, "Feed")).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    fed = keeper.log("tick")[-1]["entry"]
    assert (fed["standing_job"], fed["feed_g"]) == ("feed", 25)


def test_how_much_was_eaten_is_said_with_the_tick_or_a_while_after_it(keeper: Caller, phone: Page) -> None:
    feeding(keeper)
    windows = {"day": {"part": "dusk", "opens": "08:00", "closes": "18:00"}}
    set_job(keeper, "supper", text="Supper", shape="feed", windows=windows)
    sign_in(phone)
    press(card(phone, "Feed"), "Fed")
    press(phone, "How much was eaten: Feed")
    press(phone, "Fed, some left")
    line = phone.get_by_role("listitem").filter(has=take_back_button(phone, "Feed"))
    expect(line).to_contain_text("g, some left ·")
    expect(phone.get_by_role("button", name="How much was eaten")).to_have_count(0)
    expect(sync_line(phone)).to_contain_text("All sent")
    plain, told = [one["entry"] for one in keeper.log("tick")[-2:]]
    assert told["appetite"] == "some_left"
    assert [told[same] for same in ("feed_g", "happened_at")] == [plain[same] for same in ("feed_g", "happened_at")]
    assert keeper.log("take_back")[-1]["entry"]["entry"] == plain["id"]
    press(card(phone, "Supper"), "Fed, most left")
    supper = phone.get_by_role("listitem").filter(has=take_back_button(phone, "Supper"))
    expect(supper).to_contain_text("g, most left ·")
    expect(sync_line(phone)).to_contain_text("All sent")
    assert keeper.log("tick")[-1]["entry"]["appetite"] == "most_left"


def test_food_is_held_back_while_the_power_is_out_and_given_all_the_same_with_a_reason(
    keeper: Caller, phone: Page
) -> None:
    feeding(keeper)
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.get_by_role("link", name="Something is wrong").tap()
    phone.get_by_role("button", name="Power is out").tap()
    phone.get_by_role("link", name="Back to the round").tap()
    feed = card(phone, "Feed")
    expect(feed).to_contain_text("held back")
    expect(feed).to_contain_text("Source: common practice, no source")
    expect(feed.get_by_role("button", name="Fed", exact=True)).to_have_count(0)
    press(feed, "Do it all the same")
    feed.get_by_role("textbox", name="Grams fed").fill("10")
    press(feed, "Save")
    expect(feed.get_by_role("alert")).to_have_text("Please fill this in.")
    feed.get_by_role("textbox", name="Why all the same?").fill("The generator runs.")
    press(feed, "Save")
    expect(take_back_button(phone, "Feed")).to_be_visible()
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_contain_text("All sent")
    fed = keeper.log("tick")[-1]["entry"]
    assert (fed["feed_g"], fed["override_reason"]) == (10, "The generator runs.")


def feeding(keeper: Caller) -> None:
    """A feeding job that is due, and water warm enough for it."""
    keeper.keep(keeper.entry("set", target="pond", field="feed_g_per_day", value=120, effective_from=None))
    keeper.keep(keeper.entry("reading", quantity="temperature_c", value=15))
    windows = {"day": {"part": "dusk", "opens": "08:00", "closes": "18:00"}}
    set_job(keeper, "feed", text="Feed", shape="feed", windows=windows)
