-- +goose Up
-- What a batch of readings was, as a hash, to tell the same one from another under
-- its key; NULL for batches from before.
ALTER TABLE sending ADD COLUMN content TEXT;
