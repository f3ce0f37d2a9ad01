package store

import (
	"archive/zip"
	"context"
	"database/sql"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// columnsFile is the file of a shop's folder that says what its columns mean.
const columnsFile = "columns.txt"

// ExportShop writes the whole shop as a folder of CSV in a zip: every table in
// which people wrote, struck lines too, and the photos, as one moment had
// them. Passwords and what else lets somebody in stay behind, and so do the
// figures, which ImportShop makes again. The same shop gives the same bytes.
func (s *Store) ExportShop(ctx context.Context, to io.Writer) error {
	t, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	defer t.Rollback()
	z := zip.NewWriter(to)
	if err := exportText(z, columnsFile, Columns()); err != nil {
		return err
	}
	for _, table := range cargoTables {
		if err := exportTable(ctx, t, z, table); err != nil {
			return fmt.Errorf("export %s: %w", table.name, err)
		}
	}
	if err := exportPhotos(ctx, t, z); err != nil {
		return fmt.Errorf("export photos: %w", err)
	}
	return z.Close()
}

// Columns says what the files of an exported shop hold, column by column.
func Columns() string {
	var b strings.Builder
	b.WriteString("A shop as a folder. Each table is a CSV file (RFC 4180, UTF-8, commas, decimal points).\n" +
		"Text that a spreadsheet program might take for a formula, or that begins with an apostrophe, has an\n" +
		"apostrophe before it. An empty cell means that nothing was said, where the column may be empty;\n" +
		"an apostrophe alone is then a text without letters.\n")
	for _, t := range cargoTables {
		fmt.Fprintf(&b, "\n%s.csv\n%s\n", t.name, t.means)
		for _, c := range t.columns {
			says := c.form.says
			if c.maybe {
				says += ", may be empty"
			}
			fmt.Fprintf(&b, "  %-20s %s (%s)\n", c.heading(), c.means, says)
		}
	}
	return b.String()
}

// entry begins a file of the zip. It has no time, so that the same shop gives
// the same bytes.
func entry(z *zip.Writer, name string, method uint16) (io.Writer, error) {
	return z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
}

func exportText(z *zip.Writer, name, text string) error {
	w, err := entry(z, name, zip.Deflate)
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, text)
	return err
}

// query reads the table's columns, pictures as their names, in the order of
// its keys.
func (c cargoTable) query() string {
	names := make([]string, len(c.columns))
	for i, col := range c.columns {
		names[i] = col.name
		if col.form.kind == cargoPicture {
			names[i] = "NULL"
		}
	}
	return "SELECT " + strings.Join(names, ", ") + " FROM " + c.name + " ORDER BY " + strings.Join(c.keyed, ", ")
}

func exportTable(ctx context.Context, t *sql.Tx, z *zip.Writer, table cargoTable) error {
	entry, err := entry(z, table.name+".csv", zip.Deflate)
	if err != nil {
		return err
	}
	w := csv.NewWriter(entry)
	w.UseCRLF = true
	record := make([]string, len(table.columns))
	for i, c := range table.columns {
		record[i] = c.heading()
	}
	if err := w.Write(record); err != nil {
		return err
	}
	rows, err := t.QueryContext(ctx, table.query())
	if err != nil {
		return err
	}
	defer rows.Close()
	cells, to := make([]any, len(table.columns)), make([]any, len(table.columns))
	for i := range cells {
		to[i] = &cells[i]
	}
	var cell []byte
	for rows.Next() {
		if err := rows.Scan(to...); err != nil {
			return err
		}
		for i, c := range table.columns {
			if c.form.kind == cargoPicture {
				record[i] = pictureName(cells[0].(int64), c.name)
				continue
			}
			if cell, err = c.appendCell(cell[:0], cells[i]); err != nil {
				return err
			}
			record[i] = string(cell)
		}
		if err := w.Write(record); err != nil {
			return err
		}
	}
	w.Flush()
	return errors.Join(rows.Err(), w.Error())
}

// pictureName is where a photo of the folder is.
func pictureName(id int64, column string) string {
	if column == "thumb" {
		return fmt.Sprintf("photos/%d-small.jpg", id)
	}
	return fmt.Sprintf("photos/%d.jpg", id)
}

func exportPhotos(ctx context.Context, t *sql.Tx, z *zip.Writer) error {
	rows, err := t.QueryContext(ctx, "SELECT id, thumb, body FROM photo ORDER BY id")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var thumb, body sql.RawBytes
		if err := rows.Scan(&id, &thumb, &body); err != nil {
			return err
		}
		if err := errors.Join(exportPicture(z, id, "thumb", thumb), exportPicture(z, id, "body", body)); err != nil {
			return err
		}
	}
	return rows.Err()
}

// exportPicture writes a picture as it is: a JPEG gets no smaller.
func exportPicture(z *zip.Writer, id int64, column string, picture []byte) error {
	w, err := entry(z, pictureName(id, column), zip.Store)
	if err != nil {
		return err
	}
	_, err = w.Write(picture)
	return err
}
