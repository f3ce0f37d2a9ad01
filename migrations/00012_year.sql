-- +goose Up
-- What a melt cost in cash, in minor units; NULL where something is lacking.
ALTER TABLE figure ADD COLUMN cash INTEGER;

-- What the melts of a month cost together, those of which cost and metal are
-- both known; month as in tally.
CREATE TABLE cash_month (
    month     INTEGER PRIMARY KEY,
    melts     INTEGER NOT NULL,
    cash      INTEGER NOT NULL,
    recovered INTEGER NOT NULL
) STRICT;

-- How many heats crucibles and element sets went through in a month.
CREATE TABLE kit_month (
    kit_id INTEGER NOT NULL REFERENCES kit (id),
    month  INTEGER NOT NULL,
    heats  INTEGER NOT NULL,
    PRIMARY KEY (month, kit_id)
) STRICT, WITHOUT ROWID;
