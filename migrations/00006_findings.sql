-- +goose Up
-- How a closed melt was worked and what it took, as the findings read it;
-- computed from its lines like the figures, and made again with them.
ALTER TABLE melt_record ADD COLUMN worked TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(worked));

-- By which arithmetic the figures were made: a program that works them out
-- otherwise makes them all again when it first opens the database.
CREATE TABLE arithmetic (
    id      INTEGER PRIMARY KEY CHECK (id = 1),
    version INTEGER NOT NULL
) STRICT;
INSERT INTO arithmetic VALUES (1, 1);

-- Prices are of more than scrap and ingots, and a wrong one can be struck.
DROP TRIGGER yard_price_stays;
ALTER TABLE yard_price ADD COLUMN goods TEXT NOT NULL DEFAULT 'scrap' CHECK (goods IN ('scrap', 'ingots', 'bought', 'dross'));
UPDATE yard_price SET goods = 'ingots' WHERE source_id IS NULL;
-- +goose StatementBegin
CREATE TRIGGER yard_price_stays BEFORE UPDATE ON yard_price BEGIN SELECT RAISE(ABORT, 'a price is never changed'); END;
-- +goose StatementEnd

-- Strokes through prices, and the lifting of them; the last one holds.
CREATE TABLE yard_price_strike (
    id        INTEGER PRIMARY KEY,
    key       TEXT    NOT NULL UNIQUE CHECK (length(key) BETWEEN 8 AND 64),
    price_id  INTEGER NOT NULL REFERENCES yard_price (id),
    struck    INTEGER NOT NULL CHECK (struck IN (0, 1)),
    at        INTEGER NOT NULL,
    person_id INTEGER NOT NULL REFERENCES person (id),
    reason    TEXT    NOT NULL DEFAULT '' CHECK (length(reason) <= 2000)
) STRICT;
CREATE INDEX yard_price_strike_price ON yard_price_strike (price_id, id);
