-- +goose Up
-- What wear is read from: how ohms were measured, how a crucible looks, why a
-- piece was retired, and checks of instruments against something known.
ALTER TABLE kit_line ADD COLUMN lead_ohms INTEGER CHECK (lead_ohms >= 0);
ALTER TABLE kit_line ADD COLUMN step INTEGER CHECK (step > 0);
ALTER TABLE kit_line ADD COLUMN ring TEXT NOT NULL DEFAULT '' CHECK (ring IN ('', 'clear', 'dull'));
ALTER TABLE kit_line ADD COLUMN glaze TEXT NOT NULL DEFAULT '' CHECK (glaze IN ('', 'whole', 'thin', 'gone'));
ALTER TABLE kit_line ADD COLUMN cause TEXT NOT NULL DEFAULT '' CHECK (cause IN ('', 'worn', 'broken', 'other'));
ALTER TABLE kit_line ADD COLUMN known_mass INTEGER CHECK (known_mass > 0);
ALTER TABLE kit_line ADD COLUMN known_temp INTEGER;
ALTER TABLE kit_line ADD COLUMN energy INTEGER CHECK (energy > 0);
ALTER TABLE kit_line ADD COLUMN known_energy INTEGER CHECK (known_energy > 0);
CREATE INDEX kit_line_cracked ON kit_line (kit_id) WHERE cracked = 1;

-- From how many percent more than new (in parts per million) an element set is
-- due; NULL is the shop's usual one.
ALTER TABLE kit ADD COLUMN ohms_limit INTEGER CHECK (ohms_limit BETWEEN 10000 AND 2000000);
-- How a furnace's power is switched: at full power whenever it is on, or by a
-- controller.
ALTER TABLE kit ADD COLUMN switching TEXT CHECK (switching IN ('full', 'controlled'));
-- The walls of a furnace: their brick, and how large it is inside; their
-- thickness is in the column wall.
ALTER TABLE kit ADD COLUMN brick TEXT;
ALTER TABLE kit ADD COLUMN inner_wide INTEGER CHECK (inner_wide > 0);
ALTER TABLE kit ADD COLUMN inner_deep INTEGER CHECK (inner_deep > 0);
ALTER TABLE kit ADD COLUMN inner_high INTEGER CHECK (inner_high > 0);

-- After how many heats or days a kind of kit is due for a look; the last row of
-- a kind holds, and one with neither takes it off the list.
CREATE TABLE due_rule (
    id        INTEGER PRIMARY KEY,
    kind      TEXT    NOT NULL CHECK (kind IN ('furnace', 'crucible', 'element', 'scale', 'probe')),
    heats     INTEGER CHECK (heats > 0),
    days      INTEGER CHECK (days > 0),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id)
) STRICT;

-- The private address of a person's calendar of what is due; the token itself
-- is not kept. The last row of a person holds.
CREATE TABLE calendar (
    id        INTEGER PRIMARY KEY,
    person_id INTEGER NOT NULL REFERENCES person (id),
    token     BLOB    NOT NULL UNIQUE,
    at        INTEGER NOT NULL,
    ended     INTEGER NOT NULL DEFAULT 0 CHECK (ended IN (0, 1))
) STRICT;
CREATE INDEX calendar_person ON calendar (person_id, id);

-- How people closed the alarms of a furnace, by the melt that raised them; the
-- last row of a melt holds, and an empty one opens it again.
CREATE TABLE alarm_close (
    id         INTEGER PRIMARY KEY,
    key        TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    furnace_id INTEGER NOT NULL REFERENCES kit (id),
    melt_id    INTEGER NOT NULL REFERENCES melt (id),
    how        TEXT    NOT NULL CHECK (how IN ('', 'real_change', 'one_off')),
    note       TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000),
    at         INTEGER NOT NULL,
    person_id  INTEGER NOT NULL REFERENCES person (id)
) STRICT;
CREATE INDEX alarm_close_furnace ON alarm_close (furnace_id, id);
