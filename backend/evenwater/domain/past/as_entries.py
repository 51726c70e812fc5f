"""What was found in a file -> entries of the log, with ids that follow from what they say.

The same value of the same moment has the same id in whichever file it stands, so a file kept twice, or a longer copy of
it next month, adds only what is new. An import that was taken back may be kept again: its values then have the next id.
"""

import hashlib
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
from msgspec import Struct

from evenwater.domain.entries import Dose, Entry, Feed, Note, Reading, Salt, Substance, TakeBack, WaterChange
from evenwater.domain.past.reading import Found, ReadRow
from evenwater.domain.placing import Placed
from evenwater.domain.read_entries import VERSION


class Import(Struct, frozen=True):
    """Whose entries they become. `id` is the import's, and stands where others name their device."""

    id: str
    pond: str
    zone: str
    author: str
    substance: Substance
    received_at: datetime


class Drawn(Struct, frozen=True, gc=False):
    """A value of a line and its moment [s since 1970], on its way to become an entry."""

    line: int
    at_s: int
    timed: bool
    found: Found


def drawn(row: ReadRow, fresh: Iterable[Found]) -> list[Drawn]:
    """What of a row is to become entries."""
    return [Drawn(row.line, row.at_s, row.timed, one) for one in fresh]


def derived_id(*parts: object) -> str:
    """An id that follows from the parts: SHA-256, in the form of a UUID of one's own making.

    Source: RFC 9562, section 5.8 (version 8).
    """
    h = hashlib.sha256("\x1f".join(map(str, parts)).encode()).hexdigest()
    return f"{h[:8]}-{h[8:12]}-8{h[13:16]}-a{h[17:20]}-{h[20:32]}"


def entry_id(pond: str, one: Drawn, time: int) -> str:
    """The id of a value at a pond. `time` counts how often it was kept and taken back before, from 0."""
    column = one.found.column
    return derived_id("past", pond, column.meaning, column.point, one.at_s, repr(one.found.value), time)


def import_id(pond: str, file_sha256: str, choices: bytes, time: int) -> str:
    """The id of a file's import, read with these choices."""
    return derived_id("import", pond, file_sha256, hashlib.sha256(choices).hexdigest(), time)


def take_back_id(entry: str) -> str:
    """The id of the entry that takes that one back, as part of a whole import."""
    return derived_id("past taken back", entry)


def entry_of(one: Drawn, entry: str, of: Import, zone: ZoneInfo) -> tuple[Entry, Placed]:
    """The entry with that id, and where it stands in time.

    What has no time of day stands at 18:00, but never later than it was told.
    """
    at = datetime.fromtimestamp(one.at_s, zone)
    envelope: dict[str, Any] = {
        "id": entry,
        "v": VERSION,
        "pond": of.pond,
        "happened_at": at,
        "local_date": at.date(),
        "zone": of.zone,
        "recorded_at": of.received_at,
        "device": of.id,
        "author": of.author,
    }
    return _entry(one.found, envelope, of), Placed(min(at, of.received_at), at.date(), False)


def _entry(found: Found, envelope: dict[str, Any], of: Import) -> Entry:
    meaning, value, point = found.column.meaning, found.value, found.column.point
    if isinstance(value, str):
        return Note(**envelope, text=value)
    if meaning == "dose_g":
        return Dose(**envelope, substance=of.substance, amount_g=value)
    if meaning == "water_change_l":
        return WaterChange(**envelope, volume_l=value)
    if meaning == "feed_g":
        return Feed(**envelope, feed_g=value)
    if meaning == "salt_g":
        return Salt(**envelope, salt_g=value)
    return Reading(**envelope, quantity=meaning, value=value, point=point)


def take_back_of(entry: str, of: Import, zone: ZoneInfo) -> TakeBack:
    """The entry that withdraws one of an import's. It is placed where that one is: it goes to whom that one went."""
    now = of.received_at
    return TakeBack(
        id=take_back_id(entry),
        v=VERSION,
        pond=of.pond,
        happened_at=now,
        local_date=now.astimezone(zone).date(),
        zone=of.zone,
        recorded_at=now,
        device=of.id,
        author=of.author,
        entry=entry,
    )


def content_of(entry: Entry) -> bytes:
    """An entry as it is kept."""
    return msgspec.json.encode(entry)
