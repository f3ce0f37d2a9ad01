package drift

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"drosswise/foundry/gum"
	"drosswise/foundry/recovery"
)

// Shift is how the mean of something changed from the melts before to those
// since.
type Shift struct {
	Before      float64        `json:"before"` // mean
	Since       float64        `json:"since"`
	MeltsBefore int            `json:"melts_before"`
	MeltsSince  int            `json:"melts_since"`
	Change      recovery.Range `json:"change"` // Since less Before
	T           float64        `json:"t"`      // the change over its standard error
	DF          float64        `json:"df"`
}

// leastEach is how many values there must be on each side.
const leastEach = 3

// shift compares two sets of readings taken in steps, by Welch's t with
// Satterthwaite's degrees of freedom (Welch 1947, Biometrika 34:28). A reading
// scatters at least as its step does. nil where a side has too few.
func shift(before, since []float64, step float64) *Shift {
	if len(before) < leastEach || len(since) < leastEach {
		return nil
	}
	meanB, u2B := meanOf(before, step)
	meanS, u2S := meanOf(since, step)
	u2 := u2B + u2S
	df := u2 * u2 / (u2B*u2B/float64(len(before)-1) + u2S*u2S/float64(len(since)-1))
	u, change := math.Sqrt(u2), meanS-meanB
	wide := u * distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.95)
	return &Shift{
		Before: meanB, Since: meanS, MeltsBefore: len(before), MeltsSince: len(since),
		Change: recovery.Range{Low: change - wide, Middle: change, High: change + wide}, T: change / u, DF: df,
	}
}

// meanOf gives a mean and its squared standard uncertainty.
func meanOf(values []float64, step float64) (mean, u2 float64) {
	mean, sd := stat.MeanStdDev(values, nil)
	sd = max(sd, gum.Resolution(step))
	return mean, sd * sd / float64(len(values))
}

// chance is how often so large a change the way that is asked for, up or down,
// comes about by itself.
func (s *Shift) chance(way int) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: s.DF}.CDF(-float64(way) * s.T)
}
