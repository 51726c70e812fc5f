"""/api/reach/push: somebody switches notifications on and off, for the browser at hand or another of theirs."""

import logging
import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Annotated

from litestar import Router, delete, get, post
from litestar.di import NamedDependency
from litestar.params import FromPath, JSONBody
from msgspec import Meta, Struct

from evenwater.domain.people import SignedIn
from evenwater.domain.push_address import LONGEST_ADDRESS, NotAPushAddress, push_host, push_keys
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.storage.push import (
    Subscription,
    forget_device,
    forget_subscription,
    keep_subscription,
    subscriptions,
)
from evenwater.storage.vapid_key import is_point, public_text, vapid_key
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples

log = logging.getLogger("evenwater.push")

Clock = Callable[[], datetime]
_Key = Annotated[str, Meta(max_length=200)]


class PushKey(Struct, frozen=True):
    """What a browser subscribes with: this server's public key, in base64url."""

    key: str


class BrowserKeys(Struct, frozen=True):
    """The two keys a browser made for its subscription, in base64url."""

    p256dh: _Key
    auth: _Key


class NewSubscription(Struct, frozen=True, rename={"expiration_time": "expirationTime"}, forbid_unknown_fields=True):
    """What `PushSubscription.toJSON()` gives, and what is wanted: the daily list, alarms, or both."""

    endpoint: Annotated[str, Meta(max_length=LONGEST_ADDRESS)]
    keys: BrowserKeys
    wants_list: bool = True
    wants_alarms: bool = True
    expiration_time: float | None = None


class SubscriptionShown(Struct, frozen=True):
    """A browser of yours that takes notifications; `this`: the one that asks."""

    id: str
    device_label: str
    this: bool
    wants_list: bool
    wants_alarms: bool
    made_at: datetime


_SHOWN = SubscriptionShown(
    "5f0c9d2ab7e41c3d", "Wenna's phone", True, True, True, datetime.fromisoformat("2026-11-03T16:00:00+00:00")
)
_GIVEN = NewSubscription("https://push.example/send/…", BrowserKeys("BCVxsr7N…", "BTBZMqHH6r4Tts7J_aSIgg"))


@get(
    "/api/reach/push-key",
    summary="What a browser subscribes with",
    operation_class=with_examples(answered=PushKey("BP4z9KsN…")),
)
async def show_key(settings: NamedDependency[Settings]) -> PushKey:
    """The same for all; a browser that subscribed with another one has to do it again."""
    try:
        return PushKey(public_text(vapid_key(settings.secrets)))
    except OSError as error:
        log.error("the key for notifications can be neither read nor made: %s", error.strerror)
        raise Refusal(
            503,
            "no_key",
            "this server cannot keep its key for notifications",
            right="a folder of secrets in its data folder that it may write; its log says more",
        ) from None


@get(
    "/api/reach/push",
    summary="Your browsers that take notifications",
    operation_class=with_examples(answered=[_SHOWN]),
)
async def list_subscriptions(
    signed_in: NamedDependency[SignedIn], database: NamedDependency[Database], clock: NamedDependency[Clock]
) -> list[SubscriptionShown]:
    """Those whose device is signed in, the oldest first."""
    return await _shown(signed_in, database, clock)


@post(
    "/api/reach/push",
    summary="Switch notifications on",
    operation_class=with_examples(given=_GIVEN, answered=[_SHOWN]),
)
async def subscribe(
    data: JSONBody[NewSubscription],
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
) -> list[SubscriptionShown]:
    """For the device that asks; the same again changes what is wanted."""
    push_host(data.endpoint)
    p256dh, auth = push_keys(data.keys.p256dh, data.keys.auth)
    if not is_point(p256dh):
        raise NotAPushAddress("the key is none of a browser", where="keys.p256dh", right="a point of P-256")
    one = Subscription(
        id=secrets.token_hex(8),
        person_id=signed_in.person_id,
        device=signed_in.device,
        endpoint=data.endpoint,
        p256dh=p256dh,
        auth=auth,
        wants_list=data.wants_list,
        wants_alarms=data.wants_alarms,
        made_at=clock(),
    )
    await keep_subscription(database, one)
    return await _shown(signed_in, database, clock)


@delete("/api/reach/push", summary="Switch notifications off here")
async def unsubscribe(signed_in: NamedDependency[SignedIn], database: NamedDependency[Database]) -> None:
    """For the device that asks."""
    if not await forget_device(database, signed_in.person_id, signed_in.device):
        raise _none()


@delete("/api/reach/push/{subscription_id:str}", summary="Switch notifications off on another device")
async def unsubscribe_other(
    subscription_id: FromPath[str],
    signed_in: NamedDependency[SignedIn],
    database: NamedDependency[Database],
    clock: NamedDependency[Clock],
) -> None:
    """For one of yours."""
    mine = {one.id for one in await _shown(signed_in, database, clock)}
    if subscription_id not in mine:
        raise _none()
    await forget_subscription(database, subscription_id)


async def _shown(signed_in: SignedIn, database: Database, clock: Clock) -> list[SubscriptionShown]:
    return [
        SubscriptionShown(
            one.id, one.device_label, one.device == signed_in.device, one.wants_list, one.wants_alarms, one.made_at
        )
        for one in await subscriptions(database, clock())
        if one.person_id == signed_in.person_id
    ]


def _none() -> Refusal:
    return Refusal(404, "not_found", "notifications are not on there", right="switch them on first")


push_routes = Router(
    path="/",
    route_handlers=[show_key, list_subscriptions, subscribe, unsubscribe, unsubscribe_other],
    request_max_body_size=16_000,
)
