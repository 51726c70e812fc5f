"""Several readings at once: in the kit's order, asked about where they look mistaken, kept as the keeper says."""

from datetime import timedelta
from typing import Any

from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.phones import sign_in
from journeys.round_screen import press
from journeys.waiting import until
from journeys.water_screen import answer, field, open_water
from playwright.sync_api import Page, expect


def readings(keeper: Caller) -> list[dict[str, Any]]:
    return [one["entry"] for one in keeper.log("reading")]


def fields_shown(page: Page) -> list[str]:
    """The labels of the number fields in sight, in their order."""
    labels = page.locator("form label").filter(visible=True)
    return [text.split("\n")[0] for text in labels.all_inner_texts()]


def test_enter_goes_on_to_the_next_field_and_after_the_last_saves_all(keeper: Caller, phone: Page) -> None:
    before = len(readings(keeper))
    sign_in(phone)
    open_water(phone, "?add")
    expect(field(phone, "KH")).to_have_attribute("inputmode", "decimal")
    field(phone, "KH").fill("4,5")
    for text in ("6", "7.6", "9.5", "0", "0", "20"):
        phone.keyboard.press("Enter")
        phone.keyboard.type(text)
    expect(field(phone, "Nitrate")).to_have_value("20")
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", name="Water", exact=True)).to_be_visible()
    until(lambda: len(readings(keeper)) == before + 7, "all seven came", phone)
    kept = {one["quantity"]: one["value"] for one in readings(keeper)[before:]}
    assert kept == {
        "kh_dkh": 4.5,
        "gh_dgh": 6,
        "ph": 7.6,
        "temperature_c": 9.5,
        "tan_mg_n_per_l": 0,
        "nitrite_n_mg_per_l": 0,
        "nitrate_n_mg_per_l": 20,
    }


def test_what_is_measured_once_is_in_the_short_list_from_then_on(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?add")
    assert "Oxygen" not in fields_shown(phone)
    phone.get_by_text("More to measure").tap()
    field(phone, "Oxygen").fill("9.8")
    phone.get_by_text("My test kit on this device").tap()
    press(phone, "GH: earlier")
    press(phone, "Ammonia (TAN): not in my kit")
    phone.get_by_role("textbox", name="One step: pH").fill("0,2")
    press(phone, "Save readings")
    expect(answer(phone, "Oxygen")).to_contain_text("9.8")
    open_water(phone, "?add")
    shown = fields_shown(phone)
    assert [one for one in shown if one in ("KH", "GH")] == ["GH", "KH"]
    assert "Oxygen" in shown
    assert "Ammonia (TAN)" not in shown
    field(phone, "pH").fill("7.6")
    press(phone, "pH 0.2 more")
    expect(field(phone, "pH")).to_have_value("7.8")
    press(phone, "Save readings")
    expect(answer(phone, "pH")).to_contain_text("7.8")
    until(lambda: readings(keeper)[-1]["value"] == 7.8, "the pH came", phone)
    assert readings(keeper)[-1]["step"] == 0.2


def test_another_unit_is_asked_about_and_turned(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?add")
    field(phone, "GH").fill("89")
    field(phone, "KH").focus()
    expect(phone.get_by_text("89 looks like mg/L as CaCO₃: that is 5 °dGH.")).to_be_visible()
    expect(phone.get_by_text("Between 0 and 40 °dGH.")).to_be_visible()
    expect(phone.get_by_role("button", name="Keep 89")).to_have_count(0)
    press(phone, "Use 5 °dGH")
    expect(field(phone, "GH")).to_have_value("5.0")
    press(phone, "Save readings")
    expect(answer(phone, "GH")).to_contain_text("5")
    until(lambda: readings(keeper)[-1]["value"] == 5, "it came", phone)


def test_what_is_asked_about_stops_the_first_save_and_is_kept_by_the_second(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?add")
    field(phone, "KH").fill("18")
    press(phone, "Save readings")
    expect(phone.get_by_role("button", name="Keep 18 °dKH")).to_be_visible()
    expect(phone.get_by_role("alert")).to_have_text("Look at what is asked above; saving again keeps what is typed.")
    press(phone, "Save readings")
    expect(answer(phone, "KH")).to_contain_text("18")
    until(lambda: readings(keeper)[-1]["value"] == 18, "it came", phone)


def test_what_no_kit_can_show_is_refused_in_a_sentence(keeper: Caller, phone: Page) -> None:
    before = readings(keeper)
    sign_in(phone)
    open_water(phone, "?add")
    press(phone, "Save readings")
    expect(phone.get_by_role("alert")).to_have_text("Nothing is filled in yet.")
    field(phone, "pH").fill("15")
    field(phone, "GH").fill("six")
    press(phone, "Save readings")
    expect(phone.get_by_text("Between 3 and 11.")).to_be_visible()
    expect(phone.get_by_text("A number, such as 5 or 5.5.")).to_be_visible()
    assert readings(keeper) == before


def test_a_reading_may_be_of_earlier_and_not_of_later(home: Home, keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?add")
    field(phone, "GH").fill("6")
    moment = phone.get_by_label("Measured at")
    moment.fill("2026-11-24T18:00")
    press(phone, "Save readings")
    expect(phone.get_by_text("That moment has not come yet.")).to_be_visible()
    moment.fill("2026-11-23T08:15")
    press(phone, "Save readings")
    expect(answer(phone, "GH")).to_contain_text("Mon 08:15")
    measured = EVENING.replace(hour=8, minute=15) - timedelta(days=1)
    at = measured.isoformat(timespec="milliseconds")
    until(lambda: readings(keeper)[-1]["happened_at"] == at, "it came, with its own time", phone)
