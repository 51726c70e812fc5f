-- How a person wants to be reached. Personal, so no entry: it can be changed and blanked.
CREATE TABLE reach (
    person TEXT PRIMARY KEY REFERENCES person (id),
    content TEXT NOT NULL,
    changed_at TEXT NOT NULL
) STRICT;

-- One message to one person by one way. `key` makes it the only one of its kind: it is kept before it is sent, and what
-- is waiting after a crash is sent again under the same id. What it said is blanked once it has gone.
CREATE TABLE message (
    id TEXT PRIMARY KEY,
    key TEXT NOT NULL UNIQUE,
    person TEXT NOT NULL,
    channel TEXT NOT NULL,
    "to" TEXT NOT NULL,
    subject TEXT NOT NULL,
    text TEXT NOT NULL,
    html TEXT,
    link TEXT NOT NULL,
    ways_out TEXT NOT NULL,
    made_at TEXT NOT NULL,
    next_try_at TEXT NOT NULL,
    tries INTEGER NOT NULL,
    state TEXT NOT NULL,
    sent_at TEXT,
    trouble TEXT
) STRICT;
CREATE INDEX message_by_state ON message (state, next_try_at);
CREATE INDEX message_by_person ON message (person, made_at);

-- What a link in a message does when somebody presses its button. The token itself is never kept here.
CREATE TABLE way_out (
    token_sha256 BLOB PRIMARY KEY,
    act TEXT NOT NULL,
    person TEXT NOT NULL,
    alarm TEXT,
    made_at TEXT NOT NULL
) STRICT;

-- What people had to hear of. `about` stays the same while it lasts.
CREATE TABLE alarm (
    id TEXT PRIMARY KEY,
    about TEXT NOT NULL,
    content TEXT NOT NULL,
    raised_at TEXT NOT NULL,
    over_at TEXT,
    on_it TEXT,
    on_it_at TEXT
) STRICT;
CREATE INDEX alarm_by_about ON alarm (about, raised_at);
CREATE UNIQUE INDEX alarm_open ON alarm (about) WHERE over_at IS NULL;
