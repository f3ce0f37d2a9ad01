package life

import "math"

// What is believed of a kind of kit before any piece of it: ln shape is normal
// about that of shape 2, and so is ln scale about the expected life while
// nothing has worn out; afterwards ln scale is flat. Judgement: nine in ten
// shapes lie between 0.9 and 4.6, nine in ten scales within a factor 3.7 of the
// expected life.
const (
	shapeMiddle = 2.0
	shapeLog    = 0.5
	scaleLog    = 0.8
)

const (
	shapeNodes = 40
	scaleNodes = 40
	scanNodes  = 32
	// negligible is how far below its top a log density is left out: a millionth.
	negligible = 14.0
	// widest is how many standard deviations of a prior are looked at.
	widest = 6
)

// posterior is what is known of shape and scale, as a grid over their
// logarithms: for each shape some scales. Scales are divided by the sample's
// unit. The grid is laid where the posterior is, so that it is as fine for two
// pieces as for two hundred.
type posterior struct {
	columns []column
	unit    float64 // log of the sample's unit
}

// column is the part of the grid with one shape.
type column struct {
	shape  float64
	log    float64 // ln shape
	weight float64 // all weights of the columns sum to 1
	scales []scale
}

type scale struct {
	log    float64
	weight float64 // sums to 1 over all columns
}

// learn works the posterior out from the sample; expected is the life that is
// expected, in the caller's unit, and counts only when nothing wore out.
func (s *sample) learn(expected float64) *posterior {
	if len(s.logs) == 0 {
		s.unit = math.Log(expected)
	}
	b := belief{s, math.Log(expected) - s.unit}
	middle := math.Log(shapeMiddle)
	total := func(logShape float64) float64 {
		_, log := b.column(logShape)
		return log
	}
	low, high := extent(total, middle-widest*shapeLog, middle+widest*shapeLog)
	p := &posterior{unit: s.unit}
	logs := make([]float64, shapeNodes)
	for i := range shapeNodes {
		at := low + (high-low)*float64(i)/(shapeNodes-1)
		scales, log := b.column(at)
		p.columns, logs[i] = append(p.columns, column{math.Exp(at), at, 0, scales}), log
	}
	weigh(logs)
	for i := range p.columns {
		p.columns[i].weight = logs[i]
		for j := range p.columns[i].scales {
			p.columns[i].scales[j].weight *= logs[i]
		}
	}
	return p
}

// belief is the sample with the log of the expected life in its unit.
type belief struct {
	*sample
	expected float64
}

// column lays the scales at one shape b, weights summing to 1, and gives the
// log of their integral with the prior of the shape: the posterior of ln b. The
// log likelihood is r·ln b − r·b·ln η + (b−1)·Σ ln t(worn) − Σ (t/η)^b.
func (b belief) column(logShape float64) ([]scale, float64) {
	shape, r := math.Exp(logShape), float64(b.failed)
	powers, _ := b.logPowers(shape)
	density := func(logScale float64) float64 {
		d := -r*shape*logScale - math.Exp(powers-shape*logScale)
		if b.failed == 0 {
			d -= sq((logScale-b.expected)/scaleLog) / 2
		}
		return d
	}
	low, high := b.bracket(shape, powers)
	low, high = extent(density, low, high)
	scales, weights := make([]scale, scaleNodes), make([]float64, scaleNodes)
	step := (high - low) / (scaleNodes - 1)
	for i := range scales {
		scales[i].log = low + step*float64(i)
		weights[i] = density(scales[i].log)
	}
	log := weigh(weights) + math.Log(step)
	for i := range scales {
		scales[i].weight = weights[i]
	}
	return scales, log + r*logShape + (shape-1)*b.sum - sq((logShape-math.Log(shapeMiddle))/shapeLog)/2
}

func sq(x float64) float64 { return x * x }
