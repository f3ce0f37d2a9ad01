package curve

import (
	"math"

	"drosswise/foundry/quantity"
)

// Flow is an energy that flowed, with its standard uncertainty. What the meter
// itself is off by is not in it.
type Flow struct {
	Joules, U float64
	From      Channel // Energy for a counter, Power, or Voltage for volts times amperes
	Name      string  // of the sensor
	Gaps      quantity.Span
}

// meterError is what a plug meter is off by at most, as a share: that of a meter
// of class 2 (IEC 62053-21:2020, from memory). Those sold for sockets promise no
// more.
const meterError = 0.02

// Apart reports whether two energies of one melt differ by more than two meters
// and both uncertainties, taken twice, account for.
func (f Flow) Apart(g Flow) bool {
	return math.Abs(f.Joules-g.Joules) > meterError*(f.Joules+g.Joules)+2*math.Hypot(f.U, g.U)
}

// Counted is the energy that a counter counted. Where it goes back it began
// anew (RFC 8428, section 6, on sums): what it shows then was counted since, and
// what was lost before is taken to be half of what flowed at the rate before,
// known to a rectangular distribution. Both ends are known to a step of the
// counter (JCGM 100:2008, 4.3.7). It mends the doubts of the course.
func (k *Course) Counted() (f Flow, ok bool) {
	if len(k.Samples) < 2 {
		return f, false
	}
	var variance, step float64
	var rate float64 // W, over the step before
	reset := Doubt{Kind: Reset}
	for i := 1; i < len(k.Samples); i++ {
		a, b := k.Samples[i-1], k.Samples[i]
		dt := seconds(b.At.Since(a.At))
		rise := float64(b.Value - a.Value)
		if rise < 0 {
			if reset.Count == 0 {
				reset.At = b.At
			}
			reset.Count++
			lost := math.Max(0, rate*dt-float64(b.Value))
			rise = float64(b.Value) + lost/2
			variance += lost * lost / 12
		} else if dt > 0 {
			if rise > 0 && (step == 0 || rise < step) {
				step = rise
			}
			rate = rise / dt
		}
		f.Joules += rise
	}
	if reset.Count > 0 {
		k.Doubts = append(k.Doubts, reset)
	}
	variance += step * step / 6
	f.U, f.From = math.Sqrt(variance), Energy
	return f, true
}

// Integrated is the energy under a course of power by the trapezoidal rule.
// Between two readings the change may have come at any time, so that the energy
// of each step is known to a rectangle of change times time; over a gap, to one
// of the greatest power times the gap.
func (k Course) Integrated() (f Flow, ok bool) {
	if len(k.Samples) < 2 {
		return f, false
	}
	most, variance := 0.0, 0.0
	for _, x := range k.Samples {
		most = math.Max(most, math.Abs(Power.Plain(x.Value)))
	}
	for i := 1; i < len(k.Samples); i++ {
		a, b := Power.Plain(k.Samples[i-1].Value), Power.Plain(k.Samples[i].Value)
		dt := seconds(k.Samples[i].At.Since(k.Samples[i-1].At))
		f.Joules += (a + b) / 2 * dt
		width := math.Abs(b-a) * dt
		if k.gapped(i) {
			width = most * dt
			f.Gaps += k.Samples[i].At.Since(k.Samples[i-1].At)
		}
		variance += width * width / 12
	}
	f.U, f.From = math.Sqrt(variance), Power
	return f, true
}

// VoltsTimesAmperes makes a course of power of one of volts and one of amperes,
// at the times of the amperes while there are volts: what a heater takes, which
// has no phase of its own.
func VoltsTimesAmperes(volts, amps Course) Course {
	k := Course{Channel: Power, Step: amps.Step}
	i := 0
	for _, x := range amps.Samples {
		for i+1 < len(volts.Samples) && volts.Samples[i+1].At <= x.At {
			i++
		}
		if len(volts.Samples) == 0 || x.At < volts.Samples[0].At || i+1 == len(volts.Samples) && x.At > volts.Samples[i].At {
			continue
		}
		v := between(volts.Samples, i, x.At)
		k.Samples = append(k.Samples, Sample{x.At, int64(math.Round(v * float64(x.Value) / 1000))})
	}
	return k
}

// between is the value at a time from the reading at or before it and the next.
func between(all []Sample, i int, at quantity.Moment) float64 {
	a := all[i]
	if i+1 == len(all) || at == a.At {
		return float64(a.Value)
	}
	b := all[i+1]
	return float64(a.Value) + float64(b.Value-a.Value)*float64(at-a.At)/float64(b.At-a.At)
}

func seconds(s quantity.Span) float64 { return float64(s) / float64(quantity.Second) }
