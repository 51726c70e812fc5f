"""A household as JSON lines: everything that is known of its ponds, in an order in which it can be read back.

What lets somebody in or reaches somebody is no part of it: passphrases, sessions, links, keys, addresses, mail. Nor are
the pictures; a backup has those. Each line is one of the records here, told by `is`.
"""

from collections.abc import AsyncIterator
from datetime import date, datetime
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Struct

from evenwater import __version__
from evenwater.domain.entries import Moment, Sha256, Uuid
from evenwater.storage.database import Database, in_text
from evenwater.storage.progress import Tell, unseen

FORMAT = 1
_AT_ONCE = 1000
Count = Annotated[int, Meta(ge=0)]


class OfLine(Struct, frozen=True, kw_only=True, tag_field="is", forbid_unknown_fields=True):
    """What every line is."""


class HouseholdLine(OfLine, frozen=True, kw_only=True, tag="household"):
    """The first line. `epoch`: which log it was; the one it is read into has its own."""

    format: Annotated[int, Meta(ge=1)]
    version: str
    epoch: str
    made_at: Moment
    entries: Count


class PersonLine(OfLine, frozen=True, kw_only=True, tag="person"):
    """Somebody who could sign in."""

    id: Uuid
    name: Annotated[str, Meta(min_length=1, max_length=200)]
    created_at: Moment


class ImportLine(OfLine, frozen=True, kw_only=True, tag="import"):
    """A file that was brought in; its entries have its id for their device."""

    id: str
    pond: str
    author: str
    file_name: str
    kept_at: Moment
    travels_from: Moment
    first_seq: Count
    count: Count
    bad_count: Count
    first_on: date | None
    last_on: date | None
    taken_back_at: Moment | None


class EntryLine(OfLine, frozen=True, kw_only=True, tag="entry"):
    """An entry with its place in the log and in time: `entry` byte for byte as it was sent, or, where it was sent on
    several lines, `as_sent` as text.
    """

    seq: Count
    received_at: Moment
    placed_at: Moment
    placed_on: date
    skew_s: float
    time_doubtful: bool
    entry: msgspec.Raw = msgspec.Raw()
    as_sent: str | None = None


class DeferredLine(OfLine, frozen=True, kw_only=True, tag="deferred"):
    """An entry from a newer app, as it was sent."""

    id: str
    kind: str
    v: int
    author: str
    device: str
    received_at: Moment
    skew_s: float
    content: str


class SampleLine(OfLine, frozen=True, kw_only=True, tag="sample"):
    """A value of a probe or of the weather service."""

    series: str
    at: Moment
    issued_at: Moment | None
    value: float
    thinned: Annotated[int, Meta(ge=0, le=1)]


class ShownLine(OfLine, frozen=True, kw_only=True, tag="shown"):
    """A plan or forecast as it was shown."""

    shown_at: Moment
    subject: str
    model_version: str
    log_seq: Count
    content: msgspec.Raw


class PhotoLine(OfLine, frozen=True, kw_only=True, tag="photo"):
    """A photo that is kept; the picture itself is not in the line."""

    sum: Sha256
    bytes: Count
    width_px: Count
    height_px: Count
    kept_at: Moment
    author: str | None


class LateLine(OfLine, frozen=True, kw_only=True, tag="late_entry"):
    """A helper's entry that came after the last day of the hand-over."""

    entry: str
    hand_over: str
    received_at: Moment


class HelperPhotoLine(OfLine, frozen=True, kw_only=True, tag="helper_photo"):
    """Which helper sent a photo."""

    sum: Sha256
    hand_over: str
    helper: str
    kept_at: Moment


class ErasedLine(OfLine, frozen=True, kw_only=True, tag="erased_entry"):
    """An entry in which a name was blanked."""

    entry: Uuid
    erased_at: Moment


Line = (
    HouseholdLine
    | PersonLine
    | ImportLine
    | EntryLine
    | DeferredLine
    | SampleLine
    | ShownLine
    | PhotoLine
    | LateLine
    | HelperPhotoLine
    | ErasedLine
)

TABLES: dict[type[OfLine], tuple[str, str]] = {
    PersonLine: ("person", "created_at, id"),
    ImportLine: ("import", "kept_at, id"),
    EntryLine: ("entry", "seq"),
    DeferredLine: ("deferred_entry", "received_at, id"),
    ErasedLine: ("erased_entry", "entry"),
    LateLine: ("late_entry", "received_at, entry"),
    PhotoLine: ("photo", "sum"),
    HelperPhotoLine: ("helper_photo", "kept_at, sum"),
    SampleLine: ("sample", "series, at, issued_at"),
    ShownLine: ("shown", "id"),
}
"""Where each kind of line is kept, and in which order it is told."""


async def lines_of(database: Database, now: datetime, tell: Tell = unseen) -> AsyncIterator[bytes]:
    """A household's lines, some at a time, all of one moment; nobody else may read from this database meanwhile."""
    reader = database.reader
    await reader.execute("BEGIN")
    try:
        [(epoch, entries)] = await reader.execute_fetchall(
            "SELECT value, (SELECT count(*) FROM entry) FROM meta WHERE key = 'epoch'"
        )
        head = HouseholdLine(format=FORMAT, version=__version__, epoch=epoch, made_at=now, entries=entries)
        yield msgspec.json.encode(head) + b"\n"
        asked = " + ".join(f"(SELECT count(*) FROM {table})" for table, _ in TABLES.values())
        [(of,)] = await reader.execute_fetchall(f"SELECT {asked}")
        done = 0
        for kind, (table, order) in TABLES.items():
            cursor = await reader.execute(f"SELECT {', '.join(columns_of(kind))} FROM {table} ORDER BY {order}")
            while rows := list(await cursor.fetchmany(_AT_ONCE)):
                yield b"".join(encoded(kind, tuple(row)) for row in rows)
                done += len(rows)
                tell("writing lines", done, of)
            await cursor.close()
    finally:
        await reader.execute("ROLLBACK")


def columns_of(kind: type[OfLine]) -> tuple[str, ...]:
    """The columns a kind of line is kept in."""
    fields = (*(name for name in kind.__struct_fields__ if name not in ("entry", "as_sent")), "content")
    return fields if kind is EntryLine else kind.__struct_fields__


def encoded(kind: type[OfLine], row: tuple[Any, ...]) -> bytes:
    """A row as a line, its end included."""
    told = dict(zip(columns_of(kind), row, strict=True))
    if kind is EntryLine:
        content = str(told.pop("content"))
        told["time_doubtful"] = bool(told["time_doubtful"])
        told |= {"as_sent": content} if "\n" in content or "\r" in content else {"entry": msgspec.Raw(content.encode())}
    elif kind is ShownLine:
        told["content"] = msgspec.Raw(str(told["content"]).encode())
    elif kind is SampleLine:
        told["issued_at"] = told["issued_at"] or None
    return msgspec.json.encode({"is": kind.__struct_config__.tag, **told}) + b"\n"


def as_row(line: OfLine) -> tuple[Any, ...]:
    """What a line is kept as, in the order of its columns; not for entries."""
    values = (getattr(line, name) for name in type(line).__struct_fields__)
    row = tuple(_kept(value) for value in values)
    return tuple("" if value is None else value for value in row) if isinstance(line, SampleLine) else row


def _kept(value: Any) -> Any:
    if isinstance(value, datetime):
        return in_text(value)
    if isinstance(value, date):
        return value.isoformat()
    return bytes(value).decode() if isinstance(value, msgspec.Raw) else value
