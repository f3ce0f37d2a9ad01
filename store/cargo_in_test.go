package store

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

// vectors writes two melts.
func (w *workshop) vectors(t testing.TB) {
	t.Helper()
	w.vector(t)
	w.pass(24 * time.Hour)
	w.vector(t)
}

// exported is a workshop's folder, by file.
func exported(t testing.TB, w *workshop) map[string]string {
	t.Helper()
	var zipped bytes.Buffer
	require.NoError(t, w.ExportShop(t.Context(), &zipped))
	z, err := zip.NewReader(bytes.NewReader(zipped.Bytes()), int64(zipped.Len()))
	require.NoError(t, err)
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		body, err := io.ReadAll(r)
		require.NoError(t, err)
		files[f.Name] = string(body)
	}
	return files
}

// packed is a folder as a zip.
func packed(t testing.TB, files map[string]string) *bytes.Reader {
	t.Helper()
	var zipped bytes.Buffer
	z := zip.NewWriter(&zipped)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		f, err := z.Create(name)
		require.NoError(t, err)
		_, err = f.Write([]byte(files[name]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return bytes.NewReader(zipped.Bytes())
}

// TestFaultsOfAFolder spoils a folder in many ways: each is told with its place
// and what to do, all of them at once, and nothing is left behind.
func TestFaultsOfAFolder(t *testing.T) {
	w := newWorkshop(t)
	w.vectors(t)
	good := exported(t, w)
	for _, one := range []struct {
		what   string
		spoil  func(files map[string]string)
		file   string
		row    int
		column string
		says   string
	}{
		{"a table that is gone", func(f map[string]string) { delete(f, "lot.csv") }, "lot.csv", 0, "", "missing"},
		{"a file that belongs nowhere", func(f map[string]string) { f["more.csv"] = "x" }, "more.csv", 0, "", "belongs to no table"},
		{"semicolons", func(f map[string]string) { f["lot.csv"] = strings.ReplaceAll(f["lot.csv"], ",", ";") }, "lot.csv", 1, "", "commas"},
		{"a column that is gone", func(f map[string]string) { change(f, "kit.csv", ",capacity_kg", ",capacity") }, "kit.csv", 1, "", "capacity_kg"},
		{"a column of their own", func(f map[string]string) { change(f, "due_rule.csv", "person_id", "person_id,mine") }, "due_rule.csv", 1, "", "mine"},
		{"a row too short", func(f map[string]string) { f["weighing.csv"] += "1,2\r\n" }, "weighing.csv", -1, "", "2 cells instead of 3"},
		{"a quote", func(f map[string]string) { f["weighing.csv"] += "1,\"2\"3,4\r\n" }, "weighing.csv", -1, "", "quote"},
		{"not UTF-8", func(f map[string]string) { change(f, "person.csv", "Bench", "B\xe4nk") }, "person.csv", 2, "", "UTF-8"},
		{"a mass with a comma", func(f map[string]string) { f["weighing.csv"] += "1,9,\"1,5\"\r\n" }, "weighing.csv", -1, "gross_kg", "decimal point"},
		{"too many digits", func(f map[string]string) { f["weighing.csv"] += "1,9,1.0000001\r\n" }, "weighing.csv", -1, "gross_kg", "at most 6"},
		{"below zero", func(f map[string]string) { f["weighing.csv"] += "1,9,-1\r\n" }, "weighing.csv", -1, "gross_kg", "kilograms, not below 0"},
		{"beyond all numbers", func(f map[string]string) { f["weighing.csv"] += "1,9,99999999999999999999\r\n" }, "weighing.csv", -1, "gross_kg", "no number"},
		{"a line that is not there", func(f map[string]string) { f["weighing.csv"] += "999,1,1\r\n" }, "weighing.csv", -1, "line_id", "no such row in line.csv"},
		{"the same twice", func(f map[string]string) { f["weighing.csv"] += "1,1,1\r\n" }, "weighing.csv", -1, "n", "Another row has the same line_id and n"},
		{"a role nobody has", func(f map[string]string) { change(f, "person.csv", "owner", "king") }, "person.csv", 2, "role", "owner, melter or reader"},
		{"no time", func(f map[string]string) { change(f, "person.csv", "1970-01-01T00:00:00Z", "yesterday") }, "person.csv", 2, "created_at", "no time"},
		{"nothing where something must be", func(f map[string]string) { change(f, "person.csv", "1970-01-01T00:00:00Z", "") }, "person.csv", 2, "created_at", "Nothing is there"},
		{"numbers out of order", func(f map[string]string) { change(f, "melt.csv", "\r\n2,", "\r\n1,") }, "melt.csv", 3, "id", "grow from row to row"},
		{"a code that is none", func(f map[string]string) { change(f, "melt.csv", "A26-001", "first") }, "melt.csv", 2, "code", "A26-001"},
	} {
		t.Run(one.what, func(t *testing.T) {
			files := maps.Clone(good)
			one.spoil(files)
			require.NotEqual(t, good, files)
			dir := t.TempDir()
			z := packed(t, files)
			_, err := ImportShop(t.Context(), z, z.Size(), dir, false, time.Now)
			var faults *CargoFaults
			require.ErrorAs(t, err, &faults)
			i := slices.IndexFunc(faults.Listed, func(f CargoFault) bool {
				return f.File == one.file && (f.Row == one.row || one.row < 0 && f.Row > 1) && f.Column == one.column && strings.Contains(f.Sentence, one.says)
			})
			assert.GreaterOrEqual(t, i, 0, "%+v", faults.Listed)
			empty(t, dir)
		})
	}

	all := maps.Clone(good)
	all["weighing.csv"] += "1,9,x\r\n1,9,y\r\n" + strings.Repeat("1,9,z\r\n", 2*mostFaults)
	change(all, "person.csv", "owner", "king")
	z := packed(t, all)
	_, err := ImportShop(t.Context(), z, z.Size(), t.TempDir(), true, time.Now)
	var faults *CargoFaults
	require.ErrorAs(t, err, &faults)
	assert.Len(t, faults.Listed, mostFaults)
	assert.Greater(t, faults.All(), 2*mostFaults, "what is not listed is counted")
}

// TestAFolderPackedAnew takes in what people's computers make of a zip.
func TestAFolderPackedAnew(t *testing.T) {
	w := newWorkshop(t)
	w.vectors(t)
	good := exported(t, w)
	anew := map[string]string{"__MACOSX/._shop.csv": "x", "my shop/.DS_Store": "x"}
	for name, body := range good {
		anew["my shop/"+name] = "\ufeff" + strings.ReplaceAll(body, "\r\n", "\n")
	}
	z := packed(t, anew)
	in, err := ImportShop(t.Context(), z, z.Size(), t.TempDir(), false, time.Now)
	require.NoError(t, err)
	assert.Equal(t, 2, in.Melts)
	assert.Equal(t, 1, in.People)
}

// TestWhatIsNoFolder refuses other files.
func TestWhatIsNoFolder(t *testing.T) {
	for _, body := range []string{"", "PK\x03\x04", "name,mass\n"} {
		dir := t.TempDir()
		_, err := ImportShop(t.Context(), strings.NewReader(body), int64(len(body)), dir, false, time.Now)
		assert.ErrorIs(t, err, ErrNotCargo)
		empty(t, dir)
	}
	z := packed(t, map[string]string{"other.csv": "x"})
	_, err := ImportShop(t.Context(), z, z.Size(), t.TempDir(), false, time.Now)
	assert.ErrorIs(t, err, ErrNotCargo)
}

// TestAnInterruptedImport leaves nothing, and what it left when it was killed
// is cleared away by the next.
func TestAnInterruptedImport(t *testing.T) {
	w := newWorkshop(t)
	w.vectors(t)
	z := packed(t, exported(t, w))
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := ImportShop(ctx, z, z.Size(), dir, false, time.Now)
	require.Error(t, err)
	empty(t, dir)

	killed := func(dir string) {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, "import-123"), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "import-123", FileName), []byte("half"), 0o600))
	}
	killed(dir)
	_, err = ImportShop(t.Context(), z, z.Size(), dir, false, time.Now)
	require.NoError(t, err)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1)
	_, err = ImportShop(t.Context(), z, z.Size(), dir, false, time.Now)
	assert.ErrorIs(t, err, ErrOccupied)

	killed(dir)
	mine := filepath.Join(dir, "import-7", "my own.txt")
	require.NoError(t, os.MkdirAll(filepath.Dir(mine), 0o700))
	require.NoError(t, os.WriteFile(mine, nil, 0o600))
	running, leave, err := makingRoom(t.Context(), dir)
	require.NoError(t, err)
	s, err := Open(t.Context(), dir, time.Now)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	assert.NoDirExists(t, filepath.Join(dir, "import-123"), "the next start clears it away")
	assert.FileExists(t, mine, "nothing that is somebody's own")
	assert.DirExists(t, running, "nor what is still being made")
	require.NoError(t, leave())
	assert.NoDirExists(t, running)
}

// TestALookLeavesNothing looks at a folder that is to go where there is none.
func TestALookLeavesNothing(t *testing.T) {
	w := newWorkshop(t)
	w.vectors(t)
	z := packed(t, exported(t, w))
	dir := t.TempDir()
	_, err := ImportShop(t.Context(), z, z.Size(), filepath.Join(dir, "a", "b"), true, w.time)
	require.NoError(t, err)
	empty(t, dir)
	_, err = ImportShop(t.Context(), strings.NewReader(""), 0, filepath.Join(dir, "a", "b"), false, w.time)
	require.ErrorIs(t, err, ErrNotCargo)
	empty(t, dir)
	_, err = ImportShop(t.Context(), z, z.Size(), filepath.Join(dir, "a", "b"), false, w.time)
	require.NoError(t, err)
	assert.FileExists(t, filepath.Join(dir, "a", "b", FileName))
}

// FuzzImport reads anything at all as a table: what is taken is written as it
// was read.
func FuzzImport(f *testing.F) {
	w := newWorkshop(f)
	w.vectors(f)
	good := exported(f, w)
	for i, table := range cargoTables {
		f.Add(uint8(i), good[table.name+".csv"])
	}
	f.Fuzz(func(t *testing.T, which uint8, body string) {
		table := cargoTables[int(which)%len(cargoTables)]
		r, _ := newCargoReader(strings.NewReader(body), table)
		if r == nil {
			return
		}
		c := newCargo(quantity.At(time.Now()))
		for {
			cells, fault, end := r.next()
			if end || fault != "" {
				return
			}
			values, _, _ := c.values(table, r.row, cells)
			for i, col := range table.columns {
				if values[i] == nil || col.form.kind == cargoPicture {
					continue
				}
				cell, err := col.appendCell(nil, values[i])
				require.NoError(t, err)
				again, fault := col.value(string(cell))
				require.Empty(t, fault)
				require.Equal(t, values[i], again, "%s %q", col.name, cells[i])
			}
		}
	})
}

func change(files map[string]string, name, old, by string) {
	files[name] = strings.Replace(files[name], old, by, 1)
}

func empty(t testing.TB, dir string) {
	t.Helper()
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}
