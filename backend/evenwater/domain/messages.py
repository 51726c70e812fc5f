"""What reaches people who are not looking at the app, and how each of them wants to be reached."""

from datetime import datetime
from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

Channel = Literal["email", "push"]
CHANNELS: Final[tuple[Channel, ...]] = ("email", "push")
MessageState = Literal["waiting", "sent", "given_up"]
# Which jobs of a person's calendar ring when their window opens.
Rings = Literal["each", "serious", "none"]
ClockTime = Annotated[str, Meta(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]\Z")]


class Reach(Struct, frozen=True, kw_only=True):
    """How one person wants to be reached; personal, so it is no entry and can be blanked.

    `list_at`: the hour of the daily list in `zone`; None sends none. `quiet_from` to `quiet_to`: no alarm then, over
    midnight too; one that falls into them waits until they end. `email_list` and `email_alarms`: each can be switched
    off alone, from the message itself too.
    """

    person: str
    zone: str = "UTC"
    list_at: ClockTime | None = None
    quiet_from: ClockTime | None = "22:00"
    quiet_to: ClockTime | None = "06:30"
    email: Annotated[str, Meta(max_length=254)] | None = None
    email_list: bool = True
    email_alarms: bool = True


class Message(Struct, frozen=True, kw_only=True):
    """One message to one person by one way.

    `key` is what makes it the only one of its kind: "list/PERSON/2026-11-24/email", "alarm/ID+ID/PERSON/push". `to`: an
    address, or the id of a push subscription. `link`: a path of the app. `ways_out`: paths of `web` that end or answer
    it from the message itself, by name: "unsubscribe", "on_it".
    """

    id: str
    key: str
    person: str
    channel: Channel
    to: str
    subject: str
    text: str
    html: str | None = None
    link: str = "/round"
    ways_out: dict[str, str] = {}
    made_at: datetime
    next_try_at: datetime
    tries: int = 0
    state: MessageState = "waiting"
    sent_at: datetime | None = None
    trouble: str | None = None


class WayOut(Struct, frozen=True, kw_only=True):
    """What a link in a message does when its button is pressed, and for whom; `alarms`: which somebody is on."""

    act: Literal["unsubscribe_list", "unsubscribe_alarms", "on_it"]
    person: str
    alarms: tuple[str, ...] = ()
    made_at: datetime


class Outgoing(Struct, frozen=True, kw_only=True):
    """A message to be kept and sent, with what each of its ways out does, by token."""

    message: Message
    ways: dict[str, WayOut] = {}
