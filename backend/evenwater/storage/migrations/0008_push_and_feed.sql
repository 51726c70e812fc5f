-- Browsers that take notifications. One endpoint is one browser; it is used while its device is signed in.
CREATE TABLE push_subscription (
    id TEXT PRIMARY KEY,
    person_id TEXT NOT NULL REFERENCES person (id),
    device TEXT NOT NULL,
    endpoint TEXT NOT NULL UNIQUE,
    p256dh BLOB NOT NULL,
    auth BLOB NOT NULL,
    wants_list INTEGER NOT NULL,
    wants_alarms INTEGER NOT NULL,
    made_at TEXT NOT NULL
) STRICT;

-- A person's private calendar address. The token itself is never kept; `content_sha256`: of what it last gave, which
-- was first so at `changed_at`.
CREATE TABLE calendar_feed (
    person_id TEXT PRIMARY KEY REFERENCES person (id),
    token_sha256 BLOB NOT NULL UNIQUE,
    rings TEXT NOT NULL,
    made_at TEXT NOT NULL,
    last_read_at TEXT,
    content_sha256 BLOB,
    changed_at TEXT
) STRICT;
