-- +goose Up
-- A token lets a program in as a person, as far as its scope reaches, until it
-- expires. Only a hash of it is kept (SHA-256 of at least 128 random bits).
CREATE TABLE token (
    id         INTEGER PRIMARY KEY,
    hash       BLOB    NOT NULL UNIQUE CHECK (length(hash) = 32),
    person_id  INTEGER NOT NULL REFERENCES person (id),
    name       TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
    scope      TEXT    NOT NULL CHECK (scope IN ('readings', 'read', 'log', 'all')),
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    used_at    INTEGER,
    ended_at   INTEGER
) STRICT;
CREATE INDEX token_person ON token (person_id, ended_at);
