"""Whether a database's tables are those that our migrations make, and nothing else is in it."""

import sqlite3
from contextlib import closing

from evenwater.storage.database import migrations
from evenwater.storage.errors import NotOurs

# SQLite's own tables and indexes are told as well: who writes the table of tables can give a trigger such a name. What
# it keeps of its own measuring comes and goes.
_OBJECTS = (
    "SELECT type, name, tbl_name, sql FROM sqlite_master"
    " WHERE NOT (type = 'table' AND name IN ('sqlite_stat1', 'sqlite_stat4'))"
)


def require_own_schema(connection: sqlite3.Connection) -> int:
    """The number of the database's schema.

    Asked before anything else: a trigger or view that somebody put into it would run with our statements.

    Raises:
        NotOurs: it is another one than the migrations up to that number make, or newer than this version knows.
    """
    (number,) = connection.execute("PRAGMA user_version").fetchone()
    steps = migrations()
    if not 1 <= number <= steps[-1][0]:
        raise NotOurs(f"its schema is number {number}; this version knows 1 to {steps[-1][0]}")
    with closing(sqlite3.connect(":memory:")) as own:
        for step, file in steps:
            if step <= number:
                own.executescript(file.read_text(encoding="utf-8"))
        differ = set(connection.execute(_OBJECTS)) ^ set(own.execute(_OBJECTS))
    if differ:
        names = ", ".join(sorted({str(name) for _, name, _, _ in differ}))
        raise NotOurs(f"its tables are not those of schema {number}: {names}")
    return int(number)
