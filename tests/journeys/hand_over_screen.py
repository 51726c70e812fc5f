"""Hand-overs as a keeper finds them on the screen, and a helper without one."""

import json
from datetime import timedelta
from typing import Any
from uuid import uuid4

from journeys.household import Caller
from journeys.photo_phone import shot
from journeys.round_screen import press
from playwright.sync_api import Locator, Page, expect

FEED: dict[str, Any] = {
    "text": "Feed",
    "shape": "feed",
    "place": "At the water",
    "how": "Stop when they slow down.",
    "windows": {"morning": {"part": "morning", "opens": "08:30", "closes": "11:30"}},
    "order": 16,
}
TEST_KH: dict[str, Any] = {"text": "Test KH", "place": "At the water", "order": 14}


def ready_to_leave(keeper: Caller) -> None:
    """A feed job and a test besides the starter's, and today's temperature and KH."""
    long_ago = keeper.now() - timedelta(days=40)
    jobs = {"feed": FEED, "test-kh": TEST_KH}
    keeper.keep(
        keeper.entry("set", long_ago, target="pond", field="feed_g_per_day", value=60, effective_from=None),
        *(
            keeper.entry("set", long_ago, target=f"job/{job}", field=field, value=value, effective_from=None)
            for job, fields in jobs.items()
            for field, value in fields.items()
        ),
        keeper.entry("reading", quantity="temperature_c", value=14.2),
        keeper.reading(5.0),
    )


def told(keeper: Caller) -> dict[str, Any]:
    """What home was told of hand-overs: each field's last value."""
    entries = [one["entry"] for one in keeper.log("set")]
    return {one["field"]: one["value"] for one in entries if one["target"].startswith("hand-over/")}


def fold(page: Page, title: str) -> Locator:
    """A part of the form, unfolded."""
    found = page.locator("details.fold-set").filter(has=page.locator("summary b", has_text=title))
    if found.get_attribute("open") is None:
        found.locator("summary").tap()
    return found


def name_helper(page: Page, name: str, tel: str = "") -> None:
    """The first helper's name and number."""
    one = page.get_by_role("group", name="Helper 1")
    one.get_by_label("Name").fill(name)
    one.get_by_label("Telephone").fill(tel)


def show_thing(page: Page, number: int, where: str) -> None:
    """A photo of a thing, and where it is."""
    thing = fold(page, "Where things are").get_by_role("group", name=f"Thing {number}")
    thing.get_by_label("Where").fill(where)
    with page.expect_file_chooser() as chooser:
        thing.get_by_role("button", name="Choose photos").click()
    chooser.value.set_files([shot(number)])  # type: ignore[list-item]
    expect(thing.get_by_role("button", name="take out: photo 1")).to_be_visible()


def hand_over_made(page: Page, name: str = "Anna") -> str:
    """Make one as it is filled in, with one helper; gives its id."""
    page.goto("/hand-overs?new")
    name_helper(page, name)
    page.get_by_text("Yes: this amount").tap()
    press(page, "Save")
    expect(page.get_by_role("heading", name="What they are given")).to_be_visible()
    return page.url.partition("of=")[2]


def helper_of(keeper: Caller, url: str) -> Caller:
    """The helper's phone, bound by the link, without a screen."""
    helper = Caller(keeper.url, keeper.now)
    secret = url.partition("#")[2]
    asked = {"secret": secret, "device": helper.device, "device_label": "Anna's phone"}
    answer = helper.http.post("/api/helper/bind", json=asked).raise_for_status()
    helper.person = answer.json()["person"]["id"]
    return helper


def setting(keeper: Caller, hand_over: str, **fields: Any) -> None:
    """Fields of a hand-over, told by the API."""
    keeper.keep(
        *(
            keeper.entry("set", target=f"hand-over/{hand_over}", field=field, value=value, effective_from=None)
            for field, value in fields.items()
        )
    )


def other_hand_over(keeper: Caller, name: str = "Summer") -> None:
    """Another one over the same days, with the covers in it."""
    begins = keeper.now().date() + timedelta(days=3)
    helper = {"id": str(uuid4()), "name": "Ole"}
    ends = begins + timedelta(days=2)
    jobs = ["long-pond/cover"]
    dates = {"begins_on": begins.isoformat(), "ends_on": ends.isoformat()}
    setting(keeper, "other", name=name, helpers=[helper], jobs=jobs, **dates)


def pages_of(pdf: bytes) -> int:
    """How many pages a PDF of Chromium's has."""
    return pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page ") + pdf.count(b"/Type /Page/")


_EXPORTED = """async ([module, name]) => {
  await import("/later.js");
  return JSON.stringify((await import("/main.js")).modules[module][name]);
}"""


def exported(page: Page, module: str, name: str) -> Any:
    """What a module of the app exports under that name, once the page has both its scripts."""
    return json.loads(page.evaluate(_EXPORTED, [module, name]))
