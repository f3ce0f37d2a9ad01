package life

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// KaplanMeier is the share of pieces that last at least so long, with no
// assumption about how they wear (Kaplan and Meier 1958, J. Am. Stat. Assoc.
// 53, 457). It steps down where a piece wore out.
type KaplanMeier struct {
	Steps []Step `json:"steps"` // by age
	// Median is the first age at which half or fewer are left; nil when it was
	// not reached, as when most pieces are still in service.
	Median *float64 `json:"median"`
	// MedianLow and MedianHigh are the ages between which the median lies at
	// 90 %, where the ends of the steps' ranges come to a half (Brookmeyer and
	// Crowley 1982, Biometrics 38, 29); nil when an end was not reached.
	MedianLow  *float64 `json:"median_low"`
	MedianHigh *float64 `json:"median_high"`
}

// Step is the curve from one age on.
type Step struct {
	Age    float64 `json:"age"`
	AtRisk int     `json:"at_risk"` // had done so much, those that wore out here with them
	Worn   int     `json:"worn"`    // out at this age
	Left   float64 `json:"left"`    // share, 0 … 1
	// SE is the standard error of Left after Greenwood (1926): Left times the
	// root of Σ worn/(risk·(risk−worn)). It is 0, and means nothing, where
	// nothing is left.
	SE float64 `json:"se"`
	// Low and High are the 90 % range of Left, symmetric in ln(−ln Left) so that
	// it stays within 0 … 1 (Kalbfleisch and Prentice 1980). Both are nil where
	// nothing is left: there is no range then.
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

var normal95 = distuv.UnitNormal.Quantile(0.95)

// EstimateCurve gives the curve of pieces that Learn would not refuse. At the
// same age, those that wore out come before those that did not.
func EstimateCurve(pieces []Piece) KaplanMeier {
	sorted := slices.Clone(pieces)
	slices.SortFunc(sorted, func(a, b Piece) int { return cmp.Compare(a.Age, b.Age) })
	k := KaplanMeier{Steps: []Step{}}
	left, greenwood := 1.0, 0.0
	for i := 0; i < len(sorted); {
		age, risk, worn := sorted[i].Age, len(sorted)-i, 0
		for ; i < len(sorted) && sorted[i].Age == age; i++ {
			if sorted[i].End == WornOut {
				worn++
			}
		}
		if worn == 0 {
			continue
		}
		left *= float64(risk-worn) / float64(risk)
		if risk > worn {
			greenwood += float64(worn) / (float64(risk) * float64(risk-worn))
		}
		k.add(Step{Age: age, AtRisk: risk, Worn: worn, Left: left}, greenwood)
	}
	return k
}

// halfLeft is a half with room for rounding: a product that should be 0.5 may come
// out one digit above.
const halfLeft = 0.5 + 1e-12

func (k *KaplanMeier) add(s Step, greenwood float64) {
	if s.Left > 0 {
		s.SE = s.Left * math.Sqrt(greenwood)
		power := math.Exp(normal95 * math.Sqrt(greenwood) / -math.Log(s.Left))
		low, high := math.Pow(s.Left, power), math.Pow(s.Left, 1/power)
		s.Low, s.High = &low, &high
	}
	reach := func(to **float64, share *float64) {
		if *to == nil && share != nil && *share <= halfLeft {
			*to = &s.Age
		}
	}
	reach(&k.Median, &s.Left)
	reach(&k.MedianLow, s.Low)
	reach(&k.MedianHigh, s.High)
	k.Steps = append(k.Steps, s)
}
