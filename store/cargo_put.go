package store

import (
	"cmp"
	"context"
	"maps"
	"strings"

	sqlite3 "modernc.org/sqlite/lib"
)

// table reads a table's file into the database and counts its rows. What is
// wrong with it is added to the faults.
func (c *cargo) table(ctx context.Context, t *tx, table cargoTable) (n int, err error) {
	name := table.name + ".csv"
	file, err := c.open(name)
	if err != nil {
		c.unread[table.name] = true
		c.faults.add(CargoFault{File: name, Sentence: "This file is missing. Put it there, with its heading if it has no rows."})
		return 0, nil
	}
	defer file.Close()
	r, faults := newCargoReader(file, table)
	for _, fault := range faults {
		c.faults.add(CargoFault{File: name, Row: 1, Sentence: fault})
	}
	if r == nil {
		c.unread[table.name] = true
		return 0, nil
	}
	batches := make(chan cargoBatch, 4)
	stop := make(chan struct{})
	defer func() {
		close(stop)
		for range batches { // the reading ends before the file is closed
		}
	}()
	go c.read(table, r, batches, stop)
	for b := range batches {
		n += b.rows
		for _, f := range b.faults {
			c.faults.add(f)
		}
		for _, cause := range b.held {
			c.faults.hold(table.name, cause)
		}
		maps.Copy(c.out[table.name], b.out)
		c.lost[table.name] += b.rows - len(b.at)
		if err := c.put(ctx, t, table, b); err != nil {
			return n, err
		}
	}
	return n, nil
}

// cargoBatch is some rows of a table: those that can be put in, and what is
// wrong with the others.
type cargoBatch struct {
	rows   int
	at     []int // which row of the file each is
	values []any // of all rows, one after another
	faults []CargoFault
	held   []string         // for each row that cannot be checked, the table that this is because of
	out    map[int64]string // ids of the rows that are not put in, and the table that this is because of
}

// mostTogether is how many rows are put in by one statement.
const mostTogether = 20

// read reads a table's rows, while others are put in, until it is stopped.
func (c *cargo) read(table cargoTable, r *cargoReader, to chan<- cargoBatch, stop <-chan struct{}) {
	defer close(to)
	var b cargoBatch
	give := func() bool {
		select {
		case to <- b:
			b = cargoBatch{}
			return true
		case <-stop:
			return false
		}
	}
	for {
		cells, fault, end := r.next()
		if end || fault != "" {
			if fault != "" {
				c.unread[table.name] = true
				b.faults = append(b.faults, CargoFault{File: table.name + ".csv", Row: r.row, Sentence: fault})
			}
			give()
			return
		}
		b.rows++
		values, faults, held := c.values(table, r.row, cells)
		b.faults = append(b.faults, faults...)
		switch {
		case faults == nil && held == "":
			b.at, b.values = append(b.at, r.row), append(b.values, values...)
		case table.numbered() && values[0] != nil:
			if b.out == nil {
				b.out = map[int64]string{}
			}
			b.out[values[0].(int64)] = cmp.Or(held, table.name)
		}
		if faults == nil && held != "" {
			b.held = append(b.held, held)
		}
		if (b.rows == mostTogether || len(b.faults) > mostFaults) && !give() {
			return
		}
	}
}

// numbered reports whether the table's rows have a number.
func (c cargoTable) numbered() bool { return c.columns[0].name == "id" }

// put puts rows in together, or, if anything is refused, one by one, so that
// what is wrong with each is known.
func (c *cargo) put(ctx context.Context, t *tx, table cargoTable, b cargoBatch) error {
	if len(b.at) == 0 {
		return nil
	}
	if _, err := t.ExecContext(ctx, table.insert(len(b.at)), b.values...); err == nil {
		return nil
	}
	wide := len(b.values) / len(b.at)
	for i, row := range b.at {
		values := b.values[i*wide : (i+1)*wide]
		_, err := t.ExecContext(ctx, table.insert(1), values...)
		if err == nil {
			continue
		}
		code, rule := broken(err)
		if code == 0 {
			return err
		}
		cause := table.name
		if code == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY {
			cause = c.cause(table, values)
			c.faults.hold(table.name, cause)
		}
		c.lost[table.name]++
		if table.numbered() {
			c.out[table.name][values[0].(int64)] = cause
		}
		if code == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY {
			continue
		}
		about, sentence := refusedBy(code, rule, table)
		f := CargoFault{File: table.name + ".csv", Row: row, Sentence: sentence}
		if about.name != "" {
			f.Column, f.Cell = about.heading(), table.cell(about, values)
		}
		c.faults.add(f)
	}
	return nil
}

// cause is the table because of which a row that values refer to was not put in:
// that every number is one of a row has been looked at before.
func (c *cargo) cause(table cargoTable, values []any) string {
	for i, col := range table.columns {
		if id, ok := values[i].(int64); ok && col.form.refers != "" && c.out[col.form.refers][id] != "" {
			return c.out[col.form.refers][id]
		}
	}
	return table.name
}

// cell is a value of a row as it stands in the file.
func (c cargoTable) cell(of cargoColumn, values []any) string {
	for i, col := range c.columns {
		if col.name == of.name && col.form.kind != cargoPicture {
			if cell, err := col.appendCell(nil, values[i]); err == nil {
				return string(cell)
			}
		}
	}
	return ""
}

// insert is the statement that puts rows in.
func (c cargoTable) insert(rows int) string {
	names := make([]string, 0, len(c.columns)+1)
	for _, col := range c.columns {
		names = append(names, col.name)
	}
	if c.name == "person" {
		names = append(names, "password")
	}
	row := "(?" + strings.Repeat(",?", len(names)-1) + ")"
	return "INSERT INTO " + c.name + " (" + strings.Join(names, ", ") + ") VALUES " + row + strings.Repeat(","+row, rows-1)
}
