-- Photos that are kept; each in two files beside the database, named by the sum of the bytes a device sent.
-- `bytes`: of both files. `author` is not known of one that was found in its folder without a row.
CREATE TABLE photo (
    sum TEXT PRIMARY KEY,
    bytes INTEGER NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    kept_at TEXT NOT NULL,
    author TEXT REFERENCES person (id)
) STRICT, WITHOUT ROWID;
