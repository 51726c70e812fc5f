"""The screens of a helper's phone, and how a helper gets there; in order, each as the one before left the phone."""

from collections.abc import Callable
from datetime import timedelta

from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.neighbour import change, links, open_link, use_this_phone, without_signal
from journeys.round_screen import card, press, sync_line
from msgspec import Struct
from playwright.sync_api import Page, expect


class Helping(Struct, frozen=True):
    """Who asked for help, and with which link; its ten days begin on the evening of the story."""

    home: Home
    keeper: Caller
    link: str


HelperScreen = Callable[[Page, Helping], None]


def the_link_opened(page: Page, helping: Helping) -> None:
    page.goto(helping.link)
    expect(page.get_by_role("button", name="Use this phone")).to_be_visible()


def a_link_to_put_in(page: Page, _: Helping) -> None:
    page.goto("/h")
    press(page, "Open it")
    expect(page.get_by_role("alert")).to_be_visible()


def a_link_nobody_knows(page: Page, helping: Helping) -> None:
    page.goto(f"{helping.link}x")
    expect(page.get_by_role("heading", name="This link is not known")).to_be_visible()


def days_to_come(page: Page, helping: Helping) -> None:
    change(helping.keeper, "begins_on", (EVENING + timedelta(days=3)).date().isoformat())
    use_this_phone(page, helping.link)
    expect(page.get_by_text("It begins Fri 27 Nov.")).to_be_visible()


def a_rehearsal(page: Page, helping: Helping) -> None:
    change(helping.keeper, "begins_on", (EVENING + timedelta(days=1)).date().isoformat())
    page.goto("/round")
    expect(page.get_by_role("heading", name="Rehearsal")).to_be_visible()
    press(card(page, "Covers on"), "Done")
    expect(page.get_by_role("button", name="Begin again")).to_be_visible()


def the_first_day(page: Page, helping: Helping) -> None:
    change(helping.keeper, "begins_on", EVENING.date().isoformat())
    page.goto("/round")
    expect(page.get_by_text("Day 1 of 10")).to_be_visible()
    expect(card(page, "Covers on").get_by_role("button", name="Done")).to_be_visible()


def a_bag(page: Page, helping: Helping) -> None:
    the_first_day(page, helping)
    expect(card(page, "Buffer")).to_contain_text("Bag 1")


def could_not_do_it(page: Page, helping: Helping) -> None:
    a_bag(page, helping)
    press(page, "Could not do it")
    press(page, "Save")
    expect(page.get_by_role("alert")).to_be_visible()


def tomorrow(page: Page, _: Helping) -> None:
    page.goto("/round?day=2026-11-25")
    expect(page.get_by_text("Day 2 of 10")).to_be_visible()
    expect(page.get_by_text("Bag 2 · from 14:40")).to_be_visible()


def where_things_are(page: Page, _: Helping) -> None:
    page.goto("/things")
    expect(page.get_by_role("img", name="Picture: Under the kitchen window")).to_be_visible()


def what_a_helper_finds_wrong(page: Page, _: Helping) -> None:
    page.goto("/round?wrong")
    expect(page.get_by_role("link", name="Something else")).to_be_visible()


def what_to_do_first(page: Page, _: Helping) -> None:
    page.goto("/round?wrong=gasping")
    expect(page.get_by_label("What do you see?")).to_be_visible()


def told_to_the_keeper(page: Page, helping: Helping) -> None:
    what_to_do_first(page, helping)
    press(page, "Tell Marit")
    expect(page.get_by_text("Ring as well")).to_be_visible()


def a_helpers_phone(page: Page, _: Helping) -> None:
    page.goto("/device")
    expect(page.get_by_role("heading", name="This phone")).to_be_visible()


def a_bag_that_stays_shut(page: Page, helping: Helping) -> None:
    helping.keeper.keep(helping.keeper.entry("dose", amount_g=50, substance="sodium_bicarbonate"))
    page.goto("/round")
    expect(card(page, "Buffer")).to_contain_text("Marit gave 50 g")


def a_job_that_is_late(page: Page, _: Helping) -> None:
    without_signal(page, EVENING + timedelta(hours=5))
    expect(card(page, "Covers on")).to_contain_text("and it matters")


def over_with_something_to_send(page: Page, _: Helping) -> None:
    without_signal(page, EVENING + timedelta(minutes=10))
    press(card(page, "Covers on"), "Done")
    expect(sync_line(page)).to_have_text("1 waiting, no signal")
    without_signal(page, EVENING + timedelta(days=12))
    expect(page.get_by_role("heading", name="Thank you")).to_be_visible()
    expect(page.get_by_role("button", name="Save them as a file")).to_be_visible()


def ended_by_the_keeper(page: Page, helping: Helping) -> None:
    page.goto("about:blank")
    page.clock.set_system_time(EVENING.timestamp())
    helping.keeper.http.delete(f"{links()}/{open_link(helping.keeper)['id']}").raise_for_status()
    page.context.set_offline(False)
    page.goto("/round")
    expect(page.get_by_role("heading", name="This phone no longer opens the pond")).to_be_visible()


HELPERS: list[HelperScreen] = [
    the_link_opened,
    a_link_to_put_in,
    a_link_nobody_knows,
    days_to_come,
    a_rehearsal,
    the_first_day,
    a_bag,
    could_not_do_it,
    tomorrow,
    where_things_are,
    what_a_helper_finds_wrong,
    what_to_do_first,
    told_to_the_keeper,
    a_helpers_phone,
    a_bag_that_stays_shut,
    a_job_that_is_late,
    over_with_something_to_send,
    ended_by_the_keeper,
]
