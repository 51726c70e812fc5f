-- People's facts, append-only. `seq` is the cursor devices pull by; `content` is the entry byte for byte as it was sent.
CREATE TABLE entry (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    pond TEXT NOT NULL,
    kind TEXT NOT NULL,
    author TEXT NOT NULL,
    device TEXT NOT NULL,
    received_at TEXT NOT NULL,
    placed_at TEXT NOT NULL,
    placed_on TEXT NOT NULL,
    skew_s REAL NOT NULL,
    time_doubtful INTEGER NOT NULL,
    content_sha256 BLOB NOT NULL,
    content TEXT NOT NULL
) STRICT;
CREATE INDEX entry_by_place ON entry (placed_at);
CREATE INDEX entry_settings ON entry (seq) WHERE kind = 'set';
CREATE INDEX entry_last_ticks ON entry (pond, json_extract(content, '$.standing_job'), placed_at) WHERE kind = 'tick';

-- Entries from a newer app than this server, read again after each upgrade.
CREATE TABLE deferred_entry (
    id TEXT PRIMARY KEY,
    kind TEXT NOT NULL,
    v INTEGER NOT NULL,
    author TEXT NOT NULL,
    device TEXT NOT NULL,
    received_at TEXT NOT NULL,
    skew_s REAL NOT NULL,
    content TEXT NOT NULL
) STRICT;

-- Probes and weather. `issued_at` is when a forecast was made, '' for something measured.
CREATE TABLE sample (
    series TEXT NOT NULL,
    at TEXT NOT NULL,
    issued_at TEXT NOT NULL DEFAULT '',
    value REAL NOT NULL,
    PRIMARY KEY (series, at, issued_at)
) STRICT, WITHOUT ROWID;

-- Every plan and forecast as it was shown; never recomputed.
CREATE TABLE shown (
    id INTEGER PRIMARY KEY,
    shown_at TEXT NOT NULL,
    subject TEXT NOT NULL,
    model_version TEXT NOT NULL,
    log_seq INTEGER NOT NULL,
    content TEXT NOT NULL
) STRICT;
CREATE INDEX shown_by_subject ON shown (subject, shown_at);

CREATE TABLE person (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    name_key TEXT NOT NULL UNIQUE,
    passphrase_hash TEXT NOT NULL,
    created_at TEXT NOT NULL
) STRICT;

-- A signed-in device. The token itself is never kept.
CREATE TABLE session (
    id TEXT PRIMARY KEY,
    token_sha256 BLOB NOT NULL UNIQUE,
    person_id TEXT NOT NULL REFERENCES person (id),
    device TEXT NOT NULL,
    device_label TEXT NOT NULL,
    created_at TEXT NOT NULL,
    last_seen_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    revoked_at TEXT
) STRICT;

CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
