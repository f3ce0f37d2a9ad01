package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"drosswise/store"
	"drosswise/views"
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
	if errors.Is(err, store.ErrNoRoom) {
		return fmt.Errorf("there is no room for the backup beside %s: it needs about %s. Make room, or take another disk. What was there before is untouched", *to, views.Bytes(shopBytes(*data)))
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Backed up to %s (%s), read back and found whole.\n", *to, views.Bytes(fileBytes(*to)))
	return nil
}

// shopBytes is how large the database of a folder is, with its log.
func shopBytes(data string) int64 {
	path := filepath.Join(data, store.FileName)
	return fileBytes(path) + fileBytes(path+"-wal")
}

// restore puts a backup in the place of a shop, or only looks whether it could.
func restore(ctx context.Context, c console, args []string) error {
	flags := c.flags("restore", "put a backup into the folder of the data. The shop must not be running.\nAll of the backup is read first; one that is cut short, damaged or of a newer version\nis refused, and what is there stays. Everybody has to sign in again afterwards.")
	data := flags.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	from := flags.String("from", "", "the backup")
	check := flags.Bool("check", false, "only read the backup and say what it holds; a running shop does not matter")
	replace := flags.Bool("replace", false, "put it in the place of the shop that is there, which is kept beside it")
	if err := parse(flags, args); err != nil {
		return err
	}
	if *from == "" {
		return fmt.Errorf("%w: -from says which backup", errUsage)
	}
	if *check && *replace {
		return fmt.Errorf("%w: -check changes nothing, so leave -replace out", errUsage)
	}
	held, err := store.Inspect(ctx, *from)
	if err != nil {
		return refusedBackup(err, *from, *data)
	}
	fmt.Fprintln(c.out, heldSay(held, *from))
	if *check {
		return nil
	}
	kept, err := store.Restore(ctx, *from, *data, *replace, time.Now())
	if err != nil {
		return refusedBackup(err, *from, *data)
	}
	fmt.Fprintf(c.out, "Restored into %s. Everybody has to sign in again.\n", *data)
	if kept != "" {
		fmt.Fprintf(c.out, "What was there before is kept as %s\n", kept)
	}
	return nil
}

// heldSay tells what a backup holds, for a person to know it again.
func heldSay(h store.Held, from string) string {
	text := fmt.Sprintf("%s is whole (%s): %s, with %d melts, %d lines and %d photos.", from, views.Bytes(h.Bytes), cmp.Or(h.Shop, "a shop without a name"), h.Melts, h.Lines, h.Photos)
	if h.Last != nil {
		text += " The last line was written on " + h.Last.Time().UTC().Format("2 Jan 2006 15:04 MST") + "."
	}
	return text
}

// refusedBackup says why a backup was not put in place and what to do.
func refusedBackup(err error, from, data string) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file %s. Nothing was changed", from)
	case errors.Is(err, store.ErrOccupied):
		return fmt.Errorf("there is a shop in %s. With -replace the backup takes its place, and the old one is kept beside it", data)
	case errors.Is(err, store.ErrInUse):
		return fmt.Errorf("the shop in %s is running. Stop it first", data)
	case errors.Is(err, store.ErrLive):
		return fmt.Errorf("%s is a shop in use, or its file copied without the log beside it, and lacks what was saved last. Nothing was changed. Make a copy of that shop with drosswise backup (%w)", from, err)
	case errors.Is(err, store.ErrNotBackup):
		return fmt.Errorf("%s is no backup of a shop. Nothing was changed. Look whether it is the right file (%w)", from, err)
	case errors.Is(err, store.ErrDamaged):
		return fmt.Errorf("%s is cut short or damaged. Nothing was changed. Copy it again from where it was made, or take an older one (%w)", from, err)
	case errors.Is(err, store.ErrNewer):
		return fmt.Errorf("%s was made by a newer version of Drosswise. Nothing was changed. Restore it with that version (%w)", from, err)
	case errors.Is(err, store.ErrNoRoom):
		return fmt.Errorf("there is no room in %s for the backup: it needs about %s. Make room and try again. What was there before is untouched", data, views.Bytes(fileBytes(from)))
	}
	return err
}

// fileBytes is how large a file is, 0 when that cannot be told.
func fileBytes(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}
