"""The keeper tells where the water comes from, what it goes through, where answers change, and in which units to speak;
and what was done that no job asks for."""

from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, card, press, sync_line
from journeys.water_screen import answer, field, open_water, settings
from playwright.sync_api import Page, expect


def saved(page: Page) -> None:
    """The form is gone and home has what it said."""
    press(page, "Save")
    expect(page.get_by_role("heading", name="Water", exact=True)).to_be_visible()
    expect(sync_line(page)).to_have_text(SENT)


def test_a_timed_bucket_mains_carbon_and_membrane(keeper: Caller, phone: Page) -> None:
    before = len(keeper.log("set"))
    sign_in(phone)
    open_water(phone, "?kit")
    expect(field(phone, "Incoming water a day")).to_have_value("400")
    field(phone, "or timed: a bucket of").fill("9")
    field(phone, "filled in, minutes").fill("4")
    field(phone, "and seconds").fill("10")
    expect(phone.get_by_text("That is 3110 L a day.")).to_be_visible()
    expect(field(phone, "Incoming water a day")).to_have_value("3110")
    phone.get_by_label("Disinfected with").select_option("chloramine")
    expect(field(phone, "KH of the incoming water")).to_have_value("0.5")
    field(phone, "KH of the incoming water").fill("0,8")
    field(phone, "KH °dKH").fill("11")
    phone.get_by_label("Carbon in the line").select_option("yes")
    field(phone, "All cartridges together").fill("9")
    phone.get_by_label("Membrane in the line").select_option("yes")
    field(phone, "Held back").fill("120")
    press(phone, "Save")
    expect(phone.get_by_text("Between 50 and 99.9 %.")).to_be_visible()
    field(phone, "Held back").fill("96")
    phone.get_by_label("The trickle is to have a certain").select_option("kh_dkh")
    field(phone, "Wanted").fill("1,5")
    saved(phone)
    told = settings(keeper)
    assert len(keeper.log("set")) == before + 7
    assert (told["pond", "inflow_l_per_day"], told["pond", "source_kh_dkh"]) == (3110, 0.8)
    assert told["pond", "mains"] == {"disinfectant": "chloramine", "kh_dkh": 11}
    assert told["pond", "carbon"] == {"bed_l": 9}
    assert told["pond", "membrane"] == {"rejection_fraction": 0.96}
    assert (told["pond", "blend_for"], told["pond", "blend_target"]) == ("kh_dkh", 1.5)
    assert {one["entry"]["effective_from"] for one in keeper.log("set")[before:]} == {"2026-11-24"}
    open_water(phone, "?kit")
    expect(field(phone, "Held back")).to_have_value("96")
    expect(phone.get_by_label("Disinfected with")).to_have_value("chloramine")


def test_what_was_set_without_signal_still_shows_after_the_app_was_closed(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    open_water(phone, "?kit")
    phone.context.set_offline(True)
    field(phone, "Incoming water a day").fill("520")
    press(phone, "Save")
    expect(phone.get_by_role("heading", name="Water", exact=True)).to_be_visible()
    phone.reload()
    open_water(phone, "?kit")
    expect(field(phone, "Incoming water a day")).to_have_value("520")
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_have_text(SENT)
    assert settings(keeper)["pond", "inflow_l_per_day"] == 520


def test_units_hold_on_cards_forms_and_the_dose(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?units")
    phone.get_by_label("KH", exact=True).select_option("mg/L as CaCO₃")
    phone.get_by_label("Volumes").select_option("US gal")
    saved(phone)
    expect(answer(phone, "KH")).to_contain_text("mg/L as CaCO₃")
    open_water(phone, "?kit")
    expect(field(phone, "Incoming water a day")).to_have_value("105.669")
    phone.goto("/round")
    buffer = card(phone, "Buffer")
    buffer.get_by_role("textbox", name="KH").fill("71")
    expect(buffer).to_contain_text("mg/L as CaCO₃")
    press(buffer, "Save reading")
    expect(buffer).to_contain_text("reading saved")
    expect(sync_line(phone)).to_have_text(SENT)
    reading = keeper.log("reading")[-1]["entry"]
    assert (reading["quantity"], round(reading["value"], 3)) == ("kh_dkh", 3.978)
    phone.goto("/pond")
    expect(field(phone, "Volume")).to_have_value("4227")
    expect(field(phone, "KH wanted")).to_have_value("89.24")


def test_what_no_job_asked_for_is_recorded(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone)
    phone.get_by_role("link", name="Water change").tap()
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    field(phone, "Let out and filled up").fill("900")
    saved(phone)
    open_water(phone, "?record=feed")
    field(phone, "Food given").fill("120")
    field(phone, "Protein").fill("38")
    saved(phone)
    open_water(phone, "?record=salt")
    expect(phone.get_by_text("Dissolve it first")).to_be_visible()
    field(phone, "Salt put in").fill("2000")
    saved(phone)
    open_water(phone, "?record=service")
    phone.get_by_label("What was done").select_option("Carbon changed")
    saved(phone)
    change, feed, salt, service = [one["entry"] for one in keeper.log("water_change", "feed", "salt", "service")]
    assert (change["volume_l"], change["point"]) == (900, "mains")
    assert (feed["feed_g"], feed["protein_fraction"]) == (120, 0.38)
    assert (salt["salt_g"], service["service"]) == (2000, "carbon_changed")
    phone.goto("/book")
    expect(phone.get_by_text("900 L of water changed")).to_be_visible()


def test_the_membranes_first_minutes_are_rows_of_two(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_water(phone, "?record=start_up")
    rows = (("1", "240"), ("3", "90"), ("6", "41"))
    for n, (minutes, ec) in enumerate(rows, start=1):
        field(phone, f"{n}. Minutes").fill(minutes)
        field(phone, f"{n}. Conductivity").fill(ec)
    press(phone, "One more row")
    field(phone, "5. Minutes").fill("9")
    press(phone, "Save")
    expect(phone.get_by_text("Minutes and conductivity belong together.")).to_be_visible()
    field(phone, "5. Conductivity").fill("28")
    field(phone, "Flow of its water").fill("0,8")
    saved(phone)
    entry = keeper.log("start_up")[-1]["entry"]
    assert entry["steps"] == [[1, 240], [3, 90], [6, 41], [9, 28]]
    assert entry["flow_l_per_min"] == 0.8
