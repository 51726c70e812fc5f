"""In November Marit looks back: she chooses from when to when, reads it, prints it, and sends it to friends."""

import re
from datetime import timedelta
from pathlib import Path

from journeys.hand_over_screen import pages_of
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import press, sync_line
from playwright.sync_api import Browser, Page, Request, expect

SPANS = """async (today) => {
  await import("/later.js");
  return (await import("/main.js")).modules["/domain/report-spans.js"].spansOf(today);
}"""
TWO_YEARS_OF_WARMTH = """async (pond) => {
  const { modules } = await import("/main.js");
  const { makeEntry, record } = modules["/record.js"];
  const read = (days) => makeEntry("reading", pond, { quantity: "temperature_c", point: "pond",
    value: Math.round(150 + 60 * Math.cos(days / 58) + days % 7) / 10 }, Date.now() - days * 86400000);
  await record(Array.from({ length: 150 }, (_, week) => read(5 * week)));
}"""


def test_the_season_is_told_printed_and_sent(
    browser: Browser, keeper: Caller, phone: Page, home: Home, tmp_path: Path
) -> None:
    sign_in(phone)
    make_ready_for_no_signal(phone)
    phone.evaluate(TWO_YEARS_OF_WARMTH, "long-pond")
    expect(sync_line(phone)).to_contain_text("All sent")
    phone.get_by_role("link", name="Pond book").click()
    phone.get_by_role("link", name="Season report").click()
    slips(phone)
    phone.get_by_role("button", name="Twelve months").click()
    phone.get_by_label("Its title").fill("Our <first> year")
    press(phone, "Show the report")
    expect(phone.get_by_role("heading", name="Our <first> year")).to_be_visible()
    assert phone.locator("#app").count() == 0, "home's own page, not the app"
    means = phone.get_by_role("row").filter(has=phone.get_by_role("rowheader", name="Mean"))
    expect(means.get_by_role("cell")).to_have_text([re.compile(r"^1\d\.\d.°C$")] * 2)
    assert "Marit" not in phone.locator("body").inner_text()
    for paper in ("A4", "Letter"):
        assert 1 <= pages_of(phone.pdf(format=paper)) <= 6, paper
    file = saved(phone, tmp_path)
    phone.get_by_role("link", name="Back to the app").click()
    expect(phone.get_by_label("Its title")).to_have_value("Our <first> year")
    year_on_one_page(phone)
    home.stop()
    read_by_a_friend(browser, file)


def slips(phone: Page) -> None:
    """Dates the wrong way round, one to come, one that is lacking: said at the field, and nothing is opened."""
    ahead = (EVENING + timedelta(days=9)).date().isoformat()
    for first, last, said in (
        ("2026-09-30", "2026-04-01", "It ends before it begins."),
        (ahead, "2026-12-24", "That is still to come."),
        ("2024-01-01", "2026-04-01", "Longer than a year."),
        ("", "2026-04-01", "Choose a date."),
    ):
        phone.get_by_label("From", exact=True).fill(first)
        phone.get_by_label("To", exact=True).fill(last)
        press(phone, "Show the report")
        expect(phone.get_by_text(said)).to_be_visible()
    assert "/report" in phone.url
    chosen_for_another_time(phone)
    phone.context.set_offline(True)
    phone.get_by_role("button", name="This year").click()
    press(phone, "Show the report")
    expect(phone.get_by_role("alert")).to_contain_text("No signal: the report is written at home.")
    phone.context.set_offline(False)


def chosen_for_another_time(phone: Page) -> None:
    """Photos chosen of a time or of a pond that is no longer told of would be in no report: they are let go."""
    told = "first=2026-04-01&last=2026-09-30&photos=" + "a" * 64
    for pond, chosen in (("long-pond", "1 chosen"), ("another", "none chosen")):
        phone.goto(f"/report?pond={pond}&{told}")
        expect(phone.locator("summary")).to_contain_text(chosen)
    phone.goto(f"/report?pond=long-pond&{told}")
    phone.get_by_label("From", exact=True).fill("2026-05-01")
    expect(phone.locator("summary")).to_contain_text("none chosen")


def saved(phone: Page, folder: Path) -> Path:
    with phone.expect_download() as download:
        phone.get_by_role("link", name="Save as a file").click()
    assert re.fullmatch(r"season-2025-11-\d\d-to-2026-11-\d\d\.html", download.value.suggested_filename)
    file = folder / "report.html"
    download.value.save_as(file)
    return file


def year_on_one_page(phone: Page) -> None:
    phone.get_by_role("link", name="The year 2026").click()
    expect(phone.get_by_role("img", name=re.compile("^The water's temperature round the year"))).to_be_visible()
    for paper in ("A4", "Letter"):
        assert pages_of(phone.pdf(format=paper)) == 1, paper


def read_by_a_friend(browser: Browser, file: Path) -> None:
    """With home switched off, from a disk: whole, and it asks for nothing."""
    context = browser.new_context()
    page = context.new_page()
    asked: list[Request] = []
    complaints: list[str] = []
    page.on("request", lambda request: asked.append(request))
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(file.as_uri())
    expect(page.get_by_role("heading", name="Our <first> year")).to_be_visible()
    expect(page.get_by_role("link")).to_have_count(0)
    assert page.evaluate("getComputedStyle(document.querySelector('table')).borderCollapse") == "collapse"
    assert [one.url for one in asked] == [file.as_uri()]
    assert complaints == []
    context.close()


def test_the_spans_on_offer_have_begun(keeper: Caller, phone: Page) -> None:
    sign_in(phone)
    november, february = (phone.evaluate(SPANS, today) for today in ("2026-11-25", "2026-02-10"))
    assert november == {
        "year": ["2026-01-01", "2026-11-25"],
        "months": ["2025-11-26", "2026-11-25"],
        "summer": ["2026-04-01", "2026-09-30"],
        "winter": ["2026-10-01", "2026-11-25"],
    }
    assert (february["summer"], february["winter"]) == (["2025-04-01", "2025-09-30"], ["2025-10-01", "2026-02-10"])
