package views

import (
	"fmt"
	"math"
	"strconv"
)

// Plot is points on a plane with their ranges: how something went over time,
// over heats or over hours. Its numbers stand as a table beside it.
type Plot struct {
	Says   string // the same in words
	X, Y   Axis
	Dots   []Dot
	Joined bool      // a line leads from each dot to the next
	Trace  []Place   // a line of its own
	Runs   [][]Place // lines of their own with many points, each left to right; between two of them nothing is known
	Marks  []Rung    // drawn upright, such as when a line was written; those without a text have no room for one
	Limits []Rung    // drawn across, such as the limit that a shop has set
	Ahead  *Ahead
}

// Place is a point of a line.
type Place struct{ X, Y float64 }

// Ahead is where a course is foreseen to come to: between two places at the
// same height, or from one on where the other cannot be foreseen.
type Ahead struct {
	From        Place // what it goes on from
	Y           float64
	Early, Late float64
	Open        bool // Late cannot be foreseen
}

// Axis is what a direction of a plot stands for, with the places that are
// named on it, the least first.
type Axis struct {
	From, To float64
	Rungs    []Rung
}

// Rung is a named place on an axis.
type Rung struct {
	At   float64
	Text string
}

// Dot is a point with its range; Low and High are equal where it has none. A
// rough dot is drawn open.
type Dot struct {
	X, Y, Low, High float64
	Rough           bool
	Says            string // shown by a pointer that rests on it
}

// The height of a plot's parts in pixels; its width is that of the page.
const (
	plotTop    = 24
	plotBottom = 156
	plotHeight = 184
)

// What is left free beside a plot's points.
const (
	plotLeft  percent = 1700
	plotRight percent = 300
)

// runWidth is in how many steps a run is drawn from left to right.
const runWidth = 2000

func (p Plot) runBox() string { return fmt.Sprintf("0 0 %d %d", runWidth, (plotBottom-plotTop)*10) }

// runPath is the course of all runs as the path of an SVG.
func (p Plot) runPath() string {
	var b []byte
	for _, run := range p.Runs {
		for i, at := range run {
			step := byte('L')
			if i == 0 {
				step = 'M'
			}
			b = append(b, step)
			b = strconv.AppendInt(b, int64(place(at.X, p.X.From, p.X.To))*runWidth/int64(full), 10)
			b = append(b, ' ')
			b = strconv.AppendInt(b, int64(full-place(at.Y, p.Y.From, p.Y.To))*(plotBottom-plotTop)*10/int64(full), 10)
		}
	}
	return string(b)
}

// across is where a number lies from left to right. On the left stand the names
// of the rungs; on the right a margin is left for the last dot.
func (a Axis) across(x float64) percent {
	return plotLeft + place(x, a.From, a.To)*(full-plotLeft-plotRight)/full
}

// up is where a number lies from the bottom up, in pixels from the top.
func (a Axis) up(y float64) string {
	share := float64(place(y, a.From, a.To)) / float64(full)
	return strconv.FormatFloat(plotBottom-share*(plotBottom-plotTop), 'f', 1, 64)
}

// rungs divides an axis so that it holds all numbers and has some four rungs at
// round numbers. show says how a number is written.
func rungs(show func(float64) string, numbers ...float64) Axis {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range numbers {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			low, high = min(low, x), max(high, x)
		}
	}
	if low > high {
		return Axis{From: 0, To: 1}
	}
	if low == high {
		pad := max(math.Abs(low)*0.05, 1e-3)
		low, high = low-pad, high+pad
	}
	step := roundStep((high - low) / 3)
	axis := Axis{From: math.Floor(low/step) * step, To: math.Ceil(high/step) * step}
	for k := 0; ; k++ {
		at := axis.From + float64(k)*step
		if at > axis.To+step/2 {
			return axis
		}
		axis.Rungs = append(axis.Rungs, Rung{at, show(at)})
	}
}

// roundStep is the next of 1, 2 or 5 times a power of ten.
func roundStep(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{1, 2, 5} {
		if k*power >= x*(1-1e-9) {
			return k * power
		}
	}
	return 10 * power
}

// anchor keeps the text of a rung within the plot.
func anchor(at percent) string {
	switch {
	case at < full/3:
		return "start"
	case at > full-full/6:
		return "end"
	}
	return "middle"
}
