-- Entries in which somebody's name was blanked because they asked. Another device may send one again as it was; it is
-- here already, and is not put back.
CREATE TABLE erased_entry (
    entry TEXT PRIMARY KEY,
    erased_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
