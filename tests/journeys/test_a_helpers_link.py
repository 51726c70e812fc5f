"""What can go wrong with a helper's link: previewers, forwarding, a cookie lost, an end while out of reach."""

import json
from collections.abc import Callable
from datetime import timedelta

from journeys.home import Home
from journeys.household import EVENING, Caller
from journeys.line import answers, drops_the_call
from journeys.neighbour import (
    KIM,
    link_for_kim,
    links,
    open_link,
    told_by_kim,
    use_this_phone,
    with_signal,
    without_signal,
)
from journeys.phones import sign_in
from journeys.round_screen import card, press, sync_line
from journeys.waiting import until
from playwright.sync_api import Page, expect

TODAY = EVENING.date()
TOMORROW = TODAY + timedelta(days=1)
SLOW_DOWN = answers(429, "application/json", '{"code":"slow_down","what":"too many attempts","where":"","right":""}')
NewPhone = Callable[..., Page]


def test_a_previewer_that_opens_the_link_and_runs_its_script_binds_nothing(
    link: str, new_phone: NewPhone, keeper: Caller, home: Home
) -> None:
    previewer = new_phone(user_agent="LinkPreview/1.0 (bot)")
    previewer.goto(link)
    expect(previewer.get_by_role("button", name="Use this phone")).to_be_visible()
    assert open_link(keeper)["devices"] == []
    assert link.split("#")[1] not in json.dumps([call.path for call in home.line.calls])
    kims = new_phone()
    use_this_phone(kims, link)
    assert [one["ended_at"] for one in open_link(keeper)["devices"]] == [None]


def test_a_link_moves_to_a_second_phone_once_and_a_third_is_told_what_to_do(
    kims: Page, link: str, new_phone: NewPhone, keeper: Caller, home: Home
) -> None:
    other, third = new_phone(), new_phone()
    use_this_phone(other, link)
    expect(card(other, "Covers on")).to_be_visible()
    kims.reload()
    expect(kims.get_by_role("heading", name="This phone no longer opens the pond")).to_be_visible()
    expect(kims.get_by_text("The link is used on another phone or in another browser now.")).to_be_visible()
    third.goto(link)
    expect(third.get_by_role("heading", name="Another phone uses this link")).to_be_visible()
    expect(third.get_by_text("ask Marit to let it move")).to_be_visible()
    keeper.http.post(f"{links()}/{open_link(keeper)['id']}/allow-move").raise_for_status()
    press(third, "Try again")
    press(third, "Use this phone")
    expect(card(third, "Covers on")).to_be_visible()


def test_the_link_of_this_phone_opens_its_round_again_without_signal(kims: Page, link: str) -> None:
    kims.context.set_offline(True)
    kims.goto("about:blank")
    kims.goto(link)
    expect(card(kims, "Covers on")).to_be_visible()
    assert kims.url.endswith("/round")


def test_a_browser_that_forgot_its_cookie_comes_in_again_by_the_same_link(
    kims: Page, link: str, keeper: Caller, home: Home
) -> None:
    home.clock.set(EVENING + timedelta(hours=30))  # past the day within which it may move
    without_signal(kims, home.clock())
    press(card(kims, "Covers on"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")
    kims.context.clear_cookies()
    with_signal(kims, home.clock())
    expect(kims.get_by_role("heading", name="This phone no longer opens the pond")).to_be_visible()
    expect(kims.get_by_text("Open the link once more to see.")).to_be_visible()
    kims.goto("about:blank")
    use_this_phone(kims, link)
    until(lambda: len(told_by_kim(keeper)) == 1, "what was kept has arrived", kims)
    assert [one["ended_at"] for one in open_link(keeper)["devices"] if one["ended_at"] is None] == [None]


def test_too_many_tries_say_to_wait(link: str, phone: Page, home: Home) -> None:
    home.line.fail(SLOW_DOWN, path="/api/helper")
    phone.goto(link)
    expect(phone.get_by_role("heading", name="Not just now")).to_be_visible()
    expect(phone.get_by_role("alert")).to_have_text("Too many tries. Wait a minute, then try again.")


def test_a_link_ended_while_the_phone_is_out_of_reach_loses_nothing_and_says_so(
    kims: Page, keeper: Caller, home: Home
) -> None:
    without_signal(kims, EVENING + timedelta(minutes=10))
    press(card(kims, "Covers on"), "Done")
    expect(sync_line(kims)).to_have_text("1 waiting, no signal")
    keeper.http.delete(f"{links()}/{open_link(keeper)['id']}").raise_for_status()
    home.clock.set(EVENING + timedelta(minutes=20))
    with_signal(kims, home.clock())
    expect(kims.get_by_role("heading", name="This phone no longer opens the pond")).to_be_visible()
    expect(kims.get_by_text("Marit ended the link.")).to_be_visible()
    expect(kims.get_by_text("What you wrote down before is not lost. 1 entry is kept on this phone.")).to_be_visible()
    expect(kims.get_by_role("link", name="Ring Marit")).to_be_visible()
    with kims.expect_download() as saved:
        press(kims, "Save them as a file")
    (kept,) = json.loads(saved.value.path().read_text())
    assert (kept["kind"], kept["standing_job"], kept["author"]) == ("tick", "cover", KIM)
    assert told_by_kim(keeper) == []

    use_this_phone(kims, link_for_kim(keeper))
    until(lambda: len(told_by_kim(keeper)) == 1, "what was kept arrives by the new link", kims)
    assert told_by_kim(keeper)[0]["entry"] == kept


def test_a_keeper_who_opens_the_link_is_not_signed_out(link: str, phone: Page, keeper: Caller) -> None:
    sign_in(phone)
    phone.goto(link)
    expect(phone.get_by_text("You are signed in here as Marit.")).to_be_visible()
    expect(phone.get_by_role("button", name="Use this phone")).to_have_count(0)
    assert open_link(keeper)["devices"] == []
    phone.goto("/round")
    expect(phone.get_by_role("navigation", name="Main")).to_be_visible()


def test_a_link_without_its_end_and_one_nobody_knows_say_what_is_missing(phone: Page, link: str) -> None:
    phone.goto("/h")
    phone.get_by_label("The link").fill("https://pond.example/h")
    press(phone, "Open it")
    expect(phone.get_by_role("alert")).to_contain_text("That is not the whole link.")
    phone.get_by_label("The link").fill(f"{link[:-1]}x")
    press(phone, "Open it")
    expect(phone.get_by_role("heading", name="This link is not known")).to_be_visible()
    phone.goto("/h")
    phone.get_by_label("The link").fill(link)
    press(phone, "Open it")
    expect(phone.get_by_role("heading", name="Marit asks for your help")).to_be_visible()


def test_a_link_opened_without_signal_says_that_the_first_time_needs_it(link: str, phone: Page, home: Home) -> None:
    home.line.fail(drops_the_call, path="/api/helper")
    phone.goto(link)
    expect(phone.get_by_role("alert")).to_contain_text("The first time needs signal.")
    home.line.clear()
    press(phone, "Try again")
    expect(phone.get_by_role("button", name="Use this phone")).to_be_visible()


IN_ANOTHER_APP = "Mozilla/5.0 (iPhone; CPU iPhone OS 17_0 like Mac OS X) AppleWebKit/605.1.15 Mobile/15E148 Instagram"


def test_inside_another_app_it_asks_to_be_opened_in_the_browser(link: str, new_phone: NewPhone) -> None:
    page = new_phone(user_agent=IN_ANOTHER_APP)
    page.goto(link)
    expect(page.get_by_text("This page is open inside another app, which may forget you.")).to_be_visible()
    expect(page.get_by_role("button", name="Copy the link")).to_be_visible()
    assert page.url.endswith(link), "the whole link can be copied from the address too"
