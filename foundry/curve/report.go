package curve

import (
	"math"

	"drosswise/foundry/quantity"
)

// Pixels are how many a curve is drawn on at most.
const Pixels = 360

// Report is what the readings of a melt come to, small enough to be kept beside
// it and shown at once.
type Report struct {
	From, To quantity.Moment // first and last reading
	Curves   []Curve
	Energy   *Flow   // of the best there is: a counter, power, or volts and amperes
	Other    []Flow  // of others, to hold against it
	Heats    []Heats // of each temperature
}

// Curve is a series as it is drawn.
type Curve struct {
	ID          int64 // the caller's
	Channel     Channel
	Name        string
	Count       int // readings, those left out too
	Least, Most int64
	Runs        [][]Sample // thinned, each without a gap
	Doubts      []Doubt
}

// Heats is what a temperature tells.
type Heats struct {
	Name     string
	Most     quantity.Temperature
	Fastest  *Rate
	Plateaus []Plateau
	Stays    []Stay
}

// Numbered is a series with its caller's number.
type Numbered struct {
	ID int64
	Series
}

// Work makes the report of all series of a melt that stand.
func Work(all []Numbered) Report {
	var r Report
	courses := make([]Course, 0, len(all))
	for _, s := range all {
		if len(s.Samples) == 0 {
			continue
		}
		first, last := s.Samples[0].At, s.Samples[len(s.Samples)-1].At
		if len(courses) == 0 {
			r.From, r.To = first, last
		}
		r.From, r.To = min(r.From, first), max(r.To, last)
		k := Clean(s.Channel, s.Samples)
		r.energy(&k, s.Name)
		r.heats(k, s.Name)
		courses = append(courses, k)
		r.Curves = append(r.Curves, Curve{ID: s.ID, Channel: s.Channel, Name: s.Name, Count: len(s.Samples), Doubts: k.Doubts})
	}
	r.fromVoltsAndAmperes(courses)
	for i, k := range courses {
		r.Curves[i].draw(k, r.From, r.To)
	}
	return r
}

// stillReading is how far a sensor may be behind the newest of all and still be
// taken to read.
const stillReading = quantity.Minute

// Temperature gives the last temperature and the sensor that read it: the first
// one of those that still read, so that two that send in turns do not take each
// other's place. Readings that were doubted are none. ok is false where nothing
// read a temperature.
func (r Report) Temperature() (name string, last Sample, ok bool) {
	var read []Curve
	var newest quantity.Moment
	for _, c := range r.Curves {
		if c.Channel == Temperature && len(c.Runs) > 0 {
			read = append(read, c)
			newest = max(newest, c.last().At)
		}
	}
	for _, c := range read {
		if newest.Since(c.last().At) <= stillReading {
			return c.Name, c.last(), true
		}
	}
	return "", last, false
}

// last is the newest sample that is drawn; thinning keeps it.
func (c Curve) last() Sample {
	run := c.Runs[len(c.Runs)-1]
	return run[len(run)-1]
}

// draw thins a course run by run. A gap that is no wider than a pixel is not seen
// and breaks nothing.
func (c *Curve) draw(k Course, from, to quantity.Moment) {
	c.Least, c.Most = math.MaxInt64, math.MinInt64
	start, pixel := 0, to.Since(from)/Pixels
	for i, x := range k.Samples {
		c.Least, c.Most = min(c.Least, x.Value), max(c.Most, x.Value)
		if i+1 == len(k.Samples) || k.gapped(i+1) && k.Samples[i+1].At.Since(x.At) > pixel {
			c.Runs = append(c.Runs, Thin(k.Samples[start:i+1], from, to, Pixels))
			start = i + 1
		}
	}
}

// energy adds what flowed by a course. A counter counts between readings too, so
// it goes before power.
func (r *Report) energy(k *Course, name string) {
	var f Flow
	var ok bool
	switch k.Channel {
	case Energy:
		f, ok = k.Counted()
	case Power:
		f, ok = k.Integrated()
	}
	if ok {
		f.Name = name
		r.flow(f)
	}
}

// flow keeps the better of two as the energy of the melt.
func (r *Report) flow(f Flow) {
	better := r.Energy == nil || f.From == r.Energy.From && f.Joules > r.Energy.Joules || f.From == Energy && r.Energy.From != Energy
	if better {
		if r.Energy != nil {
			r.Other = append(r.Other, *r.Energy)
		}
		r.Energy = &f
		return
	}
	r.Other = append(r.Other, f)
}

// fromVoltsAndAmperes reckons energy where nothing else tells it, and only where
// there is one of each, since nothing says which would go together.
func (r *Report) fromVoltsAndAmperes(courses []Course) {
	var volts, amps []int
	for i, k := range courses {
		switch k.Channel {
		case Voltage:
			volts = append(volts, i)
		case Current:
			amps = append(amps, i)
		}
	}
	if r.Energy != nil || len(volts) != 1 || len(amps) != 1 {
		return
	}
	if f, ok := VoltsTimesAmperes(courses[volts[0]], courses[amps[0]]).Integrated(); ok {
		f.From, f.Name = Voltage, r.Curves[volts[0]].Name
		r.Energy = &f
	}
}

func (r *Report) heats(k Course, name string) {
	if k.Channel != Temperature || len(k.Samples) == 0 {
		return
	}
	h := Heats{Name: name, Most: math.MinInt64, Plateaus: k.Plateaus(), Stays: k.Stays()}
	for _, x := range k.Samples {
		h.Most = max(h.Most, quantity.Temperature(x.Value))
	}
	if rate, ok := k.Fastest(); ok {
		h.Fastest = &rate
	}
	r.Heats = append(r.Heats, h)
}
