"""The daily list: at the hour they chose, the keeper gets today's list by e-mail; same jobs, amounts and reasons as in
the app. If a job that matters is not done by its hour, the right person hears about it, once."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from email.message import EmailMessage
from pathlib import Path

import pytest
from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.phones import sign_in
from journeys.round_screen import card, press
from playwright.sync_api import Page, expect
from post_office import PostOffice, link_of, text_of

from evenwater.settings import Smtp

FIVE = EVENING.replace(hour=17, minute=0)
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
REACH = "How the list reaches me"


@pytest.fixture
def office() -> Iterator[PostOffice]:
    with PostOffice().open() as opened:
        yield opened


@pytest.fixture
def home(tmp_path: Path, office: PostOffice) -> Iterator[Home]:
    """A server with a mail server, on the evening of the story."""
    smtp = Smtp(host="127.0.0.1", port=office.port, security="none", sender="The pond <pond@example.org>")
    server = Home(tmp_path / "home", EVENING, smtp=smtp)
    server.start()
    yield server
    server.stop()


def at(home: Home, now: datetime) -> None:
    """It is that time; the server does what it does then."""
    home.clock.set(now)
    home.look_who_must_hear()


def say_how_the_list_comes(page: Page, hour: str, address: str) -> None:
    """Pond book, the page about the list, filled in and saved."""
    page.get_by_role("link", name="Pond book").tap()
    page.get_by_role("link", name=REACH).tap()
    page.get_by_label("Send me the day's list").check()
    page.get_by_label("At", exact=True).fill(hour)
    page.get_by_label("My address").fill(address)
    press(page, "Save")
    expect(page.get_by_role("status").filter(has_text="Saved.")).to_be_attached()


def closes(keeper: Caller) -> datetime:
    """When the covers should be on."""
    return datetime.fromisoformat(keeper.job("cover", "on")["closes_at"])


def jobs_in(letter: EmailMessage) -> dict[str, list[str]]:
    """What the letter says of each job, by its name."""
    blocks = re.findall(r"^- (.+), by \d\d:\d\d\n((?:  .+\n?)*)", text_of(letter), re.MULTILINE)
    return {what: [line.strip() for line in lines.splitlines()] for what, lines in blocks}


def test_the_list_comes_by_mail_at_the_hour_the_keeper_chose_and_says_what_the_screen_says(
    home: Home, keeper: Caller, new_phone: Callable[..., Page], office: PostOffice
) -> None:
    phone = new_phone()
    sign_in(phone)
    say_how_the_list_comes(phone, "17:00", "marit@example.org")
    press(phone, "Send me a test")
    at(home, EVENING + MINUTE)
    (test,) = office.wait_for(1)
    assert (test["To"], test["From"]) == ("marit@example.org", "The pond <pond@example.org>")
    expect(phone.get_by_text(re.compile("by e-mail, sent"))).to_be_visible()

    at(home, FIVE - MINUTE)
    assert len(office.taken) == 1
    at(home, FIVE)
    letter = office.wait_for(2)[1]
    at(home, FIVE + 5 * MINUTE)
    assert len(office.taken) == 2

    told = jobs_in(letter)
    assert {"Covers on", "Buffer"} <= set(told)
    assert letter["Subject"].startswith(f"Tuesday's round: {len(told)} jobs")
    page = new_phone()
    sign_in(page)
    for job, lines in told.items():
        for part in (piece for line in lines for piece in line.split(" · ")):
            expect(card(page, job)).to_contain_text(part)


def test_a_serious_job_not_done_is_heard_of_by_the_right_person_once(
    home: Home, keeper: Caller, new_phone: Callable[..., Page], office: PostOffice
) -> None:
    phone = new_phone()
    sign_in(phone)
    say_how_the_list_comes(phone, "07:00", "marit@example.org")
    home.add_person("Tove")
    tove = Caller(home.url, home.clock).sign_in("Tove")
    reach = {"zone": "Europe/Berlin", "email": "tove@example.org", "email_list": False}
    tove.http.put("/api/reach", json=reach).raise_for_status()
    tove.close()
    by = closes(keeper)
    for minutes in (0, 5, 10, 12, 25):
        at(home, by + minutes * MINUTE)
    (letter,) = [one for one in office.taken if str(one["Subject"]).startswith("Not done")]
    assert (letter["To"], letter["Subject"]) == ("marit@example.org", "Not done: Covers on")
    assert "Tove hears of it 30 minutes after you" in text_of(letter)

    link = link_of(letter, f"{home.url}/on-it/")
    phone.goto(link)
    expect(phone.get_by_role("heading", name="Not done: Covers on")).to_be_visible()
    at(home, by + 26 * MINUTE)
    phone.get_by_role("button", name="Seen, I am on it").tap()
    expect(phone.get_by_text("You are on it, since")).to_be_visible()
    for minutes in (40, 60, 120):
        at(home, by + minutes * MINUTE)
    assert [one["To"] for one in office.taken if str(one["Subject"]).startswith("Not done")] == ["marit@example.org"]
    phone.goto("/round")
    notices = phone.get_by_role("region", name="To know")
    expect(notices.get_by_text("Marit is on it, since")).to_be_visible()


def test_i_am_on_it_is_said_on_the_round_too(
    home: Home, keeper: Caller, new_phone: Callable[..., Page], office: PostOffice
) -> None:
    phone = new_phone()
    sign_in(phone)
    say_how_the_list_comes(phone, "07:00", "marit@example.org")
    home.add_person("Tove")
    tove = Caller(home.url, home.clock).sign_in("Tove")
    tove.http.put("/api/reach", json={"zone": "Europe/Berlin", "email": "tove@example.org"}).raise_for_status()
    tove.close()
    by = closes(keeper)
    at(home, by + 12 * MINUTE)
    phone.goto("/round")
    notices = phone.get_by_role("region", name="To know")
    notices.get_by_role("button", name="I am on it: Not done: Covers on").tap()
    expect(notices.get_by_text("Marit is on it, since")).to_be_visible()
    expect(notices.get_by_role("button", name="I am on it")).to_have_count(0)
    for minutes in (45, 90):
        at(home, by + minutes * MINUTE)
    assert [one["To"] for one in office.taken if str(one["Subject"]).startswith("Not done")] == ["marit@example.org"]


def test_a_mail_server_that_is_down_is_shown_and_the_list_comes_when_it_is_back(
    home: Home, keeper: Caller, new_phone: Callable[..., Page], office: PostOffice
) -> None:
    phone = new_phone()
    sign_in(phone)
    say_how_the_list_comes(phone, "17:00", "marit@example.org")
    office.stop()
    at(home, FIVE)
    later = new_phone()
    sign_in(later)
    not_sent = later.get_by_text(re.compile("round: .* was not sent by e-mail: the mail server cannot be reached"))
    expect(not_sent).to_be_visible()
    office.start()
    at(home, FIVE + 2 * MINUTE)
    (letter,) = office.wait_for(1)
    assert letter["Subject"].startswith("Tuesday's round")
    later.reload()
    expect(later.get_by_role("heading", name="Tonight's round")).to_be_visible()
    expect(not_sent).to_be_hidden()


def test_the_list_is_ended_from_the_letter_by_a_button_and_shown_as_ended(
    home: Home, keeper: Caller, new_phone: Callable[..., Page], office: PostOffice
) -> None:
    phone = new_phone()
    sign_in(phone)
    say_how_the_list_comes(phone, "17:00", "marit@example.org")
    at(home, FIVE)
    (letter,) = office.wait_for(1)
    link = link_of(letter, f"{home.url}/unsubscribe/")
    assert letter["List-Unsubscribe"] == f"<{link}>"
    phone.goto(link)
    phone.get_by_role("button", name="End the daily list").tap()
    expect(phone.get_by_text("You get the daily list by e-mail no more.")).to_be_visible()
    phone.goto("/reach")
    expect(phone.get_by_role("group", name="What comes by e-mail").get_by_label("The daily list")).not_to_be_checked()
    at(home, FIVE + DAY)
    assert len([one for one in office.taken if "round" in str(one["Subject"])]) == 1


def test_what_cannot_be_an_address_is_said_before_anything_is_sent(
    home: Home, keeper: Caller, new_phone: Callable[..., Page]
) -> None:
    phone = new_phone()
    sign_in(phone)
    phone.goto("/reach")
    phone.get_by_label("My address").fill("marit at home")
    press(phone, "Save")
    expect(phone.get_by_role("alert").filter(has_text="One address is needed")).to_be_visible()
    press(phone, "Send me a test")
    expect(phone.get_by_text("there is no way to reach you yet")).to_be_visible()
