"""A neighbour who looks after the pond: the hand-over a keeper makes for them, their link, and their phone."""

import hashlib
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

from journeys.household import POND, ZONE, Caller
from journeys.phones import make_ready_for_no_signal
from journeys.round_screen import press, sync_line
from pictures import jpeg, picture
from playwright.sync_api import Page, expect

KIM = "5f0c8f5e-3d5b-4b7e-9a43-0d6a0c2b9a11"
HAND_OVER = "november"
BAG_G = 80
FOOD_G = 40
FIRST, LAST = date(2026, 11, 26), date(2026, 12, 5)
"""Ten days; the evening of the story is two days before."""
FOOD: dict[str, Any] = {
    "text": "Food",
    "shape": "feed",
    "place": "At the water",
    "windows": {"midday": {"part": "midday", "opens": "11:00", "closes": "15:00"}},
    "how": "All of it is eaten within five minutes.",
    "order": 5,
}


def at(on: date, hour: int, minute: int = 0) -> datetime:
    """A moment at the pond."""
    return datetime(on.year, on.month, on.day, hour, minute, tzinfo=ZONE)


def hand_over_to_kim(keeper: Caller, first: date = FIRST, last: date = LAST, **more: Any) -> str:
    """A hand-over as its page makes it, with a picture on a job and one of the stopcock; the sum of that one."""
    shown, of_covers = add_photo(keeper, 1), add_photo(keeper, 2)
    fields = {
        "name": "Ten days in November",
        "begins_on": first.isoformat(),
        "ends_on": last.isoformat(),
        "helpers": [{"id": KIM, "name": "Kim"}],
        "jobs": [f"{POND}/cover", f"{POND}/food", f"{POND}/buffer"],
        "ceilings": [{"pond": POND, "feed_g_per_day": FOOD_G, "buffer_g_per_day": BAG_G}],
        "shown": [{"what": "stopcock", "where": "Under the kitchen window", "photo": shown}],
        "words": "The gate sticks, lift it a little.",
        "ring": [{"name": "Marit", "tel": "+49 170 1234567"}],
        **more,
    }
    job = {"job/food": FOOD, "job/cover": {"picture": of_covers, "how": "Both panels lie flat."}}
    told = {**job, f"hand-over/{HAND_OVER}": fields}
    keeper.keep(
        *(
            keeper.entry("set", target=target, field=field, value=value, effective_from=None)
            for target, values in told.items()
            for field, value in values.items()
        )
    )
    return shown


def change(keeper: Caller, field: str, value: Any) -> None:
    """Set one field of the hand-over anew."""
    keeper.keep(keeper.entry("set", target=f"hand-over/{HAND_OVER}", field=field, value=value, effective_from=None))


def add_photo(keeper: Caller, seed: int) -> str:
    """A photo of the keeper's, at home; its sum."""
    content = jpeg(picture(320 + seed, 240))
    photo_sum = hashlib.sha256(content).hexdigest()
    sent = keeper.http.put(f"/api/photos/{photo_sum}", content=content, headers={"Content-Type": "image/jpeg"})
    sent.raise_for_status()
    return photo_sum


def link_for_kim(keeper: Caller) -> str:
    """A new link's path: "/h#…"; the one before it ends."""
    made = keeper.http.post(links(), json={"helper": KIM}).raise_for_status().json()
    assert made["url"].startswith(f"{keeper.url}/h#")
    return made["url"].removeprefix(keeper.url)


def links() -> str:
    """Where the hand-over's links are."""
    return f"/api/hand-overs/{HAND_OVER}/links"


def open_link(keeper: Caller) -> dict[str, Any]:
    """The link that is not revoked, as the keeper's page lists it."""
    found = keeper.http.get(links()).raise_for_status().json()
    return next(one for one in found if one["revoked_at"] is None)


def use_this_phone(page: Page, path: str) -> None:
    """Open the link as a person does, bind the phone, and wait until it is ready for no signal."""
    page.goto(path)
    expect(page.get_by_role("heading", name="Marit asks for your help")).to_be_visible()
    press(page, "Use this phone")
    expect(sync_line(page)).to_contain_text("All sent")
    make_ready_for_no_signal(page)


def without_signal(page: Page, now: datetime) -> None:
    """Opened again out of reach of home, at that moment."""
    page.goto("about:blank")  # a call under way while the clock jumps would take the jump for the clock's error
    page.context.set_offline(True)
    page.clock.set_system_time(now.timestamp())
    page.goto("/round")


def with_signal(page: Page, now: datetime) -> None:
    """Opened again in reach of home, at that moment."""
    page.goto("about:blank")
    page.context.set_offline(False)
    page.clock.set_system_time(now.timestamp())
    page.goto("/round")


def told_by_kim(keeper: Caller) -> list[dict[str, Any]]:
    """What home has of Kim, in the order it came."""
    return [one for one in keeper.log() if one["entry"]["author"] == KIM]


NewPhone = Callable[..., Page]
MINUTE = timedelta(minutes=1)
