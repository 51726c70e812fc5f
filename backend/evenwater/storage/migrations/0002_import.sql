-- Files of readings that were brought in. An entry of an import has the import's id for its device. Entries placed before
-- `travels_from` stay at home: a phone that lacks them is not flooded. They stand from `first_seq` on.
CREATE TABLE import (
    id TEXT PRIMARY KEY,
    pond TEXT NOT NULL,
    author TEXT NOT NULL,
    file_name TEXT NOT NULL,
    kept_at TEXT NOT NULL,
    travels_from TEXT NOT NULL,
    first_seq INTEGER NOT NULL,
    count INTEGER NOT NULL DEFAULT 0,
    bad_count INTEGER NOT NULL,
    first_on TEXT,
    last_on TEXT,
    taken_back_at TEXT
) STRICT;
