-- +goose Up
-- A photo is of one line of a melt, of one line about a piece of kit, or of one
-- delivery: a JPEG without metadata, and a small one for lists. The pictures
-- come last, so that reading the rest of a row does not read through them.
CREATE TABLE photo (
    id          INTEGER PRIMARY KEY,
    key         TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    line_id     INTEGER REFERENCES line (id),
    kit_line_id INTEGER REFERENCES kit_line (id),
    lot_id      INTEGER REFERENCES lot (id),
    at          INTEGER NOT NULL,
    noted_at    INTEGER NOT NULL,
    person_id   INTEGER NOT NULL REFERENCES person (id),
    note        TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 2000),
    width       INTEGER NOT NULL CHECK (width > 0),
    height      INTEGER NOT NULL CHECK (height > 0),
    thumb       BLOB    NOT NULL CHECK (length(thumb) > 0),
    body        BLOB    NOT NULL CHECK (length(body) > 0),
    CHECK ((line_id IS NOT NULL) + (kit_line_id IS NOT NULL) + (lot_id IS NOT NULL) = 1)
) STRICT;
CREATE INDEX photo_line ON photo (line_id) WHERE line_id IS NOT NULL;
CREATE INDEX photo_kit_line ON photo (kit_line_id) WHERE kit_line_id IS NOT NULL;
CREATE INDEX photo_lot ON photo (lot_id) WHERE lot_id IS NOT NULL;

-- Strokes through photos, and the lifting of them; the last one holds.
CREATE TABLE photo_strike (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    photo_id  INTEGER NOT NULL REFERENCES photo (id),
    struck    INTEGER NOT NULL CHECK (struck IN (0, 1)),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    reason    TEXT    NOT NULL DEFAULT '' CHECK (length(reason) <= 2000)
) STRICT;
CREATE INDEX photo_strike_photo ON photo_strike (photo_id, id);

-- +goose StatementBegin
CREATE TRIGGER photo_stays BEFORE UPDATE ON photo BEGIN SELECT RAISE(ABORT, 'a photo is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER photo_is_kept BEFORE DELETE ON photo BEGIN SELECT RAISE(ABORT, 'a photo is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER photo_strike_stays BEFORE UPDATE ON photo_strike BEGIN SELECT RAISE(ABORT, 'a strike is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER photo_strike_is_kept BEFORE DELETE ON photo_strike BEGIN SELECT RAISE(ABORT, 'a strike is never deleted'); END;
-- +goose StatementEnd
