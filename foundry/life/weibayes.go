package life

import "math"

// ScaleAt is the likeliest scale of a Weibull curve of a shape that is taken as
// known, (Σ t^b / r)^(1/b) over all pieces, r of which wore out (Weibayes:
// Abernethy 2006, The New Weibull Handbook, chapter 6; from memory). ok is false
// when none wore out.
func ScaleAt(pieces []Piece, shape float64) (scale float64, ok bool) {
	s := sampleOf(pieces)
	if s.failed == 0 {
		return 0, false
	}
	return math.Exp(s.unit + s.logScale(shape)), true
}

// logLeastScale is the log of the scale's lower bound at 95 % and a known
// shape, (2 Σ t^b / χ²)^(1/b), while none wore out. χ² is the 95 % quantile on 2
// degrees of freedom, −2 ln 0.05.
func (s *sample) logLeastScale(b float64) float64 {
	sum, _ := s.logPowers(b)
	return (sum - math.Log(-math.Log(0.05))) / b
}

// Shapes of things that wear: from no ageing at all to about the steepest that
// the assumed shapes hold likely (95 % of them lie below).
const (
	flattest = 1.0
	steepest = 4.5
)

// leastMedian is the least, over the shapes of things that wear, of the lower
// bound of the median life. It is nil when no piece did anything. With one
// fixed shape the bound would not hold when the shape is another.
func (s *sample) leastMedian() *float64 {
	if len(s.logs) == 0 {
		return nil
	}
	least := math.Inf(1)
	const steps = 36
	for k := range steps {
		b := flattest * math.Pow(steepest/flattest, float64(k)/(steps-1))
		least = min(least, s.logLeastScale(b)+math.Log(math.Ln2)/b)
	}
	least = math.Exp(s.unit + least)
	return &least
}
