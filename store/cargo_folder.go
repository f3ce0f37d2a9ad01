package store

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

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
