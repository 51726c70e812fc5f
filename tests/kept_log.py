"""Entries put straight into the log of a real database, where how they came does not matter."""

from datetime import UTC, datetime
from uuid import UUID

import msgspec

from evenwater.domain.placing import place
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.storage.database import Database
from evenwater.storage.entry_log import Arrival, append

WRITTEN_AT = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


async def write_entry(
    database: Database,
    number: int,
    kind: str = "set",
    pond: str = "main",
    placed_at: datetime = WRITTEN_AT,
    **fields: object,
) -> str:
    """One more entry in the log, that came at `placed_at`; gives its id."""
    stamp = WRITTEN_AT.isoformat()
    own = {"id": str(UUID(int=number)), "v": 1, "pond": pond, "kind": kind, "zone": "UTC"}
    when = {"happened_at": stamp, "recorded_at": stamp, "local_date": WRITTEN_AT.date().isoformat()}
    who = {"device": str(UUID(int=1)), "author": str(UUID(int=2))}
    content = msgspec.json.encode(own | when | who | fields)
    entry = read_entry(content)
    assert not isinstance(entry, Deferred)
    await append(database, [Arrival(entry, place(entry, placed_at, 0.0), content)], [], placed_at, 0.0)
    return entry.id


async def settle_pond(database: Database, pond: str = "main", first: int = 100, **settings: object) -> list[str]:
    """A pond with these settings; gives the ids of their entries."""
    return [
        await write_entry(database, first + n, pond=pond, target="pond", field=field, value=value)
        for n, (field, value) in enumerate(settings.items())
    ]
