package views

import (
	"math"
	"strconv"
	"strings"

	"drosswise/foundry/quantity"
)

// Kind is what a part of a bar is made of; it gives the part its colour and
// its pattern, so that it can be told without colour.
type Kind string

// The kinds of part.
const (
	Metal      Kind = "metal"
	MetalLined Kind = "metal-lined" // metal again, beside other metal
	Dross      Kind = "dross"
	Gone       Kind = "gone" // not accounted for
	Heat       Kind = "heat" // heat in the metal, and liquid metal that was in the pot
	Pot        Kind = "pot"
	Walls      Kind = "walls"
)

// Part is a part of a bar and a line of the table under it.
type Part struct {
	Kind   Kind
	Label  string
	Amount int64  // all parts of a bar in the same unit; below zero it is not drawn
	Value  string // the amount as it is shown
	Share  string // of the whole, as it is shown; may be empty
}

// Bar shows where something went: a single bar cut in parts, and the same
// parts as a table.
type Bar struct {
	Title   string
	Whole   int64  // what there was; 0 for the sum of the parts
	Beyond  string // says what it means that the parts come to more than the whole
	Measure string // heads the column of values, such as "Mass"
	Parts   []Part
	Missing string // says what is missing when nothing can be drawn
}

// FillBar shows what is in the crucible against what may be.
type FillBar struct {
	Charged string // the sum as it is shown
	Gone    string // said instead of the bar when nobody knows what is left inside
	Safe    string // the safe fill as it is shown; empty when it is not known
	Limit   int64  // the safe fill, in the unit of the parts; 0 when it is not known
	Share   string // of the safe fill, such as "71 %"
	Room    string // milligrams that may still go in, for the script; empty when nobody knows
	Parts   []Part // in the order of charging
	Over    string // the sentence shown when the charge is over the safe fill
	Unknown string // the sentence shown when the safe fill is not known
}

// takenOut makes the bar show what is left inside once something was taken out
// of the crucible, in the place of what was charged.
func (f *FillBar) takenOut(inside quantity.Mass, known bool, s quantity.Style) {
	var charged int64
	for _, p := range f.Parts {
		charged += p.Amount
	}
	switch {
	case !known:
		f.Parts, f.Gone = nil, "What was poured is not weighed yet, so nobody knows what is left inside."
	case int64(inside) < charged:
		f.Parts = []Part{{Kind: Heat, Label: "left inside", Amount: int64(inside), Value: s.Mass(inside)}}
	}
}

// percent is a length or place in a drawing, in hundredths of a percent of
// its width. Whole numbers let parts add up to the whole exactly.
type percent int

const full percent = 10_000

// String writes it as an SVG attribute does: "12.34%".
func (p percent) String() string {
	text := strconv.FormatFloat(float64(p)/100, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".") + "%"
}

// piece is where a part lies in a drawing.
type piece struct{ at, width percent }

// cut lays amounts end to end over a width that stands for the whole, or for
// their sum where that is more (a whole of 0 is their sum). Edges are rounded,
// not widths, so pieces neither gap nor overlap. Amounts below zero take no
// width. mark is where the whole ends: less than full when the amounts exceed it.
func cut(amounts []int64, whole int64) (pieces []piece, mark percent) {
	var sum float64
	for _, a := range amounts {
		sum += float64(max(a, 0))
	}
	width := max(sum, float64(whole))
	pieces = make([]piece, len(amounts))
	if width == 0 {
		return pieces, full
	}
	var run float64
	edge := func() percent { return percent(math.Round(run / width * float64(full))) }
	for i, a := range amounts {
		from := edge()
		run += float64(max(a, 0))
		pieces[i] = piece{from, edge() - from}
	}
	if whole <= 0 {
		return pieces, full
	}
	return pieces, percent(math.Round(float64(whole) / width * float64(full)))
}

func amounts(parts []Part) []int64 {
	all := make([]int64, len(parts))
	for i, p := range parts {
		all[i] = p.Amount
	}
	return all
}

// describe says in words what a bar shows.
func describe(parts []Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = strings.TrimSpace(p.Label + " " + p.Value + " " + p.Share)
	}
	return strings.Join(said, "; ")
}

// shares reports whether any part says its share, so that the table needs a
// column for it.
func (b Bar) shares() bool {
	for _, p := range b.Parts {
		if p.Share != "" {
			return true
		}
	}
	return false
}

// over reports whether more is in the crucible than may be.
func (f FillBar) over() bool {
	var sum int64
	for _, p := range f.Parts {
		sum += p.Amount
	}
	return f.Limit > 0 && sum > f.Limit
}

// sources are the parts with kinds that tell neighbours apart.
func (f FillBar) sources() []Part {
	parts := make([]Part, len(f.Parts))
	plain := true
	for i, p := range f.Parts {
		if p.Kind == "" {
			p.Kind = MetalLined
			if plain {
				p.Kind = Metal
			}
			plain = !plain
		}
		parts[i] = p
	}
	return parts
}

// fill is the paint of a kind; the patterns stand once in every page.
func (k Kind) fill() string { return "url(#p-" + string(k) + ")" }
