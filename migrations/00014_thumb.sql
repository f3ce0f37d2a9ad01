-- +goose Up
-- How a person logs on the phone: with which thumb, and whether digits are
-- typed on the pages' own pad or on the phone's keyboard.
ALTER TABLE person ADD COLUMN hand TEXT NOT NULL DEFAULT 'right' CHECK (hand IN ('right', 'left'));
ALTER TABLE person ADD COLUMN pad INTEGER NOT NULL DEFAULT 1 CHECK (pad IN (0, 1));
