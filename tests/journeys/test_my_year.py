"""A keeper sets up their own year: from a server with nobody in it to a round whose every job says why, in few taps."""

from collections.abc import Callable
from datetime import datetime

from journeys.home import Home
from journeys.household import PASSPHRASE, ZONE, Caller
from journeys.jobs_screen import Taps, section
from journeys.round_screen import sync_line
from playwright.sync_api import Page, expect

MOST_TAPS = 40
AN_AUTUMN_MORNING = datetime(2026, 10, 14, 8, 30, tzinfo=ZONE)
"""A Wednesday: leaves fall, weekly tests stand about, covers come off."""
LONGEST_LINE = 200
STOPPED = {"held_back", "stood_down", "not_known"}


def test_a_keeper_sets_up_their_own_year_in_forty_taps(home: Home, new_phone: Callable[..., Page]) -> None:
    home.clock.set(AN_AUTUMN_MORNING)
    page = new_phone()
    taps = Taps(page)
    page.goto("/")
    begin(taps)
    tell_the_pond(taps)
    choose_the_year(taps)
    set_two_to_their_ways(taps)
    assert taps.count <= MOST_TAPS, taps.count
    keeper = Caller(home.url, home.clock).sign_in()
    check_the_year(keeper)
    every_job_of_today_says_why(page, keeper)
    keeper.close()


def begin(taps: Taps) -> None:
    """A name and a passphrase."""
    taps.type("Your name", "Marit")
    taps.type("Passphrase", PASSPHRASE)
    taps.button("Begin")


def tell_the_pond(taps: Taps) -> None:
    """Its figures."""
    told = {
        "Name": "Long pond",
        "Volume": "16000",
        "KH of the incoming water": "0.5",
        "Incoming water a day": "400",
        "Weight of one capful": "40",
    }
    for label, text in told.items():
        taps.type(label, text)
    taps.button("Go on")


def choose_the_year(taps: Taps) -> None:
    """All of it but one whole group and one single job, neither of which this pond has."""
    page = taps.page
    expect(page.get_by_role("heading", name="Your year")).to_be_visible()
    taps.on(page.get_by_role("region", name="New fish").get_by_role("checkbox").first)
    monthly = page.get_by_role("region", name="Every month or few")
    taps.on(monthly.locator("summary"))
    taps.on(monthly.get_by_role("checkbox", name="Clean the membrane"))
    taps.button("Begin the round")
    expect(page.get_by_role("heading", name="Today's round")).to_be_visible()


def set_two_to_their_ways(taps: Taps) -> None:
    """The drum every ten days, the test for KH on Thursdays."""
    page = taps.page
    taps.link("Pond book")
    expect(page.get_by_text("jobs set in one go"), "hundreds of settings are one line").to_have_count(1)
    taps.link("Jobs")
    weekly = page.locator("details.job-group").filter(has=page.locator("summary b", has_text="Every week"))
    taps.on(weekly.locator("summary"))
    taps.on(page.get_by_role("link", name="Set Rinse the drum or sieve"))
    taps.on(page.locator("details.fold-set > summary").filter(has_text="When"))
    taps.type("Days after it was done", "10")
    taps.button("Save")
    expect(page.get_by_role("heading", name="Jobs", level=1)).to_be_visible()
    taps.on(weekly.locator("summary"))
    taps.on(page.get_by_role("link", name="Set Test KH", exact=True))
    taps.on(page.locator("details.fold-set > summary").filter(has_text="When"))
    taps.on(section(page, "When").get_by_role("button", name="Wed"))
    taps.on(section(page, "When").get_by_role("button", name="Thu"))
    taps.button("Save")
    expect(page.get_by_role("heading", name="Jobs", level=1)).to_be_visible()
    expect(sync_line(page)).to_contain_text("All sent")


def check_the_year(keeper: Caller) -> None:
    """Home has the year as it was chosen: jobs of all seasons, those left out left out, those altered altered."""
    settings = {(one["entry"]["target"], one["entry"]["field"]): one["entry"]["value"] for one in keeper.log("set")}
    groups = {one["id"]: [job["id"] for job in one["jobs"]] for one in keeper.plan()["starter_groups"]}
    taken = {target.removeprefix("job/") for target, _ in settings if target.startswith("job/")}
    offered = {job for jobs in groups.values() for job in jobs}
    assert taken < offered
    assert "membrane-clean" in offered - taken
    assert len(taken) > 50, "a year has work in each of its months"
    assert settings["job/drum", "recur"]["days"] == 10
    assert settings["job/test-kh", "recur"]["days"] == ["thu"]


def every_job_of_today_says_why(page: Page, keeper: Caller) -> None:
    """Each stop of today's round says why in one line: on its card when it can be done, else beside its name."""
    reasons = {(job["text"], job["reason"]) for job in keeper.plan()["days"][0]["jobs"]}
    page.get_by_role("link", name="Round").tap()
    expect(page.get_by_role("heading", name="Today's round")).to_be_visible()
    stops = page.locator("li.stop")
    expect(stops).to_have_count(len(keeper.plan()["days"][0]["jobs"]))
    for n in range(stops.count()):
        stop = stops.nth(n)
        stopped = STOPPED.intersection((stop.get_attribute("class") or "").split())
        if not stopped and stop.get_by_role("article").count() == 0:
            stop.get_by_role("button").first.tap()
        why = stop.locator(".line-more" if stopped else ".why").text_content() or ""
        name = stop.locator(".what" if stopped else "h3").text_content() or ""
        told = [reason for text, reason in reasons if text == name and reason in why]
        assert told and "\n" not in why, (name, why)
        assert len(why) <= LONGEST_LINE, why
