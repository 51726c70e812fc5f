-- What a helper recorded and the server did not take, so that the keepers hear that it may have been done. No entry: it
-- is not part of the log. It goes after some days.
CREATE TABLE refused_entry (
    entry TEXT PRIMARY KEY,
    hand_over TEXT NOT NULL,
    helper TEXT NOT NULL,
    pond TEXT NOT NULL,
    happened_at TEXT NOT NULL,
    what TEXT NOT NULL,
    received_at TEXT NOT NULL
) STRICT;
