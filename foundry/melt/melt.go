// Package melt knows what a melt is: a heading and its lines. A line records
// one thing that happened, with the time it happened. Lines are never changed;
// a wrong one is struck and another is written. The package says which lines
// may be written (Check) and what a melt's lines amount to so far (State,
// Contents); what became of the metal and the heat is other packages' business.
package melt

import (
	"fmt"
	"slices"
	"strconv"

	"drosswise/foundry/quantity"
)

// Heading says which melt this is and what it is melted in.
type Heading struct {
	ID       int64
	Code     Code
	Key      string // made by the phone; the same key starts one melt
	At       quantity.Moment
	Furnace  int64
	Crucible int64 // 0 when not said
	Element  int64 // 0 when not said
	Probe    int64 // thermocouple, 0 when none
	Warm     bool  // started in a furnace still hot from the melt before
	Target   Target
	Ambient  *quantity.Temperature // nil when not measured
	By       int64                 // person
	Noted    quantity.Moment       // when the shop got it
}

// Target is what a melt is for.
type Target string

// What a melt can be for.
const (
	Ingots  Target = "ingots"
	Casting Target = "casting"
	Trial   Target = "trial"
)

// Targets are all targets, the usual one first.
var Targets = []Target{Ingots, Casting, Trial}

// Code is the name stamped on the metal: furnace letter, two digits of the
// year and a running number, such as A26-041. A code is never used again.
type Code string

// NewCode makes the code of the nth melt of a furnace in a year.
func NewCode(letter string, year, n int) Code {
	return Code(fmt.Sprintf("%s%02d-%03d", letter, year%100, n))
}

// Parts takes a code apart; ok is false for text that is no code.
func (c Code) Parts() (letter string, year, n int, ok bool) {
	s := string(c)
	if len(s) < 7 || s[0] < 'A' || s[0] > 'Z' || s[3] != '-' {
		return "", 0, 0, false
	}
	year, errYear := strconv.Atoi(s[1:3])
	n, errN := strconv.Atoi(s[4:])
	if errYear != nil || errN != nil || year < 0 || n < 1 || NewCode(s[:1], year, n) != c {
		return "", 0, 0, false
	}
	return s[:1], 2000 + year, n, true
}

// Line is one thing that happened. Which of its parts a kind of line uses is
// said by the kind's Spec; the others are left at zero. A nil pointer means
// that nothing was typed, which is not a zero.
type Line struct {
	ID     int64
	Key    string // made by the phone; the same key is stored once
	Kind   Kind
	At     quantity.Moment // when it happened
	Noted  quantity.Moment // when the shop got it
	By     int64           // person
	Strike *Strike         // nil while the line stands

	Source int64 // scrap charged
	Lot    int64 // delivery of that scrap, 0 when not said
	Pour   int64 // the pour line whose ingots are charged, instead of a source

	Gross  []quantity.Mass // readings of the scale; together they make one mass
	Tare   quantity.Mass   // the container, read once and in every gross reading
	Scale  int64           // 0 when estimated by eye
	Spread *quantity.Mass  // the person's own standard uncertainty of the whole mass

	AsFound   bool // weighed with steel, plastic, oil or water still on it
	Dry       bool
	Preheated bool
	IntoHot   bool // charged into liquid or red-hot metal

	Which string // one of the kind's choices: where read, what was added, how the dross looked
	Mould string
	Count *int // ingots poured, or points checked
	Cost  *quantity.Money

	Meter    *quantity.Energy // the meter's face
	Energy   *quantity.Energy // energy of the whole melt, typed
	Temp     *quantity.Temperature
	Probe    int64
	Volts    *quantity.Voltage
	Amps     *quantity.Current
	Watts    *quantity.Power
	Ohms     *quantity.Resistance
	Crucible int64
	Element  int64

	Note string
}

// Strike is how a line was taken out of account: struck through, not erased.
type Strike struct {
	At     quantity.Moment
	By     int64
	Reason string
	Key    string // also the key of the line that was written in its stead, if any
}

// Stands reports whether the line counts.
func (l Line) Stands() bool { return l.Strike == nil }

// Weighed reports whether the line has a mass; a typed zero is a mass.
func (l Line) Weighed() bool { return len(l.Gross) > 0 }

// AddsMetal reports whether the line is an addition that becomes part of the
// metal, as flux and gas do not.
func (l Line) AddsMetal() bool {
	return l.Kind == Addition && (l.Which == "silicon" || l.Which == "master alloy")
}

// Mass is the net mass: the sum of the readings less the container in each.
func (l Line) Mass() quantity.Mass {
	var sum quantity.Mass
	for _, g := range l.Gross {
		sum += g - l.Tare
	}
	return sum
}

// Standing gives the lines that count, in the order in which they happened.
// Lines of the same moment keep the order in which they were written.
func Standing(lines []Line) []Line {
	var standing []Line
	for _, l := range lines {
		if l.Stands() {
			standing = append(standing, l)
		}
	}
	slices.SortStableFunc(standing, func(a, b Line) int {
		if a.At != b.At {
			return int(min(max(a.At-b.At, -1), 1))
		}
		return int(min(max(a.ID-b.ID, -1), 1))
	})
	return standing
}
