package recovery

import "math"

// MeltFit is one melt held against what all the others say of its charge.
type MeltFit struct {
	Melt  int64  `json:"melt"`
	Code  string `json:"code"`
	Metal *Held  `json:"metal"` // nil when not known
	Dross *Held  `json:"dross"`
	Rest  *Held  `json:"unaccounted"` // what became neither; nil unless both are known
	// Suspect says that a mass may have been mistyped; Slips then names the
	// likeliest ones first, when the readings are known.
	Suspect bool   `json:"suspect"`
	Slips   []Slip `json:"slips,omitempty"`
}

// Held is a share as it was seen beside what was to be expected.
type Held struct {
	Seen     float64 `json:"seen"`
	Expected float64 `json:"expected"` // from all other melts
	SD       float64 `json:"sd"`       // of the difference
	Z        float64 `json:"z"`        // difference / SD
	Mistyped float64 `json:"mistyped"` // chance that a mass was mistyped
}

// Unusual is how far from what its charge lets expect a melt came out.
type Unusual string

// How unusual a melt is: within 2 standard deviations, to 3, and beyond.
const (
	AsExpected  Unusual = "as_expected"
	SomewhatOff Unusual = "somewhat_off"
	FarOff      Unusual = "far_off"
	NotKnown    Unusual = "not_known"
	somewhat            = 2.0
	far                 = 3.0
)

// Unusual says how unusual the share was.
func (h *Held) Unusual() Unusual {
	switch {
	case h == nil:
		return NotKnown
	case math.Abs(h.Z) < somewhat:
		return AsExpected
	case math.Abs(h.Z) < far:
		return SomewhatOff
	}
	return FarOff
}

// Melt finds how a melt fits.
func (e *Estimates) Melt(id int64) (MeltFit, bool) {
	for i, m := range e.Melts {
		if m.Melt == id {
			if m.Suspect && m.Slips == nil {
				m.Slips = e.slips(i)
			}
			return m, true
		}
	}
	return MeltFit{}, false
}

// Suspects are the melts that do not fit, the oldest first.
func (e *Estimates) Suspects() []MeltFit {
	var list []MeltFit
	for _, m := range e.Melts {
		if m.Suspect {
			list = append(list, m)
		}
	}
	return list
}

// hold fills in Melts.
func (e *Estimates) hold(metal, dross, rest *problem) {
	e.Melts = make([]MeltFit, len(e.rows))
	for i, r := range e.rows {
		m := &e.shop.Melts[r.melt]
		e.Melts[i].Melt, e.Melts[i].Code = m.ID, m.Code
	}
	metal.show(func(i int32) (float64, **Held) { return e.rows[i].metal - e.rows[i].heelShift, &e.Melts[i].Metal })
	dross.show(func(i int32) (float64, **Held) { return e.rows[i].dross, &e.Melts[i].Dross })
	rest.show(func(i int32) (float64, **Held) { y, _ := e.rows[i].rest(); return y, &e.Melts[i].Rest })
	slips := 0
	for i := len(e.Melts) - 1; i >= 0; i-- {
		m := &e.Melts[i]
		m.Suspect = m.Metal.doubtful() || m.Dross.doubtful() || m.Rest.doubtful()
		if m.Suspect && slips < slipsFor {
			m.Slips = e.slips(i)
			slips++
		}
	}
}

// slipsFor is how many suspect melts get their Slips at once, the newest first:
// all of them in any shop where someone will look. [Estimates.Melt] works out
// the rest when asked.
const slipsFor = 100

func (h *Held) doubtful() bool { return h != nil && h.Mistyped > suspicious }

// show puts how each melt fits where it belongs.
func (p *problem) show(where func(row int32) (seen float64, held **Held)) {
	all := make([]Held, len(p.held)) // one piece of memory for all
	for i, f := range p.held {
		seen, held := where(p.rows[i])
		h := &all[i]
		*h = Held{Seen: seen, Expected: seen - f.residual, SD: math.Sqrt(f.noise + f.variance), Mistyped: p.suspect[i]}
		h.Z = f.residual / h.SD
		*held = h
	}
}
