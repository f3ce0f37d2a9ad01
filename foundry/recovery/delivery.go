package recovery

import "math"

// Batch is a delivery of a source, and how many kilograms of it went into
// which melt.
type Batch struct {
	ID      int64
	Charged map[int64]float64
}

// BatchFit is how much more metal a kilogram of a delivery gave than all other
// melts let expect, as a share of 1.
type BatchFit struct {
	ID    int64 `json:"id"`
	Melts int   `json:"melts"` // that it was charged in, that fit, and whose metal is known
	Off   Range `json:"off"`   // zero below MinBatch melts
}

// MinBatch is in how many melts a delivery must have been before anything is
// said of it: one melt may be off for many reasons.
const MinBatch = 2

// Batches holds deliveries of a source against what its other melts say. A
// melt's difference from its expectation d counts by the share x of its charge
// that came from the delivery: weighted least squares of d = x·off through the
// origin, with the standard deviations of the expectations taken as known and
// as independent of one another. Melts that do not fit are left out.
func (e *Estimates) Batches(list []Batch) []BatchFit {
	all := make([]BatchFit, len(list))
	sums := make([]struct{ xd, xx float64 }, len(list))
	of := map[int64][]int{} // melt -> deliveries in it
	for i, b := range list {
		all[i].ID = b.ID
		for melt := range b.Charged {
			of[melt] = append(of[melt], i)
		}
	}
	for k := range e.Melts {
		m := &e.Melts[k]
		in := of[m.Melt]
		if len(in) == 0 || m.Suspect || m.Metal == nil || !(m.Metal.SD > 0) {
			continue
		}
		for _, i := range in {
			x := min(list[i].Charged[m.Melt]/e.rows[k].net, 1)
			if x <= 0 {
				continue
			}
			all[i].Melts++
			sums[i].xd += x * (m.Metal.Seen - m.Metal.Expected) / sq(m.Metal.SD)
			sums[i].xx += sq(x / m.Metal.SD)
		}
	}
	for i := range all {
		if all[i].Melts >= MinBatch {
			mid, half := sums[i].xd/sums[i].xx, twice90/2/math.Sqrt(sums[i].xx)
			all[i].Off = Range{mid - half, mid, mid + half}
		}
	}
	return all
}
