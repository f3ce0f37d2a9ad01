-- +goose Up
-- Times are milliseconds since 1970 UTC, masses milligrams, temperatures
-- hundredths of a degree Celsius; see foundry/quantity for the rest.
CREATE TABLE person (
    id         INTEGER PRIMARY KEY,
    name       TEXT    NOT NULL COLLATE NOCASE UNIQUE CHECK (length(name) BETWEEN 1 AND 80),
    role       TEXT    NOT NULL CHECK (role IN ('owner', 'melter', 'reader')),
    password   TEXT    NOT NULL,
    theme      TEXT    NOT NULL DEFAULT '' CHECK (theme IN ('', 'light', 'dark', 'glare')),
    created_at INTEGER NOT NULL,
    ended_at   INTEGER
) STRICT;

-- An invitation is a link that works once: the first owner's set-up link, a
-- new person's, or one for somebody who forgot the password.
CREATE TABLE invitation (
    token_hash TEXT    PRIMARY KEY,
    role       TEXT    NOT NULL CHECK (role IN ('owner', 'melter', 'reader')),
    person_id  INTEGER REFERENCES person (id),
    created_by INTEGER REFERENCES person (id),
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    used_at    INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE signin (
    id         INTEGER PRIMARY KEY,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    device     TEXT    NOT NULL,
    created_at INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL,
    ended_at   INTEGER
) STRICT;
CREATE INDEX signin_person ON signin (person_id, ended_at);

-- What the browser's cookie stands for; the token is kept hashed.
CREATE TABLE session (
    token      TEXT    PRIMARY KEY,
    data       BLOB    NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_expiry ON session (expires_at);

-- Settings and descriptions may change; who changed what, and when, stays.
CREATE TABLE change (
    id        INTEGER PRIMARY KEY,
    at        INTEGER NOT NULL,
    person_id INTEGER REFERENCES person (id),
    thing     TEXT    NOT NULL,
    thing_id  INTEGER NOT NULL,
    was       TEXT    NOT NULL CHECK (json_valid(was)),
    became    TEXT    NOT NULL CHECK (json_valid(became))
) STRICT;
CREATE INDEX change_thing ON change (thing, thing_id);

-- +goose StatementBegin
CREATE TRIGGER change_stays BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, 'a change is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_is_kept BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'a change is never deleted'); END;
-- +goose StatementEnd
