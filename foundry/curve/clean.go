package curve

import (
	"math"
	"slices"

	"drosswise/foundry/quantity"
)

// Course is a series made ready to be reckoned with: what is doubted is mended
// or left out, and said. The readings themselves are not touched.
type Course struct {
	Channel Channel
	Samples []Sample
	Step    quantity.Span // usual time from one reading to the next
	Gaps    []Gap
	Doubts  []Doubt
}

// Gap is a time without readings.
type Gap struct{ From, To quantity.Moment }

// Span is how long it is.
func (g Gap) Span() quantity.Span { return g.To.Since(g.From) }

// What a gap is: so many usual steps, and at least so long. Common practice, no
// source.
const (
	gapSteps = 5
	gapLeast = quantity.Minute
)

// Clean makes a series ready. The samples are in the order of their times.
func Clean(c Channel, samples []Sample) Course {
	k := Course{Channel: c, Samples: slices.Clone(samples)}
	k.unslip()
	switch c {
	case Temperature:
		k.unspike()
	case Energy:
		k.unglitch()
	case Power:
		k.unsurge(least)
		k.small()
	case Voltage, Current:
		k.unsurge(1_000)
	}
	k.Step = usualStep(k.Samples)
	for i := 1; i < len(k.Samples); i++ {
		g := Gap{k.Samples[i-1].At, k.Samples[i].At}
		if g.Span() > max(gapSteps*k.Step, gapLeast) {
			k.Gaps = append(k.Gaps, g)
		}
	}
	if len(k.Gaps) > 0 {
		d := Doubt{Kind: Gapped, Count: len(k.Gaps), At: k.Gaps[0].From}
		for _, g := range k.Gaps {
			d.Lasted += g.Span()
		}
		k.Doubts = append(k.Doubts, d)
	}
	return k
}

// usualStep is the median time between readings.
func usualStep(all []Sample) quantity.Span {
	if len(all) < 2 {
		return 0
	}
	steps := make([]quantity.Span, len(all)-1)
	for i := range steps {
		steps[i] = all[i+1].At.Since(all[i].At)
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

// gapped reports whether no reading was made between one and the one before it.
func (k Course) gapped(i int) bool {
	return k.Samples[i].At.Since(k.Samples[i-1].At) > max(gapSteps*k.Step, gapLeast)
}

// slip is how a value comes out when a unit slips: factor times it and more.
type slip struct {
	kind         Kind
	factor, more float64
}

func (s slip) of(v float64) float64   { return v*s.factor + s.more }
func (s slip) back(v float64) float64 { return (v - s.more) / s.factor }

// slips are those that are looked for, by channel: degrees Fahrenheit and
// kelvins for degrees Celsius, and steps of a thousand of a counter. Power is not
// looked at: what a plug takes beside the heating may be any part of it.
var slips = map[Channel][]slip{
	Temperature: {{Fahrenheit, 1.8, 3200}, {Kelvin, 1, 27315}},
	Energy:      {{Thousandth, 1e-3, 0}, {Thousandfold, 1e3, 0}},
}

// leastJump is how large a jump must be to be looked at, in the channel's unit:
// 30 K, 0.1 kWh. Common practice, no source.
var leastJump = map[Channel]float64{Temperature: 30_00, Energy: 360_000}

// unslip turns back stretches that begin with a jump which a slip of the unit
// explains to within 1 %, and end with the jump back. Where there is no jump back
// it is only said: a probe that is put into the metal jumps too.
func (k *Course) unslip() {
	all := k.Samples
	for i := 1; i < len(all); i++ {
		was, v := float64(all[i-1].Value), float64(all[i].Value)
		if math.Abs(v-was) < leastJump[k.Channel] || was == 0 {
			continue
		}
		for _, s := range slips[k.Channel] {
			if !alike(v, s.of(was)) || !k.stays(i) {
				continue
			}
			d := Doubt{Kind: s.kind, At: all[i].At}
			end := i + 1
			for end < len(all) && !alike(float64(all[end].Value), s.back(float64(all[end-1].Value))) {
				end++
			}
			if d.Count = end - i; end == len(all) {
				d.Left = true
			} else {
				for n := range all[i:end] {
					all[i+n].Value = int64(math.Round(s.back(float64(all[i+n].Value))))
				}
			}
			k.Doubts = append(k.Doubts, d)
			i = end
			break
		}
	}
}

func alike(a, b float64) bool {
	return math.Abs(a-b) <= 0.01*math.Max(math.Abs(a), math.Abs(b))
}

// stays reports whether the next readings are like one that jumped: one alone
// is a spike.
func (k *Course) stays(i int) bool {
	end := min(i+4, len(k.Samples))
	v := float64(k.Samples[i].Value)
	for _, x := range k.Samples[i+1 : end] {
		if math.Abs(float64(x.Value)-v) > 0.1*math.Abs(v) {
			return false
		}
	}
	return end-i == 4
}

// least is the least power in milliwatts that any furnace takes when it heats.
// Common practice, no source.
const least = 50_000

// small doubts a power that is too small throughout.
func (k *Course) small() {
	var most int64
	for _, x := range k.Samples {
		most = max(most, x.Value)
	}
	if most > 0 && most < least {
		k.Doubts = append(k.Doubts, Doubt{Kind: Small, Count: len(k.Samples), At: k.Samples[0].At})
	}
}

// unspike leaves out readings of temperature that stand apart from the three on
// either side: further from their median than six times their scatter (1.4826
// times the median deviation; Hampel's identifier, from memory), and 30 K.
func (k *Course) unspike() {
	const side = 3
	all := k.Samples
	if len(all) < 2*side+1 {
		return
	}
	kept := make([]Sample, 0, len(all))
	var window, away [2*side + 1]int64
	var d Doubt
	for i, x := range all {
		from := min(max(i-side, 0), len(all)-len(window))
		for j := range window {
			window[j] = all[from+j].Value
		}
		middle := median(window[:])
		for j := range away {
			away[j] = abs(all[from+j].Value - middle)
		}
		far := float64(abs(x.Value - middle))
		if far > leastJump[Temperature] && far > 6*1.4826*float64(median(away[:])) {
			if d.Count == 0 {
				d = Doubt{Kind: Spiked, At: x.At}
			}
			d.Count++
			continue
		}
		kept = append(kept, x)
	}
	if d.Count > 0 {
		k.Doubts = append(k.Doubts, d)
	}
	k.Samples = kept
}

// unsurge leaves out single readings of power, volts or amperes beyond three
// times the most that two readings in a row reach. An element that switches
// faster than the logger reads stands alone too, so that where more than one in
// a hundred stands out, or two in a row never reach the floor, none is touched.
// Common practice, no source.
func (k *Course) unsurge(floor int64) {
	const times, oneIn = 3, 100
	var held int64
	for i := 1; i < len(k.Samples); i++ {
		held = max(held, min(abs(k.Samples[i-1].Value), abs(k.Samples[i].Value)))
	}
	d := Doubt{Kind: Spiked}
	kept := make([]Sample, 0, len(k.Samples))
	for _, x := range k.Samples {
		if abs(x.Value) <= times*held {
			kept = append(kept, x)
			continue
		}
		if d.Count == 0 {
			d.At = x.At
		}
		d.Count++
	}
	if held < floor || d.Count == 0 || d.Count > 1+len(k.Samples)/oneIn {
		return
	}
	k.Samples, k.Doubts = kept, append(k.Doubts, d)
}

// unglitch leaves out readings of a counter without which it would not go back.
func (k *Course) unglitch() {
	kept := k.Samples[:0]
	var d Doubt
	for i, x := range k.Samples {
		if len(kept) > 0 && i+1 < len(k.Samples) {
			before, after := kept[len(kept)-1].Value, k.Samples[i+1].Value
			if after >= before && (x.Value < before || x.Value > after) {
				if d.Count == 0 {
					d = Doubt{Kind: Spiked, At: x.At}
				}
				d.Count++
				continue
			}
		}
		kept = append(kept, x)
	}
	if d.Count > 0 {
		k.Doubts = append(k.Doubts, d)
	}
	k.Samples = kept
}

// median sorts a few numbers in place and gives the middle one.
func median(few []int64) int64 {
	for i := 1; i < len(few); i++ {
		for j := i; j > 0 && few[j] < few[j-1]; j-- {
			few[j], few[j-1] = few[j-1], few[j]
		}
	}
	return few[len(few)/2]
}

func abs(x int64) int64 {
	if x < 0 {
		return -x
	}
	return x
}
