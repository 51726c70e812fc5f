"""Plans and forecasts as they were shown, with the model that made them. Never recomputed."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime, tzinfo
from typing import TypeVar

import msgspec

from evenwater.domain.book.shown_records import Kept
from evenwater.domain.rounds.jobs import Day
from evenwater.storage.database import Database, in_text

Content = TypeVar("Content", bound=msgspec.Struct)


async def keep_shown(
    database: Database, shown_at: datetime, subject: str, model_version: str, log_seq: int, content: msgspec.Struct
) -> None:
    """Keep what a person is about to see, unless the same stands there as the subject's last.

    Raises:
        StorageUnavailable: it could not be kept.
    """
    await keep_all_shown(database, shown_at, log_seq, [(subject, model_version, content)])


async def keep_all_shown(
    database: Database, shown_at: datetime, log_seq: int, shown: Sequence[tuple[str, str, msgspec.Struct]]
) -> None:
    """Keep several (subject, model version, what) at once, each unless the same stands there as the subject's last.

    Raises:
        StorageUnavailable: nothing was kept.
    """
    texts = [(subject, version, msgspec.json.encode(what).decode()) for subject, version, what in shown]
    async with database.transaction() as connection:
        await connection.executemany(
            "INSERT INTO shown (shown_at, subject, model_version, log_seq, content) SELECT ?1, ?2, ?3, ?4, ?5"
            " WHERE ?5 IS NOT (SELECT content FROM shown WHERE subject = ?2 ORDER BY id DESC LIMIT 1)",
            [(in_text(shown_at), subject, version, log_seq, text) for subject, version, text in texts],
        )


async def last_of_each_day(
    database: Database, subjects: str, since: datetime, zone: tzinfo, content: type[Content]
) -> dict[str, list[Kept[Content]]]:
    """By subject, what each civil day of a zone showed last, oldest first; of subjects that begin with these words.

    What an earlier version showed and this one cannot read is left out.
    """
    moments = await database.reader.execute_fetchall(
        "SELECT id, subject, shown_at FROM shown WHERE subject >= ? AND subject < ? AND shown_at >= ? ORDER BY id",
        (subjects, subjects + "\U0010ffff", in_text(since)),
    )
    last = {(subject, datetime.fromisoformat(at).astimezone(zone).date()): number for number, subject, at in moments}
    rows = await database.reader.execute_fetchall(
        "SELECT subject, shown_at, model_version, content FROM shown"
        " WHERE id IN (SELECT value FROM json_each(?)) ORDER BY id",
        (msgspec.json.encode(list(last.values())).decode(),),
    )
    found: dict[str, list[Kept[Content]]] = {}
    for subject, shown_at, model_version, text in rows:
        with suppress(msgspec.ValidationError):
            what = msgspec.json.decode(text, type=content)
            found.setdefault(subject, []).append(Kept(datetime.fromisoformat(shown_at), model_version, what))
    return found


async def days_shown(database: Database, first: date, last: date) -> list[Day]:
    """The rounds of the dates between two, both included, each as it was shown last, oldest first."""
    rows = await database.reader.execute_fetchall(
        "SELECT content FROM shown WHERE id IN"
        " (SELECT max(id) FROM shown WHERE subject BETWEEN ? AND ? GROUP BY subject) ORDER BY subject",
        (f"day/{first.isoformat()}", f"day/{last.isoformat()}"),
    )
    days: list[Day] = []
    for (text,) in rows:
        with suppress(msgspec.ValidationError):
            days.append(msgspec.json.decode(text, type=Day))
    return days
