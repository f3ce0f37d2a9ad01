package notebook_test

import (
	"strings"
	"testing"
	"time"

	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var now = quantity.At(time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC))

var shop = notebook.Shop{Now: now,
	Furnaces:  []notebook.Named{{ID: 1, Name: "Yard furnace", Letter: "A"}, {ID: 2, Name: "Small one", Letter: "B"}},
	Crucibles: []notebook.Named{{ID: 3, Name: "Clay pot"}},
	Elements:  []notebook.Named{{ID: 5, Name: "Coil 2"}, {ID: 6, Name: "Coil 3"}},
	Probes:    []notebook.Named{{ID: 7, Name: "T1"}},
	Scales:    map[int64]melt.Scale{4: {Name: "Bench scale", Resolution: quantity.Gram, Capacity: 10 * quantity.Kilogram}},
}

func read(t testing.TB, body string) table.Table {
	t.Helper()
	got, err := table.Read([]byte(body), 0, table.Limits{Rows: 1000})
	require.NoError(t, err)
	return got
}

// drafts makes drafts of a table matched by its headings.
func drafts(t testing.TB, body string) []notebook.Draft {
	t.Helper()
	tab := read(t, body)
	m := notebook.Guess(tab, quantity.Style{})
	m.Furnace = 1
	require.Empty(t, m.Check(tab))
	return notebook.Drafts(tab, m, shop)
}

func TestGuessesColumnsByTheirNames(t *testing.T) {
	for _, c := range []struct {
		body string
		want map[string]notebook.Field
	}{
		{"Date,Scrap,In kg,Out kg,Dross g,kWh,Remarks,Mood\n2024-03-01,Rims,5,4.5,300,9,dry,good\n", map[string]notebook.Field{
			"Date": notebook.Date, "Scrap": notebook.Scrap, "In kg": notebook.Charged, "Out kg": notebook.Ingots, "Dross g": notebook.Dross,
			"kWh": notebook.Energy, "Remarks": notebook.Note, "Mood": notebook.Note}},
		{"Datum;Schrott;Einsatz (kg);Barren (kg);Krätze (kg);Temperatur °C;Ofen\n1.3.2024;Felgen;5,1;4,5;0,3;700;A\n", map[string]notebook.Field{
			"Datum": notebook.Date, "Schrott": notebook.Scrap, "Einsatz (kg)": notebook.Charged, "Barren (kg)": notebook.Ingots,
			"Krätze (kg)": notebook.Dross, "Temperatur °C": notebook.Temp, "Ofen": notebook.Furnace}},
		{"2024-03-01,5\n2024-03-02,6\n", map[string]notebook.Field{"Column 1": notebook.Date}},
	} {
		assert.Equal(t, c.want, notebook.Guess(read(t, c.body), quantity.Style{}).Columns)
	}
}

func TestNamesTheKitOfARow(t *testing.T) {
	tab := read(t, "Date,Crucible,Coil,Thermocouple,Scrap,Charged kg\n2024-03-01,clay pot,coil 2,t1,Rims,5\n2024-03-02,,,,Rims,5\n2024-03-03,,Coil 9,,Rims,5\n")
	m := notebook.Guess(tab, quantity.Style{})
	m.Furnace, m.Element, m.Probe = 1, 6, 7
	got := notebook.Drafts(tab, m, shop)
	var kit [][3]int64
	for _, d := range got {
		assert.Empty(t, d.Faults)
		kit = append(kit, [3]int64{d.Heading.Crucible, d.Heading.Element, d.Heading.Probe})
	}
	assert.Equal(t, [][3]int64{{3, 5, 7}, {0, 6, 7}, {0, 0, 7}}, kit, "as named, as chosen for the rest, and one that the shop has not")
	require.Len(t, got[2].Kept, 1)
	assert.Contains(t, got[2].Kept[0].Sentence, "No element set of this shop is called so")
}

func TestMakesAMeltOfARow(t *testing.T) {
	got := drafts(t, "Melt no,Date,Time,Scrap,Charged kg,Scrap 2,Charged 2 kg,Heel before kg,Meter before,Meter after,Temp °F,Pieces,Ingots lb,Spills g,Dross g,Steel g,Heel after kg,Cost,Notes\n"+
		"17,2024-03-01,14:30,Rims,6.00,Cans,2,0.40,1204.5,1216.1,1328,9,16.58,50,550,120,0.3,0.10,rain\n")
	require.Len(t, got, 1)
	d := got[0]
	assert.Empty(t, d.Faults)
	assert.Empty(t, d.Doubts)
	assert.Empty(t, d.Kept)
	assert.True(t, d.Timed)
	assert.Equal(t, quantity.At(time.Date(2024, 3, 1, 14, 30, 0, 0, time.UTC)), d.Heading.At)
	kinds := map[melt.Kind]int{}
	mass := map[melt.Kind]quantity.Mass{}
	for _, l := range d.Lines {
		kinds[l.Kind]++
		mass[l.Kind] += l.Mass()
		assert.Equal(t, d.Heading.At, l.At)
	}
	assert.Equal(t, map[melt.Kind]int{melt.HeelIn: 1, melt.Charge: 2, melt.Meter: 2, melt.Addition: 1, melt.Steel: 1, melt.Skim: 1, melt.Pour: 1, melt.Spill: 1, melt.HeelOut: 1, melt.Note: 1, melt.Close: 1}, kinds)
	assert.Equal(t, 8*quantity.Kilogram, mass[melt.Charge])
	assert.Equal(t, 550*quantity.Gram, mass[melt.Skim])
	// 16.58 lb of 0.453 592 37 kg (NIST SP 811, 2008, appendix B.8) are 7.520 561 kg.
	assert.InDelta(t, 7_520_561, float64(mass[melt.Pour]), 1)
	for _, l := range d.Lines {
		switch l.Kind {
		case melt.Pour:
			// 1328 °F = (1328 − 32)/1.8 °C = 720 °C exactly (as above).
			assert.Equal(t, 720*quantity.Celsius, *l.Temp)
			assert.Equal(t, 9, *l.Count)
		case melt.Note:
			assert.Equal(t, "Melt no: 17\nrain", l.Note)
		}
	}
}

func TestPartialRowsAreMeltsWithFiguresBlank(t *testing.T) {
	got := drafts(t, "Date,Scrap,Charged kg,Ingots kg,Dross kg,Note\n2024-03-01,Rims,5,,,\n2024-03-02,Rims,,4.2,,no scale that day\n2024-03-03,,3,,-,\n2024-03-04,,,,,\n2024-03-05,Rims,about 5,4,?,\n")
	kinds := func(d notebook.Draft) (all []melt.Kind) {
		for _, l := range d.Lines {
			all = append(all, l.Kind)
		}
		return all
	}
	for _, d := range got {
		assert.Empty(t, d.Faults)
		assert.False(t, d.Timed)
	}
	assert.Equal(t, []melt.Kind{melt.Charge, melt.Close}, kinds(got[0]))
	assert.Equal(t, []melt.Kind{melt.Note, melt.Close}, kinds(got[1]), "what was poured of nothing charged is no figure")
	assert.Equal(t, "Scrap: Rims\nIngots kg: 4.2\nno scale that day", got[1].Lines[0].Note)
	assert.Len(t, got[1].Kept, 2)
	assert.Contains(t, got[1].Kept[1].Sentence, "Nothing is charged in this row")
	assert.Equal(t, notebook.UnnamedScrap, got[2].Lines[0].Scrap)
	assert.Empty(t, got[2].Kept, "a dash is a blank")
	assert.Equal(t, []melt.Kind{melt.Close}, kinds(got[3]))
	assert.Equal(t, "Charged kg: about 5\nScrap: Rims\nIngots kg: 4", got[4].Lines[0].Note)
	assert.Contains(t, got[4].Kept[0].Sentence, "“about 5”")
}

func TestRowsThatStayOut(t *testing.T) {
	for name, c := range map[string]struct{ row, column, says string }{
		"no date":           {"Sum,,17.2,,", "Date", "“Sum” is not read as a date."},
		"blank date":        {",Rims,5,,", "Date", "no date in this row"},
		"to come":           {"2026-03-15,Rims,5,,", "Date", "still to come"},
		"too old":           {"1999-12-31,Rims,5,,", "Date", "before the year 2000"},
		"unknown furnace":   {"2024-03-01,Rims,5,Blast furnace,", "Furnace", "No furnace of this shop"},
		"split by a comma":  {"2024-03-01,Rims,5,A,,5", "", "more cells than there are columns"},
		"no such day":       {"2024-02-30,Rims,5,,", "Date", "“2024-02-30”"},
		"clocks went ahead": {"2024-03-01 25:00,Rims,5,,", "Date", "date and time"},
	} {
		t.Run(name, func(t *testing.T) {
			got := drafts(t, "Date,Scrap,Charged,Furnace,Note\n2024-01-01,Rims,5,A,fine\n2024-01-02,Rims,5,B,fine\n"+c.row+"\n")
			assert.Empty(t, got[0].Faults)
			assert.Equal(t, int64(2), got[1].Heading.Furnace)
			require.Len(t, got[2].Faults, 1)
			assert.Equal(t, c.column, got[2].Faults[0].Column)
			assert.Contains(t, got[2].Faults[0].Sentence, c.says)
			assert.Equal(t, 4, got[2].Row)
			assert.Empty(t, got[2].Lines)
		})
	}
	none := read(t, "Date,Charged\n2024-01-01,5\n")
	m := notebook.Guess(none, quantity.Style{})
	assert.Contains(t, notebook.Drafts(none, m, shop)[0].Faults[0].Sentence, "Choose the furnace")
}

func TestDoubtsWhatCannotBeRight(t *testing.T) {
	got := drafts(t, "Date,Scrap,Charged kg,Ingots kg\n2024-03-01,Rims,5,51\n2024-03-02,Rims,5000,4\n")
	require.Len(t, got[0].Doubts, 1)
	assert.Equal(t, "Ingots kg", got[0].Doubts[0].Column)
	assert.Contains(t, got[0].Doubts[0].Sentence, "only 5.000 kg went in")
	assert.Contains(t, got[1].Kept[0].Sentence, "more than a tonne")
}

func TestReadsUnitsAsTheyAreMatched(t *testing.T) {
	tab := read(t, "Datum;Gewicht;Schlacke g;Temp\n01.03.2024;11,25;1.200;1300\n")
	m := notebook.Guess(tab, quantity.Style{Comma: true})
	m.Furnace, m.Mass, m.Fahrenheit, m.Scale = 1, quantity.Pounds, true, 4
	d := notebook.Drafts(tab, m, shop)[0]
	require.Len(t, d.Lines, 4)
	assert.InDelta(t, 11.25*453_592.37, float64(d.Lines[0].Mass()), 1) // as above
	assert.Equal(t, 1200*quantity.Gram, d.Lines[1].Mass(), "a point that groups thousands beside decimal commas")
	assert.Equal(t, quantity.Temperature(70_444), *d.Lines[2].Temp) // (1300 − 32)/1.8 = 704.44 °C
	assert.Equal(t, int64(4), d.Lines[0].Scale)
	assert.Nil(t, d.Lines[0].Spread)
	small := shop
	small.Scales = map[int64]melt.Scale{4: {Name: "Small scale", Resolution: quantity.Gram, Capacity: 5 * quantity.Kilogram}}
	over := notebook.Drafts(tab, m, small)[0]
	assert.Zero(t, over.Lines[0].Scale, "weighed in several goes")
	assert.Contains(t, over.Doubts[0].Sentence, "Small scale shows at most 11.023 lb")
	m.Scale = 0
	assert.Equal(t, melt.ByEye(d.Lines[0].Mass()), *notebook.Drafts(tab, m, shop)[0].Lines[0].Spread)
}

// A row is the same row in another file, and rows alike are told apart.
func TestNamesRowsByWhatStandsInThem(t *testing.T) {
	head := "Date,Scrap,kg\n"
	one := drafts(t, head+"2024-03-01,Rims,5\n2024-03-01,Rims,5\n2024-03-02,Cans,3\n")
	more := drafts(t, "Date;Scrap;kg;\n2024-03-02;Cans;3;\n2024-03-01;Rims;5;\n2024-03-01;Rims;5\n2024-03-01;Rims;5.1\n")
	keys := func(ds []notebook.Draft) (all []string) {
		for _, d := range ds {
			all = append(all, d.Key)
		}
		return all
	}
	a, b := keys(one), keys(more)
	assert.NotEqual(t, a[0], a[1])
	assert.Equal(t, []string{a[2], a[0], a[1]}, b[:3])
	assert.NotContains(t, a, b[3])
}

func TestRefusesAMatchThatSaysTwoThings(t *testing.T) {
	tab := read(t, "Date,In,Out\n2024-03-01,5,4\n")
	said := notebook.Match{Columns: map[string]notebook.Field{"In": notebook.Charged, "Out": notebook.Charged}}.Check(tab)
	require.Len(t, said, 2)
	assert.Equal(t, "Out", said[0].Column)
	assert.Contains(t, said[1].Sentence, "No column is the date")
}

func TestLongNotesBecomeSeveral(t *testing.T) {
	d := drafts(t, "Date,Note,Other\n2024-03-01,"+strings.Repeat("dross ", 500)+","+strings.Repeat("x", 1500)+"\n")[0]
	require.Len(t, d.Lines, 4)
	for _, l := range d.Lines[:3] {
		assert.LessOrEqual(t, len(l.Note), melt.MaxText)
	}
}

// FuzzDraft holds that whatever a table says, every row is a melt whose lines
// the trade's own rules take, or is left out with a sentence.
func FuzzDraft(f *testing.F) {
	for _, seed := range []string{
		"Date,Scrap,Charged kg,Ingots kg,Note\n2024-03-01,Rims,5,4.2,dry\n", "Datum;Einsatz;Barren\n1.3.2024;5,1;4,5\n31.12.1999;;\n",
		"Date,Heel before,Meter before,Meter after,Temp F,Count,Dross g,Cost\n3/13/24 2pm,1,100,90,1300,99999999999,5,-1\n", "2024-03-01,5\n", "Date,Date,kWh\n2024-03-01,x,1e9\n",
	} {
		f.Add([]byte(seed), byte(0))
	}
	f.Fuzz(func(t *testing.T, body []byte, how byte) {
		tab, err := table.Read(body, 0, table.Limits{Bytes: 1 << 14, Rows: 50, Columns: 30, Cell: 2000})
		if err != nil {
			return
		}
		m := notebook.Guess(tab, quantity.Style{Comma: how&1 > 0})
		m.Furnace, m.Mass, m.Fahrenheit = int64(how>>1&1), quantity.MassUnit(how>>2%3), how&32 > 0
		keys := map[string]bool{}
		for _, d := range notebook.Drafts(tab, m, shop) {
			require.False(t, keys[d.Key], "two rows of one key")
			keys[d.Key] = true
			if len(d.Faults) > 0 {
				require.Empty(t, d.Lines)
				continue
			}
			require.NotZero(t, d.Heading.Furnace)
			require.NotEmpty(t, d.Lines)
			var had []melt.Line
			for i, l := range d.Lines {
				l.Source = 0
				if l.Kind == melt.Charge {
					require.NotEmpty(t, l.Scrap)
					l.Source = 1
				}
				require.NoError(t, melt.Check(d.Heading, had, l.Line, melt.Bench{Now: now, Scales: shop.Scales, Sure: true}))
				l.ID = int64(i + 1)
				had = append(had, l.Line)
			}
			require.Equal(t, melt.Closed, melt.StateOf(melt.Standing(had)))
		}
	})
}
