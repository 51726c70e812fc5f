"""The round on the screen, on paper and in a calendar: the same jobs, amounts and reasons, as a person reads them."""

import re
from html import unescape

from icalendar import Calendar
from journeys.home import Home
from journeys.phones import phone_in
from journeys.round_screen import card, press
from playwright.sync_api import Browser, Page, expect


def fetched(page: Page, path: str, method: str = "GET", body: str | None = None) -> str:
    """What this page is answered."""
    return page.evaluate(
        """([path, method, body]) => fetch(path, { method, body, headers: { "Content-Type": "application/json" } })
            .then((answer) => answer.text())""",
        [path, method, body],
    )


def test_screen_paper_and_calendar_agree(browser: Browser, example_home: Home) -> None:
    page = phone_in(browser, example_home.url, example_home.clock)
    page.goto("/")
    press(page, "Open the example")
    expect(page.get_by_role("heading", name="Tonight's round")).to_be_visible()
    paper = fetched(page, "/print")
    address = re.search(r"/feed/[^\"]+\.ics", fetched(page, "/api/reach/feed", "POST", "{}"))
    assert address
    events = Calendar.from_ical(fetched(page, address[0])).walk("VEVENT")
    amounts = []
    for section in re.findall(r"<section>(.*?)</section>", paper):
        what, when = (unescape(one) for one in re.findall(r"<b>. (.*?)</b>.*?<span>(.*?)</span>", section)[0])
        if not when.startswith(("by", "late", "can wait")):
            continue  # it is folded away on the screen, in words of its own
        much = unescape("".join(re.findall(r"<p class=amount>(.*?)</p>", section)))
        why = unescape(re.findall(r"<p>(.*?)</p>", section)[0])
        shown = card(page, what)
        for part in (*filter(None, much.split(" · ")), why):
            expect(shown).to_contain_text(part)
        title = f"{what}: {much}" if much else what
        assert any(title in str(one["SUMMARY"]) and why in str(one["DESCRIPTION"]) for one in events), title
        amounts.append(much)
    assert len(amounts) >= 4 and any(amounts)
    page.context.close()
