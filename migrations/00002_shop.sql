-- +goose Up
CREATE TABLE shop (
    id         INTEGER PRIMARY KEY CHECK (id = 1),
    name       TEXT    NOT NULL CHECK (length(name) <= 80),
    zone       TEXT    NOT NULL,
    mass_unit  TEXT    NOT NULL CHECK (mass_unit IN ('kg', 'g', 'lb')),
    fahrenheit INTEGER NOT NULL CHECK (fahrenheit IN (0, 1)),
    currency   TEXT    NOT NULL CHECK (length(currency) = 3),
    comma      INTEGER NOT NULL CHECK (comma IN (0, 1)),
    ambient    INTEGER NOT NULL CHECK (ambient BETWEEN -5000 AND 6000),
    ready      INTEGER NOT NULL CHECK (ready IN (0, 1))
) STRICT;
INSERT INTO shop VALUES (1, 'Drosswise', 'UTC', 'kg', 0, 'EUR', 0, 2000, 0);

CREATE TABLE tariff (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE,
    from_at    INTEGER NOT NULL,
    price      INTEGER NOT NULL CHECK (price >= 0),
    created_at INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    struck_at  INTEGER
) STRICT;

CREATE TABLE tariff_band (
    tariff_id   INTEGER NOT NULL REFERENCES tariff (id),
    from_minute INTEGER NOT NULL CHECK (from_minute BETWEEN 0 AND 1439),
    to_minute   INTEGER NOT NULL CHECK (to_minute BETWEEN 0 AND 1440),
    price       INTEGER NOT NULL CHECK (price >= 0),
    PRIMARY KEY (tariff_id, from_minute)
) STRICT, WITHOUT ROWID;

-- Kit of every kind in one table: which columns a kind uses is said by the
-- forms and checked below; NULL is "not said".
CREATE TABLE kit (
    id             INTEGER PRIMARY KEY,
    key            TEXT    NOT NULL UNIQUE,
    kind           TEXT    NOT NULL CHECK (kind IN ('furnace', 'crucible', 'element', 'scale', 'probe')),
    name           TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
    note           TEXT    NOT NULL DEFAULT '',
    created_at     INTEGER NOT NULL,
    person_id      INTEGER NOT NULL REFERENCES person (id),
    letter         TEXT    CHECK (letter GLOB '[A-Z]'),
    heating        TEXT,
    volts          INTEGER CHECK (volts > 0),
    circuit        INTEGER CHECK (circuit > 0),
    power          INTEGER CHECK (power > 0),
    material       TEXT,
    brim           INTEGER CHECK (brim > 0),
    rated          INTEGER CHECK (rated > 0),
    rated_in       TEXT,
    fill           INTEGER CHECK (fill BETWEEN 100000 AND 1000000),
    mass           INTEGER CHECK (mass > 0),
    wall           INTEGER CHECK (wall > 0),
    cost           INTEGER CHECK (cost >= 0),
    expected_heats INTEGER CHECK (expected_heats > 0),
    wire           TEXT,
    diameter       INTEGER CHECK (diameter > 0),
    length         INTEGER CHECK (length > 0),
    ohms           INTEGER CHECK (ohms > 0),
    resolution     INTEGER CHECK (resolution > 0),
    capacity       INTEGER CHECK (capacity > 0),
    gain           INTEGER CHECK (gain >= 0),
    couple         TEXT,
    CHECK ((kind = 'furnace') = (letter IS NOT NULL)),
    CHECK (kind <> 'scale' OR resolution IS NOT NULL)
) STRICT;
CREATE UNIQUE INDEX kit_letter ON kit (letter) WHERE letter IS NOT NULL;
CREATE UNIQUE INDEX kit_name ON kit (kind, name COLLATE NOCASE);

CREATE TABLE kit_line (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE,
    kit_id     INTEGER NOT NULL REFERENCES kit (id),
    kind       TEXT    NOT NULL CHECK (kind IN ('fitted', 'read', 'inspected', 'repaired', 'retired', 'returned', 'note')),
    at         INTEGER NOT NULL,
    noted_at   INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    furnace_id INTEGER REFERENCES kit (id),
    ohms       INTEGER CHECK (ohms > 0),
    volts      INTEGER CHECK (volts > 0),
    amps       INTEGER CHECK (amps > 0),
    watts      INTEGER CHECK (watts > 0),
    temp       INTEGER,
    mass       INTEGER CHECK (mass > 0),
    wall       INTEGER CHECK (wall > 0),
    cracked    INTEGER NOT NULL DEFAULT 0 CHECK (cracked IN (0, 1)),
    note       TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000)
) STRICT;
CREATE INDEX kit_line_kit ON kit_line (kit_id, at);
-- What says whether a piece is in use, and where.
CREATE INDEX kit_line_fate ON kit_line (kit_id, at, id, kind, furnace_id) WHERE kind IN ('fitted', 'retired', 'returned');

CREATE TABLE source (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE,
    name       TEXT    NOT NULL COLLATE NOCASE UNIQUE CHECK (length(name) BETWEEN 1 AND 80),
    form       TEXT    NOT NULL CHECK (form IN ('profile', 'casting', 'sheet', 'can', 'wire', 'foil', 'swarf', 'returns', 'ingot', 'other')),
    coating    TEXT    NOT NULL CHECK (coating IN ('', 'bare', 'anodised', 'painted', 'lacquered', 'oily', 'mixed')),
    alloy      TEXT    NOT NULL DEFAULT '',
    sure       TEXT    NOT NULL CHECK (sure IN ('', 'sure', 'likely', 'unknown')),
    paid       INTEGER CHECK (paid >= 0),
    fetches    INTEGER CHECK (fetches >= 0),
    hollow     INTEGER NOT NULL CHECK (hollow IN (0, 1)),
    wet        INTEGER NOT NULL CHECK (wet IN (0, 1)),
    magnesium  INTEGER NOT NULL CHECK (magnesium IN (0, 1)),
    zinc_lead  INTEGER NOT NULL CHECK (zinc_lead IN (0, 1)),
    batteries  INTEGER NOT NULL CHECK (batteries IN (0, 1)),
    note       TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000),
    created_at INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    ended_at   INTEGER
) STRICT;

CREATE TABLE lot (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE,
    source_id  INTEGER NOT NULL REFERENCES source (id),
    at         INTEGER NOT NULL,
    noted_at   INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id),
    as_found   INTEGER CHECK (as_found >= 0),
    as_charged INTEGER CHECK (as_charged >= 0),
    steel      INTEGER CHECK (steel >= 0),
    plastic    INTEGER CHECK (plastic >= 0),
    paid       INTEGER CHECK (paid >= 0),
    note       TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000)
) STRICT;
CREATE INDEX lot_source ON lot (source_id, at);
