// Package sheet works out what is read from one melt: what became of the metal
// and of the electricity, how long it took and what it cost. A Sheet is a pure
// function of the melt's lines and of the Facts about what they name, so it
// can be made again at any time with the same result, byte for byte.
package sheet

import (
	"strconv"
	"time"

	"drosswise/foundry/balance"
	"drosswise/foundry/gum"
	"drosswise/foundry/heat"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

// Facts are what a melt's lines refer to, and what the shop has set.
type Facts struct {
	Scales   map[int64]melt.Scale
	Sources  map[int64]Source
	Lots     map[int64]Lot
	Furnace  Furnace
	Crucible *Crucible // nil when the melt names none
	Element  *Element  // nil when the melt names none
	Ambient  quantity.Temperature
	Tariffs  []tariff.Tariff
	Zone     *time.Location
	Coin     float64 // units of currency in one minor unit, such as 0.01
}

// Source is what a sheet needs to know of scrap.
type Source struct {
	Name    string
	Alloy   string          // "" when unknown
	Paid    *quantity.Price // per kg; zero is free, nil is not said
	Fetches *quantity.Price // per kg, what it would bring unmelted
	Wet     bool            // of a kind that holds water or oil
}

// Lot is what a sheet needs to know of a delivery.
type Lot struct {
	Paid  *quantity.Price // per kg as charged
	Ready float64         // share of it left after sorting, 0 when not known
}

// Furnace is what a sheet needs to know of the furnace.
type Furnace struct {
	Volts *quantity.Voltage
	Power *quantity.Power
}

// Crucible is what a sheet needs to know of the crucible.
type Crucible struct {
	Kind  heat.Crucible
	Mass  *quantity.Mass
	Cost  *quantity.Money
	Heats *int // expected in its life
}

// Element is what a sheet needs to know of the element set.
type Element struct {
	Wire  string
	Cost  *quantity.Money
	Heats *int
}

// Figure is a result with its standard uncertainty (0 when none was worked
// out), or the list of what is lacking for it.
type Figure struct {
	X       float64 `json:"x"`
	U       float64 `json:"u,omitempty"`
	Lacks   []Lack  `json:"lacks,omitempty"`
	Without []Lack  `json:"without,omitempty"` // what the result leaves out
}

// Known reports whether there is a result.
func (f Figure) Known() bool { return len(f.Lacks) == 0 }

// Sheet is all that is read from a melt. Masses are in kg, energies in kWh,
// ratios are fractions, times hours, costs units of the currency.
type Sheet struct {
	State melt.State `json:"state"`

	Charged     Figure `json:"charged"`
	Attachments Figure `json:"attachments"`
	HeelIn      Figure `json:"heel_in"`
	HeelOut     Figure `json:"heel_out"`
	Ingots      Figure `json:"ingots"`
	Rejects     Figure `json:"rejects"`
	Spills      Figure `json:"spills"`
	Dross       Figure `json:"dross"`
	Recovered   Figure `json:"recovered"`
	Unaccounted Figure `json:"unaccounted"`
	Yield       Figure `json:"yield"`
	GoodYield   Figure `json:"good_yield"`
	Loss        Figure `json:"loss"`
	DrossRate   Figure `json:"dross_rate"`

	Energy      Figure      `json:"energy"`
	EnergyBasis EnergyBasis `json:"energy_basis,omitempty"`
	PerCharged  Figure      `json:"kwh_per_kg_charged"`
	PerUsable   Figure      `json:"kwh_per_kg_usable"`
	PourTemp    Figure      `json:"pour_temp"`
	IntoMetal   Figure      `json:"heat_metal"`
	IntoPot     Figure      `json:"heat_crucible"`
	Rest        Figure      `json:"heat_rest"`
	Efficiency  Figure      `json:"efficiency"`
	LatentOf    []string    `json:"latent_of,omitempty"`

	Hot        Figure `json:"hot_hours"`
	TimeMolten Figure `json:"time_to_molten"`
	Rate       Figure `json:"melt_rate"`

	Cash             Figure `json:"cash"`
	CashPerKg        Figure `json:"cash_per_kg"`
	Opportunity      Figure `json:"opportunity"`
	OpportunityPerKg Figure `json:"opportunity_per_kg"`
	Costs            Costs  `json:"costs"`
	PouredCount      int    `json:"poured_count"`
	Unnamed          int    `json:"unnamed_stamps,omitempty"`
	HeelInSaid       bool   `json:"heel_in_said"`
	HeelOutSaid      bool   `json:"heel_out_said"`
	Flags            []Flag `json:"flags,omitempty"`
}

// Costs are the parts of the cash cost, in units of the currency.
type Costs struct {
	Scrap    float64 `json:"scrap"`
	Energy   float64 `json:"energy"`
	Added    float64 `json:"added"`
	Crucible float64 `json:"crucible"`
	Element  float64 `json:"element"`
	Forgone  float64 `json:"forgone"` // what free scrap would have fetched
}

// Of makes the sheet of a melt from its heading, all its lines and the facts.
func Of(h melt.Heading, lines []melt.Line, f Facts) Sheet {
	standing := melt.Standing(lines)
	b := balance.Of(standing, f.Scales)
	s := Sheet{State: melt.StateOf(standing), HeelInSaid: b.HasHeelIn, HeelOutSaid: b.HasHeelOut}
	s.metal(b)
	s.count(standing)
	s.times(h, standing, b)
	s.energy(standing, b, f)
	s.heat(h, standing, b, f)
	s.cost(standing, b, f)
	s.flag(standing, b)
	return s
}

func (s *Sheet) count(standing []melt.Line) {
	for _, l := range standing {
		switch {
		case l.Kind == melt.Pour && l.Count != nil:
			s.PouredCount += *l.Count
		case l.Kind == melt.Stamp:
			s.Unnamed++
		}
	}
}

// known makes a figure of a value; lacks, if any, win over it.
func known(v gum.Value, lacks ...Lack) Figure {
	if len(lacks) > 0 {
		return lacking(lacks...)
	}
	return Figure{X: tidy(v.X), U: tidy(v.U())}
}

func exact(x float64) Figure { return Figure{X: tidy(x)} }

// lacking makes a figure without a result. The same lack is named once.
func lacking(lacks ...Lack) Figure {
	var once []Lack
	seen := map[Lack]bool{}
	for _, l := range lacks {
		if !seen[l] {
			seen[l] = true
			once = append(once, l)
		}
	}
	return Figure{Lacks: once}
}

// tidy keeps ten significant digits: far more than any scale gives, and few
// enough that processors which round the last digit differently agree.
func tidy(x float64) float64 {
	t, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	if err != nil {
		return x
	}
	return t
}

// lacks joins what several figures lack.
func lacks(figures ...Figure) []Lack {
	var all []Lack
	for _, f := range figures {
		all = append(all, f.Lacks...)
	}
	return all
}

// ratio is a/b of two figures' results without their uncertainties.
func ratio(a, b Figure, zero Lack) Figure {
	if l := lacks(a, b); len(l) > 0 {
		return lacking(l...)
	}
	if b.X <= 0 {
		return lacking(zero)
	}
	return Figure{X: tidy(a.X / b.X), Without: a.Without}
}
