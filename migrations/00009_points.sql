-- +goose Up
-- What this shop reads before power on beside the usual points, one to a line.
ALTER TABLE shop ADD COLUMN points TEXT NOT NULL DEFAULT '' CHECK (length(points) <= 2000);
