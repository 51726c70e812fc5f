-- The links helpers come by. Of a secret only its hash is kept, so no copy of this file opens anything.
-- `first_bound_at`: when it was first bound to a device; `moves`: how often it moved since; `may_move`: the keeper lets
-- it move once more.
CREATE TABLE helper_link (
    id TEXT PRIMARY KEY,
    secret_sha256 BLOB NOT NULL UNIQUE,
    hand_over TEXT NOT NULL,
    helper TEXT NOT NULL,
    made_at TEXT NOT NULL,
    made_by TEXT NOT NULL REFERENCES person (id),
    first_bound_at TEXT,
    moves INTEGER NOT NULL DEFAULT 0,
    may_move INTEGER NOT NULL DEFAULT 0,
    revoked_at TEXT
) STRICT, WITHOUT ROWID;

CREATE INDEX helper_link_hand_over ON helper_link (hand_over, made_at);

-- The devices bound by a link, at most one of them at a time; `device` is the browser's own id.
CREATE TABLE helper_device (
    id TEXT PRIMARY KEY,
    token_sha256 BLOB NOT NULL UNIQUE,
    link TEXT NOT NULL REFERENCES helper_link (id),
    device TEXT NOT NULL,
    label TEXT NOT NULL,
    bound_at TEXT NOT NULL,
    last_seen_at TEXT NOT NULL,
    ended_at TEXT
) STRICT, WITHOUT ROWID;

CREATE INDEX helper_device_link ON helper_device (link);

-- Photos helpers sent: who may see them, since a helper is no person of the household.
CREATE TABLE helper_photo (
    sum TEXT NOT NULL,
    hand_over TEXT NOT NULL,
    helper TEXT NOT NULL,
    kept_at TEXT NOT NULL,
    PRIMARY KEY (sum, hand_over, helper)
) STRICT, WITHOUT ROWID;

-- Entries of helpers that came after the last day of their hand-over.
CREATE TABLE late_entry (
    entry TEXT PRIMARY KEY,
    hand_over TEXT NOT NULL,
    received_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
