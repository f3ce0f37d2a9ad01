-- +goose Up
-- A closed melt as the estimates of all sources read it; computed from its
-- lines like the figures, and made again with them.
CREATE TABLE melt_record (
    melt_id INTEGER PRIMARY KEY REFERENCES melt (id),
    body    TEXT    NOT NULL CHECK (json_valid(body))
) STRICT;

-- What the shop believes of a source in the stead of what its form and coating
-- suggest; shares in parts per million. The last row of a source holds; NULL
-- goes back to form and coating.
CREATE TABLE belief (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    source_id  INTEGER NOT NULL REFERENCES source (id),
    at         INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    metal_mean INTEGER CHECK (metal_mean BETWEEN 0 AND 1000000),
    metal_sd   INTEGER CHECK (metal_sd BETWEEN 1000 AND 1000000),
    dross_mean INTEGER CHECK (dross_mean BETWEEN 0 AND 1000000),
    dross_sd   INTEGER CHECK (dross_sd BETWEEN 1000 AND 1000000),
    CHECK ((metal_mean IS NULL) = (metal_sd IS NULL)),
    CHECK ((dross_mean IS NULL) = (dross_sd IS NULL))
) STRICT;
CREATE INDEX belief_source ON belief (source_id, id);

-- What a yard paid on a day, per kg unmelted (source) or for ingots (NULL).
CREATE TABLE yard_price (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    source_id INTEGER REFERENCES source (id),
    at        INTEGER NOT NULL,
    price     INTEGER NOT NULL CHECK (price >= 0),
    noted_at  INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    note      TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000)
) STRICT;
CREATE INDEX yard_price_source ON yard_price (source_id, at);

-- +goose StatementBegin
CREATE TRIGGER belief_stays BEFORE UPDATE ON belief BEGIN SELECT RAISE(ABORT, 'a belief is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER yard_price_stays BEFORE UPDATE ON yard_price BEGIN SELECT RAISE(ABORT, 'a price is never changed'); END;
-- +goose StatementEnd
