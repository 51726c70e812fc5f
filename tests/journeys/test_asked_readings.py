"""A job that is there for a reading has its fields on the card: what is typed goes with the tick."""

from journeys.household import Caller
from journeys.jobs_screen import open_job, section, summary
from journeys.phones import sign_in
from journeys.round_screen import card, press, sync_line, take_back_button
from playwright.sync_api import Page, expect

ASKS = [{"quantity": "total_chlorine_ug_per_l", "point": "after_carbon"}, {"quantity": "temperature_c"}]


def add_test(keeper: Caller) -> None:
    windows = {"dusk": {"part": "dusk", "opens": "12:00", "closes": "21:00"}}
    told = {"text": "Test chlorine", "asks": ASKS, "windows": windows}
    keeper.keep(
        *(
            keeper.entry("set", target="job/test-chlorine", field=field, value=value, effective_from=None)
            for field, value in told.items()
        )
    )


def test_what_is_typed_on_the_card_is_recorded_with_the_tick(keeper: Caller, phone: Page) -> None:
    add_test(keeper)
    sign_in(phone)
    test = card(phone, "Test chlorine")
    chlorine = test.get_by_role("textbox", name="Total chlorine, after the carbon")
    chlorine.fill("99999")
    press(test, "Done")
    expect(test.get_by_role("alert")).to_contain_text("Between 0 and 10,000 µg/L.")
    chlorine.fill("15")
    press(test, "Done")
    expect(take_back_button(phone, "Test chlorine")).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    reading, tick = (one["entry"] for one in keeper.log("reading", "tick")[-2:])
    assert (reading["quantity"], reading["point"], reading["value"]) == ("total_chlorine_ug_per_l", "after_carbon", 15)
    assert (tick["kind"], tick["standing_job"]) == ("tick", "test-chlorine")


def test_a_job_may_be_told_what_it_asks_for(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_job(phone, "agitate")
    section(phone, "What is measured")
    press(phone, "Add a reading")
    phone.get_by_label("Reading", exact=True).select_option("ec25_us_per_cm@after_membrane")
    expect(summary(phone, "What is measured")).to_contain_text("Conductivity at 25 °C, after the membrane")
    press(phone, "Save")
    expect(phone.get_by_role("heading", name="Jobs", exact=True)).to_be_visible()
    expect(sync_line(phone)).to_contain_text("All sent")
    kept = [one["entry"] for one in keeper.log("set") if one["entry"]["field"] == "asks"]
    assert kept[-1]["value"] == [{"quantity": "ec25_us_per_cm", "point": "after_membrane"}]
