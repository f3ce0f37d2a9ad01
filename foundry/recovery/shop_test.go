package recovery

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
)

// plan is what kind of shop to make up.
type plan struct {
	melts, sources int
	most           int     // sources in a melt, at most
	mistyped       float64 // share of melts with a mass mistyped
	pair           bool    // the first two sources are always charged together
	blind          bool    // truths have nothing to do with the priors
	step           float64 // of the scale, kg; 0 draws 1, 2, 5 or 10 g
	heels          bool
	lots           float64    // sd of deliveries of a source about its mean
	scatter        scattering // how sources differ in theirs
}

// wrongShare is how many sources go under a form drawn at random.
const wrongShare = 0.1

// truth is a made-up shop with what is true of it.
type truth struct {
	Shop
	metal, dross       []float64
	metalPhi, drossPhi float64
	factor             []float64         // by source, how much more than usual it scatters; nil: all alike
	slips              map[int64]mistake // by melt
	wrong              map[int64]bool    // sources that go under a wrong form
}

// mistake is a reading that was mistyped.
type mistake struct {
	reading int64
	true    float64
	moved   float64 // by how much it moved yield or dross rate, in sd of a melt
}

// invent makes a shop up from a seed.
func invent(pl plan, seed uint64) truth {
	r := rand.New(rand.NewPCG(seed, 0x5eed))
	if pl.most == 0 {
		pl.most = 4
	}
	if pl.step == 0 {
		pl.step = []float64{0.001, 0.002, 0.005, 0.010}[r.IntN(4)]
	}
	t := truth{slips: map[int64]mistake{}, wrong: map[int64]bool{}}
	t.metalPhi, t.drossPhi = 0.014*math.Exp(0.35*r.NormFloat64()), 0.010*math.Exp(0.35*r.NormFloat64())
	t.inventSources(pl, r)
	t.inventScatter(pl, rand.New(rand.NewPCG(seed, 0x5ca7)))
	t.inventMelts(pl, r)
	return t
}

// inventSources draws sources about the priors of their forms; a tenth of them
// go under a wrong form, the spread is off by up to two fifths and the whole
// shop is off by some points. In a blind shop the truths are anything.
func (t *truth) inventSources(pl plan, r *rand.Rand) {
	misfit := 0.6 + 0.8*r.Float64()
	shift := 0.25 * r.NormFloat64()
	for j := range pl.sources {
		p := Priors[r.IntN(len(Priors))]
		metal, dross := t.draw(pl, p, shift, misfit, r)
		t.metal, t.dross = append(t.metal, metal), append(t.dross, dross)
		said := p
		if r.Float64() < wrongShare {
			said = Priors[r.IntN(len(Priors))]
			t.wrong[int64(100+j)] = said != p
		}
		t.Sources = append(t.Sources, Source{ID: int64(100 + j), Name: "source " + strconv.Itoa(j), Form: said.Form, Coating: said.Coating})
	}
}

// draw draws what a source gives until it is possible.
func (t *truth) draw(pl plan, p Prior, shift, misfit float64, r *rand.Rand) (metal, dross float64) {
	for metal < 0.2 || metal > 0.995 || dross < 0.004 || dross > 0.7 {
		dirt := shift + misfit*r.NormFloat64()
		metal = p.Metal.Mean - p.Metal.SD*dirt
		dross = p.Dross.Mean + p.Dross.SD*(0.7*dirt+0.7*misfit*r.NormFloat64())
		if pl.blind {
			metal = 0.55 + 0.43*r.Float64()
			dross = (1 - metal) * (0.5 + r.Float64())
		}
	}
	return metal, dross
}

// inventMelts logs the melts of a shop.
func (t *truth) inventMelts(pl plan, r *rand.Rand) {
	popular := make([]float64, pl.sources)
	for j := range popular {
		popular[j] = math.Exp(0.7 * r.NormFloat64())
	}
	var heel heelLeft
	for i := range pl.melts {
		heel = t.inventMelt(pl, r, i, popular, heel)
	}
}

// heelLeft is liquid metal in the crucible: as it is, and as it was judged.
type heelLeft struct {
	true, judged float64
	from         int64
}

func (t *truth) inventMelt(pl plan, r *rand.Rand, i int, popular []float64, in heelLeft) (out heelLeft) {
	id := int64(1000 + i)
	m := Melt{ID: id, Code: "A26-" + strconv.Itoa(1000 + i)[1:], Started: quantity.Moment(i) * 48 * quantity.Moment(quantity.Hour)}
	weigh := func(kg float64) float64 { return math.Round(kg/pl.step) * pl.step }
	u := gum.Resolution(pl.step)

	chosen := choose(pl, r, popular)
	total := 2 + 6*r.Float64()
	var metal, dross, charged, charges float64
	parts := make([]float64, len(chosen))
	for k := range chosen {
		parts[k] = 0.15 + r.ExpFloat64()
		charges += parts[k]
	}
	for k, j := range chosen {
		kg := total * parts[k] / charges
		if pl.pair && j == 1 { // the second always half as much as the first
			kg = m.Charges[k-1].Kilograms * (0.5 + 0.01*r.NormFloat64())
		}
		own := t.metal[j]
		if pl.lots > 0 {
			own += pl.lots * r.NormFloat64()
		}
		metal, dross, charged = metal+kg*own, dross+kg*t.dross[j], charged+kg
		m.Charges = append(m.Charges, Charge{Source: t.Sources[j].ID, Kilograms: weigh(kg)})
		m.Readings = append(m.Readings, Reading{ID: id*100 + int64(k), Part: PartCharge, Source: t.Sources[j].ID, Kilograms: weigh(kg)})
	}
	metalOff, drossOff, metalSD, drossSD := t.off(pl, m.Charges, charged, dross, r)
	metal = max(0.01, metal+metalOff)
	dross = max(0, dross+0.01*in.true+drossOff)

	heelU := 0.0
	if pl.heels && r.Float64() < 0.4 {
		out.true = 0.2 + 0.4*r.Float64()
		out.judged, out.from = max(0.05, out.true+max(0.05, 0.1*out.true)*r.NormFloat64()), id
	}
	for _, h := range []heelLeft{in, out} {
		if h.judged > 0 {
			heelU = math.Hypot(heelU, max(0.05, 0.1*h.judged))
		}
	}
	m.HeelIn, m.HeelFrom = in.judged, in.from
	poured := max(0.01, metal+0.99*in.true-out.true)
	recovered := out.judged - in.judged
	ingots := 1 + r.IntN(2)
	for k := range ingots {
		kg := weigh(poured / float64(ingots))
		recovered += kg
		m.Readings = append(m.Readings, Reading{ID: id*100 + 20 + int64(k), Part: PartMetal, Kilograms: kg})
	}
	m.ChargedU = u * math.Sqrt(float64(len(chosen)))
	m.Recovered = &Amount{recovered, math.Hypot(u*math.Sqrt(float64(ingots)), heelU)}
	m.Dross = &Amount{weigh(dross), u}
	m.Readings = append(m.Readings, Reading{ID: id*100 + 30, Part: PartDross, Kilograms: weigh(dross)})
	if r.Float64() < pl.mistyped {
		t.mistype(&m, metalSD/charged, drossSD/charged, r)
	}
	m.Recovered.Kilograms = max(0, m.Recovered.Kilograms)
	t.Melts = append(t.Melts, m)
	return out
}

// scattering is how the sources of a shop differ in their scatter.
type scattering string

const (
	allAlike scattering = ""                           // one scatter for all melts
	byItself scattering = "factors drawn, log-normal"  // each portion has its own, none is the melt's
	byLoss   scattering = "by loss, lost to the dross" // as in the demo shop
)

// inventScatter draws by what factor more than usual each source scatters.
func (t *truth) inventScatter(pl plan, r *rand.Rand) {
	for _, yield := range t.metal {
		switch pl.scatter {
		case byItself:
			t.factor = append(t.factor, math.Exp(0.6*r.NormFloat64()))
		case byLoss:
			t.factor = append(t.factor, (0.003+0.1*(1-yield))/0.012)
		}
	}
}

// off is by how many kilograms a melt's metal and dross are off, and the
// standard deviations of that.
func (t *truth) off(pl plan, charges []Charge, charged, dross float64, r *rand.Rand) (metalOff, drossOff, metalSD, drossSD float64) {
	// Dross is never below nothing, and what hardly makes any scatters little.
	if pl.scatter == allAlike {
		metalSD, drossSD = charged*t.metalPhi, min(charged*t.drossPhi, 0.4*dross)
		return metalSD * r.NormFloat64(), drossSD * r.NormFloat64(), metalSD, charged * t.drossPhi
	}
	for _, c := range charges {
		j := c.Source - t.Sources[0].ID
		metal := c.Kilograms * t.metalPhi * t.factor[j]
		dross := c.Kilograms * min(t.drossPhi*t.factor[j], 0.4*t.dross[j])
		lost := r.NormFloat64()
		metalOff -= metal * lost
		if pl.scatter == byLoss {
			drossOff += dross * (0.97*lost + 0.24*r.NormFloat64())
		} else {
			drossOff += dross * r.NormFloat64()
		}
		metalSD, drossSD = math.Hypot(metalSD, metal), math.Hypot(drossSD, dross)
	}
	return metalOff, drossOff, metalSD, drossSD
}

// choose draws the sources of a melt: one to most, the popular ones oftener.
func choose(pl plan, r *rand.Rand, popular []float64) []int {
	var chosen []int
	for range 1 + r.IntN(min(pl.most, pl.sources)) {
		sum := 0.0
		for j, p := range popular {
			if !slices.Contains(chosen, j) {
				sum += p
			}
		}
		at := sum * r.Float64()
		for j, p := range popular {
			if slices.Contains(chosen, j) {
				continue
			}
			if at -= p; at <= 0 {
				chosen = append(chosen, j)
				break
			}
		}
	}
	if pl.pair && (slices.Contains(chosen, 0) || slices.Contains(chosen, 1)) {
		chosen = slices.DeleteFunc(chosen, func(j int) bool { return j < 2 })
		chosen = append([]int{0, 1}, chosen...)
	}
	return chosen
}

// mistype puts a wrong figure in one reading and in the sum it belongs to.
func (t *truth) mistype(m *Melt, metalSD, drossSD float64, r *rand.Rand) {
	charged := 0.0
	for _, c := range m.Charges {
		charged += c.Kilograms
	}
	for range 100 {
		k := r.IntN(len(m.Readings))
		was := m.Readings[k].Kilograms
		is := slipOfTheFinger(was, r)
		if is == was || is <= 0 {
			continue
		}
		reading := &m.Readings[k]
		yield, rate := m.Recovered.Kilograms/charged, m.Dross.Kilograms/charged
		after := charged
		switch reading.Part {
		case PartCharge:
			for c := range m.Charges {
				if m.Charges[c].Source == reading.Source {
					m.Charges[c].Kilograms += is - was
				}
			}
			after += is - was
		case PartMetal:
			m.Recovered.Kilograms += is - was
		case PartDross:
			m.Dross.Kilograms += is - was
		}
		moved := max(math.Abs(m.Recovered.Kilograms/after-yield)/metalSD, math.Abs(m.Dross.Kilograms/after-rate)/drossSD)
		reading.Kilograms = is
		t.slips[m.ID] = mistake{reading.ID, was, moved}
		return
	}
}

// slipOfTheFinger mistypes a mass as people do: two digits swapped, a digit
// hit wrong, one left out or hit twice, a decimal point off by one, or the
// container left on.
func slipOfTheFinger(kg float64, r *rand.Rand) float64 {
	digits := []byte(strconv.Itoa(int(math.Round(kg * 1000))))
	at := r.IntN(min(2, len(digits)))
	switch r.IntN(6) {
	case 0:
		if len(digits) > at+1 {
			digits[at], digits[at+1] = digits[at+1], digits[at]
		}
	case 1:
		digits[at] = byte('0' + r.IntN(10))
	case 2:
		digits = slices.Delete(digits, at, at+1)
	case 3:
		digits = slices.Insert(digits, at, digits[at])
	case 4:
		if r.IntN(2) == 0 {
			return kg * 10
		}
		return math.Round(kg*100) / 1000
	case 5:
		return kg + []float64{0.3, 0.55, 0.85, 1.2}[r.IntN(4)]
	}
	grams, _ := strconv.Atoi(string(digits))
	return float64(grams) / 1000
}
