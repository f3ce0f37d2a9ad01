package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"drosswise/store"
)

// needShop keeps a command from making an empty shop in a folder that was
// mistyped.
func needShop(data string) error {
	_, err := os.Stat(filepath.Join(data, store.FileName))
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no shop in %s. Say with -data where it is", data)
	}
	return err
}

// backup copies the whole shop to one file.
func backup(ctx context.Context, c console, args []string) error {
	flags := c.flags("backup", "copy the whole shop to one file, while it is in use or not.\nThe copy is checked, and a file that is there is never overwritten.")
	data := flags.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	to := flags.String("to", "", "file to make, such as shop-2026-11-03.db")
	if err := parse(flags, args); err != nil {
		return err
	}
	if *to == "" {
		return fmt.Errorf("%w: -to says which file to make", errUsage)
	}
	if err := needShop(*data); err != nil {
		return err
	}
	err := store.Backup(ctx, *data, *to)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already and is not overwritten. Give the backup another name", *to)
	}
	if err != nil {
		return err
	}
	info, err := os.Stat(*to)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Backed up to %s (%.1f MB), read back and found whole.\n", *to, float64(info.Size())/1e6)
	return nil
}

// restore puts a backup in the place of a shop.
func restore(ctx context.Context, c console, args []string) error {
	flags := c.flags("restore", "put a backup into the folder of the data. The shop must not be running.\nEverybody has to sign in again afterwards.")
	data := flags.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	from := flags.String("from", "", "the backup")
	replace := flags.Bool("replace", false, "put it in the place of the shop that is there, which is kept beside it")
	if err := parse(flags, args); err != nil {
		return err
	}
	if *from == "" {
		return fmt.Errorf("%w: -from says which backup", errUsage)
	}
	kept, err := store.Restore(ctx, *from, *data, *replace, time.Now())
	switch {
	case errors.Is(err, store.ErrOccupied):
		return fmt.Errorf("there is a shop in %s. With -replace the backup takes its place, and the old one is kept beside it", *data)
	case errors.Is(err, store.ErrInUse):
		return fmt.Errorf("the shop in %s is running. Stop it first", *data)
	case errors.Is(err, store.ErrNotBackup):
		return fmt.Errorf("%s is not a whole backup of a shop, so nothing was changed (%w)", *from, err)
	case errors.Is(err, store.ErrNewer):
		return fmt.Errorf("%s was made by a newer version of Drosswise. Restore it with that version (%w)", *from, err)
	case err != nil:
		return err
	}
	fmt.Fprintf(c.out, "Restored from %s. Everybody has to sign in again.\n", *from)
	if kept != "" {
		fmt.Fprintf(c.out, "What was there before is kept as %s\n", kept)
	}
	return nil
}
