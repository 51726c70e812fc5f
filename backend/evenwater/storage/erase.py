"""A helper who asks to be forgotten: who there is, and taking their name out of what is kept.

Entries stay where they are in the log; those that are blanked are remembered, so that a device that sends one again as
it was finds it here already. The log begins a new epoch, so that every device fetches what is blanked.
"""

import hashlib
import html
import uuid
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, cast

import aiosqlite
import msgspec
from msgspec import Struct

from evenwater.domain.away.erasure import NOBODY, SHORT, unnamed, unnamed_entry, without_contact, without_helper
from evenwater.storage.database import Database, in_text
from evenwater.storage.photos import FOLDER_NAME

_OF_HAND_OVERS = (
    "SELECT seq, id, content FROM entry WHERE kind = 'set' AND json_extract(content, '$.target') LIKE 'hand-over/%'"
    " AND json_extract(content, '$.field') = ? ORDER BY seq"
)

# What a keeper wrote of a round as it was shown; the rest of it are ids, moments and words of ours.
_FREE_OF_ROUND = frozenset({"name", "text", "place", "reason", "cautions", "how", "amount", "says"})


class KnownHelper(Struct, frozen=True, kw_only=True):
    """Somebody who is or was a helper: every name they go by, of which hand-overs, and how much there is of them."""

    id: str
    names: tuple[str, ...]
    hand_overs: tuple[str, ...]
    entries: int
    photos: int


class Erased(Struct, frozen=True, kw_only=True):
    """What was blanked: how many entries, alarms and messages, photos taken away; and how many still mention a name.

    `elsewhere`: of rounds as they were shown, and of names of imported files.
    """

    helper: str
    entries: int
    alarms: int
    messages: int
    photos: int
    elsewhere: int
    still_mentioned: int
    epoch: str


async def helpers(database: Database, *, unnamed_too: bool = False) -> list[KnownHelper]:
    """Every helper there ever was and who still has a name, in the order they came; with those whose name is gone."""
    names: dict[str, list[str]] = {}
    hand_overs: dict[str, list[str]] = {}
    for _, _, content in await database.reader.execute_fetchall(_OF_HAND_OVERS, ("helpers",)):
        entry = msgspec.json.decode(content)
        for one in entry["value"]:
            names.setdefault(one["id"], []).append(one["name"])
            hand_overs.setdefault(one["id"], []).append(entry["target"].partition("/")[2])
    found = [await _known(database, one, names[one], hand_overs[one]) for one in names]
    return [one for one in found if one.names or unnamed_too]


async def _known(database: Database, helper: str, names: list[str], hand_overs: list[str]) -> KnownHelper:
    [(entries, photos)] = await database.reader.execute_fetchall(
        "SELECT (SELECT count(*) FROM entry WHERE author = ?1),"
        " (SELECT count(DISTINCT sum) FROM helper_photo WHERE helper = ?1)",
        (helper,),
    )
    real = tuple(dict.fromkeys(one for one in names if one != unnamed(one, one)))
    return KnownHelper(
        id=helper, names=real, hand_overs=tuple(dict.fromkeys(hand_overs)), entries=entries, photos=photos
    )


async def erase(
    database: Database, helper: KnownHelper, now: datetime, *, everywhere: bool = False, photos: bool = False
) -> Erased:
    """Blank a helper's name and number; end their links.

    Args:
        database: The household's.
        helper: Whose.
        now: When this is.
        everywhere: Also where people wrote the name in notes, reasons and settings.
        photos: Also take away the photos they sent.

    Raises:
        StorageUnavailable: nothing was changed.
    """
    gone = await _sums(database, helper.id) if photos else []
    await database.writer.execute(
        "PRAGMA secure_delete=ON"
    )  # what was written over is to be gone from the file as well
    epoch = uuid.uuid4().hex
    async with database.transaction() as connection:
        words = await _words_for(connection, helper)
        entries = await _blank_settings(connection, helper.id, words, now)
        elsewhere = 0
        if everywhere:
            entries += await _blank_mentions(connection, words, now)
            elsewhere = await _blank_elsewhere(connection, words)
        alarms, messages = await _blank_told(connection, words)
        await _end_links(connection, helper.id, now)
        mentioned = len(await _mentions(connection, words)) + len(await _elsewhere(connection, words))
        await connection.execute("UPDATE meta SET value = ? WHERE key = 'epoch'", (epoch,))
        for one in gone:
            _take_away(database.path.parent / FOLDER_NAME / one[:2], one)
            await connection.execute("DELETE FROM photo WHERE sum = ?", (one,))
            await connection.execute("DELETE FROM helper_photo WHERE sum = ?", (one,))
    await database.writer.execute_fetchall("PRAGMA wal_checkpoint(TRUNCATE)")
    return Erased(
        helper=helper.id,
        entries=entries,
        alarms=alarms,
        messages=messages,
        photos=len(gone),
        elsewhere=elsewhere,
        still_mentioned=mentioned,
        epoch=epoch,
    )


async def _words_for(connection: aiosqlite.Connection, helper: KnownHelper) -> dict[str, str]:
    """Each name and number of theirs, the longest first, with what stands there afterwards."""
    words = dict.fromkeys(helper.names, NOBODY)
    for _, _, content in await connection.execute_fetchall(_OF_HAND_OVERS, ("helpers",)):
        told = (one.get("tel") for one in msgspec.json.decode(content)["value"] if one["id"] == helper.id)
        words |= dict.fromkeys(filter(None, told), SHORT)
    return dict(sorted(words.items(), key=lambda one: len(one[0]), reverse=True))


async def _blank_settings(
    connection: aiosqlite.Connection, helper: str, words: Mapping[str, str], now: datetime
) -> int:
    """Out of the helpers of each hand-over, and of those who are rung in it."""
    count = 0
    for field in ("helpers", "ring"):
        for seq, entry_id, content in list(await connection.execute_fetchall(_OF_HAND_OVERS, (field,))):
            entry = msgspec.json.decode(content)
            told = entry["value"]
            left = without_helper(told, helper) if field == "helpers" else without_contact(told, list(words))
            if left != told:
                await _write(connection, seq, entry_id, entry | {"value": left}, now)
                count += 1
    return count


async def _blank_mentions(connection: aiosqlite.Connection, words: Mapping[str, str], now: datetime) -> int:
    found = await _mentions(connection, words)
    for seq, entry_id, entry in found:
        await _write(connection, seq, entry_id, _without(entry, words), now)
    return len(found) + await _blank_waiting(connection, words)


async def _blank_waiting(connection: aiosqlite.Connection, words: Mapping[str, str]) -> int:
    """Out of what a newer app wrote and that is read after the next upgrade."""
    count = 0
    for entry_id, content in list(await connection.execute_fetchall("SELECT id, content FROM deferred_entry")):
        entry = msgspec.json.decode(content)
        blanked = _without(entry, words)
        if blanked != entry:
            text = msgspec.json.encode(blanked).decode()
            await connection.execute("UPDATE deferred_entry SET content = ? WHERE id = ?", (text, entry_id))
            count += 1
    return count


async def _mentions(
    connection: aiosqlite.Connection, words: Mapping[str, str]
) -> list[tuple[int, str, dict[str, Any]]]:
    """Entries in which people wrote one of the names or numbers, as whole words."""
    found: list[tuple[int, str, dict[str, Any]]] = []
    async with connection.execute("SELECT seq, id, content FROM entry ORDER BY seq") as rows:
        async for seq, entry_id, content in rows:
            entry = msgspec.json.decode(content)
            if _without(entry, words) != entry:
                found.append((seq, entry_id, entry))
    return found


async def _blank_elsewhere(connection: aiosqlite.Connection, words: Mapping[str, str]) -> int:
    found = await _elsewhere(connection, words)
    for change, text, row in found:
        await connection.execute(change, (text, row))
    return len(found)


async def _elsewhere(connection: aiosqlite.Connection, words: Mapping[str, str]) -> list[tuple[str, str, int]]:
    """Rounds as they were shown, and names of imported files, in which a name or number stands: how each is changed."""
    found: list[tuple[str, str, int]] = []
    async with connection.execute("SELECT id, content FROM shown WHERE subject LIKE 'day/%'") as rows:
        async for row, content in rows:
            told = msgspec.json.decode(content)
            blanked = _out_of_round(told, words)
            if blanked != told:
                found.append(("UPDATE shown SET content = ? WHERE id = ?", msgspec.json.encode(blanked).decode(), row))
    for row, name in await connection.execute_fetchall("SELECT rowid, file_name FROM import"):
        if _out_of(name, words) != name:
            found.append(("UPDATE import SET file_name = ? WHERE rowid = ?", _out_of(name, words), row))
    return found


def _out_of_round(told: Any, words: Mapping[str, str]) -> Any:
    if isinstance(told, list):
        return [_out_of_round(one, words) for one in cast(list[Any], told)]
    if isinstance(told, dict):
        return {
            key: _out_of(one, words) if key in _FREE_OF_ROUND else _out_of_round(one, words)
            for key, one in cast(dict[str, Any], told).items()
        }
    return told


def _without(entry: dict[str, Any], words: Mapping[str, str]) -> dict[str, Any]:
    if entry.get("field") == "ring":
        entry = entry | {"value": without_contact(entry["value"], list(words))}
    for word in words:
        entry = unnamed_entry(entry, word)
    return entry


def _out_of(told: Any, words: Mapping[str, str]) -> Any:
    for word, instead in words.items():
        told = unnamed(unnamed(told, word, instead), html.escape(word), instead)
    return told


async def _write(connection: aiosqlite.Connection, seq: int, entry_id: str, entry: Any, now: datetime) -> None:
    content = msgspec.json.encode(entry)
    await connection.execute(
        "UPDATE entry SET content = ?, content_sha256 = ? WHERE seq = ?",
        (content.decode(), hashlib.sha256(content).digest(), seq),
    )
    await connection.execute("INSERT OR IGNORE INTO erased_entry VALUES (?, ?)", (entry_id, in_text(now)))


async def _blank_told(connection: aiosqlite.Connection, words: Mapping[str, str]) -> tuple[int, int]:
    """Take the names out of alarms, and out of mail that has not gone; (how many alarms, how many messages)."""
    alarms = messages = 0
    for number, content in list(await connection.execute_fetchall("SELECT id, content FROM alarm")):
        told = msgspec.json.decode(content)
        blanked = _out_of(told, words)
        if blanked != told:
            blanked["first"] = [one for one in blanked.get("first", ()) if not one.startswith(f"Ring {NOBODY}")]
            text = msgspec.json.encode(blanked).decode()
            await connection.execute("UPDATE alarm SET content = ? WHERE id = ?", (text, number))
            alarms += 1
    for number, *texts in list(await connection.execute_fetchall("SELECT id, subject, text, html FROM message")):
        blanked = _out_of(texts, words)
        if blanked != texts:
            await connection.execute(
                "UPDATE message SET subject = ?, text = ?, html = ? WHERE id = ?", (*blanked, number)
            )
            messages += 1
    return alarms, messages


async def _end_links(connection: aiosqlite.Connection, helper: str, now: datetime) -> None:
    await connection.execute(
        "UPDATE helper_link SET revoked_at = ? WHERE helper = ? AND revoked_at IS NULL", (in_text(now), helper)
    )
    await connection.execute(
        "UPDATE helper_device SET label = '', ended_at = ifnull(ended_at, ?)"
        " WHERE link IN (SELECT id FROM helper_link WHERE helper = ?)",
        (in_text(now), helper),
    )
    await connection.execute("DELETE FROM refused_entry WHERE helper = ?", (helper,))  # may hold words of their own


async def _sums(database: Database, helper: str) -> list[str]:
    rows = await database.reader.execute_fetchall("SELECT DISTINCT sum FROM helper_photo WHERE helper = ?", (helper,))
    return [row[0] for row in rows]


def _take_away(folder: Path, photo: str) -> None:
    """Both files of a photo; a row without its files goes at the next start, should this be cut off."""
    for ending in (".jpg", ".small.jpg"):
        (folder / f"{photo}{ending}").unlink(missing_ok=True)
