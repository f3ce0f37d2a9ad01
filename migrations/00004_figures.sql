-- +goose Up
-- Everything here is computed from the ledger, kept in the same transaction as
-- the line that changed it, and can be made again at any time.
CREATE TABLE figure (
    melt_id     INTEGER PRIMARY KEY REFERENCES melt (id),
    state       TEXT    NOT NULL CHECK (state IN ('running', 'closed', 'void')),
    started_at  INTEGER NOT NULL,
    month       INTEGER NOT NULL,
    furnace_id  INTEGER NOT NULL REFERENCES kit (id),
    crucible_id INTEGER REFERENCES kit (id),
    element_id  INTEGER REFERENCES kit (id),
    heats       INTEGER NOT NULL CHECK (heats IN (0, 1)),
    charged     INTEGER NOT NULL,
    net         INTEGER NOT NULL,
    recovered   INTEGER,
    yield       REAL,
    yield_u     REAL,
    energy      INTEGER,
    hot         INTEGER NOT NULL,
    heel_left   INTEGER,
    words       TEXT    NOT NULL,
    used        TEXT    NOT NULL CHECK (json_valid(used)),
    body        TEXT    NOT NULL CHECK (json_valid(body))
) STRICT;
CREATE INDEX figure_state ON figure (state, started_at);
CREATE INDEX figure_time ON figure (started_at, melt_id);
CREATE INDEX figure_furnace ON figure (furnace_id, started_at, melt_id);
CREATE INDEX figure_crucible ON figure (crucible_id, started_at, melt_id);
CREATE INDEX figure_element ON figure (element_id, started_at, melt_id);

CREATE TABLE figure_source (
    melt_id    INTEGER NOT NULL REFERENCES melt (id),
    source_id  INTEGER NOT NULL REFERENCES source (id),
    charged    INTEGER NOT NULL,
    furnace_id INTEGER NOT NULL REFERENCES kit (id),
    started_at INTEGER NOT NULL,
    PRIMARY KEY (melt_id, source_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX figure_source_time ON figure_source (source_id, started_at, melt_id);
CREATE INDEX figure_source_furnace ON figure_source (source_id, furnace_id, started_at, melt_id);

-- What each melt took out of each delivery.
CREATE TABLE figure_lot (
    melt_id INTEGER NOT NULL REFERENCES melt (id),
    lot_id  INTEGER NOT NULL REFERENCES lot (id),
    charged INTEGER NOT NULL,
    PRIMARY KEY (melt_id, lot_id)
) STRICT, WITHOUT ROWID;

-- What melts took out of each delivery in all.
CREATE TABLE lot_sum (
    lot_id  INTEGER PRIMARY KEY REFERENCES lot (id),
    charged INTEGER NOT NULL
) STRICT;

-- Sums for running totals, by month (year · 12 + month − 1), furnace and
-- source; source 0 is every melt once.
CREATE TABLE tally (
    source_id      INTEGER NOT NULL,
    furnace_id     INTEGER NOT NULL,
    month          INTEGER NOT NULL,
    melts          INTEGER NOT NULL,
    charged        INTEGER NOT NULL,
    of_source      INTEGER NOT NULL,
    yield_charged  INTEGER NOT NULL,
    recovered      INTEGER NOT NULL,
    energy_charged INTEGER NOT NULL,
    energy         INTEGER NOT NULL,
    PRIMARY KEY (source_id, furnace_id, month)
) STRICT, WITHOUT ROWID;

-- What came of each source in all, and of the melts in which nothing else was
-- charged: only those tell what the source itself gives.
CREATE TABLE source_sum (
    source_id       INTEGER PRIMARY KEY REFERENCES source (id),
    melts           INTEGER NOT NULL,
    charged         INTEGER NOT NULL,
    alone_melts     INTEGER NOT NULL,
    alone_charged   INTEGER NOT NULL,
    alone_recovered INTEGER NOT NULL,
    alone_spread    INTEGER NOT NULL
) STRICT;

-- What each piece of kit has been through.
CREATE TABLE wear (
    kit_id  INTEGER PRIMARY KEY REFERENCES kit (id),
    heats   INTEGER NOT NULL,
    charged INTEGER NOT NULL,
    hot     INTEGER NOT NULL,
    energy  INTEGER NOT NULL
) STRICT;

-- The row's number is the melt's rank in lists by time, so that what a search
-- finds comes in that order; tags stand for the source and furnace of filters.
-- Words are looked up by their beginnings; without an index of those a search
-- would first gather every melt that holds the word.
CREATE VIRTUAL TABLE melt_words USING fts5 (words, tags, content = '', contentless_delete = 1, tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3 4 5 6 7');
