-- +goose Up
CREATE TABLE melt (
    id          INTEGER PRIMARY KEY,
    key         TEXT    NOT NULL UNIQUE,
    code        TEXT    NOT NULL UNIQUE,
    letter      TEXT    NOT NULL CHECK (letter GLOB '[A-Z]'),
    year        INTEGER NOT NULL CHECK (year BETWEEN 2000 AND 2099),
    number      INTEGER NOT NULL CHECK (number > 0),
    at          INTEGER NOT NULL,
    noted_at    INTEGER NOT NULL,
    person_id   INTEGER NOT NULL REFERENCES person (id),
    furnace_id  INTEGER NOT NULL REFERENCES kit (id),
    crucible_id INTEGER REFERENCES kit (id),
    element_id  INTEGER REFERENCES kit (id),
    probe_id    INTEGER REFERENCES kit (id),
    warm        INTEGER NOT NULL CHECK (warm IN (0, 1)),
    target      TEXT    NOT NULL CHECK (target IN ('ingots', 'casting', 'trial')),
    ambient     INTEGER,
    UNIQUE (letter, year, number)
) STRICT;
CREATE INDEX melt_furnace ON melt (furnace_id, id);

CREATE TABLE line (
    id          INTEGER PRIMARY KEY,
    melt_id     INTEGER NOT NULL REFERENCES melt (id),
    key         TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    kind        TEXT    NOT NULL CHECK (kind IN (
        'check', 'heel_in', 'charge', 'power_on', 'isolated', 'meter', 'energy', 'electric', 'temperature',
        'first_liquid', 'all_molten', 'addition', 'skim', 'pour', 'spill', 'reject', 'heel_out', 'steel',
        'stamp', 'note', 'using', 'close', 'reopen', 'void')),
    at          INTEGER NOT NULL,
    noted_at    INTEGER NOT NULL,
    person_id   INTEGER NOT NULL REFERENCES person (id),
    source_id   INTEGER REFERENCES source (id),
    lot_id      INTEGER REFERENCES lot (id),
    pour_id     INTEGER REFERENCES line (id),
    tare        INTEGER NOT NULL DEFAULT 0 CHECK (tare >= 0),
    scale_id    INTEGER REFERENCES kit (id),
    spread      INTEGER CHECK (spread >= 0),
    as_found    INTEGER NOT NULL DEFAULT 0 CHECK (as_found IN (0, 1)),
    dry         INTEGER NOT NULL DEFAULT 0 CHECK (dry IN (0, 1)),
    preheated   INTEGER NOT NULL DEFAULT 0 CHECK (preheated IN (0, 1)),
    into_hot    INTEGER NOT NULL DEFAULT 0 CHECK (into_hot IN (0, 1)),
    which       TEXT    NOT NULL DEFAULT '',
    mould       TEXT    NOT NULL DEFAULT '',
    count       INTEGER CHECK (count >= 0),
    cost        INTEGER CHECK (cost >= 0),
    meter       INTEGER CHECK (meter >= 0),
    energy      INTEGER CHECK (energy >= 0),
    temp        INTEGER,
    probe_id    INTEGER REFERENCES kit (id),
    volts       INTEGER CHECK (volts > 0),
    amps        INTEGER CHECK (amps > 0),
    watts       INTEGER CHECK (watts > 0),
    ohms        INTEGER CHECK (ohms > 0),
    crucible_id INTEGER REFERENCES kit (id),
    element_id  INTEGER REFERENCES kit (id),
    note        TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000),
    CHECK (kind <> 'charge' OR (source_id IS NULL) <> (pour_id IS NULL)),
    CHECK (kind <> 'temperature' OR temp IS NOT NULL),
    CHECK (kind <> 'meter' OR meter IS NOT NULL)
) STRICT;
CREATE INDEX line_melt ON line (melt_id);
CREATE INDEX line_pour ON line (pour_id) WHERE pour_id IS NOT NULL;
CREATE INDEX line_lot ON line (lot_id) WHERE lot_id IS NOT NULL;

CREATE TABLE weighing (
    line_id INTEGER NOT NULL REFERENCES line (id),
    n       INTEGER NOT NULL CHECK (n > 0),
    gross   INTEGER NOT NULL CHECK (gross >= 0),
    PRIMARY KEY (line_id, n)
) STRICT, WITHOUT ROWID;

-- A strike takes a line out of account; lifting the strike is another row.
-- The last row of a line holds.
CREATE TABLE strike (
    id          INTEGER PRIMARY KEY,
    key         TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    line_id     INTEGER REFERENCES line (id),
    kit_line_id INTEGER REFERENCES kit_line (id),
    lot_id      INTEGER REFERENCES lot (id),
    struck      INTEGER NOT NULL CHECK (struck IN (0, 1)),
    at          INTEGER NOT NULL,
    person_id   INTEGER NOT NULL REFERENCES person (id),
    reason      TEXT    NOT NULL DEFAULT '' CHECK (length(reason) <= 2000),
    CHECK ((line_id IS NOT NULL) + (kit_line_id IS NOT NULL) + (lot_id IS NOT NULL) = 1)
) STRICT;
CREATE INDEX strike_line ON strike (line_id) WHERE line_id IS NOT NULL;
CREATE INDEX strike_kit_line ON strike (kit_line_id) WHERE kit_line_id IS NOT NULL;
CREATE INDEX strike_lot ON strike (lot_id) WHERE lot_id IS NOT NULL;

-- What was written stays written.
-- +goose StatementBegin
CREATE TRIGGER line_stays BEFORE UPDATE ON line BEGIN SELECT RAISE(ABORT, 'a line is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER line_is_kept BEFORE DELETE ON line BEGIN SELECT RAISE(ABORT, 'a line is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER weighing_stays BEFORE UPDATE ON weighing BEGIN SELECT RAISE(ABORT, 'a weighing is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER weighing_is_kept BEFORE DELETE ON weighing BEGIN SELECT RAISE(ABORT, 'a weighing is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER strike_stays BEFORE UPDATE ON strike BEGIN SELECT RAISE(ABORT, 'a strike is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER strike_is_kept BEFORE DELETE ON strike BEGIN SELECT RAISE(ABORT, 'a strike is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER melt_stays BEFORE UPDATE ON melt BEGIN SELECT RAISE(ABORT, 'a heading is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER melt_is_kept BEFORE DELETE ON melt BEGIN SELECT RAISE(ABORT, 'a heading is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER kit_line_stays BEFORE UPDATE ON kit_line BEGIN SELECT RAISE(ABORT, 'a line is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER kit_line_is_kept BEFORE DELETE ON kit_line BEGIN SELECT RAISE(ABORT, 'a line is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER lot_stays BEFORE UPDATE ON lot BEGIN SELECT RAISE(ABORT, 'a delivery is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER lot_is_kept BEFORE DELETE ON lot BEGIN SELECT RAISE(ABORT, 'a delivery is never deleted'); END;
-- +goose StatementEnd
