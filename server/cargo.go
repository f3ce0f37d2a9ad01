package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"time"

	"drosswise/store"
)

// export writes the whole shop as a folder of CSV.
func export(ctx context.Context, c console, args []string) error {
	flags := c.flags("export", "write the whole shop as a folder of CSV in a zip, while it is in use or not.\nPasswords and sign-ins stay behind; a file that is there is never overwritten.")
	data := flags.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	to := flags.String("to", "", "file to make, such as shop.zip")
	if err := parse(flags, args); err != nil {
		return err
	}
	if *to == "" {
		return fmt.Errorf("%w: -to says which file to make", errUsage)
	}
	if err := needShop(*data); err != nil {
		return err
	}
	st, err := open(ctx, *data)
	if err != nil {
		return err
	}
	defer st.Close()
	file, err := os.OpenFile(*to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already and is not overwritten. Give the file another name", *to)
	}
	if err != nil {
		return err
	}
	if err := errors.Join(st.ExportShop(ctx, file), file.Sync(), file.Close()); err != nil {
		return errors.Join(err, os.Remove(*to))
	}
	info, err := os.Stat(*to)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Exported to %s (%.1f MB). columns.txt in it says what its columns mean.\n", *to, float64(info.Size())/1e6)
	return nil
}

// importShop takes an exported shop in.
func importShop(ctx context.Context, c console, args []string) error {
	flags := c.flags("import", "take an exported shop into an empty folder.\nAll of it is checked first; if anything is wrong, nothing is taken in and every fault is listed.")
	data := flags.String("data", c.or("DROSSWISE_DATA", "data"), "folder of the data; nobody may have an account in it yet")
	from := flags.String("from", "", "the exported shop, such as shop.zip")
	dry := flags.Bool("dry-run", false, "only check, take nothing in")
	faults := flags.String("faults", "", "file to write the faults to as CSV, beside listing them")
	if err := parse(flags, args); err != nil {
		return err
	}
	if *from == "" {
		return fmt.Errorf("%w: -from says which file to take in", errUsage)
	}
	file, err := os.Open(*from)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	in, err := store.ImportShop(ctx, file, info.Size(), *data, *dry, time.Now)
	var wrong *store.CargoFaults
	switch {
	case errors.As(err, &wrong):
		return errors.Join(c.list(wrong, *faults), errors.New("nothing was taken in: "+mendThem(wrong.All())))
	case errors.Is(err, store.ErrOccupied):
		return fmt.Errorf("people have accounts in %s. Name an empty folder with -data", *data)
	case errors.Is(err, store.ErrInUse):
		return fmt.Errorf("the shop in %s is in use. Stop it first", *data)
	case errors.Is(err, store.ErrNotCargo):
		return fmt.Errorf("%s is not an exported shop: it must be a zip with shop.csv in it", *from)
	case err != nil:
		return err
	}
	what := fmt.Sprintf("%d people, %d melts with %d lines, %d photos", in.People, in.Melts, in.Lines, in.Photos)
	if *dry {
		fmt.Fprintf(c.out, "Nothing is wrong with it: %s. Nothing was taken in.\n", what)
		return nil
	}
	fmt.Fprintf(c.out, "Taken in: %s.\nNobody has a password yet. Make a link for each person with: drosswise user -data %s -reset NAME\n", what, *data)
	return nil
}

// mendThem says how many faults there are and what to do.
func mendThem(n int) string {
	if n == 1 {
		return "1 fault. Mend it in the file, pack the files again and try once more"
	}
	return fmt.Sprintf("%d faults. Mend them in the files, pack them again and try once more", n)
}

// heldText says of rows of a file why they were not checked.
func heldText(h store.CargoHeld) string {
	rows := "1 row"
	if h.Rows > 1 {
		rows = fmt.Sprintf("%d rows", h.Rows)
	}
	return rows + " could not be checked, because of what is wrong in " + h.Cause + "."
}

// list says every fault, and writes them to a file when one is named.
func (c console) list(faults *store.CargoFaults, file string) error {
	for _, f := range faults.Listed {
		fmt.Fprintln(c.err, faultText(f))
	}
	if more := faults.All() - len(faults.Listed); more > 0 {
		fmt.Fprintf(c.err, "and %d more.\n", more)
	}
	for _, h := range faults.Held {
		fmt.Fprintln(c.err, h.File+": "+heldText(h))
	}
	if file == "" {
		return nil
	}
	to, err := os.Create(file)
	if err != nil {
		return err
	}
	w := csv.NewWriter(to)
	rows := [][]string{{"file", "row", "column", "cell", "fault"}}
	for _, f := range faults.Listed {
		row := ""
		if f.Row > 0 {
			row = strconv.Itoa(f.Row)
		}
		rows = append(rows, []string{f.File, row, f.Column, harmless(f.Cell), f.Sentence})
	}
	for _, h := range faults.Held {
		rows = append(rows, []string{h.File, "", "", "", heldText(h)})
	}
	return errors.Join(w.WriteAll(rows), to.Close())
}

// faultText is a fault as a line of text.
func faultText(f store.CargoFault) string {
	text := f.File
	if f.Row > 0 {
		text += fmt.Sprintf(", row %d", f.Row)
	}
	if f.Column != "" {
		text += ", column " + f.Column
	}
	if f.Cell != "" {
		text += fmt.Sprintf(", %q", f.Cell)
	}
	return text + ": " + f.Sentence
}
