"""The keeper tells what holds the warmth and what it costs, place and weather, and which logger may send what."""

import re

import httpx
from journeys.household import Caller
from journeys.phones import sign_in
from journeys.round_screen import SENT, press, sync_line
from journeys.warmth_screen import open_warmth
from journeys.water_screen import field, settings
from playwright.sync_api import Locator, Page, expect


def group(page: Page, name: str) -> Locator:
    """The fields of one layer, window or appliance, or of a part of the form."""
    return page.get_by_role("group", name=name, exact=True)


def saved(page: Page) -> None:
    """The form is gone and home has what it said."""
    press(page, "Save")
    expect(page.get_by_role("heading", name="Warmth", exact=True)).to_be_visible()
    expect(sync_line(page)).to_have_text(SENT)


def test_walls_layer_by_layer_and_the_cover(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_warmth(phone, "?walls")
    field(phone, "Length").fill("4,5")
    field(phone, "Width").fill("2.8")
    field(phone, "Depth").fill("1.35")
    walls = group(phone, "Walls, from the water outwards")
    for _ in range(3):
        press(walls, "Add a layer")
    for n, (material, mm) in enumerate((("xps", "60"), ("timber", "20"), ("block", "2400")), start=1):
        group(phone, f"Layer {n}").get_by_label("Material").select_option(material)
        group(phone, f"Layer {n}").get_by_label("Thickness").fill(mm)
    press(walls, "Remove layer 2")
    phone.get_by_label("There is a cover").select_option("yes")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Between 0.1 and 2,000 mm.")
    group(phone, "Layer 2").get_by_label("Thickness").fill("240")
    saved(phone)
    told = settings(keeper)
    layers = [{"material": "xps", "thickness_m": 0.06}, {"material": "block", "thickness_m": 0.24}]
    shape = {"shape": "rectangle", "length_m": 4.5, "width_m": 2.8, "depth_m": 1.35}
    assert told["pond", "shell"] == {**shape, "walls": layers, "floor": []}
    assert told["pond", "cover"] == {"kind": "multiwall"}
    open_warmth(phone, "?walls")
    expect(group(phone, "Layer 2").get_by_label("Thickness")).to_have_value("240")


def test_windows_that_overlap_are_refused_and_named(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_warmth(phone, "?tariff")
    field(phone, "Rate otherwise").fill("0,31")
    for n, (begins, ends, rate) in enumerate((("23:30", "06:30", "0.18"), ("06:00", "08:00", "-0.05")), start=1):
        press(phone, "Add a window")
        group(phone, f"Window {n}").get_by_label("From").fill(begins)
        group(phone, f"Window {n}").get_by_label("To").fill(ends)
        group(phone, f"Window {n}").get_by_label("Rate").fill(rate)
    press(group(phone, "Window 2"), "Sat")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text(
        "Window 1 and window 2 overlap at 06:00. Right would be: one ends when the other begins."
    )
    group(phone, "Window 2").get_by_label("From").fill("06:30")
    saved(phone)
    assert settings(keeper)["pond", "tariff"] == {
        "currency": "€",
        "otherwise_rate_per_kwh": 0.31,
        "clock": "local",
        "windows": [
            {"from": "23:30", "to": "06:30", "rate_per_kwh": 0.18, "days": []},
            {"from": "06:30", "to": "08:00", "rate_per_kwh": -0.05, "days": ["sat"]},
        ],
    }


def test_heater_appliances_band_and_place(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_warmth(phone, "?heater")
    expect(phone.get_by_text("a residual-current device, a licensed electrician")).to_be_visible()
    phone.get_by_label("The water is heated").select_option("yes")
    phone.get_by_label("With", exact=True).select_option("heat_pump")
    field(phone, "Heat it gives").fill("9000")
    press(phone, "Add a point")
    field(phone, "At an air temperature of").fill("7")
    field(phone, "COP").fill("4.5")
    press(phone, "Add an appliance")
    appliance = group(phone, "Appliance 1")
    appliance.get_by_label("Name").fill("Air pump")
    appliance.get_by_label("Power").fill("80")
    saved(phone)
    open_warmth(phone, "?band")
    field(phone, "Water not below").fill("20")
    field(phone, "Water not above").fill("18")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("Not below the lower end of the band.")
    field(phone, "Water not above").fill("22")
    saved(phone)
    open_warmth(phone, "?place")
    expect(phone.get_by_text("rounded to about 10 km, to the open weather service Open-Meteo")).to_be_visible()
    field(phone, "Latitude").fill("")
    phone.get_by_label("Ask it for air temperatures").select_option("yes")
    press(phone, "Save")
    expect(phone.get_by_role("alert")).to_have_text("The weather service needs latitude and longitude.")
    field(phone, "Latitude").fill("52.5")
    saved(phone)
    told = settings(keeper)
    heater = {"kind": "heat_pump", "power_w": 9000, "time_switch": True, "cop": [[7, 4.5]]}
    assert told["pond", "heater"] == heater
    assert told["pond", "appliances"] == [{"name": "Air pump", "power_w": 80}]
    assert (told["pond", "warm_low_c"], told["pond", "warm_high_c"]) == (20, 22)
    assert told["pond", "weather_service"] is True


def test_a_loggers_key_is_shown_once_and_revoked(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    open_warmth(phone, "?probes")
    press(phone, "Make the key")
    expect(phone.get_by_role("alert")).to_have_text("Please fill this in.")
    field(phone, "What you call the logger").fill("Logger in the shed")
    press(phone, "Make the key")
    line = phone.get_by_role("region", name="The key, shown this once").locator("pre")
    expect(line).to_contain_text("/api/probe")
    key = re.findall(r"Bearer (\S+)\"", line.inner_text())[0]
    sample = {"series": "water_c", "at": "2026-11-24T15:00:00Z", "value": 14.2}

    def send() -> int:
        return httpx.post(
            f"{keeper.url}/api/probe", json=sample, headers={"Authorization": f"Bearer {key}"}
        ).status_code

    assert send() == 200
    phone.reload()
    expect(phone.get_by_text("Logger in the shed")).to_be_visible()
    expect(phone.get_by_text(key)).to_have_count(0)
    press(phone, "revoke: Logger in the shed")
    expect(phone.get_by_text("None yet.")).to_be_visible()
    assert send() == 401
