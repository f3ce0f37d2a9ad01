package store

import (
	"bytes"
	"encoding/csv"
	"image"
	"image/jpeg"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/logfile"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
)

// full is a workshop in which every table of the folder has a row.
func full(t testing.TB) *workshop {
	t.Helper()
	w := newWorkshop(t)
	w.vectors(t)
	ctx := t.Context()
	h, lines, err := w.Melt(ctx, "A26-001")
	require.NoError(t, err)
	_, err = w.Import(ctx, w.by, w.oldNotes(t, 2))
	require.NoError(t, err)
	require.NoError(t, w.RememberLogMatch(ctx, w.by, []string{"time", "temp"}, logfile.Match{}))
	probe, err := w.AddKit(ctx, w.by, kit.Item{Key: w.key(), Kind: kit.Probe, Name: "Probe", Couple: "K"})
	require.NoError(t, err)
	require.Equal(t, int64(9), probe)
	for _, l := range []kit.Line{
		{Item: w.elements[0], Kind: kit.Fitted, Furnace: w.furnaces[0]},
		{Item: w.elements[0], Kind: kit.Read, Ohms: new(20 * quantity.Ohm), Temp: new(20 * quantity.Celsius)},
		{Item: w.crucibles[0], Kind: kit.Retired, Note: "worn", Cause: kit.Worn},
	} {
		l.Key, l.At = w.key(), w.Now()
		require.NoError(t, w.AddKitLine(ctx, w.by, l))
	}
	require.NoError(t, w.SetDueRules(ctx, w.by, []kit.Rule{{Kind: kit.Scale, Days: new(90)}}))
	require.NoError(t, w.AddQuote(ctx, w.by, scrap.Quote{Key: w.key(), Of: scrap.DrossSold, At: w.Now(), Price: 100_000}))
	require.NoError(t, w.StrikeQuote(ctx, w.by, 1, Mark{Key: w.key(), Struck: true}))
	require.NoError(t, w.Believe(ctx, w.by, w.sources[0], w.key(), Belief{Metal: &recovery.Belief{Mean: 0.9, SD: 0.05}}))
	require.NoError(t, w.CloseAlarm(ctx, w.by, w.furnaces[0], w.key(), AlarmClose{Melt: h.Code, How: "one_off"}))
	require.NoError(t, w.AddTariff(ctx, w.by, Tariff{Key: w.key(), Tariff: tariff.Tariff{From: w.Now() + 1000*minute, Price: 300_000, Bands: []tariff.Band{
		{FromMinute: 1320, ToMinute: 360, Price: 200_000}, {FromMinute: 600, ToMinute: 720, Price: 100_000}}}}))
	var picture bytes.Buffer
	require.NoError(t, jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 8, 6)), nil))
	require.NoError(t, w.AddPhoto(ctx, w.by, Photo{Key: w.key(), Of: PhotoOf{Line: lines[0].ID}, At: w.Now(), Width: 8, Height: 6}, Pictures{picture.Bytes(), picture.Bytes()}))
	require.NoError(t, w.StrikePhoto(ctx, w.by, 1, Mark{Key: w.key(), Struck: true}))
	_, err = w.AddReadings(ctx, w.by, h.Code, Sending{Key: w.key(), Series: []Sent{
		{Series: curve.Series{Channel: curve.Temperature, Name: "metal", Samples: batch(h.At, 3)}, Loose: true}}}, w.Now())
	require.NoError(t, err)
	require.NoError(t, w.StrikeSeries(ctx, w.by, h.Code, 1, Mark{Key: w.key(), Struck: true}))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, lines[8].ID, Mark{Key: w.key(), Struck: true}))
	return w
}

func (w *workshop) time() time.Time { return time.UnixMilli(w.clock.Load()) }

// taken takes a folder in, and gives what is wrong with it.
func (w *workshop) taken(t testing.TB, files map[string]string, dir string) *CargoFaults {
	t.Helper()
	z := packed(t, files)
	_, err := ImportShop(t.Context(), z, z.Size(), dir, false, w.time)
	if err == nil {
		return &CargoFaults{}
	}
	var faults *CargoFaults
	require.ErrorAs(t, err, &faults)
	return faults
}

// cell puts something into a cell of a table, by the heading of its column.
func cell(t testing.TB, files map[string]string, table string, row int, column, value string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(files[table+".csv"])).ReadAll()
	require.NoError(t, err)
	at := slices.Index(rows[0], column)
	require.GreaterOrEqual(t, at, 0, column)
	require.NotEqual(t, rows[row-1][at], value)
	rows[row-1][at] = value
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	require.NoError(t, w.WriteAll(rows))
	files[table+".csv"] = b.String()
}

// TestWhatTheShopWouldRefuse puts into cells of a folder what nobody could have
// typed in the shop: each is the only fault that is told, with its cell.
func TestWhatTheShopWouldRefuse(t *testing.T) {
	w := full(t)
	good := exported(t, w)
	for _, table := range cargoTables {
		require.Greater(t, strings.Count(good[table.name+".csv"], "\r\n"), 1, "%s has a row", table.name)
	}
	dir := t.TempDir()
	require.Empty(t, w.taken(t, good, dir).Listed)
	s, err := Open(t.Context(), dir, w.time)
	require.NoError(t, err)
	assert.Equal(t, good, exported(t, &workshop{Store: s}), "the same bytes")
	require.NoError(t, s.Close())

	for _, one := range []struct {
		table  string
		row    int
		column string
		value  string
		says   string
		beside string // the column that it is told beside, if another
	}{
		{"shop", 2, "zone", "Mars/Base", "Europe/London", ""},
		{"shop", 2, "zone", "Local", "Europe/London", ""},
		{"shop", 2, "currency", "XXQ", "ISO 4217", ""},
		{"shop", 2, "mass_unit", "stone", "kg, g or lb", ""},
		{"shop", 2, "ambient_c", "61", "from -50 to 60", ""},
		{"shop", 2, "name", "", "no name", ""},
		{"person", 2, "role", "melter", "Nobody owns", ""},
		{"person", 2, "name", " Bench", "no spaces", ""},
		{"person", 2, "created_at", "2030-01-01T00:00:00Z", "still to come", ""},
		{"kit", 2, "heating", "steam", "wire, rods", ""},
		{"kit", 2, "volts_v", "4", "between 5.00 V and 1000 V", ""},
		{"kit", 3, "material", "wood", "clay-graphite, graphite", ""},
		{"kit", 4, "wire", "string", "NiCr 80/20", ""},
		{"kit", 5, "resolution_kg", "2", "smallest step", ""},
		{"kit_line", 2, "furnace_id", "2", "is a crucible. Put in the id of a furnace", ""},
		{"kit_line", 2, "kit_id", "2", "no such line", "kind"},
		{"kit_line", 3, "temp_c", "1600", "between", ""},
		{"kit_line", 4, "cause", "theft", "worn, broken or other", ""},
		{"kit_line", 4, "note", "", "Write why", ""},
		{"due_rule", 2, "heats", "5", "Give days", ""},
		{"belief", 2, "metal_sd_of_one", "0.6", "from 0.001 to 0.5", ""},
		{"source", 2, "sure", "sure", "Write which alloy", "alloy"},
		{"lot", 2, "steel_kg", "200", "Check the masses", ""},
		{"lot", 2, "at", "2030-01-01T00:00:00Z", "still to come", ""},
		{"tariff_band", 3, "from_minute_min", "660", "overlap", ""},
		{"yard_price", 2, "goods", "scrap", "Put in which", "source_id"},
		{"yard_price", 2, "price", "10001", "not above", ""},
		{"melt", 2, "code", "A24-777", "the code is A26-001", ""},
		{"melt", 2, "letter", "B", "the code is B26-001", "code"},
		{"melt", 2, "crucible_id", "1", "is a furnace. Put in the id of a crucible", ""},
		{"melt", 2, "element_id", "2", "is a crucible. Put in the id of an element set", ""},
		{"melt", 2, "furnace_id", "4", "is a scale. Put in the id of a furnace", ""},
		{"melt", 2, "probe_id", "4", "Put in the id of a thermocouple", ""},
		{"melt", 2, "at", "2025-01-01T00:00:00Z", "Put in the year", "year"},
		{"melt", 2, "ambient_c", "70", "between -50 and 60", ""},
		{"line", 2, "at", "2030-01-01T00:00:00Z", "still to come: it is 2026-03-15", ""},
		{"line", 2, "at", "2026-03-01T00:00:00Z", "a day and a half", ""},
		{"line", 2, "noted_at", "2030-01-01T00:00:00Z", "still to come", ""},
		{"line", 2, "scale_id", "1", "Put in the id of a scale", ""},
		{"line", 2, "tare_kg", "1", "The container weighs more", ""},
		{"line", 3, "lot_id", "2", "other scrap", ""},
		{"line", 7, "temp_c", "1500", "between", ""},
		{"line", 7, "which", "the moon", "metal, chamber or infrared", ""},
		{"line", 7, "which", "", "metal, chamber or infrared", ""},
		{"line", 5, "meter_j", "99999999999999999", "No meter", ""},
		{"line", 9, "count", "10000", "whole number", ""},
		{"alarm_close", 2, "furnace_id", "5", "another furnace", "melt_id"},
		{"photo", 2, "width", "9", "has 8 here", ""},
		{"series", 2, "samples", "4", "another number of readings", ""},
		{"reading", 2, "value", "999999999", "No furnace", ""},
		{"import_match", 2, "columns", "x", "list of headings", ""},
		{"log_match", 2, "body", "x", "no match", ""},
	} {
		t.Run(one.table+"."+one.column+"="+one.value, func(t *testing.T) {
			files := maps.Clone(good)
			cell(t, files, one.table, one.row, one.column, one.value)
			dir := t.TempDir()
			faults := w.taken(t, files, dir)
			empty(t, dir)
			require.NotEmpty(t, faults.Listed)
			if len(faults.Listed) > 1 {
				t.Logf("also: %+v", faults.Listed[1:])
			}
			f := faults.Listed[0]
			assert.Equal(t, one.table+".csv", f.File)
			assert.Contains(t, f.Sentence, one.says)
			assert.NotRegexp(t, inSQL, f.Sentence)
			if strings.HasPrefix(f.Sentence, "Nobody owns") {
				return
			}
			assert.Equal(t, one.row, f.Row)
			if one.beside != "" {
				assert.Equal(t, one.beside, f.Column)
				return
			}
			assert.Equal(t, one.column, f.Column)
			assert.Equal(t, one.value, f.Cell)
		})
	}
}

// TestPicturesThatAreNone refuses files that are no whole pictures.
func TestPicturesThatAreNone(t *testing.T) {
	w := full(t)
	good := exported(t, w)
	const name = "photos/1.jpg"
	for what, body := range map[string]string{
		"text": "hello", "the beginning alone": good[name][:200], "the frame alone": "\xff\xd8\xff\xe0 nothing \xff\xd9", "nothing": "",
	} {
		files := maps.Clone(good)
		files[name] = body
		faults := w.taken(t, files, t.TempDir())
		require.Len(t, faults.Listed, 1, what)
		assert.Equal(t, CargoFault{"photo.csv", 2, "body", name, "That file is no whole JPEG of at most 8 MB. Put in the one that was exported."}, faults.Listed[0])
	}
	var large bytes.Buffer
	require.NoError(t, jpeg.Encode(&large, image.NewGray(image.Rect(0, 0, LongPicture+1, 6)), nil))
	for says, body := range map[string]string{
		"larger than the shop keeps":    large.String(),
		"more than a picture, as camer": good[name][:2] + "\xff\xe1\x00\x08Exif\x00\x00" + good[name][2:],
	} {
		files := maps.Clone(good)
		files[name] = body
		faults := w.taken(t, files, t.TempDir())
		require.Len(t, faults.Listed, 1, says)
		assert.Contains(t, faults.Listed[0].Sentence, says)
	}
}

// TestWhatFollowsIsHeldBack tells a cause once: what hangs on it is counted, and
// all that can be checked beside it is.
func TestWhatFollowsIsHeldBack(t *testing.T) {
	w := full(t)
	good := exported(t, w)
	rows := func(table string) int { return strings.Count(good[table+".csv"], "\r\n") - 1 }

	files := maps.Clone(good)
	delete(files, "line.csv")
	faults := w.taken(t, files, t.TempDir())
	require.Len(t, faults.Listed, 1, "%+v", faults.Listed)
	assert.Equal(t, "line.csv", faults.Listed[0].File)
	assert.Contains(t, faults.Held, CargoHeld{"weighing.csv", rows("weighing"), "line.csv"})
	assert.Contains(t, faults.Held, CargoHeld{"photo.csv", 1, "line.csv"})
	assert.Contains(t, faults.Held, CargoHeld{"photo_strike.csv", 1, "line.csv"})

	files = maps.Clone(good)
	change(files, "melt.csv", "\r\n", ",mine\r\n")
	files["melt.csv"] = strings.ReplaceAll(strings.Replace(files["melt.csv"], ",mine\r\n", "\x00", 1), "\r\n", ",x\r\n")
	files["melt.csv"] = strings.Replace(files["melt.csv"], "\x00", ",mine\r\n", 1)
	cell(t, files, "line", 7, "temp_c", "1500")
	faults = w.taken(t, files, t.TempDir())
	require.Len(t, faults.Listed, 2, "the column, and what is wrong elsewhere: %+v", faults.Listed)
	assert.Contains(t, faults.Listed[0].Sentence, "mine")
	assert.Equal(t, "line.csv", faults.Listed[1].File)
	assert.Empty(t, faults.Held)

	files = maps.Clone(good)
	cell(t, files, "melt", 2, "target", "gold")
	faults = w.taken(t, files, t.TempDir())
	require.Len(t, faults.Listed, 1, "%+v", faults.Listed)
	assert.Contains(t, faults.Listed[0].Sentence, "ingots, casting or trial")
	assert.Contains(t, faults.Held, CargoHeld{"line.csv", 11, "melt.csv"})
	for _, h := range faults.Held {
		assert.NotEqual(t, h.File, h.Cause, "%+v", h)
	}

	files = maps.Clone(good)
	cell(t, files, "lot", 2, "id", "99")
	faults = w.taken(t, files, t.TempDir())
	require.Len(t, faults.Listed, 1, "one number out of order, not all after it: %+v", faults.Listed)
	assert.Contains(t, faults.Listed[0].Sentence, "the one above it is 99")

	files = maps.Clone(good)
	files["weighing.csv"] = files["weighing.csv"][:strings.Index(files["weighing.csv"], "\r\n")+2] + "1,1\r\n"
	faults = w.taken(t, files, t.TempDir())
	require.Len(t, faults.Listed, 1, "no line is said to lack its mass: %+v", faults.Listed)

	files = maps.Clone(good)
	files["weighing.csv"] = files["weighing.csv"][:strings.Index(files["weighing.csv"], "\r\n")+2]
	faults = w.taken(t, files, t.TempDir())
	require.NotEmpty(t, faults.Listed)
	assert.Contains(t, faults.Listed[0].Sentence, "What the scale showed for this line is in weighing.csv.")
}
