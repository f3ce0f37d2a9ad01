package api

import (
	"time"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
)

// Curve is what the readings of a melt come to. The readings themselves are told
// by series.
type Curve struct {
	Old     bool         `json:"old" doc:"More has come since this was made; it is being made anew."`
	From    *time.Time   `json:"from" doc:"The first reading; null while there is none that stands."`
	To      *time.Time   `json:"to" doc:"The last."`
	Energy  *Flow        `json:"energy" doc:"By the best there is: a counter, else power, else volts times amps. null where nothing tells it. The sheet of the melt does not take it over."`
	Others  []Flow       `json:"other_energies" nullable:"false" doc:"By other sensors, to hold against it."`
	Heats   []Heat       `json:"heats" nullable:"false" doc:"What each sensor of a temperature tells."`
	Sensors []CurveOfOne `json:"sensors" nullable:"false" doc:"Each series that stands."`
}

// Flow is an energy that flowed.
type Flow struct {
	Energy float64 `json:"energy_kwh"`
	U      float64 `json:"energy_u_kwh" doc:"Standard uncertainty of how it was read and added up. What the meter itself is off by is not in it."`
	From   string  `json:"by" enum:"counter,power,volts_amps" doc:"counter: read off a meter. power: power over time. volts_amps: volts times amps over time."`
	Name   string  `json:"name" doc:"Of the sensor; of the one for volts where it is by volts times amps."`
	Gaps   float64 `json:"gaps_s" doc:"Seconds of it in which nothing was read."`
}

// Heat is what a temperature tells.
type Heat struct {
	Name     string    `json:"name" doc:"Of the sensor."`
	Most     float64   `json:"hottest_c" doc:"°C."`
	Fastest  *Rate     `json:"fastest" doc:"null where it did not rise for ten minutes without a gap."`
	Plateaus []Plateau `json:"plateaus" nullable:"false" doc:"Where it stood for three minutes or more on its way, as metal does that melts or freezes; the longest three, in the order of time."`
	Stays    []Stay    `json:"stays" nullable:"false" doc:"How long it was above 600 °C and each hundred beyond, as far as it got."`
}

// Rate is the fastest heating.
type Rate struct {
	From time.Time `json:"from" doc:"Where the ten minutes begin."`
	Rate float64   `json:"rate_k_per_h" doc:"Kelvin an hour, over ten minutes."`
}

// Plateau is where a temperature stood.
type Plateau struct {
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Temp    float64   `json:"temp_c"`
	Falling bool      `json:"freezing" doc:"It came from above: metal froze. Else it melted."`
}

// Stay is the time spent above a temperature.
type Stay struct {
	Above float64 `json:"above_c"`
	Span  float64 `json:"seconds"`
}

// CurveOfOne is what is told of one series.
type CurveOfOne struct {
	Series  int64        `json:"series" doc:"Its number."`
	Channel Channel      `json:"channel"`
	Name    string       `json:"name"`
	Unit    string       `json:"unit" doc:"Of least and most: Cel, W, J, V or A."`
	Count   int          `json:"count" doc:"How many readings it has, those left out too."`
	Least   *float64     `json:"least" doc:"Of those that count; null where none does."`
	Most    *float64     `json:"most"`
	Doubts  []CurveDoubt `json:"doubts" nullable:"false" doc:"What was found in it and mended or allowed for."`
}

// CurveDoubt is something that was found in a series.
type CurveDoubt struct {
	Kind   string    `json:"kind" enum:"gap,spike,reset,fahrenheit,kelvin,thousandth,thousandfold,small"`
	Count  int       `json:"count" doc:"How often, or how many readings."`
	At     time.Time `json:"at" doc:"The first time."`
	Lasted float64   `json:"lasted_s" doc:"Seconds of gaps together; 0 for what is none."`
	Left   bool      `json:"left" doc:"It may be right, and was left as it is."`
	Says   string    `json:"says" doc:"In a sentence, in the units of the shop's pages."`
}

// flowWords say what an energy is by.
var flowWords = map[curve.Channel]string{curve.Energy: "counter", curve.Power: "power", curve.Voltage: "volts_amps"}

// CurveOf tells a report; sentences are in a style.
func CurveOf(r curve.Report, old bool, s quantity.Style) Curve {
	told := Curve{Old: old, Others: []Flow{}, Heats: []Heat{}, Sensors: []CurveOfOne{}}
	if len(r.Curves) > 0 {
		told.From, told.To = new(moment(r.From)), new(moment(r.To))
	}
	if r.Energy != nil {
		told.Energy = new(flowOf(*r.Energy))
	}
	for _, f := range r.Other {
		told.Others = append(told.Others, flowOf(f))
	}
	for _, h := range r.Heats {
		told.Heats = append(told.Heats, heatOf(h))
	}
	for _, c := range r.Curves {
		told.Sensors = append(told.Sensors, curveOfOne(c, s))
	}
	return told
}

func flowOf(f curve.Flow) Flow {
	const kWh = float64(quantity.KilowattHour)
	return Flow{f.Joules / kWh, f.U / kWh, flowWords[f.From], f.Name, seconds(f.Gaps)}
}

func heatOf(h curve.Heats) Heat {
	told := Heat{Name: h.Name, Most: h.Most.Celsius(), Plateaus: []Plateau{}, Stays: []Stay{}}
	if h.Fastest != nil {
		told.Fastest = &Rate{moment(h.Fastest.At), h.Fastest.KelvinPerHour}
	}
	for _, p := range h.Plateaus {
		told.Plateaus = append(told.Plateaus, Plateau{moment(p.From), moment(p.To), p.Temp.Celsius(), p.Falling})
	}
	for _, x := range h.Stays {
		told.Stays = append(told.Stays, Stay{x.Above.Celsius(), seconds(x.Span)})
	}
	return told
}

func curveOfOne(c curve.Curve, s quantity.Style) CurveOfOne {
	told := CurveOfOne{Series: c.ID, Channel: Channel(c.Channel), Name: c.Name, Unit: c.Channel.Unit(), Count: c.Count, Doubts: []CurveDoubt{}}
	if c.Least <= c.Most {
		told.Least, told.Most = new(c.Channel.Plain(c.Least)), new(c.Channel.Plain(c.Most))
	}
	for _, d := range c.Doubts {
		told.Doubts = append(told.Doubts, CurveDoubt{string(d.Kind), d.Count, moment(d.At), seconds(d.Lasted), d.Left, d.Say(s)})
	}
	return told
}

func seconds(s quantity.Span) float64 { return float64(s) / float64(quantity.Second) }
