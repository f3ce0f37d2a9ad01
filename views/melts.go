package views

import (
	"fmt"
	"strconv"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// MeltRow is a melt in a list.
type MeltRow struct {
	Code      melt.Code
	State     melt.State
	Started   quantity.Moment
	Furnace   string
	Sources   []string // most charged first
	Charged   quantity.Mass
	Recovered *quantity.Mass
	Yield     *float64 // fraction
	YieldU    *float64
	Energy    *quantity.Energy
}

func (r MeltRow) href() string { return "/melts/" + string(r.Code) }

// what is charged, the most of it first.
func (r MeltRow) what() string {
	switch n := len(r.Sources); {
	case n == 0 && r.Charged == 0:
		return "nothing charged yet"
	case n == 0:
		return "ingots"
	case n > 3:
		return strings.Join(r.Sources[:3], ", ") + fmt.Sprintf(" and %d more", n-3)
	}
	return strings.Join(r.Sources, ", ")
}

// yield is the recovery, or in words why there is none.
func (r MeltRow) yield(s quantity.Style) string {
	switch {
	case r.State == melt.Voided:
		return "void"
	case r.Yield == nil && r.State == melt.Running:
		return "running"
	case r.Yield == nil:
		return "not weighed"
	}
	value, spread := s.Round(100**r.Yield, 100**r.YieldU, 1)
	if *r.YieldU == 0 {
		return value + " %"
	}
	return value + " ± " + spread + " %"
}

// perKg is the electricity for a unit of metal.
func (r MeltRow) perKg(s quantity.Style) string {
	if r.Energy == nil || r.Recovered == nil || *r.Recovered <= 0 {
		return "–"
	}
	unit, per := "kg", 1.0
	if s.MassUnit == quantity.Pounds {
		unit, per = "lb", poundKg
	}
	return s.Number(r.Energy.KilowattHours()/r.Recovered.Kilograms()*per, 2) + " kWh/" + unit
}

// meltTable is a list of melts as a table.
func meltTable(rows []MeltRow, s quantity.Style, caption string) Table {
	t := Table{Caption: caption, Columns: []Column{{Title: "Melt"}, {Title: "Charged", Number: true}, {Title: "Recovery", Number: true}, {Title: "Energy", Number: true}}}
	for _, r := range rows {
		charged := "–"
		if r.Charged > 0 {
			charged = s.Mass(r.Charged)
		}
		t.Rows = append(t.Rows, []Cell{
			{Text: string(r.Code), Sub: s.Date(r.Started) + " · " + r.what(), Href: r.href()},
			{Text: charged}, {Text: r.yield(s)}, {Text: r.perKg(s)},
		})
	}
	return t
}

// Melts is the list of melts with its search, filters and totals.
type Melts struct {
	Rows     []MeltRow
	Words    string
	Source   int64
	Furnace  int64
	From, To string // months as typed: 2026-11
	Faults   map[string]string
	Sources  []Option
	Furnaces []Option
	Total    *MeltTotals // nil where it cannot be given
	Query    string      // the filters as a query, for links
	Newer    string      // address, "" when this is the first page
	Older    string
	Any      bool  // the shop has melts at all
	Years    []int // that have melts, the newest first
	May      bool
}

// MeltTotals sums the melts that the filters leave.
type MeltTotals struct {
	Melts         int
	Charged       quantity.Mass
	OfSource      quantity.Mass
	SourceName    string
	YieldCharged  quantity.Mass
	Recovered     quantity.Mass
	EnergyCharged quantity.Mass
	Energy        quantity.Energy
}

func (p Melts) filtered() bool {
	return p.Words != "" || p.Source != 0 || p.Furnace != 0 || p.From != "" || p.To != ""
}

func (p Melts) pager() Pager {
	var g Pager
	if p.Newer != "" {
		g.Newer = &Link{Text: "Newer", Href: p.Newer}
	}
	if p.Older != "" {
		g.Older = &Link{Text: "Older", Href: p.Older}
	}
	return g
}

func (p Melts) csv(name string) string {
	if p.Query == "" {
		return "/" + name
	}
	return "/" + name + "?" + p.Query
}

// facts are the running totals in words.
func (t MeltTotals) facts(s quantity.Style) []Fact {
	facts := []Fact{{Term: "Melts", Value: strconv.Itoa(t.Melts)}, {Term: "Charged", Value: summed(t.Charged, s)}}
	if t.SourceName != "" {
		facts = append(facts, Fact{Term: "of it " + t.SourceName, Value: summed(t.OfSource, s)})
	}
	if t.YieldCharged > 0 {
		note := "all metal out over all charge in"
		if t.YieldCharged < t.Charged {
			note += ", of the " + summed(t.YieldCharged, s) + " whose ingots are weighed"
		}
		facts = append(facts, Fact{"Metal recovered", summed(t.Recovered, s), ""}, Fact{"Recovery", s.Percent(float64(t.Recovered)/float64(t.YieldCharged), 1), note})
	}
	if t.EnergyCharged > 0 {
		unit, per := "kg", 1.0
		if s.MassUnit == quantity.Pounds {
			unit, per = "lb", poundKg
		}
		facts = append(facts, Fact{Term: "Electricity", Value: s.Energy(t.Energy), Note: s.Number(t.Energy.KilowattHours()/t.EnergyCharged.Kilograms()*per, 2) + " kWh per " + unit + " charged, where both are known"})
	}
	return facts
}

func (p Melts) first() Link {
	if !p.May {
		return Link{}
	}
	return Link{Text: "Start a melt", Href: "/melts/start"}
}

func (p Melts) totalTitle() string {
	if p.filtered() {
		return "Together, of these"
	}
	return "Together, of all"
}
