"""The log from its end, a page at a time: what the pond book shows of what is older than a phone holds."""

from collections.abc import Collection, Sequence
from datetime import UTC, date, datetime, timedelta

import msgspec

from evenwater.domain.entries import TakeBack
from evenwater.domain.fold import Seen, withdrawn_ids
from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import LOGGED, LoggedContent, logged_content

# Values of a file stand under a choice of their own: a probe's record by the minute would hide what people wrote.
_OF_A_FILE = (
    "EXISTS (SELECT 1 FROM import WHERE import.id = entry.device AND"
    " (entry.placed_at < import.travels_from OR entry.kind = 'take_back'))"
)
_BACK = (
    f"SELECT {LOGGED} FROM entry WHERE (placed_at, seq) < (:at, :seq) AND placed_at < :until_at"
    " AND placed_on < :until AND placed_on >= :since AND placed_at >= :since_at"
    " AND (:kinds IS NULL OR kind IN (SELECT value FROM json_each(:kinds)))"
    " AND ifnull(:pond, pond) = pond AND ifnull(:author, author) = author"
    f" AND (:of_files AND device IN (SELECT id FROM import) OR NOT :of_files AND NOT {_OF_A_FILE})"
    " ORDER BY placed_at DESC, seq DESC LIMIT :limit"
)
_TAKERS = (
    "WITH RECURSIVE about (id) AS (SELECT value FROM json_each(?) UNION SELECT taker.id FROM about JOIN entry AS taker"
    " ON taker.kind = 'take_back' AND json_extract(taker.content, '$.entry') = about.id)"
    " SELECT entry.content FROM about JOIN entry ON entry.id = about.id WHERE entry.kind = 'take_back'"
)
_END = datetime(9000, 1, 1, tzinfo=UTC)
_ANY = datetime(2000, 1, 1, tzinfo=UTC)
_read = msgspec.json.Decoder(TakeBack).decode


class Place(msgspec.Struct, frozen=True):
    """Where in the log, by time and then by number, a page ended."""

    at: datetime
    seq: int


class Within(msgspec.Struct, frozen=True, kw_only=True):
    """Which part of the log is looked through.

    Args:
        since: The first civil date; None for the beginning.
        until: The last civil date; None for the end.
        kinds: Of these kinds alone; None for any.
        pond: Of this pond alone.
        author: Written by this person alone.
        of_files: What was brought in as files, and nothing else; without it their old values are left out.
    """

    since: date | None = None
    until: date | None = None
    kinds: Collection[str] | None = None
    pond: str | None = None
    author: str | None = None
    of_files: bool = False


async def page_back(database: Database, within: Within, before: Place | None, limit: int) -> list[LoggedContent]:
    """Entries before a place of the log, newest first."""
    begins, ends = within.since or date(1900, 1, 1), within.until or date(8998, 12, 31)
    rows = await database.reader.execute_fetchall(
        _BACK,
        {
            "at": in_text(before.at if before else _END),
            "seq": before.seq if before else 0,
            "since": begins.isoformat(),
            "until": (ends + timedelta(days=1)).isoformat(),
            # The index is by moment; of a date in any zone it is at most a day away.
            "since_at": (begins - timedelta(days=1)).isoformat(),
            "until_at": (ends + timedelta(days=2)).isoformat(),
            "kinds": None if within.kinds is None else _listed(sorted(within.kinds)),
            "pond": within.pond,
            "author": within.author,
            "of_files": within.of_files,
            "limit": limit,
        },
    )
    return [logged_content(row) for row in rows]


async def taken_back_among(database: Database, ids: Sequence[str]) -> frozenset[str]:
    """Those of the ids that are taken back by a take back that stands."""
    rows = await database.reader.execute_fetchall(_TAKERS, (_listed(ids),))
    # Where they stand in time is nothing to what they take back.
    gone = withdrawn_ids(Seen(_read(row[0]), None, _ANY, _ANY.date()) for row in rows)
    return gone & frozenset(ids)


async def entries_named(database: Database, ids: Sequence[str]) -> list[LoggedContent]:
    """The entries with these ids; those that are not in the log are left out."""
    rows = await database.reader.execute_fetchall(
        f"SELECT {LOGGED} FROM entry WHERE id IN (SELECT value FROM json_each(?)) ORDER BY seq", (_listed(ids),)
    )
    return [logged_content(row) for row in rows]


def _listed(values: Sequence[str]) -> str:
    return msgspec.json.encode(values).decode()
