"""Two ponds with the same jobs: each stands for itself, on the screen, on paper and when it is done."""

import re

from journeys.household import ZONE, Caller
from journeys.phones import sign_in
from journeys.round_screen import sync_line
from playwright.sync_api import Locator, Page, expect

SECOND = "fry-pond"


def add_second_pond(keeper: Caller) -> None:
    """A small one beside the first, with its own covers and buffer."""
    place = {"zone": ZONE.key, "latitude": 52.5, "longitude": 13.4}
    told = {"name": "Fry pond", "volume_l": 4000, "capful_g": 40, "inflow_l_per_day": 100, **place}
    jobs = [one["entry"] for one in keeper.log("set") if one["entry"]["target"] in ("job/cover", "job/buffer")]
    fields = [("pond", field, value) for field, value in told.items()]
    fields += [(one["target"], one["field"], one["value"]) for one in jobs]
    keeper.keep(
        *(
            keeper.entry("set", pond=SECOND, target=target, field=field, value=value, effective_from=None)
            for target, field, value in fields
        )
    )


def buffer_of(phone: Page, pond: str) -> Locator:
    """The card of that pond's buffer, opened."""
    phone.get_by_role("button", name=re.compile(f"^Buffer {pond}")).tap()
    card = phone.get_by_role("article", name="Buffer")
    expect(card).to_contain_text(pond)
    return card


def test_a_reading_typed_for_one_pond_says_nothing_of_the_other(keeper: Caller, phone: Page) -> None:
    add_second_pond(keeper)
    sign_in(phone)
    buffer = buffer_of(phone, "Fry pond")
    buffer.get_by_role("textbox", name="KH").fill("4.5")
    expect(buffer).to_contain_text("Worked out from this reading.")
    buffer = buffer_of(phone, "Long pond")
    expect(buffer.get_by_role("textbox", name="KH")).to_have_value("")
    expect(buffer).not_to_contain_text("Worked out from this reading.")
    expect(buffer_of(phone, "Fry pond").get_by_role("textbox", name="KH")).to_have_value("4.5")


def test_covers_on_at_one_pond_leave_the_other_to_do(keeper: Caller, phone: Page) -> None:
    add_second_pond(keeper)
    sign_in(phone)
    covers = phone.get_by_role("article", name="Covers on")
    expect(covers).to_have_count(1)
    first = "Fry pond" if "Fry pond" in covers.inner_text() else "Long pond"
    other = "Long pond" if first == "Fry pond" else "Fry pond"
    covers.get_by_role("button", name="Done", exact=True).tap()
    expect(phone.get_by_role("button", name=re.compile("^take back: Covers on"))).to_have_count(1)
    expect(sync_line(phone)).to_contain_text("All sent")
    expect(phone.get_by_role("button", name=re.compile(f"^Covers on {other} by"))).to_be_visible()
    ticked = keeper.log("tick")[-1]["entry"]
    assert (ticked["standing_job"], ticked["pond"]) == ("cover", SECOND if first == "Fry pond" else "long-pond")
    page = keeper.http.get("/print").text
    assert len(re.findall("☒ Covers on", page)) == 1
    assert len(re.findall("☐ Covers on", page)) == 1


def test_something_wrong_is_told_of_the_pond_that_is_picked(keeper: Caller, phone: Page) -> None:
    add_second_pond(keeper)
    sign_in(phone)
    phone.goto("/round?wrong=gasping")
    phone.get_by_role("main").get_by_label("Pond").select_option("Fry pond")
    phone.get_by_role("button", name="Record it and tell the household").tap()
    expect(phone.get_by_text("Recorded. Sent")).to_be_visible()
    assert keeper.log("look")[-1]["entry"]["pond"] == SECOND
