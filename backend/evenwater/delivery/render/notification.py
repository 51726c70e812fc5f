"""A message as a browser shows it: a title, as much of the text as fits, and where a tap leads."""

import hashlib
from base64 import urlsafe_b64encode

from msgspec import Struct

from evenwater.domain.messages import Message

_LONGEST_TITLE = 120
_MORE = "…"
_NO_ALARMS = ("list/", "test/")


class Notification(Struct, frozen=True, omit_defaults=True):
    """What the service worker shows: `link` opens with a tap, `on_it` with its button; the same `tag` is shown once."""

    title: str
    body: str
    tag: str
    link: str
    on_it: str | None = None


def notification(message: Message, length: int) -> Notification:
    """What a browser is to show of a message; of its text at most `length` bytes of UTF-8, cut at a line or a word."""
    lines = [one for line in message.text.splitlines() if (one := _plain(line))]
    title = _plain(message.subject)[:_LONGEST_TITLE]
    return Notification(
        title, _cut("\n".join(lines), length), tag_of(message), message.link, message.ways_out.get("on_it")
    )


def _plain(line: str) -> str:
    return "".join(one if one.isprintable() else " " for one in line).strip()


def _cut(text: str, length: int) -> str:
    if len(text.encode()) <= length:
        return text
    kept = text.encode()[: length - len(_MORE.encode())].decode(errors="ignore")
    end = max(kept.rfind("\n"), kept.rfind(" "))
    return f"{kept[: end if end > len(kept) // 2 else len(kept)].rstrip()}{_MORE}"


def tag_of(message: Message) -> str:
    """What makes two copies one, at the push service and on the screen: 32 letters of base64url from the key."""
    digest = hashlib.sha256(message.key.encode()).digest()
    return urlsafe_b64encode(digest[:24]).decode()


def is_alarm(message: Message) -> bool:
    """Whether it should not wait until somebody looks."""
    return not message.key.startswith(_NO_ALARMS)
