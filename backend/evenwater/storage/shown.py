"""Plans and forecasts as they were shown, with the model that made them. Never recomputed."""

from datetime import datetime

import msgspec

from evenwater.storage.database import Database, in_text


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
