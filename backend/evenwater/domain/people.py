"""Who is who: the people of a household, the devices they are signed in on, and what a name or passphrase may be.

- Two names are one when they look alike: compared in NFKC, case folded, spaces collapsed (`name_key`).
- A name is a line of visible characters, so it can stand in a terminal, a header or a list as it is.
"""

import unicodedata
from datetime import datetime, timedelta

from msgspec import Struct

from evenwater.domain.errors import DomainError, OutOfRange

SESSION_LIFE = timedelta(days=90)
SEEN_EVERY = timedelta(hours=1)
NAME_LENGTH = (1, 60)
PASSPHRASE_LENGTH = (8, 200)
_LABEL_LENGTH = 60
_JOINERS = dict.fromkeys(map(ord, "\u200c\u200d"))  # part of words and of emoji, invisible by themselves


class NotPlain(DomainError):
    """Characters nobody sees: control characters, changes of writing direction, halves of a character."""

    code = "not_plain"


class Person(Struct, frozen=True):
    """One of the household. `created_at` is aware."""

    id: str
    name: str
    created_at: datetime


class Credential(Struct, frozen=True):
    """A person, what their passphrase is checked against, and whether they used the device at hand before."""

    person: Person
    passphrase_hash: str
    knows_device: bool


class Session(Struct, frozen=True):
    """A device somebody is signed in on; it ends by itself at `expires_at` unless it is seen before."""

    id: str
    person_id: str
    device: str
    device_label: str
    created_at: datetime
    last_seen_at: datetime
    expires_at: datetime


class SignedIn(Struct, frozen=True):
    """Who is asking, and from which device; `hand_over`: a helper's, who may do just what it says. None: a keeper."""

    person_id: str
    person_name: str
    session_id: str
    device: str
    hand_over: str | None = None


def person_name(text: str) -> str:
    """The name as it is kept: composed (NFC), trimmed, inner spaces single.

    Raises:
        OutOfRange: not 1 to 60 characters long.
        NotPlain: it holds characters nobody sees.
    """
    name = " ".join(unicodedata.normalize("NFC", text).split())
    _require_length("name", name, NAME_LENGTH)
    if not name.translate(_JOINERS).isprintable():
        raise NotPlain("name holds characters nobody sees", where="name", right="letters, digits, signs and spaces")
    return name


def name_key(name: str) -> str:
    """What two names are compared by: compatibility forms (NFKC) and case put aside.

    >>> name_key("Ａki") == name_key(" aKI ")
    True
    """
    folded = unicodedata.normalize("NFKC", name).casefold()
    return " ".join(unicodedata.normalize("NFKC", folded).translate(_JOINERS).split())


def passphrase_text(text: str) -> str:
    """The passphrase as it is hashed: composed (NFC), so that any keyboard gives the same; nothing is trimmed.

    Raises:
        OutOfRange: not 8 to 200 characters long; the passphrase itself is not in the error.

    Source:
        RFC 8265 section 4.2 (OpaqueString: NFC, no case mapping). We accept what it disallows (control characters).
    """
    passphrase = unicodedata.normalize("NFC", text)
    _require_length("passphrase", passphrase, PASSPHRASE_LENGTH)
    return passphrase


def device_label(text: str) -> str:
    """A device's own name for itself, made fit to list: it is shortened and cleaned, never refused."""
    plain = "".join(one if one.isprintable() else " " for one in text)
    return " ".join(plain.split())[:_LABEL_LENGTH].strip() or "a device"


def _require_length(what: str, text: str, allowed: tuple[int, int]) -> None:
    low, high = allowed
    if not low <= len(text) <= high:
        raise OutOfRange(what, len(text), low, high, "characters")
