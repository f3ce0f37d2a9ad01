package recovery

import (
	"cmp"
	"math"
	"slices"

	"drosswise/foundry/quantity"
)

// What is not weighed adds doubt to a melt's yield: the standard uncertainty
// as a share of the mass concerned. Judgement, no source; chosen so that such
// melts count for a fraction of a plainly weighed one.
const (
	AsFoundDoubt = 0.05 // unknown attachments on what was weighed as found
	WetDoubt     = 0.03 // unknown water on what was not dry
	SpillDoubt   = 0.03 // metal spilled and not weighed, share of the charge
	HeelDoubt    = 0.01 // what else a heel brings with it, share of the heel
)

// HeelAgain is how much of its sources' first loss and dross a heel has again
// when it is melted through once more: a tenth. Clean ingot and returns lose
// 0.5-2 % (common practice, no source) where scrap loses some 5-20 %.
const HeelAgain = 0.1

// OutCode says why a melt could not be read.
type OutCode string

// Why a melt is left out.
const (
	OutNoCharge OutCode = "no_charge" // nothing charged, or nothing left after the steel
	OutNoMetal  OutCode = "no_metal"  // neither metal nor dross is known
	OutSource   OutCode = "source"    // a source that is not in the list
	OutNumber   OutCode = "number"    // a mass below zero or not a number
)

// Out is a melt that is left out, and why.
type Out struct {
	Melt int64   `json:"melt"`
	Code string  `json:"code"`
	Why  OutCode `json:"why"`
}

// row is one melt as the model sees it.
type row struct {
	melt      int // index into Shop.Melts
	at        quantity.Moment
	net       float64 // C − A, kg
	shares    []share // by source, rising; the heel's ancestry included
	metal     float64 // y; NaN when not known
	dross     float64
	metalVar  float64 // w²
	drossVar  float64
	heelShift float64 // what was added to y for the heel
}

// rest is the share of the charge that became neither metal nor dross, with
// its variance.
func (r row) rest() (y, variance float64) {
	return 1 - (r.metal - r.heelShift) - r.dross, r.metalVar + r.drossVar
}

// table turns the melts into rows, the oldest first.
func (s Shop) table() (rows []row, out []Out) {
	index := make(map[int64]int, len(s.Sources))
	for i, src := range s.Sources {
		index[src.ID] = i
	}
	order := make([]int, len(s.Melts))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(s.Melts[a].Started, s.Melts[b].Started), cmp.Compare(s.Melts[a].ID, s.Melts[b].ID))
	})
	left := s.leavers()
	rows, out = make([]row, 0, len(order)), []Out{}
	for _, i := range order {
		r, blend, why := s.Melts[i].row(index, left)
		if why != "" {
			out = append(out, Out{s.Melts[i].ID, s.Melts[i].Code, why})
			continue
		}
		r.melt = i
		rows = append(rows, r)
		if _, leaves := left[s.Melts[i].ID]; leaves {
			left[s.Melts[i].ID] = blend
		}
	}
	return rows, out
}

// leavers are the melts whose heel went into another; what was in it is filled
// in as the melts are gone through.
func (s Shop) leavers() map[int64][]share {
	left := map[int64][]share{}
	for _, m := range s.Melts {
		if m.HeelFrom != 0 {
			left[m.HeelFrom] = nil
		}
	}
	return left
}

// row reads a melt; blend is what its metal was made of at the end.
func (m Melt) row(index map[int64]int, left map[int64][]share) (r row, blend []share, why OutCode) {
	net, extra, why := m.netCharges(index)
	if why != "" {
		return row{}, nil, why
	}
	for _, c := range net {
		r.net += c.part
	}
	if r.net <= 0 {
		return row{}, nil, OutNoCharge
	}
	if m.Recovered == nil && m.Dross == nil {
		return row{}, nil, OutNoMetal
	}
	heel := max(0, m.HeelIn)
	ancestry := left[m.HeelFrom]
	if m.HeelFrom == 0 {
		ancestry = nil
	}
	blend = merge(net, 1/(r.net+heel), ancestry, heel/(r.net+heel))
	r.at = m.Started
	r.shares = merge(net, 1/r.net, ancestry, HeelAgain*heel/r.net)
	if len(ancestry) > 0 {
		r.heelShift = HeelAgain * heel / r.net
	}
	extra += sq(HeelDoubt * heel / r.net)
	r.metal, r.metalVar = m.rate(m.Recovered, r.net, extra)
	r.metal += r.heelShift
	if m.Spilled {
		r.metalVar += sq(SpillDoubt)
	}
	r.dross, r.drossVar = m.rate(m.Dross, r.net, extra)
	return r, trim(blend), ""
}

// rate is an amount over the charge with its variance, in the absolute form
// u² = (u_M² + y² u_C²)/C² (JCGM 100:2008, 5.1.2), which holds at zero too.
func (m Melt) rate(a *Amount, net, extra float64) (y, variance float64) {
	if a == nil {
		return math.NaN(), 0
	}
	y = a.Kilograms / net
	seen := min(max(y, 0), 1)
	return y, (sq(a.U)+sq(seen*m.ChargedU))/sq(net) + extra
}

func sq(x float64) float64 { return x * x }

func bad(x float64) bool { return x < 0 || math.IsNaN(x) || math.IsInf(x, 0) }

func badAmount(a *Amount) bool { return a != nil && (bad(a.Kilograms) || bad(a.U)) }
