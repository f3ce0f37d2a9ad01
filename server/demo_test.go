package main

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/store"
)

// TestDemo makes the demo shop twice, once by the command, and holds its log
// against the truth behind it.
func TestDemo(t *testing.T) {
	byCommand := filepath.Join(t.TempDir(), "demo")
	said := make(chan string)
	go func() {
		status, out, errOut := demoCommand(t.Context(), byCommand)
		said <- fmt.Sprint(status, out, errOut)
	}()
	began := time.Now()
	d := newDemoLog(t)
	t.Logf("the demo was made in %s, two at once", time.Since(began).Round(10*time.Millisecond))
	out := <-said

	t.Run("the command says where to go", func(t *testing.T) {
		assert.True(t, strings.HasPrefix(out, "0"), out)
		for _, word := range []string{byCommand, "serve -data", "http://127.0.0.1:8372", "Workshop", demoPassword, "invented", "everybody knows this password"} {
			assert.Contains(t, out, word)
		}
	})
	t.Run("is the same each time", func(t *testing.T) {
		for _, table := range []string{"melt", "line", "weighing", "strike", "lot", "source", "kit", "kit_line", "tariff", "tariff_band",
			"figure", "figure_source", "figure_lot", "tally", "source_sum", "wear"} {
			one := dumpTable(t, d.dir, table)
			assert.NotEmpty(t, one, table)
			assert.True(t, one == dumpTable(t, byCommand, table), "%s differs", table)
		}
	})
	t.Run("is never written over", func(t *testing.T) {
		before := dumpTable(t, byCommand, "change")
		status, out, errOut := demoCommand(t.Context(), byCommand)
		assert.Equal(t, 1, status)
		assert.Empty(t, out)
		assert.Contains(t, errOut, "choose another folder with -data")
		assert.Equal(t, before, dumpTable(t, byCommand, "change"))
	})
	t.Run("has what the scenario says", d.hasWhatItShould)
	t.Run("mishaps are in the log", d.mishapsAreThere)
	t.Run("yields are near the truth", d.yieldsAreTrue)
	t.Run("energy is near the truth", d.energyIsTrue)
	t.Run("elements age", d.elementsAge)
	t.Run("was written when it happened", d.writtenInTime)
	t.Run("people can sign in", d.peopleSignIn)
	t.Run("figures are those of the lines", d.rebuilds)
}

// A demo that is cut off leaves no half shop behind.
func TestDemoCutOff(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), 400*time.Millisecond)
	defer stop()
	dir := t.TempDir()
	_, err := makeDemo(ctx, dir)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

func demoCommand(ctx context.Context, dir string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	status = run(ctx, []string{"demo", "-data", dir}, func(string) string { return "" }, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// dumpTable writes all rows of a table out.
func dumpTable(t *testing.T, dir, table string) string {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("SELECT * FROM " + table + " ORDER BY 1, 2, 3")
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var all strings.Builder
	for rows.Next() {
		values, into := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		require.NoError(t, rows.Scan(into...))
		fmt.Fprintln(&all, values...)
	}
	require.NoError(t, rows.Err())
	return all.String()
}

// demoLog is a demo shop that was made, beside the truth behind it.
type demoLog struct {
	dir   string
	st    *store.Store
	truth []*demoMelt
}

func newDemoLog(t *testing.T) *demoLog {
	t.Helper()
	d := &demoLog{dir: t.TempDir()}
	var err error
	d.truth, err = makeDemo(t.Context(), d.dir)
	require.NoError(t, err, "no line was refused")
	d.st, err = store.Open(t.Context(), d.dir, func() time.Time { return demoLastDay(time.UTC).Add(20 * time.Hour) })
	require.NoError(t, err)
	t.Cleanup(func() { d.st.Close() })
	return d
}

func (d *demoLog) melt(t *testing.T, code melt.Code) ([]melt.Line, sheet.Sheet) {
	t.Helper()
	h, lines, err := d.st.Melt(t.Context(), code)
	require.NoError(t, err)
	s, err := d.st.Sheet(t.Context(), h.ID)
	require.NoError(t, err)
	return lines, s
}

func (d *demoLog) hasWhatItShould(t *testing.T) {
	rows, more, err := d.st.Melts(t.Context(), store.Filter{}, store.Place{}, false, 1000)
	require.NoError(t, err)
	require.False(t, more)
	states := map[melt.State]int{}
	letters := map[string]int{}
	for _, r := range rows {
		letter, _, _, _ := r.Code.Parts()
		states[r.State]++
		letters[letter]++
	}
	assert.Equal(t, map[melt.State]int{melt.Closed: demoYardHeats + demoBenchHeats, melt.Voided: 1, melt.Running: 1}, states)
	assert.Equal(t, map[string]int{"A": demoYardHeats + 2, "B": demoBenchHeats}, letters)
	assert.Equal(t, 150, len(rows))
	assert.InDelta(t, 2*365, rows[0].Started.Since(rows[len(rows)-1].Started).Hours()/24, 7, "two years")

	items, err := d.st.Kit(t.Context())
	require.NoError(t, err)
	wears, err := d.st.Wears(t.Context())
	require.NoError(t, err)
	used, serving := map[kit.Kind]int{}, map[kit.Kind]int{}
	for _, it := range items {
		if it.Retired {
			used[it.Kind]++
		} else {
			serving[it.Kind]++
		}
		if it.Kind == kit.Crucible || it.Kind == kit.Element {
			assert.Positive(t, wears[it.ID].Heats, it.Name)
		}
		assert.Empty(t, kit.Check(it), it.Name)
		assert.Empty(t, it.Remarks(quantity.Style{}), it.Name)
	}
	assert.Equal(t, map[kit.Kind]int{kit.Crucible: 3, kit.Element: 4, kit.Probe: 1}, used)
	assert.Equal(t, map[kit.Kind]int{kit.Furnace: 2, kit.Crucible: 2, kit.Element: 2, kit.Scale: 2, kit.Probe: 1}, serving)
	tariffs, err := d.st.Tariffs(t.Context())
	require.NoError(t, err)
	require.Len(t, tariffs, 2, "the price changed once")
	for _, p := range tariffs {
		assert.NoError(t, p.Check())
		assert.NotEmpty(t, p.Bands)
	}
	lots, err := d.st.Lots(t.Context(), 0)
	require.NoError(t, err)
	assert.Greater(t, len(lots), 30)
	for _, l := range lots {
		left, ok := l.Left()
		require.True(t, ok)
		assert.Greater(t, left, -310*quantity.Gram, "but for the charge typed 300 g too heavy, no more was charged than came")
	}
}

// countLines counts the lines of a kind, those struck or those that stand.
func countLines(lines []melt.Line, k melt.Kind, struck bool) (n int) {
	for _, l := range lines {
		if l.Kind == k && l.Stands() != struck {
			n++
		}
	}
	return n
}

func hasFlag(s sheet.Sheet, code sheet.FlagCode) bool {
	for _, f := range s.Flags {
		if f.Code == code {
			return true
		}
	}
	return false
}

func (d *demoLog) mishapsAreThere(t *testing.T) {
	met := map[demoMishap]int{}
	for _, m := range d.truth {
		if m.mishap == "" {
			continue
		}
		met[m.mishap]++
		lines, s := d.melt(t, m.code)
		shows := map[demoMishap]func() bool{
			demoTenfold:  func() bool { return d.tenfold(lines) },
			demoNoDross:  func() bool { return !s.Dross.Known() && s.Yield.Known() },
			demoPaper:    func() bool { return lines[0].Noted.Since(lines[0].At) > 5*24*quantity.Hour },
			demoNoIngots: func() bool { return s.State == melt.Closed && !s.Yield.Known() && s.Dross.Known() },
			demoAsFound:  func() bool { return hasFlag(s, sheet.AsFound) && s.Yield.X < 0.9 },
			demoSpilled:  func() bool { return math.Abs(s.Spills.X-0.21) < 0.005 },
			demoWrongBin: func() bool { return countLines(lines, melt.Charge, true) == 1 },
			demoReopened: func() bool {
				return countLines(lines, melt.Reopen, false) == 1 && countLines(lines, melt.Close, false) == 2 && s.Dross.Known()
			},
			demoVoid:     func() bool { return d.voidBefore(t, m.code) },
			demoUnnamed:  func() bool { return s.Unnamed == 1 },
			demoMistyped: func() bool { return math.Abs(s.Charged.X-m.total()-0.3) < 0.003 && m.slip == 0.3 && s.Yield.X < 0.85 },
			demoMisread:  func() bool { return countLines(lines, melt.PowerOn, true) == 1 && s.Energy.Known() },
			demoStillOn:  func() bool { return hasFlag(s, sheet.PowerOpen) },
			demoNoMeter:  func() bool { return !s.Energy.Known() },
			demoTypedKWh: func() bool { return s.EnergyBasis == sheet.ByTyping },
			demoForgetAll: func() bool {
				return countLines(lines, melt.AllMolten, false) == 0 && countLines(lines, melt.FirstLiquid, false) == 0
			},
		}[m.mishap]
		require.NotNil(t, shows, m.mishap)
		assert.True(t, shows(), "%s: %s", m.code, m.mishap)
	}
	planned := map[demoMishap]int{}
	for _, m := range demoMishaps {
		planned[m]++
	}
	assert.Equal(t, planned, met)

	running, err := d.st.RunningMelts(t.Context())
	require.NoError(t, err)
	require.Len(t, running, 1)
	assert.Equal(t, 1842*quantity.Gram, running[0].Charged)
	lines, _ := d.melt(t, running[0].Code)
	assert.Equal(t, 1, countLines(lines, melt.Charge, true), "4120 g for 412 g, struck")
}

// tenfold finds dross that was struck and stands a tenth as heavy.
func (d *demoLog) tenfold(lines []melt.Line) bool {
	var struck, stands quantity.Mass
	for _, l := range lines {
		switch {
		case l.Kind != melt.Skim || !l.Weighed():
		case l.Stands():
			stands = l.Mass()
		default:
			struck = l.Mass()
		}
	}
	return stands > 0 && struck == 10*stands
}

// voidBefore says whether the code before this one was made void.
func (d *demoLog) voidBefore(t *testing.T, code melt.Code) bool {
	letter, year, n, _ := code.Parts()
	_, s := d.melt(t, melt.NewCode(letter, year, n-1))
	return s.State == melt.Voided
}

// yieldsAreTrue holds every melt's yield against what really came of its
// charge, and the pooled yield of each scrap that was melted alone against the
// mean it was made with.
func (d *demoLog) yieldsAreTrue(t *testing.T) {
	type pool struct{ n, charged, recovered, dross float64 }
	pools := map[int]*pool{}
	for _, m := range d.truth {
		_, s := d.melt(t, m.code)
		net := m.total() - m.steel
		if s.Yield.Known() && m.slip == 0 {
			assert.InDelta(t, m.recovered/net, s.Yield.X, 4*s.Yield.U+0.002, m.code)
		}
		if s.DrossRate.Known() && m.slip == 0 {
			assert.InDelta(t, m.dross/net, s.DrossRate.X, 4*s.DrossRate.U+0.001, m.code)
		}
		if metal, ok := m.alone(); ok && s.Yield.Known() && s.Dross.Known() && m.slip == 0 {
			p := pools[metal]
			if p == nil {
				p = &pool{}
				pools[metal] = p
			}
			p.n, p.charged, p.recovered, p.dross = p.n+1, p.charged+s.Charged.X-s.Attachments.X, p.recovered+s.Recovered.X, p.dross+s.Dross.X
		}
	}
	require.Len(t, pools, demoIngots, "every scrap was melted alone")
	for metal, p := range pools {
		truth := demoScrap[metal]
		assert.GreaterOrEqual(t, p.n, 4.0, truth.Name)
		near := 3*truth.scatter/math.Sqrt(p.n) + 0.002
		assert.InDelta(t, truth.yield, p.recovered/p.charged, near, truth.Name)
		assert.InDelta(t, truth.dross, p.dross/p.charged, near, truth.Name)
		t.Logf("%-26s %2.0f melts alone: yield %.4f (truth %.3f), dross %.4f (truth %.3f)", truth.Name, p.n, p.recovered/p.charged, truth.yield, p.dross/p.charged, truth.dross)
	}
	records, err := d.st.Records(t.Context())
	require.NoError(t, err)
	assert.Len(t, records, demoIngots)
}

// energyIsTrue holds the energy of every melt, as metered, against what the
// furnace takes by its truth for the mass and the hours that were logged.
func (d *demoLog) energyIsTrue(t *testing.T) {
	var sum, squares, n float64
	for _, m := range d.truth {
		_, s := d.melt(t, m.code)
		if !s.Energy.Known() || m.mishap == demoStillOn || m.slip != 0 {
			continue
		}
		f, start, heel := &demoYard, demoYard.cold, s.HeelIn.X
		if m.furnace == demoBench.name {
			f, start = &demoBench, demoBench.cold
		}
		if m.warm {
			start, heel = f.warm, 0
		}
		off := (s.Energy.X - start - f.perKg*(s.Charged.X+heel) - f.walls*s.Hot.X) / f.scatter
		assert.Less(t, math.Abs(off), 4.5, m.code)
		sum, squares, n = sum+off, squares+off*off, n+1
	}
	assert.Greater(t, n, 130.0)
	assert.Less(t, math.Abs(sum/n), 3/math.Sqrt(n)+0.1)
	assert.InDelta(t, 1, math.Sqrt(squares/n), 0.25)
}

func (d *demoLog) elementsAge(t *testing.T) {
	items, err := d.st.Kit(t.Context())
	require.NoError(t, err)
	for _, it := range items {
		if it.Kind != kit.Element || !strings.HasPrefix(it.Name, "E") {
			continue
		}
		_, lines, wear, err := d.st.KitItem(t.Context(), it.ID)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, countKitLines(lines, kit.Read), 5, it.Name)
		last, _, ok := it.OhmsNow(lines)
		require.True(t, ok)
		rise := float64(last)/float64(*it.Ohms) - 1
		if it.Name == "E5" {
			assert.InDelta(t, 0.09, rise, 0.006, "near its end")
			assert.False(t, it.Retired)
			continue
		}
		assert.True(t, it.Retired, it.Name)
		assert.InDelta(t, 0.085, rise, 0.03, it.Name)
		assert.InDelta(t, 29, wear.Heats, 6, it.Name)
	}
}

func countKitLines(lines []kit.Line, k kit.LineKind) (n int) {
	for _, l := range lines {
		if l.Kind == k {
			n++
		}
	}
	return n
}

// writtenInTime: nothing was written before it happened, nothing after the last
// evening, and the store's order is that of the clock.
func (d *demoLog) writtenInTime(t *testing.T) {
	var last quantity.Moment
	ids := map[int64]quantity.Moment{}
	var most int64
	for _, m := range d.truth {
		lines, _ := d.melt(t, m.code)
		for _, l := range lines {
			assert.LessOrEqual(t, l.At, l.Noted, "%s %s", m.code, l.Kind)
			ids[l.ID], most = l.Noted, max(most, l.ID)
		}
	}
	for id := int64(1); id <= most; id++ {
		if noted, ok := ids[id]; ok {
			assert.GreaterOrEqual(t, noted, last, "line %d", id)
			last = noted
		}
	}
	assert.Greater(t, most, int64(2000))
	zone := demoSettings().Style().Zone
	assert.Less(t, last, quantity.At(demoLastDay(zone).AddDate(0, 0, 1)))
	assert.Greater(t, last, quantity.At(demoLastDay(zone).AddDate(0, 0, -7)))
}

func (d *demoLog) peopleSignIn(t *testing.T) {
	for _, p := range demoPeople {
		who, hash, err := d.st.PersonNamed(t.Context(), p.name)
		require.NoError(t, err)
		assert.Equal(t, p.role, who.Role)
		ok, err := checkPassword(t.Context(), hash, demoPassword)
		require.NoError(t, err)
		assert.True(t, ok, p.name)
	}
	links, err := d.st.OpenLinks(t.Context())
	require.NoError(t, err)
	assert.Zero(t, links)
}

func (d *demoLog) rebuilds(t *testing.T) {
	assert.Equal(t, "ok\n", pragmaSays(t, d.dir, "integrity_check"))
	assert.Empty(t, pragmaSays(t, d.dir, "foreign_key_check"))
	before := dumpTable(t, d.dir, "figure")
	n, err := d.st.Rebuild(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 150, n)
	assert.True(t, before == dumpTable(t, d.dir, "figure"), "Rebuild changed figures")
}

func pragmaSays(t *testing.T, dir, name string) string {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("PRAGMA " + name)
	require.NoError(t, err)
	defer rows.Close()
	var all strings.Builder
	for rows.Next() {
		var a, b, c, e any
		columns, err := rows.Columns()
		require.NoError(t, err)
		require.NoError(t, rows.Scan([]any{&a, &b, &c, &e}[:len(columns)]...))
		fmt.Fprintln(&all, a)
	}
	require.NoError(t, rows.Err())
	return all.String()
}
