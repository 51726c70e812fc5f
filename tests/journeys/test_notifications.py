"""Notifications on a phone: what the worker shows of a message, where a tap leads, and switching them on and off.

The worker is handed messages as the browser's maker would hand them. Subscribing alone is ours: without a window there
is no maker's service to subscribe with.
"""

import json
from base64 import urlsafe_b64decode
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from journeys.home import Home
from journeys.household import Caller
from journeys.phones import make_ready_for_no_signal, sign_in
from journeys.round_screen import press
from journeys.waiting import until
from playwright.sync_api import Locator, Page, Worker, expect
from push_service import HOST, PushService
from push_service import Browser as Eyes

from evenwater.delivery.send.push import PushCarrier
from evenwater.domain.messages import Message
from evenwater.storage.push import Subscription, subscriptions
from evenwater.storage.vapid_key import public_text, vapid_key


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


def arrives(page: Page, home: Home, data: str) -> dict[str, Any]:
    """Hand the worker a message as the browser does when one came, and wait until it is shown; gives what is shown.

    On a busy machine the browser's tools lose one now and then; the same message twice is one notification.
    """
    cdp = page.context.new_cdp_session(page)
    found: list[str] = []
    cdp.on("ServiceWorker.workerRegistrationUpdated", lambda told: found.extend(_ids(told)))
    cdp.send("ServiceWorker.enable")
    until(lambda: bool(found), "the worker is registered", page)
    message = {"origin": home.url, "registrationId": found[0], "data": data}
    for patience_s in (5, 5, 20):
        cdp.send("ServiceWorker.deliverPushMessage", message)
        with suppress(AssertionError):
            until(lambda: bool(shown(page)), "it is shown", page, patience_s)
            break
    (one,) = shown(page)
    return one


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
    arrives(phone, home, json.dumps(ALARM))
    one = arrives(phone, home, json.dumps(ALARM))
    assert (one["title"], one["body"], one["tag"]) == (ALARM["title"], ALARM["body"], ALARM["tag"])
    assert one["actions"] == ["I am on it"]


@pytest.mark.parametrize("data", ["", "no JSON", "[]", '{"title": 5}', "null"])
def test_what_cannot_be_read_still_says_that_there_is_something(phone: Page, home: Home, data: str) -> None:
    one = arrives(phone, home, data)
    assert one["title"] == "evenwater" and "Open the round" in one["body"] and one["actions"] == []


def test_a_tap_brings_the_open_page_there_and_puts_the_notification_away(phone: Page, home: Home) -> None:
    arrives(phone, home, json.dumps(ALARM))
    tap(phone)
    expect(phone.get_by_role("region", name="Latest readings")).to_be_visible()
    assert phone.url == f"{home.url}/water"
    until(lambda: shown(phone) == [], "it is put away", phone)


def test_a_tap_takes_nothing_half_typed_away_unasked(phone: Page, home: Home) -> None:
    phone.goto("/water?add")
    phone.get_by_role("textbox", name="KH").fill("5")
    asked: list[str] = []
    phone.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    arrives(phone, home, json.dumps(ALARM))
    tap(phone)
    until(lambda: len(asked) == 1, "the person was asked", phone)
    assert phone.get_by_role("textbox", name="KH").input_value() == "5"


def test_the_button_opens_the_page_where_one_says_so(phone: Page, home: Home) -> None:
    arrives(phone, home, json.dumps(ALARM))
    tap(phone, "on_it")
    until(lambda: worker_of(phone).evaluate("self.opened") == ["/on-it/token"], "its page opens", phone)
    assert phone.url == f"{home.url}/round"


def test_a_link_that_leads_elsewhere_leads_to_the_round(phone: Page, home: Home) -> None:
    phone.goto("/water")
    arrives(phone, home, json.dumps(ALARM | {"link": "https://evil.example/round"}))
    tap(phone)
    expect(phone.get_by_role("heading", name="Tonight's round")).to_be_visible()
    assert phone.url == f"{home.url}/round"


@pytest.fixture
def eyes() -> Eyes:
    """The keys of this phone's browser."""
    return Eyes()


@pytest.fixture
def subscribing(phone: Page, eyes: Eyes) -> Page:
    """The same phone, its maker's service played by us: it gives an address, and notes what it was asked with."""
    given = {"endpoint": f"https://{HOST}/send/s3cret", "expirationTime": None, "keys": eyes.keys}
    phone.add_init_script(
        f"""PushManager.prototype.subscribe = async (options) => {{
            globalThis.subscribed_with = options;
            return {{ toJSON: () => ({json.dumps(given)}), options, unsubscribe: async () => true }};
        }};"""
    )
    phone.goto("/reach")
    return phone


def notifications(page: Page) -> Locator:
    return page.locator(".reach-push")


def subscriptions_at(home: Home) -> list[Subscription]:
    return home.run(subscriptions(home.database, home.clock()))


def test_switched_on_here_a_message_goes_all_the_way_to_the_screen(
    subscribing: Page, home: Home, eyes: Eyes, tmp_path: Path
) -> None:
    press(subscribing, "Switch on for this device")
    expect(notifications(subscribing).get_by_text("Switched on for this device.")).to_be_visible()
    key = vapid_key(home.settings.secrets)
    asked = subscribing.evaluate("[subscribed_with.userVisibleOnly, [...subscribed_with.applicationServerKey]]")
    assert asked == [True, list(urlsafe_b64decode(public_text(key) + "="))]
    (one,) = subscriptions_at(home)
    message = Message(
        id="m",
        key="alarm/cover/marit",
        person=one.person_id,
        channel="push",
        to=one.id,
        subject="Not done: Covers on",
        text="It was due by 17:40.",
        link="/round",
        made_at=home.clock(),
        next_try_at=home.clock(),
    )

    async def carried() -> bytes:
        async with PushService(tmp_path / "push").running() as service:
            contact = "https://pond.example"
            await PushCarrier(home.database, key, contact, home.clock, service.resolve, service.trust)(message)
        return service.calls[0][2]

    assert arrives(subscribing, home, json.dumps(eyes.read(home.run(carried()))))["title"] == "Not done: Covers on"


def test_what_comes_can_be_chosen_and_all_of_it_switched_off(subscribing: Page, home: Home) -> None:
    press(subscribing, "Switch on for this device")
    wanted = notifications(subscribing).get_by_label("The daily list")
    expect(wanted).to_be_checked()
    wanted.uncheck()
    expect(subscribing.get_by_text("Kept.")).to_be_visible()
    (one,) = subscriptions_at(home)
    assert (one.wants_list, one.wants_alarms) == (False, True)
    press(subscribing, "Switch off for this device")
    expect(notifications(subscribing).get_by_role("button", name="Switch on for this device")).to_be_visible()
    assert subscriptions_at(home) == []


def test_another_device_is_listed_and_can_be_switched_off_from_here(
    subscribing: Page, home: Home, new_phone: Callable[..., Page]
) -> None:
    press(subscribing, "Switch on for this device")
    expect(notifications(subscribing).get_by_text("Switched on for this device.")).to_be_visible()
    desk = new_phone()
    sign_in(desk)
    desk.goto("/reach")
    others = notifications(desk).get_by_role("listitem")
    expect(others).to_have_count(1)
    others.get_by_role("button").tap()
    expect(others).to_have_count(0)
    assert subscriptions_at(home) == []


def test_a_browser_that_was_told_to_show_none_says_where_to_allow_them(
    new_phone: Callable[..., Page], home: Home, keeper: Caller
) -> None:
    page = new_phone()
    sign_in(page)
    page.add_init_script("Object.defineProperty(Notification, 'permission', { get: () => 'denied' })")
    page.goto("/reach")
    expect(notifications(page).get_by_text("Allow them in its settings for this site")).to_be_visible()
    expect(notifications(page).get_by_role("button")).to_have_count(0)


def test_a_service_that_cannot_be_reached_is_said_and_nothing_is_kept(phone: Page, home: Home) -> None:
    phone.goto("/reach")  # a browser without a window reaches its maker's service never
    press(phone, "Switch on for this device")
    expect(notifications(phone).get_by_role("alert")).to_contain_text("could not be reached")
    assert subscriptions_at(home) == []


def test_without_signal_it_says_so(phone: Page, home: Home) -> None:
    phone.context.set_offline(True)
    phone.goto("/reach")
    expect(notifications(phone).get_by_role("alert")).to_contain_text("this needs signal")
    phone.context.set_offline(False)
    expect(notifications(phone).get_by_role("button", name="Switch on for this device")).to_be_visible()
