-- +goose Up
-- A file that waits may be a logger's, of one melt.
ALTER TABLE upload ADD COLUMN melt_id INTEGER REFERENCES melt (id);

-- How a logger's table with these columns was matched last, as JSON.
CREATE TABLE log_match (
    columns   TEXT    NOT NULL PRIMARY KEY,
    body      TEXT    NOT NULL,
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id)
) STRICT, WITHOUT ROWID;
