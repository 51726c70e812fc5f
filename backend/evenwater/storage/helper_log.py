"""What of the log a helper is given, and what is kept about the entries they send.

What `page_for` gives is what `domain/away/shown_entries.py` shows, taken back entries and their take backs included: a
device folds by itself.
"""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

import msgspec

from evenwater.domain.away.allowed import Own
from evenwater.domain.away.scope import Scope
from evenwater.domain.away.shown_entries import GOING_ON_BEFORE
from evenwater.domain.rounds.heard.notices import TOLD_FOR, NotTaken
from evenwater.storage.database import Database, in_text
from evenwater.storage.entry_log import LOGGED, LoggedContent, logged_content

MOST_REFUSED = 200
_HERE = "pond IN (SELECT value FROM json_each(:ponds))"
_SHOWN = (
    f"(kind = 'power' OR kind = 'water_running' AND {_HERE}) AND placed_on >= :going_on"
    " OR placed_on >= :begins_on AND (author = :helper"
    f" OR kind IN ('look', 'dose', 'feed') AND {_HERE}"
    f" OR kind = 'tick' AND {_HERE} AND (json_extract(content, '$.amount_g') IS NOT NULL"
    " OR json_extract(content, '$.feed_g') IS NOT NULL)"
    " OR kind IN ('tick', 'not_done')"
    " AND pond || '/' || json_extract(content, '$.standing_job') IN (SELECT value FROM json_each(:jobs)))"
)


async def page_for(database: Database, scope: Scope, cursor: int, limit: int) -> tuple[list[LoggedContent], int, bool]:
    """A page of what a helper is shown after `cursor`: (entries, new cursor, more to come)."""
    begins_on = scope.hand_over.begins_on
    if begins_on is None:
        return [], cursor, False
    rows = list(
        await database.reader.execute_fetchall(
            f"WITH RECURSIVE shown (id) AS (SELECT id FROM entry WHERE placed_at >= :from AND ({_SHOWN})"
            " UNION SELECT taker.id FROM shown JOIN entry AS taker ON taker.kind = 'take_back'"
            " AND taker.placed_at >= :from AND json_extract(taker.content, '$.entry') = shown.id)"
            f" SELECT last.seq, page.* FROM (SELECT ifnull(max(seq), 0) AS seq FROM entry) AS last LEFT JOIN"
            f" (SELECT {LOGGED} FROM entry WHERE seq > :cursor AND id IN (SELECT id FROM shown)"
            " ORDER BY seq LIMIT :limit) AS page ORDER BY page.seq",
            {
                "ponds": _listed(sorted(scope.hand_over.ponds)),
                "jobs": _listed(scope.hand_over.jobs),
                "helper": scope.helper.id,
                "begins_on": begins_on.isoformat(),
                "going_on": (begins_on - GOING_ON_BEFORE).isoformat(),
                # The index is by moment; of a date in any zone it is at most a day away.
                "from": (begins_on - GOING_ON_BEFORE - timedelta(days=1)).isoformat(),
                "cursor": cursor,
                "limit": limit + 1,
            },
        )
    )
    more = len(rows) > limit
    entries = [logged_content(tuple(row)[1:]) for row in rows[:limit] if row[1] is not None]
    return entries, entries[-1].seq if more else max(cursor, rows[0][0]), more


async def own_of(database: Database, ids: Sequence[str]) -> dict[str, Own]:
    """Who recorded these entries, for which date, and of what kind; those that are not in the log are left out."""
    rows = await database.reader.execute_fetchall(
        "SELECT id, author, placed_on, kind FROM entry WHERE id IN (SELECT value FROM json_each(?))", (_listed(ids),)
    )
    return {row[0]: Own(row[1], date.fromisoformat(row[2]), row[3]) for row in rows}


async def kept_since(database: Database, author: str, since: datetime) -> int:
    """How many entries of somebody came since then; of the last thousands, which is as far as a limit asks."""
    [(count,)] = await database.reader.execute_fetchall(
        "SELECT count(*) FROM (SELECT author, received_at FROM entry ORDER BY seq DESC LIMIT 5000)"
        " WHERE author = ? AND received_at > ?",
        (author, in_text(since)),
    )
    return int(count)


async def mark_late(database: Database, hand_over: str, ids: Sequence[str], now: datetime) -> None:
    """Write down that these entries came after the last day."""
    async with database.transaction() as connection:
        await connection.executemany(
            "INSERT OR IGNORE INTO late_entry (entry, hand_over, received_at) VALUES (?, ?, ?)",
            [(one, hand_over, in_text(now)) for one in ids],
        )


async def late_entries(database: Database, hand_over: str) -> list[str]:
    """The ids of a hand-over's entries that came after its last day, in the order they came."""
    rows = await database.reader.execute_fetchall(
        "SELECT entry FROM late_entry WHERE hand_over = ? ORDER BY received_at, entry", (hand_over,)
    )
    return [row[0] for row in rows]


async def keep_refused(database: Database, refused: Sequence[NotTaken], now: datetime) -> None:
    """Remember what was not taken, once each; what is older than it is told goes, and a flood keeps its beginning."""
    async with database.transaction() as connection:
        await connection.execute("DELETE FROM refused_entry WHERE received_at < ?", (in_text(now - TOLD_FOR),))
        for one in refused:
            await connection.execute(
                "INSERT OR IGNORE INTO refused_entry SELECT ?, ?, ?, ?, ?, ?, ?"
                " WHERE (SELECT count(*) FROM refused_entry WHERE hand_over = ?) < ?",
                (
                    one.entry,
                    one.hand_over,
                    one.helper,
                    one.pond,
                    in_text(one.at),
                    one.what,
                    in_text(now),
                    one.hand_over,
                    MOST_REFUSED,
                ),
            )


async def refused_lately(database: Database, now: datetime) -> list[NotTaken]:
    """What helpers recorded and was not taken, the oldest first."""
    rows = await database.reader.execute_fetchall(
        "SELECT entry, hand_over, helper, pond, happened_at, what FROM refused_entry WHERE received_at >= ?"
        " ORDER BY happened_at, rowid",
        (in_text(now - TOLD_FOR),),
    )
    return [
        NotTaken(entry, hand_over, helper, pond, datetime.fromisoformat(at), what)
        for entry, hand_over, helper, pond, at, what in rows
    ]


async def add_helper_photo(database: Database, photo_sum: str, hand_over: str, helper: str, now: datetime) -> None:
    """Remember that a helper sent a photo: they may see it, and so may the other helper of the hand-over."""
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT OR IGNORE INTO helper_photo (sum, hand_over, helper, kept_at) VALUES (?, ?, ?, ?)",
            (photo_sum, hand_over, helper, in_text(now)),
        )


async def helper_photos(database: Database, hand_over: str) -> list[str]:
    """The sums of the photos the helpers of a hand-over sent, oldest first."""
    rows = await database.reader.execute_fetchall(
        "SELECT DISTINCT sum FROM helper_photo WHERE hand_over = ? ORDER BY kept_at, sum", (hand_over,)
    )
    return [row[0] for row in rows]


async def photos_since(database: Database, hand_over: str, since: datetime) -> int:
    """How many photos the helpers of a hand-over sent since then."""
    [(count,)] = await database.reader.execute_fetchall(
        "SELECT count(*) FROM helper_photo WHERE hand_over = ? AND kept_at > ?", (hand_over, in_text(since))
    )
    return int(count)


async def sent_photo(database: Database, photo_sum: str, hand_over: str) -> bool:
    """Whether a helper of that hand-over sent it."""
    rows = await database.reader.execute_fetchall(
        "SELECT 1 FROM helper_photo WHERE sum = ? AND hand_over = ? LIMIT 1", (photo_sum, hand_over)
    )
    return bool(list(rows))


def _listed(values: Sequence[str]) -> str:
    return msgspec.json.encode(values).decode()
