-- +goose Up
-- The time of the newest reading that a melt's curves have, so that phones which
-- watch the melt hear of more. The curves are made again where they were.
DELETE FROM melt_curve;
ALTER TABLE melt_curve ADD COLUMN upto INTEGER NOT NULL DEFAULT 0;
