"""Notifications on a phone: what the worker shows of a message, where a tap leads, and switching them on and off.

The worker is handed messages as the browser's maker would hand them. Subscribing alone is ours: without a window there
is no maker's service to subscribe with.
"""

import json
from collections.abc import Callable
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.waiting import until
from playwright.sync_api import Page, Worker, expect


@pytest.fixture
def phone(new_phone: Callable[..., Page], home: Home, keeper: Caller) -> Page:
    """Marit's phone: signed in, ready for no signal, and allowed to show notifications."""
    page = new_phone()
    page.context.grant_permissions(["notifications"], origin=home.url)
    sign_in(page)
    make_ready_for_no_signal(page)
    return page


def worker_of(page: Page) -> Worker:
    return page.context.service_workers[0]


def deliver(page: Page, home: Home, data: str) -> None:
    """Hand the worker a message, as the browser does when one came."""
    cdp = page.context.new_cdp_session(page)
    found: list[str] = []
    cdp.on("ServiceWorker.workerRegistrationUpdated", lambda told: found.extend(_ids(told)))
    cdp.send("ServiceWorker.enable")
    until(lambda: bool(found), "the worker is registered", page)
    cdp.send("ServiceWorker.deliverPushMessage", {"origin": home.url, "registrationId": found[0], "data": data})
    cdp.detach()


def _ids(told: dict[str, Any]) -> list[str]:
    return [one["registrationId"] for one in told["registrations"] if not one["isDeleted"]]


def shown(page: Page) -> list[dict[str, Any]]:
    """Every notification there is now."""
    return worker_of(page).evaluate(
        """async () => (await self.registration.getNotifications()).map(({ title, body, tag, data, actions }) =>
            ({ title, body, tag, data, actions: actions.map((one) => one.title) }))"""
    )


def tap(page: Page, action: str = "") -> None:
    """Tap the notification that is there, or its button. Without a finger the browser opens no window."""
    worker_of(page).evaluate(
        """async (action) => {
            const [notification] = await self.registration.getNotifications();
            self.opened = [];
            self.clients.openWindow = async (path) => void self.opened.push(path);
            self.dispatchEvent(new NotificationEvent("notificationclick", { notification, action }));
        }""",
        action,
    )


ALARM = {
    "title": "Not done: Covers on",
    "body": "It was due by 17:40.\nOpen, the water would lose 1.9 °C by morning.",
    "tag": "a" * 32,
    "link": "/water",
    "on_it": "/on-it/token",
}


def test_a_message_is_shown_as_home_wrote_it_and_twice_is_once(phone: Page, home: Home) -> None:
    for _ in range(2):
        deliver(phone, home, json.dumps(ALARM))
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    (one,) = shown(phone)
    assert (one["title"], one["body"], one["tag"]) == (ALARM["title"], ALARM["body"], ALARM["tag"])
    assert one["actions"] == ["I am on it"]


@pytest.mark.parametrize("data", ["", "no JSON", "[]", '{"title": 5}', "null"])
def test_what_cannot_be_read_still_says_that_there_is_something(phone: Page, home: Home, data: str) -> None:
    deliver(phone, home, data)
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    (one,) = shown(phone)
    assert one["title"] == "evenwater" and "Open the round" in one["body"] and one["actions"] == []


def test_a_tap_brings_the_open_page_there_and_puts_the_notification_away(phone: Page, home: Home) -> None:
    deliver(phone, home, json.dumps(ALARM))
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    tap(phone)
    expect(phone.get_by_role("region", name="Latest readings")).to_be_visible()
    assert phone.url == f"{home.url}/water"
    until(lambda: shown(phone) == [], "it is put away", phone)


def test_a_tap_takes_nothing_half_typed_away_unasked(phone: Page, home: Home) -> None:
    phone.goto("/water?add")
    phone.get_by_role("textbox", name="KH").fill("5")
    asked: list[str] = []
    phone.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    deliver(phone, home, json.dumps(ALARM))
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    tap(phone)
    until(lambda: len(asked) == 1, "the person was asked", phone)
    assert phone.get_by_role("textbox", name="KH").input_value() == "5"


def test_the_button_opens_the_page_where_one_says_so(phone: Page, home: Home) -> None:
    deliver(phone, home, json.dumps(ALARM))
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    tap(phone, "on_it")
    until(lambda: worker_of(phone).evaluate("self.opened") == ["/on-it/token"], "its page opens", phone)
    assert phone.url == f"{home.url}/round"


def test_a_link_that_leads_elsewhere_leads_to_the_round(phone: Page, home: Home) -> None:
    phone.goto("/water")
    deliver(phone, home, json.dumps(ALARM | {"link": "https://evil.example/round"}))
    until(lambda: len(shown(phone)) == 1, "it is shown", phone)
    tap(phone)
    expect(phone.get_by_role("heading", name="Tonight's round")).to_be_visible()
    assert phone.url == f"{home.url}/round"
