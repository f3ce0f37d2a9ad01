package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"drosswise/foundry/quantity"
)

// ImportedShop is what came in with a shop.
type ImportedShop struct {
	People, Melts, Lines, Photos int
}

// ImportShop takes a shop in that ExportShop has written, into a folder that has none
// yet, or one in which nobody has an account. All of it is looked at before
// any of it counts: what is wrong comes back as *CargoFaults, and then, as
// after an interruption, the folder is as it was. With dry, it only looks.
func ImportShop(ctx context.Context, from io.ReaderAt, size int64, dir string, dry bool, clock func() time.Time) (in ImportedShop, err error) {
	place := filepath.Join(dir, FileName)
	if err := unpeopled(ctx, place); err != nil {
		return in, err
	}
	making, leave, err := makingRoom(ctx, dir)
	if err != nil {
		return in, err
	}
	defer func() { err = errors.Join(err, leave()) }()
	if in, err = importInto(ctx, from, size, making, clock); err != nil || dry {
		return in, err
	}
	made := filepath.Join(making, FileName)
	if err := oneFile(ctx, made); err != nil {
		return in, err
	}
	if err := syncFile(made); err != nil {
		return in, fmt.Errorf("sync the shop: %w", err)
	}
	kept, err := asideOf(place, clock())
	if err != nil {
		return in, err
	}
	if err := swap(made, place, kept); err != nil {
		return in, fmt.Errorf("put the shop in place: %w", err)
	}
	return in, syncFile(dir)
}

// unpeopled makes sure that a place has no shop that anybody uses.
func unpeopled(ctx context.Context, place string) error {
	if _, err := os.Stat(place); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err := unused(ctx, place); err != nil {
		return err
	}
	db, err := openAlone(place)
	if err != nil {
		return err
	}
	defer db.Close()
	var people int
	switch err := db.QueryRowContext(ctx, "SELECT count(*) FROM person").Scan(&people); {
	case err != nil:
		return fmt.Errorf("%s: %w", place, errors.Join(ErrOccupied, err))
	case people > 0:
		return fmt.Errorf("%s: %w", place, ErrOccupied)
	}
	return nil
}

// importInto makes a shop in an empty folder.
func importInto(ctx context.Context, from io.ReaderAt, size int64, dir string, clock func() time.Time) (in ImportedShop, err error) {
	c, err := openCargo(from, size, quantity.At(clock()))
	if err != nil {
		return in, err
	}
	s, err := Open(ctx, dir, clock)
	if err != nil {
		return in, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	// Nothing of this file counts before it is synced and in place.
	for _, pragma := range []string{"synchronous = OFF", "cache_size = -65536", "wal_autocheckpoint = 0", "journal_mode = MEMORY"} {
		if _, err := s.write.ExecContext(ctx, "PRAGMA "+pragma); err != nil {
			return in, fmt.Errorf("make ready: %w", err)
		}
	}
	return in, s.change(ctx, 0, func(t *tx) error {
		for _, empty := range []string{"DELETE FROM shop", "DELETE FROM due_rule"} {
			if _, err := t.ExecContext(ctx, empty); err != nil {
				return fmt.Errorf("make ready: %w", err)
			}
		}
		for _, table := range cargoTables {
			n, err := c.table(ctx, t, table)
			if err != nil {
				return fmt.Errorf("import %s: %w", table.name, err)
			}
			switch table.name {
			case "person":
				in.People = n
			case "melt":
				in.Melts = n
			case "line":
				in.Lines = n
			case "photo":
				in.Photos = n
			}
		}
		c.leftOver()
		return c.settle(ctx, t)
	})
}
