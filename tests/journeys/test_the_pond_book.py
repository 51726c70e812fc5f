"""Everything recorded, looked through: what the phone holds at once, what is older from home, and nothing made up."""

import json
import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import SENT, press, sync_line
from playwright.sync_api import Locator, Page, expect

from evenwater.domain.book.search import GROUPS

CASES = json.loads((Path(__file__).parents[1] / "reference" / "book" / "search_cases.json").read_text())["cases"]
ASK = """(cases) => import("/main.js").then(({ modules }) => {
  const { GROUPS, plain, says, termsOf } = modules["/domain/search.js"];
  return { groups: GROUPS, found: cases.map(({ words, text }) => says(plain(words), termsOf(text))) };
})"""

YEAR = """(line) => import("/main.js").then(({ modules }) =>
  modules["/pages/book/year-months.js"].monthsOf([line], "2026-11-24").months[10].works)"""


@pytest.fixture
def old(home: Home, keeper: Caller) -> Caller:
    """Marit's book of three years: a note each year, a fish measured, a reading slipped."""

    def ago(days: int) -> Any:
        return home.clock() - timedelta(days=days)

    keeper.keep(
        keeper.entry("note", ago(1000), text="First frogs of 2024."),
        keeper.entry("note", ago(600), text="Frogs again."),
        keeper.entry("note", ago(2), text="No frogs now."),
        keeper.entry("set", ago(700), target="fish/aki", field="name", value="Aki", effective_from=None),
        keeper.entry("fish_measure", ago(400), fish="aki", length_cm=41.5, length_is="total"),
        keeper.entry("reading", ago(300), quantity="ph", value=9.9, point="pond"),
    )
    return keeper


def find(page: Page, text: str) -> None:
    page.get_by_role("searchbox", name="Find").fill(text)


def lines(page: Page) -> Locator:
    return page.get_by_role("main").get_by_role("listitem")


def narrow(page: Page, **chosen: str) -> None:
    """Choose from the lists that narrow it down, by their labels."""
    if not page.get_by_label("From", exact=True).is_visible():
        page.get_by_text("Narrow it down").click()
    for label, choice in chosen.items():
        page.get_by_label(label, exact=True).select_option(choice)


def test_what_the_phone_no_longer_holds_is_found_at_home_and_can_be_taken_back(old: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/book")
    find(phone, "frogs")
    expect(lines(phone)).to_have_count(1)
    expect(phone.get_by_text("This device holds what was recorded since Thu 27 Aug.")).to_be_visible()
    press(phone, "Look further back")
    expect(lines(phone)).to_have_count(3)
    expect(phone.get_by_text("Nothing earlier fits.")).to_be_visible()
    expect(phone.get_by_role("heading", name="Wed 28 Feb 2024")).to_be_visible()
    find(phone, "ph 9,9")
    expect(phone.get_by_text("Nothing found, back to Thu 27 Aug")).to_be_visible()
    press(phone, "Look further back")
    slip = lines(phone).filter(has_text="pH 9.9")
    slip.get_by_role("button").tap()
    expect(slip).to_contain_text("taken back")
    expect(sync_line(phone)).to_have_text(SENT)
    page = old.http.get("/api/book", params={"text": "ph 9.9"}).json()
    assert [one["taken_back"] for one in page["entries"] if one["entry"]["kind"] == "reading"] == [True]


def test_what_is_taken_back_can_be_written_right_at_its_own_moment(old: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/book?group=said")
    note = lines(phone).filter(has_text="No frogs now.")
    note.get_by_role("button", name="take back").tap()
    press(note, "write it right")
    note.get_by_role("textbox", name="Note").fill(" ")
    press(note, "Save")
    expect(note.get_by_role("alert")).to_have_text("Please fill this in.")
    note.get_by_role("textbox", name="Note").fill("No toads now.")
    press(note, "Save")
    right = lines(phone).filter(has_text="No toads now.")
    expect(right).to_contain_text("Sun 16:45")
    expect(note.get_by_role("button")).to_have_count(0)
    phone.goto("/book?group=measured&since=2026-11-20")
    kh = lines(phone).filter(has_text="KH").first
    kh.get_by_role("button", name="take back").tap()
    press(kh, "write it right")
    kh.get_by_role("textbox", name="KH").fill("55")
    press(kh, "Save")
    expect(kh.get_by_role("alert")).to_have_text("Between 0 and 25 °dKH.")
    kh.get_by_role("textbox", name="KH").fill("5,5")
    press(kh, "Save")
    expect(lines(phone).filter(has_text="KH 5.5 °dKH")).to_be_visible()
    expect(lines(phone).filter(has_text="not sent yet")).to_have_count(0)
    readings = {one["entry"]["id"]: one for one in old.log("reading")}
    wrong, again = readings[old.log("take_back")[-1]["entry"]["entry"]], [*readings.values()][-1]
    assert (again["entry"]["quantity"], again["entry"]["value"]) == ("kh_dkh", 5.5)
    assert again["placed_at"] == wrong["placed_at"]


def test_lists_narrow_it_down_and_the_address_keeps_what_is_sought(old: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/book")
    narrow(phone, What="fish")
    expect(phone.get_by_text("Nothing found")).to_be_visible()
    press(phone, "Look further back")
    expect(lines(phone)).to_have_text([
        "Aki: 41.5 cm total length" + "20 Oct 16:45" + "take back",
    ])  # fmt: skip
    phone.reload()
    expect(phone.get_by_label("What", exact=True)).to_have_value("fish")
    press(phone, "Show everything")
    expect(phone.get_by_text("Looked: all well").or_(phone.get_by_text("KH")).first).to_be_visible()
    narrow(phone, What="given", Where="At the water")
    expect(lines(phone).first).to_contain_text("Buffer")
    expect(phone).to_have_url(re.compile(r"/book[?]group=given&place=At[+]the[+]water$"))


def test_what_only_home_can_have_is_asked_for_at_once(old: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/book?group=fish&since=2025-10-01&until=2025-10-31")
    expect(lines(phone)).to_have_count(1)
    expect(phone.get_by_text("1 entry found")).to_be_visible()
    expect(phone.get_by_text("Nothing earlier fits.")).to_be_visible()


def test_without_signal_it_says_how_far_back_it_goes(old: Caller, phone: Page) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.context.set_offline(True)
    phone.goto("/book")
    find(phone, "frogs")
    expect(lines(phone)).to_have_count(1)
    press(phone, "Look further back")
    expect(
        phone.get_by_text("No signal from home. What is older is kept at home, and waits for signal.")
    ).to_be_visible()
    phone.context.set_offline(False)
    press(phone, "Look further back")
    expect(lines(phone)).to_have_count(3)


def test_settings_are_told_in_the_words_of_their_forms(old: Caller, phone: Page) -> None:
    cold = [{"what": "reading", "quantity": "temperature_c", "side": "below", "value": 8}]
    told = {"only_if": cold, "recur": {"every": "after_done", "days": 9}, "minutes": 4}
    old.keep(
        *(old.entry("set", target="job/cover", field=field, value=value) for field, value in told.items()),
        old.entry("set", target="pond", field="cover", value={"kind": "opaque", "covered_fraction": 0.9}),
        old.entry("set", target="pond", field="warm_low_c", value=12, effective_from="2026-11-20"),
    )
    sign_in(phone)
    phone.goto("/book?group=settings&since=2026-11-24")
    expect(phone.get_by_text("5 settings of 1 job set in one go")).to_be_visible()
    phone.get_by_text("5 settings").click()
    for said in (
        "Covers, only if: water temperature below 8 °C",
        "Covers, it comes: 9 days after it was done",
        "Covers, takes: 4 min",
        "Cover: kind opaque, covered 90 %",
        "Water not below: 12 °C, from Fri 20 Nov",
    ):
        expect(phone.get_by_text(said)).to_be_visible()


def test_dates_of_the_year_to_come_name_it(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/year")
    expect(phone.get_by_role("heading", name="The year 2026")).to_be_visible()
    winter = {"standing_job": "ice", "title": "No ice over", "begins": "2026-11-15", "ends": "2027-03-01"}
    done = winter | {"done": ["2026-11-20", "2027-01-02"], "last_year": ["2025-12-24", "2026-02-01"]}
    (work,) = phone.evaluate(YEAR, done)
    assert work["span"] == "15 Nov to 1 Mar 2027"
    assert (work["done"], work["last_year"]) == ("20 Nov to 2 Jan 2027", "24 Dec to 1 Feb 2026")


def test_phone_and_home_look_by_the_same_rules(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    phone.goto("/book")
    expect(phone.get_by_role("searchbox", name="Find")).to_be_visible()
    told = phone.evaluate(ASK, CASES)
    assert told["groups"] == {group: list(kinds) for group, kinds in GROUPS.items()}
    assert told["found"] == [case["found"] for case in CASES]
