"""Plans and forecasts as they were shown, with the model that made them. Never recomputed."""

from datetime import datetime
from typing import TypeVar

import msgspec

from evenwater.storage.database import Database, in_text

Content = TypeVar("Content", bound=msgspec.Struct)


async def keep_shown(
    database: Database, shown_at: datetime, subject: str, model_version: str, log_seq: int, content: msgspec.Struct
) -> None:
    """Keep what a person is about to see, unless the same stands there as the subject's last.

    Raises:
        StorageUnavailable: it could not be kept.
    """
    text = msgspec.json.encode(content).decode()
    async with database.transaction() as connection:
        await connection.execute(
            "INSERT INTO shown (shown_at, subject, model_version, log_seq, content) SELECT ?, ?, ?, ?, ?"
            " WHERE ? IS NOT (SELECT content FROM shown WHERE subject = ? ORDER BY id DESC LIMIT 1)",
            (in_text(shown_at), subject, model_version, log_seq, text, text, subject),
        )


async def shown_since(
    database: Database, subjects: str, since: datetime, content: type[Content]
) -> list[tuple[str, datetime, Content]]:
    """(subject, shown at, what) of all subjects that begin with these words, oldest first.

    What an earlier version showed and this one cannot read is left out.
    """
    rows = await database.reader.execute_fetchall(
        "SELECT subject, shown_at, content FROM shown WHERE subject >= ? AND subject < ? AND shown_at >= ? ORDER BY id",
        (subjects, subjects + "\U0010ffff", in_text(since)),
    )
    found: list[tuple[str, datetime, Content]] = []
    for subject, shown_at, text in rows:
        try:
            found.append((subject, datetime.fromisoformat(shown_at), msgspec.json.decode(text, type=content)))
        except msgspec.ValidationError:
            continue
    return found
