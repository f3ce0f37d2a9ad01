package notebook

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// lines makes the lines of a melt in the order in which they must have come. All
// have the melt's own time: the notes tell no other.
func (w *row) lines() {
	if text := w.cell(Number); text != "" {
		w.said = append(w.said, w.name(Number)+": "+text)
	}
	w.weighed(HeelIn, melt.Line{Kind: melt.HeelIn})
	for _, c := range []struct{ scrap, mass Field }{{Scrap, Charged}, {Scrap2, Charged2}, {Scrap3, Charged3}} {
		w.charge(c.scrap, c.mass)
	}
	w.meter(MeterFrom)
	if cost := read(w, Cost, w.shop.Style.ReadMoney); cost != nil {
		w.put(Cost, Line{Line: melt.Line{Kind: melt.Addition, Which: "other", Cost: cost}})
	}
	w.weighed(Steel, melt.Line{Kind: melt.Steel})
	w.weighed(Dross, melt.Line{Kind: melt.Skim})
	w.pour()
	w.weighed(Spill, melt.Line{Kind: melt.Spill})
	w.weighed(HeelOut, melt.Line{Kind: melt.HeelOut})
	w.meter(MeterTo)
	if e := read(w, Energy, w.shop.Style.ReadEnergy); e != nil {
		w.put(Energy, Line{Line: melt.Line{Kind: melt.Energy, Energy: e}})
	}
	w.note()
	w.Lines = append(w.Lines, Line{Line: melt.Line{Kind: melt.Close, At: w.Heading.At, Note: "copied in from a spreadsheet"}})
}

// put adds a line made from a field, if the trade's own rules take it beside
// those before it; else the cell is kept in the note with their sentence.
func (w *row) put(f Field, l Line) bool {
	l.At = w.Heading.At
	asked := l.Line
	if l.Kind == melt.Charge {
		asked.Source = -1 // its name becomes a source when it is written
	}
	b := melt.Bench{Now: w.shop.Now, Scales: w.shop.Scales}
	if err, ok := melt.Check(w.Heading, w.had, asked, b).(melt.Refusals); ok {
		for _, r := range err {
			if !r.Soft {
				say := r.Say(w.shop.Style)
				if (l.Kind == melt.Pour || l.Kind == melt.Skim) && !w.charged() {
					say = "Nothing is charged in this row, so no figure can come of it."
				}
				w.keep(f, say)
				return false
			}
			w.Doubts = append(w.Doubts, Said{w.name(f), r.Say(w.shop.Style)})
		}
	}
	asked.ID = int64(len(w.had) + 1) // the order of writing
	w.had, w.Lines = append(w.had, asked), append(w.Lines, l)
	return true
}

// charged reports whether the row said so far what was in the crucible.
func (w *row) charged() bool {
	return slices.ContainsFunc(w.had, func(l melt.Line) bool { return l.Kind == melt.Charge || l.Kind == melt.HeelIn })
}

// weighed adds a line of one mass, if there is one.
func (w *row) weighed(f Field, l melt.Line) {
	if w.weigh(f, &l) {
		w.put(f, Line{Line: l})
	}
}

// weigh reads a mass; it says whether there was one. On no scale it counts as
// told by eye; so does one that is more than the scale can show, as where it was
// weighed in several goes.
func (w *row) weigh(f Field, l *melt.Line) bool {
	m := read(w, f, w.shop.Style.ReadMass)
	if m == nil {
		return false
	}
	l.Gross, l.Scale = []quantity.Mass{*m}, w.match.Scale
	if scale := w.shop.Scales[l.Scale]; scale.Capacity > 0 && *m > scale.Capacity {
		w.Doubts = append(w.Doubts, Said{w.name(f), fmt.Sprintf("%s shows at most %s, so %s was not read on it in one go. It comes in as told by eye, a tenth off.",
			scale.Name, w.shop.Style.Mass(scale.Capacity), w.shop.Style.Mass(*m))})
		l.Scale = 0
	}
	if l.Scale == 0 {
		l.Spread = new(melt.ByEye(*m))
	}
	return true
}

// maxName is how long the name of a source may be.
const maxName = 80

func (w *row) charge(scrap, mass Field) {
	name := strings.Join(strings.Fields(w.cell(scrap)), " ")
	l := Line{Line: melt.Line{Kind: melt.Charge}, Scrap: name}
	weighed := w.weigh(mass, &l.Line)
	switch {
	case !weighed && name != "":
		w.keep(scrap, "There is no mass with it, so it is no charge.")
		return
	case !weighed:
		return
	case name == "":
		l.Scrap = UnnamedScrap
	case len([]rune(name)) > maxName:
		w.keep(scrap, fmt.Sprintf("Its name is too long for a kind of scrap: over %d letters.", maxName))
		l.Scrap = string([]rune(name)[:maxName-1]) + "…"
	}
	w.put(mass, l)
}

func (w *row) meter(f Field) {
	if m := read(w, f, w.shop.Style.ReadEnergy); m != nil {
		w.put(f, Line{Line: melt.Line{Kind: melt.Meter, Meter: m}})
	}
}

func (w *row) pour() {
	l := melt.Line{Kind: melt.Pour, Temp: read(w, Temp, w.shop.Style.ReadTemperature)}
	from := Temp
	if n := read(w, Count, w.shop.Style.ReadCount); n != nil {
		l.Count, from = new(int(*n)), Count
	}
	if w.weigh(Ingots, &l) {
		from = Ingots
	}
	if !l.Weighed() && l.Temp == nil && l.Count == nil {
		return
	}
	if !w.put(from, Line{Line: l}) {
		for _, f := range []Field{Temp, Count, Ingots} {
			if f != from && w.cell(f) != "" {
				w.said = append(w.said, w.name(f)+": "+w.cell(f))
			}
		}
	}
}

// note gathers what the row says in words.
func (w *row) note() {
	for i, c := range w.Columns {
		if w.match.Columns[c] != Note || w.cells[i] == "" {
			continue
		}
		if spec, _ := SpecOf(Note); spec.fits(c) {
			w.said = append(w.said, w.cells[i])
		} else {
			w.said = append(w.said, c+": "+w.cells[i])
		}
	}
	for _, text := range notes(w.said) {
		w.put(Note, Line{Line: melt.Line{Kind: melt.Note, Note: text}})
	}
}

// read reads the cell of a field, nil where it is empty or blank by a dash. A
// number that says no unit has the one of its heading. What cannot be read is
// kept in the note.
func read[T any](w *row, f Field, as func(string) (T, error)) *T {
	cell := w.cell(f)
	if strings.Trim(cell, "-–—?. ") == "" || strings.EqualFold(cell, "n/a") {
		return nil
	}
	text := table.Number(cell, w.mark)
	spec, _ := SpecOf(f)
	if unit := spec.unitIn(w.name(f)); unit != "" && !strings.ContainsFunc(text, unicode.IsLetter) {
		text += " " + unit
	}
	x, err := as(text)
	if err != nil {
		w.keep(f, sentence(err))
		return nil
	}
	return &x
}
