"""The screens of the Warmth page and of its forms, and how a keeper gets there; screens.py puts them in order."""

import re

from journeys.round_screen import press
from playwright.sync_api import Page, expect


def everything_on_the_warmth_page(page: Page) -> None:
    page.goto("/warmth")
    expect(page.get_by_role("img", name=re.compile("^The water at dawn"))).to_be_visible()
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    press(page.get_by_role("form", name="Tonight's forecast"), "Save")
    expect(page.get_by_role("alert")).to_have_text("Please fill this in.")


def walls_and_cover(page: Page) -> None:
    page.goto("/warmth?walls")
    page.get_by_label("Thickness").first.fill("3000")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_be_visible()


def heater_and_power(page: Page) -> None:
    page.goto("/warmth?heater")
    page.get_by_label("With", exact=True).select_option("heat_pump")
    press(page, "Add a point")
    press(page, "Save")
    expect(page.get_by_role("alert").first).to_have_text("Please fill this in.")


def windows_that_overlap(page: Page) -> None:
    page.goto("/warmth?tariff")
    press(page, "Add a window")
    window = page.get_by_role("group", name="Window 2", exact=True)
    for label, text in (("From", "07:00"), ("To", "09:00"), ("Rate", "0.2")):
        window.get_by_label(label).fill(text)
    press(page, "Save")
    expect(page.get_by_role("alert")).to_contain_text("overlap")


def place_and_weather(page: Page) -> None:
    page.goto("/warmth?place")
    expect(page.get_by_text("the open weather service Open-Meteo")).to_be_visible()


def air_of_the_filter_house(page: Page) -> None:
    page.goto("/warmth?record=house")
    page.get_by_role("textbox", name="Air humidity").fill("130")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_have_text("Between 0 and 100 %.")


def a_key_for_a_logger(page: Page) -> None:
    page.goto("/warmth?probes")
    page.get_by_text("More to send").click()
    page.get_by_role("textbox", name="What you call the logger").fill("Logger in the shed")
    press(page, "Make the key")
    expect(page.get_by_role("region", name="The key, shown this once")).to_be_visible()
    expect(page.get_by_role("button", name="revoke: Logger in the shed").first).to_be_visible()


def empty_warmth(page: Page) -> None:
    page.get_by_role("link", name="Warmth").click()
    expect(page.get_by_text("A reading at dusk and one in the morning are enough to begin.")).to_be_visible()


WARMTH = [
    everything_on_the_warmth_page,
    walls_and_cover,
    heater_and_power,
    windows_that_overlap,
    place_and_weather,
    air_of_the_filter_house,
    a_key_for_a_logger,
]
"""Those of somebody signed in at the example's pond."""
