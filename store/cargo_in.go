package store

import (
	"archive/zip"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
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

// cargo is a shop's folder that is being read.
type cargo struct {
	files    map[string]*zip.File
	now      quantity.Moment
	ids      map[string][]int64          // the ids of each table, in order
	rows     map[string][]int32          // which row of the file each of them is
	unread   map[string]bool             // tables not read to their end, or of which not every id is known
	out      map[string]map[int64]string // ids of rows that were not put in, and the table that this is because of
	last     map[string]int64            // the id of the row before in each table
	lost     map[string]int              // how many rows were not put in
	kit      map[int64]kit.Item
	channels map[int64]curve.Channel // of series
	tariffs  map[int64]tariff.Tariff
	faults   CargoFaults
}

func newCargo(now quantity.Moment) *cargo {
	c := &cargo{
		files: map[string]*zip.File{}, now: now, ids: map[string][]int64{}, rows: map[string][]int32{},
		unread: map[string]bool{}, out: map[string]map[int64]string{}, last: map[string]int64{}, lost: map[string]int{},
		kit: map[int64]kit.Item{}, channels: map[int64]curve.Channel{}, tariffs: map[int64]tariff.Tariff{},
	}
	for _, table := range cargoTables { // so that only the inner ones change while tables are read
		c.out[table.name] = map[int64]string{}
	}
	return c
}

// ErrNotCargo is the failure of a file that is no shop's folder.
var ErrNotCargo = errors.New("file is not an exported shop")

// openCargo looks for the files of a shop in a zip. Whoever packed it anew may
// have put a folder around them, and their computer files of its own.
func openCargo(from io.ReaderAt, size int64, now quantity.Moment) (*cargo, error) {
	z, err := zip.NewReader(from, size)
	if err != nil {
		return nil, errors.Join(ErrNotCargo, err)
	}
	c := newCargo(now)
	at := slices.IndexFunc(z.File, func(f *zip.File) bool {
		return path.Base(f.Name) == "shop.csv" && !strings.HasPrefix(f.Name, "__MACOSX/")
	})
	if at < 0 {
		return nil, fmt.Errorf("no shop.csv: %w", ErrNotCargo)
	}
	around := strings.TrimSuffix(z.File[at].Name, "shop.csv")
	for _, f := range z.File {
		name, ours := strings.CutPrefix(f.Name, around)
		if ours && !strings.HasSuffix(name, "/") && !strings.HasPrefix(path.Base(name), ".") && name != "Thumbs.db" {
			c.files[name] = f
		}
	}
	return c, nil
}

// open takes a file out of those that are left.
func (c *cargo) open(name string) (io.ReadCloser, error) {
	f := c.files[name]
	if f == nil {
		return nil, fs.ErrNotExist
	}
	delete(c.files, name)
	return f.Open()
}

// leftOver says which files would be lost. Pictures are not told while the table
// that names them is not read.
func (c *cargo) leftOver() {
	delete(c.files, columnsFile)
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		if strings.HasPrefix(name, "__MACOSX/") {
			continue
		}
		if strings.HasPrefix(name, "photos/") && c.unread["photo"] {
			continue
		}
		c.faults.add(CargoFault{File: name, Sentence: "This file belongs to no table, and would be lost. Take it out of the zip, or say in the table what it is."})
	}
}

// mostPicture is how large a picture may be: ours are far below.
const mostPicture = 8 << 20

// picture reads a photo.
func (c *cargo) picture(column, name string) ([]byte, string) {
	if !strings.HasPrefix(name, "photos/") {
		return nil, "Pictures are in the folder photos. Put in its name, such as photos/12.jpg."
	}
	r, err := c.open(name)
	if err != nil {
		return nil, "There is no such file in the zip. Put it there, or take the row out."
	}
	defer r.Close()
	body, err := io.ReadAll(io.LimitReader(r, mostPicture+1))
	if err != nil || len(body) > mostPicture {
		body = nil
	}
	return body, pictureFault(column, body)
}

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
