package store

import (
	"fmt"
	"slices"
)

// values reads a row's cells. A row that is held cannot be checked, because of
// the table of that name.
func (c *cargo) values(table cargoTable, row int, cells []string) (values []any, faults []CargoFault, held string) {
	values = make([]any, len(cells), len(cells)+1)
	wrong := func(col cargoColumn, cell, sentence string) {
		faults = append(faults, CargoFault{File: table.name + ".csv", Row: row, Column: col.heading(), Cell: cell, Sentence: sentence})
	}
	for i, col := range table.columns {
		v, fault := col.value(cells[i])
		switch {
		case fault != "" || v == nil:
		case col.form.refers != "":
			var cause string
			if fault, cause = c.refer(table, col, v.(int64)); cause != "" {
				held = cause
			}
		case col.form.kind == cargoMoment && !col.form.ahead && v.(int64) > int64(c.now+clockSlack):
			fault = "That is still to come: it is " + string(appendMoment(nil, int64(c.now))) + " now. Put in when it was, or set this machine's clock right."
		case col.form.kind == cargoPicture:
			v, fault = c.picture(col.name, cells[i])
		}
		if fault != "" {
			wrong(col, cells[i], fault)
		}
		values[i] = v
	}
	if table.numbered() {
		ids := c.ids[table.name]
		id, ok := values[0].(int64)
		before := c.last[table.name]
		switch {
		case ok && (id <= before || id <= 0):
			wrong(table.columns[0], cells[0], fmt.Sprintf("Numbers start at 1 and grow from row to row, each once, and the one above it is %d. Put the rows in their order.", before))
		case ok && len(ids) > 0 && id <= ids[len(ids)-1]:
			held = table.name // only one above it is out of order
		case ok:
			c.ids[table.name], c.rows[table.name] = append(ids, id), append(c.rows[table.name], int32(row))
		}
		if len(c.ids[table.name]) == len(ids) {
			values[0] = nil
			c.unread[table.name] = true
		}
		if ok {
			c.last[table.name] = id
		}
	}
	if look := looks[table.name]; look != nil && faults == nil && held == "" {
		look(c, cargoRow{table, values, func(name, sentence string) {
			for i, col := range table.columns {
				if col.name == name {
					wrong(col, cells[i], sentence)
				}
			}
		}})
	}
	if table.name == "person" {
		values = append(values, "") // no password: nobody can sign in by it
	}
	return values, faults, held
}

// refer looks at a reference to another row. It cannot be checked where that
// row, or the table it may stand in, was not read; of the same table the database
// tells.
func (c *cargo) refer(table cargoTable, col cargoColumn, id int64) (fault, held string) {
	to := col.form.refers
	switch {
	case !c.has(to, id) && c.unread[to]:
		return "", to
	case to != table.name && c.out[to][id] != "":
		return "", c.out[to][id]
	case !c.has(to, id):
		return "There is no such row in " + to + ".csv. Put in the id of one that stands there, or above where it is this file.", ""
	}
	if it := c.kit[id]; col.form.of != "" && it.Kind != col.form.of {
		return fmt.Sprintf("Number %d in kit.csv is %s. Put in %s.", id, kindNamed(it.Kind), col.form.says), ""
	}
	return "", ""
}

// has reports whether a table has a row of that id.
func (c *cargo) has(table string, id int64) bool {
	_, ok := slices.BinarySearch(c.ids[table], id)
	return ok
}
