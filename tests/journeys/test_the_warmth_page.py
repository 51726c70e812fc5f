"""The Warmth page: the night covered and open, a forecast typed in, a step-down agreed to; with signal and without."""

import re

from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, press, sync_line
from journeys.warmth_screen import live_a_cool_week, open_warmth, tell
from journeys.water_screen import field, settings
from playwright.sync_api import Page, expect

TARIFF = {"windows": [{"from": "00:30", "to": "07:30", "rate_per_kwh": 0.15}], "otherwise_rate_per_kwh": 0.4}
NIGHT = re.compile(r"^The water at dawn, 07:\d\d: covered [\d.]+, between [\d.]+ and [\d.]+; open [\d.]+, between")


def test_a_typed_forecast_tells_the_night_covered_and_open(keeper: Caller, phone: Page) -> None:
    live_a_cool_week(keeper)
    sign_in(phone)
    open_warmth(phone)
    expect(phone.get_by_text("18 °C", exact=True)).to_be_visible()
    expect(phone.get_by_role("link", name=re.compile("^Tonight's low"))).to_have_attribute("href", "/warmth?place")
    forecast = phone.get_by_role("form", name="Tonight's forecast")
    field(phone, "Low tonight").fill("3")
    field(phone, "High tomorrow").fill("1")
    press(forecast, "Save")
    expect(forecast.get_by_role("alert")).to_have_text("Not below the low.")
    field(phone, "High tomorrow").fill("7,5")
    press(forecast, "Save")
    expect(phone.get_by_role("img", name=NIGHT)).to_be_visible()
    figure = phone.get_by_role("figure")
    expect(figure).to_contain_text("air down to 3 °C")
    for name in ("Covered, at dawn", "Open, at dawn"):
        expect(figure.get_by_text(name).locator("..")).to_contain_text(re.compile(r"1\d(\.\d)? °C\s*± \d"))
    phone.get_by_text("As a table").tap()
    expect(figure.get_by_role("row", name=re.compile(r"^17:45 1\d\.\d 1\d\.\d \d\.\d"))).to_be_visible()
    expect(phone.get_by_text("This is no alarm: in a power cut it is silent.")).to_be_visible()
    told = keeper.log("air_forecast")[-1]["entry"]
    assert (told["on"], told["low_c"], told["high_c"]) == ("2026-11-24", 3, 7.5)


def test_without_signal_what_is_known_stays_and_what_is_written_down_waits(keeper: Caller, phone: Page) -> None:
    live_a_cool_week(keeper)
    keeper.keep(keeper.entry("air_forecast", on="2026-11-24", low_c=3.0, high_c=7.0))
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    open_warmth(phone)
    expect(phone.get_by_role("img", name=NIGHT)).to_be_visible()
    phone.get_by_text("Write down", exact=True).tap()
    press(phone, "half on")
    expect(phone.get_by_role("main").get_by_text("Half the cover on")).to_be_visible()
    phone.get_by_role("link", name="+ temperature").tap()
    field(phone, "Water temperature").fill("71")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Between -1 and 40 °C.")
    field(phone, "Water temperature").fill("17.1")
    press(phone, "Save")
    expect(phone.get_by_text("17.1 °C", exact=True)).to_be_visible()
    expect(phone.get_by_text("not sent yet")).to_have_count(2)
    phone.context.set_offline(False)
    expect(sync_line(phone)).to_have_text(SENT)
    assert keeper.log("cover")[-1]["entry"]["covered_fraction"] == 0.5


def test_a_step_down_is_agreed_to_shown_by_date_and_stopped(keeper: Caller, phone: Page) -> None:
    live_a_cool_week(keeper)
    tell(keeper, tariff=TARIFF, heater={"power_w": 3000}, worth_per_day=0.05)
    sign_in(phone)
    open_warmth(phone)
    proposal = phone.get_by_role("article").filter(has_text="Step down to 12 °C")
    first = proposal.get_by_role("row").nth(1)
    expect(first).to_have_text("Tue 24 Nov18.5 °C")
    press(proposal, "Agree")
    under_way = phone.get_by_role("article").filter(has_text="Settings under way")
    expect(under_way.get_by_role("row").nth(1)).to_contain_text("°C")
    expect(sync_line(phone)).to_have_text(SENT)
    agreed = settings(keeper)["pond", "season"]
    assert (agreed["from_c"], agreed["to_c"], agreed["starts_on"]) == (18.5, 12, "2026-11-24")
    phone.reload()
    expect(under_way.get_by_role("row")).to_have_count(6)
    press(phone, "Stop the step-down here")
    expect(proposal).to_be_visible()
    assert settings(keeper)["pond", "season"] is None
