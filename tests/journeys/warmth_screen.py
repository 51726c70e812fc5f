"""The Warmth page as a person finds it, and a week of temperatures in the household's log."""

from datetime import timedelta
from typing import Any

from journeys.household import EVENING, ZONE, Caller
from playwright.sync_api import Page, expect


def open_warmth(page: Page, query: str = "") -> None:
    """Go to the Warmth page, or to one of its forms."""
    page.goto(f"/warmth{query}")
    expect(page.get_by_role("main").get_by_role("heading", level=1)).to_be_visible()


def tell(keeper: Caller, **settings: Any) -> None:
    """Settings of the pond that always held."""
    long_ago = EVENING - timedelta(days=40)
    sets = [
        keeper.entry("set", long_ago, target="pond", field=field, value=value, effective_from=None)
        for field, value in settings.items()
    ]
    keeper.keep(*sets)


def live_a_cool_week(keeper: Caller) -> None:
    """Water and air read each evening and each morning of the last week; the forecast noted each evening but this."""
    entries: list[dict[str, Any]] = []
    evening = EVENING.astimezone(ZONE).replace(hour=16, minute=30)
    for ago in range(7, 0, -1):
        dusk = evening - timedelta(days=ago)
        for at, water_c, air_c in ((dusk, 18.4, 6.0), (dusk + timedelta(hours=15), 18.0, 3.0)):
            entries.append(keeper.entry("reading", at, quantity="temperature_c", value=water_c))
            entries.append(keeper.entry("reading", at, quantity="air_temperature_c", value=air_c, point="outside"))
        on = dusk.date().isoformat()
        entries.append(keeper.entry("air_forecast", dusk, on=on, low_c=2.0, high_c=6.0))
    keeper.keep(*entries)
