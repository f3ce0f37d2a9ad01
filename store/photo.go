package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"drosswise/foundry/quantity"
)

// PhotoOf names what a photo is of: one of the three.
type PhotoOf struct {
	Line    int64 // of a melt
	KitLine int64
	Lot     int64
}

// Photo is what is known of a photo without opening it.
type Photo struct {
	ID            int64
	Key           string // made by the phone; the same key is stored once
	Of            PhotoOf
	At            quantity.Moment // when it was taken
	Noted         quantity.Moment // when it came in
	By            int64
	Note          string
	Width, Height int // pixels
	Strike        *PhotoStrike
}

// Stands reports whether the photo is not struck.
func (p Photo) Stands() bool { return p.Strike == nil }

// PhotoStrike says who struck a photo, when and why.
type PhotoStrike struct {
	At     quantity.Moment
	By     int64
	Reason string
}

// Pictures are the two JPEGs of a photo.
type Pictures struct{ Full, Thumb []byte }

const photos = `SELECT p.id, p.key, coalesce(p.line_id, 0), coalesce(p.kit_line_id, 0), coalesce(p.lot_id, 0), p.at, p.noted_at, p.person_id, p.note,
	p.width, p.height, k.at, k.person_id, k.reason
	FROM photo p LEFT JOIN photo_strike k ON k.id = (SELECT max(id) FROM photo_strike WHERE photo_id = p.id) AND k.struck = 1`

func scanPhoto(rows *sql.Rows) (p Photo, err error) {
	var strike struckBy
	err = rows.Scan(&p.ID, &p.Key, &p.Of.Line, &p.Of.KitLine, &p.Of.Lot, &p.At, &p.Noted, &p.By, &p.Note, &p.Width, &p.Height,
		&strike.at, &strike.by, &strike.reason)
	if strike.at != nil {
		p.Strike = &PhotoStrike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String}
	}
	return p, err
}

// MeltPhotos lists the photos of a melt's lines in the order in which they were
// taken, struck ones too.
func (s *Store) MeltPhotos(ctx context.Context, meltID int64) ([]Photo, error) {
	return s.photos(ctx, "p.line_id IN (SELECT id FROM line WHERE melt_id = ?)", meltID)
}

// KitPhotos lists those of a piece of kit.
func (s *Store) KitPhotos(ctx context.Context, kitID int64) ([]Photo, error) {
	return s.photos(ctx, "p.kit_line_id IN (SELECT id FROM kit_line WHERE kit_id = ?)", kitID)
}

// LotPhotos lists those of the deliveries of a source.
func (s *Store) LotPhotos(ctx context.Context, sourceID int64) ([]Photo, error) {
	return s.photos(ctx, "p.lot_id IN (SELECT id FROM lot WHERE source_id = ?)", sourceID)
}

func (s *Store) photos(ctx context.Context, where string, id int64) ([]Photo, error) {
	all, err := collect(ctx, s.read, scanPhoto, photos+" WHERE "+where+" ORDER BY p.at, p.id", id)
	if err != nil {
		return nil, fmt.Errorf("photos: %w", err)
	}
	return all, nil
}

// Photo reads what is known of one photo.
func (s *Store) Photo(ctx context.Context, id int64) (Photo, error) {
	all, err := s.photos(ctx, "p.id = ?", id)
	if err == nil && len(all) == 0 {
		err = fmt.Errorf("photo %d: %w", id, ErrNotFound)
	}
	if err != nil {
		return Photo{}, err
	}
	return all[0], nil
}

// Picture reads one of a photo's two JPEGs.
func (s *Store) Picture(ctx context.Context, id int64, thumb bool) (jpeg []byte, err error) {
	query := "SELECT body FROM photo WHERE id = ?"
	if thumb {
		query = "SELECT thumb FROM photo WHERE id = ?"
	}
	err = s.read.QueryRowContext(ctx, query, id).Scan(&jpeg)
	return jpeg, found("picture", err)
}

// AddPhoto stores a photo with its pictures; what it is of must be there. The
// same key for the same photo stores it once, for another, or of something else, it
// is ErrKeyUsed.
func (s *Store) AddPhoto(ctx context.Context, by int64, p Photo, pictures Pictures) error {
	return s.change(ctx, by, func(t *tx) error {
		var had PhotoOf
		var same bool
		err := t.QueryRowContext(ctx, "SELECT coalesce(line_id, 0), coalesce(kit_line_id, 0), coalesce(lot_id, 0), note = ? AND body = ? FROM photo WHERE key = ?", p.Note, pictures.Full, p.Key).
			Scan(&had.Line, &had.KitLine, &had.Lot, &same)
		switch {
		case err == nil:
			return alike("photo", same && had == p.Of, true)
		case !errors.Is(err, sql.ErrNoRows):
			return fmt.Errorf("add photo: %w", err)
		}
		_, err = t.ExecContext(ctx, `
			INSERT INTO photo (key, line_id, kit_line_id, lot_id, at, noted_at, person_id, note, width, height, thumb, body)
			VALUES (?,?,?,?,?,?,?,?,?,?,?,?)`,
			p.Key, orNull(p.Of.Line), orNull(p.Of.KitLine), orNull(p.Of.Lot), p.At, t.now, by, p.Note, p.Width, p.Height, pictures.Thumb, pictures.Full)
		if err != nil {
			return fmt.Errorf("add photo: %w", err)
		}
		t.pictured = true
		return nil
	})
}

// StrikePhoto strikes a photo, or puts it back; the same key does it once.
func (s *Store) StrikePhoto(ctx context.Context, by, id int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		all, err := collect(ctx, t, scanPhoto, photos+" WHERE p.id = ?", id)
		switch {
		case err != nil:
			return fmt.Errorf("photo: %w", err)
		case len(all) == 0:
			return fmt.Errorf("photo %d: %w", id, ErrNotFound)
		case all[0].Stands() != m.Struck:
			return quiet(t.marked(ctx, "photo_strike", "photo_id", id, m))
		}
		t.pictured = true
		return quiet(t.markIn(ctx, "photo_strike", "photo_id", id, m))
	})
}
