-- `thinned`: this row stands for its whole hour; nothing is added to that hour any more.
ALTER TABLE sample ADD COLUMN thinned INTEGER NOT NULL DEFAULT 0;
CREATE INDEX sample_to_thin ON sample (at) WHERE thinned = 0 AND issued_at = '';

-- A logger's key: one pond, some of its series. The key itself is never kept.
CREATE TABLE probe_key (
    id TEXT PRIMARY KEY,
    token_sha256 BLOB NOT NULL UNIQUE,
    pond TEXT NOT NULL,
    series TEXT NOT NULL,
    label TEXT NOT NULL,
    created_at TEXT NOT NULL,
    created_by TEXT NOT NULL REFERENCES person (id),
    last_used_at TEXT,
    revoked_at TEXT
) STRICT;
