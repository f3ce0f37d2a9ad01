-- +goose Up
-- Melts brought in from a table of old notes, all in one step. A row is named by
-- what stands in it, so that the same row does not come in twice.
CREATE TABLE import (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    file      TEXT    NOT NULL CHECK (length(file) <= 200),
    struck_at INTEGER,
    struck_by INTEGER REFERENCES person (id),
    reason    TEXT    NOT NULL DEFAULT '' CHECK (length(reason) <= 2000),
    CHECK ((struck_at IS NULL) = (struck_by IS NULL))
) STRICT;

CREATE TABLE import_row (
    import_id INTEGER NOT NULL REFERENCES import (id),
    row_key   TEXT    NOT NULL,
    row       INTEGER NOT NULL CHECK (row > 0),
    melt_id   INTEGER NOT NULL UNIQUE REFERENCES melt (id),
    PRIMARY KEY (import_id, row_key)
) STRICT, WITHOUT ROWID;
CREATE INDEX import_row_key ON import_row (row_key);

-- How a table with these columns was matched last, as JSON.
CREATE TABLE import_match (
    columns   TEXT    NOT NULL PRIMARY KEY,
    body      TEXT    NOT NULL,
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id)
) STRICT, WITHOUT ROWID;

-- A file that waits to be matched. It is no record of the shop's and goes after
-- a while.
CREATE TABLE upload (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    file      TEXT    NOT NULL CHECK (length(file) <= 200),
    delimiter TEXT    NOT NULL DEFAULT '',
    matched   TEXT    NOT NULL DEFAULT '',
    body      BLOB    NOT NULL CHECK (length(body) > 0)
) STRICT;
