"""Screens of what goes on at the pond, and of the year; each stands by itself, the last leaves the phone as it was."""

from collections.abc import Callable

from journeys.round_screen import press
from playwright.sync_api import Page, expect

MINUTES_AGO = """async ([kind, fields, minutes]) => {
  const { makeEntry, record } = (await import("/main.js")).modules["/record.js"];
  await record([makeEntry(kind, "main", fields, Date.now() - minutes * 60_000)]);
}"""


def the_year(page: Page) -> None:
    page.goto("/year")
    expect(page.get_by_role("heading", name="November")).to_be_visible()


def the_round_after(page: Page, minutes: int, kind: str, **fields: bool) -> None:
    """The round, with something begun so many minutes ago."""
    page.goto("/round")
    expect(page.get_by_role("link", name="Something is wrong")).to_be_visible()
    page.evaluate(MINUTES_AGO, [kind, fields, minutes])


def water_running(page: Page) -> None:
    the_round_after(page, 2, "water_running", running=True, dechlorinated=False)
    page.get_by_role("link", name="Something is wrong").click()
    expect(page.get_by_role("region", name="Water running")).to_contain_text("Serious after 30 min.")


def water_running_for_too_long(page: Page) -> None:
    the_round_after(page, 31, "water_running", running=True)
    region = page.get_by_role("region", name="Water running")
    expect(region).to_contain_text("Act now")


def power_out(page: Page) -> None:
    the_round_after(page, 0, "water_running", running=False)
    page.evaluate(MINUTES_AGO, ["power", {"on": False}, 130])
    expect(page.get_by_role("region", name="Power is out")).to_contain_text("2 h 10 min")


def power_back_after_hours(page: Page) -> None:
    the_round_after(page, 130, "power", on=False)
    page.evaluate(MINUTES_AGO, ["power", {"on": True}, 0])
    expect(page.get_by_role("region", name="Power is back")).to_contain_text("First steps")
    expect(page.get_by_role("region", name="Water running")).to_have_count(0)


def all_well_again(page: Page) -> None:
    the_round_after(page, 20, "power", on=False)
    page.evaluate(MINUTES_AGO, ["power", {"on": True}, 0])
    press(page.get_by_role("region", name="Power is back"), "All well")
    expect(page.get_by_role("region", name="Power is back")).to_have_count(0)


GOING_ON: list[Callable[[Page], None]] = [
    the_year,
    water_running,
    water_running_for_too_long,
    power_out,
    power_back_after_hours,
    all_well_again,
]
