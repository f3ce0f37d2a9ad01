-- +goose Up
-- What loggers and plug meters read during a melt. A series is one quantity by
-- one sensor in one melt. How many readings it has is kept with it, so that
-- what is drawn of them is known to be old without reading them.
CREATE TABLE series (
    id        INTEGER PRIMARY KEY,
    melt_id   INTEGER NOT NULL REFERENCES melt (id),
    channel   TEXT    NOT NULL CHECK (channel IN ('temperature', 'power', 'energy', 'voltage', 'current')),
    name      TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    samples   INTEGER NOT NULL DEFAULT 0 CHECK (samples >= 0),
    shift     INTEGER NOT NULL DEFAULT 0, -- ms by which the times were last moved, for a clock that was off
    noted_at  INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    UNIQUE (melt_id, channel, name)
) STRICT;

-- The readings lie in the order of their times, so that a series is read
-- straight through. A value is in hundredths of a degree Celsius, milliwatts,
-- joules, millivolts or milliamperes, as the channel of its series has it.
CREATE TABLE reading (
    series_id INTEGER NOT NULL REFERENCES series (id),
    at        INTEGER NOT NULL,
    value     INTEGER NOT NULL,
    PRIMARY KEY (series_id, at)
) STRICT, WITHOUT ROWID;

-- When a batch came first whose times hang on that, by the key it came with: a
-- repetition is laid on the same times.
CREATE TABLE sending (
    key     TEXT    PRIMARY KEY CHECK (length(key) BETWEEN 8 AND 64),
    melt_id INTEGER NOT NULL REFERENCES melt (id),
    at      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Strokes through series, and the lifting of them; the last one holds.
CREATE TABLE series_strike (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    series_id INTEGER NOT NULL REFERENCES series (id),
    struck    INTEGER NOT NULL CHECK (struck IN (0, 1)),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    reason    TEXT    NOT NULL DEFAULT '' CHECK (length(reason) <= 2000)
) STRICT;
CREATE INDEX series_strike_series ON series_strike (series_id, id);

-- What the page of a melt shows of its readings, as JSON. It follows from them
-- and is made anew whenever version is another.
CREATE TABLE melt_curve (
    melt_id INTEGER PRIMARY KEY REFERENCES melt (id),
    version TEXT    NOT NULL,
    body    BLOB    NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER reading_stays BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'a reading is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER reading_is_kept BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'a reading is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER series_is_kept BEFORE DELETE ON series BEGIN SELECT RAISE(ABORT, 'a series is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER series_strike_stays BEFORE UPDATE ON series_strike BEGIN SELECT RAISE(ABORT, 'a strike is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER series_strike_is_kept BEFORE DELETE ON series_strike BEGIN SELECT RAISE(ABORT, 'a strike is never deleted'); END;
-- +goose StatementEnd
