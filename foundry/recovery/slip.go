package recovery

import (
	"math"
	"slices"
	"strconv"
)

// Slip is a reading that may have been mistyped.
type Slip struct {
	Reading   int64   `json:"reading"`
	Part      Part    `json:"part"`
	Source    int64   `json:"source,omitempty"`
	Kilograms float64 `json:"kilograms"` // as it was typed
	Fits      float64 `json:"fits"`      // the figure that would fit best
	Chance    float64 `json:"chance"`    // that it is this reading, if it is one of them
}

// How people mistype, and how often one way or another. Judgement.
const (
	swapped    = 0.20 // two neighbouring digits
	wrongDigit = 0.25
	leftOut    = 0.15 // a digit
	hitTwice   = 0.10 // a digit
	pointOff   = 0.15 // decimal point, by one place
	unitOff    = 0.02 // pounds for kilograms or the other way round
	anything   = 0.13 // container not taken off, another pile, …
)

// pound is exactly 0.45359237 kg (international yard and pound agreement, 1959).
const pound = 0.45359237

// named is how many readings are named at most.
const named = 3

// slips weighs the readings of a suspect melt against one another: each is
// replaced by what it may have been, and the melt held against what the other
// melts say of it.
func (e *Estimates) slips(i int) []Slip {
	m := e.shop.Melts[e.rows[i].melt]
	as := e.expected(m)
	var list []Slip
	total := 0.0
	for _, reading := range m.Readings {
		s := Slip{Reading: reading.ID, Part: reading.Part, Source: reading.Source, Kilograms: reading.Kilograms}
		best := 0.0
		for _, c := range couldBe(reading.Kilograms) {
			other, expected := m.with(reading, c.kg), as
			if reading.ofCharge() {
				expected = e.expected(other)
			}
			w := c.part * e.likelihood(i, other, expected)
			s.Chance += w
			if w > best {
				best, s.Fits = w, c.kg
			}
		}
		total += s.Chance
		list = append(list, s)
	}
	if total == 0 {
		return nil
	}
	sortBy(list, func(s Slip) float64 { return -s.Chance })
	list = list[:min(len(list), named)]
	for k := range list {
		list[k].Chance /= total
	}
	return list
}

// ofCharge reports whether the reading says what was charged.
func (r Reading) ofCharge() bool {
	return r.Part == PartCharge || r.Part == PartSteel || r.Part == PartTare && r.Source != 0
}

// candidate is what a reading may have been, with its share of the belief.
type candidate struct{ kg, part float64 }

// couldBe lists what a typed mass may have been. The digits are those of its
// grams.
func couldBe(kg float64) []candidate {
	list := anyMass(kg)
	kind := func(part float64, values []float64) {
		for _, v := range values {
			list = append(list, candidate{v, part / float64(len(values))})
		}
	}
	digits := strconv.Itoa(int(math.Round(kg * 1000)))
	kind(swapped, variants(digits, 1, func(d []byte, at, _ int) []byte {
		if at+1 == len(d) {
			return nil
		}
		d[at], d[at+1] = d[at+1], d[at]
		return d
	}))
	kind(wrongDigit, variants(digits, 10, func(d []byte, at, k int) []byte {
		d[at] = byte('0' + k)
		return d
	}))
	kind(leftOut, variants(digits, 10, func(d []byte, at, k int) []byte { return slices.Insert(d, at, byte('0'+k)) }))
	kind(hitTwice, variants(digits, 1, func(d []byte, at, _ int) []byte { return slices.Delete(d, at, at+1) }))
	kind(pointOff, []float64{10 * kg, kg / 10})
	kind(unitOff, []float64{kg * pound, kg / pound})
	return list
}

// variants changes the digits at every place in every way, and gives the
// masses that differ from what was typed.
func variants(digits string, ways int, change func(d []byte, at, way int) []byte) (kg []float64) {
	for at := range len(digits) {
		for way := range ways {
			d := change([]byte(digits), at, way)
			if len(d) == 0 || string(d) == digits {
				continue
			}
			grams, err := strconv.Atoi(string(d))
			if err == nil {
				kg = append(kg, float64(grams)/1000)
			}
		}
	}
	return kg
}

// anyMass lets a reading have been anything from nothing to thrice what it is,
// or half a kilogram where it is very little.
func anyMass(kg float64) []candidate {
	const steps = 100
	reach := max(3*kg, 0.5)
	list := make([]candidate, steps)
	for k := range list {
		list[k] = candidate{reach * float64(k) / steps, anything / steps}
	}
	return list
}

// with is the melt as it would be with another figure for a reading.
func (m Melt) with(r Reading, kg float64) Melt {
	more := kg - r.Kilograms
	part := r.Part
	if part == PartTare { // a heavier container leaves less in it
		more, part = -more, PartMetal
		if r.Source != 0 {
			part = PartCharge
		}
	}
	switch part {
	case PartCharge:
		m.Charges = slices.Clone(m.Charges)
		for i, c := range m.Charges {
			if c.Source == r.Source {
				m.Charges[i].Kilograms = c.Kilograms + more
				break
			}
		}
	case PartMetal, PartHeelOut:
		m.Recovered = m.Recovered.plus(more)
	case PartHeelIn:
		m.Recovered = m.Recovered.plus(-more)
	case PartDross:
		m.Dross = m.Dross.plus(more)
	case PartSteel:
		m.Steel += more
	}
	return m
}

func (a *Amount) plus(kg float64) *Amount {
	if a == nil {
		return nil
	}
	return &Amount{a.Kilograms + kg, a.U}
}

// blendOf is what a melt's charge lets expect.
type blendOf struct{ kg, metal, dross float64 }

// expected is what the sources of a melt give by their means; kg is 0 when the
// masses cannot be worked with.
func (e *Estimates) expected(m Melt) (b blendOf) {
	net, _, why := m.netCharges(e.index)
	if why != "" {
		return blendOf{}
	}
	for _, s := range net {
		b.kg += s.part
		b.metal += s.part * e.Sources[s.source].Metal.Mean
		b.dross += s.part * e.Sources[s.source].Dross.Mean
	}
	return b
}

// likelihood is how well a melt would fit in the place of melt i.
func (e *Estimates) likelihood(i int, m Melt, as blendOf) float64 {
	if as.kg <= 0 {
		return 0
	}
	log := 0.0
	if h := e.Melts[i].Metal; h != nil && m.Recovered != nil {
		log -= sq((m.Recovered.Kilograms-as.metal)/as.kg/h.SD) / 2
	}
	if h := e.Melts[i].Dross; h != nil && m.Dross != nil {
		log -= sq((m.Dross.Kilograms-as.dross)/as.kg/h.SD) / 2
	}
	return math.Exp(log)
}
