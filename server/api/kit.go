package api

import (
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// KitFacts are what is written down of a piece of kit. Each kind has its own;
// those of other kinds are left unread.
type KitFacts struct {
	Name string `json:"name" form:"name" minLength:"1" maxLength:"80"`
	Note string `json:"note,omitempty" form:"note" maxLength:"2000"`

	Letter    string   `json:"letter,omitempty" form:"letter" doc:"furnace: the first letter of its melts' codes; it stays once a melt has it."`
	Heating   string   `json:"heating,omitempty" form:"heating" enum:"wire,rods,induction,gas,other" doc:"furnace: how it heats."`
	Volts     *float64 `json:"volts,omitempty" form:"volts" doc:"furnace: its supply."`
	Circuit   *float64 `json:"circuit_a,omitempty" form:"circuit" doc:"furnace: what the circuit is rated for, A."`
	Power     *float64 `json:"power_w,omitempty" form:"power" doc:"furnace: at full power, W."`
	Switching string   `json:"switching,omitempty" form:"switching" enum:"full,controlled" doc:"furnace: by hand, or by a thermostat or controller."`
	Brick     string   `json:"brick,omitempty" form:"brick" doc:"furnace: its brick, one of those on the form."`
	Wide      *float64 `json:"wide_mm,omitempty" form:"wide" doc:"furnace: inside, mm."`
	Deep      *float64 `json:"deep_mm,omitempty" form:"deep"`
	High      *float64 `json:"high_mm,omitempty" form:"high"`

	Material string   `json:"material,omitempty" form:"material" doc:"crucible: one of those on the form, such as clay-graphite."`
	Brim     *float64 `json:"brim_l,omitempty" form:"brim" unit:" l" doc:"crucible: volume to the brim, litres."`
	Rated    *float64 `json:"rated_kg,omitempty" form:"rated" doc:"crucible: the maker's rating, kg."`
	RatedIn  string   `json:"rated_in,omitempty" form:"rated_in" doc:"crucible: the metal that the rating is given in."`
	Fill     *float64 `json:"fill_percent,omitempty" form:"fill" doc:"crucible: share of the brim that may be filled."`
	Mass     *float64 `json:"mass_kg,omitempty" form:"mass" doc:"crucible: new and dry, kg."`
	Wall     *float64 `json:"wall_mm,omitempty" form:"wall" doc:"crucible: new; furnace: of its brick; mm."`

	Cost          *float64 `json:"cost,omitempty" form:"cost" doc:"crucible, element: in units of the currency."`
	ExpectedHeats *int64   `json:"expected_heats,omitempty" form:"expected_heats" doc:"crucible, element: the shop's own guess."`

	Wire      string   `json:"wire,omitempty" form:"wire" doc:"element: alloy of the wire, one of those on the form."`
	Diameter  *float64 `json:"diameter_mm,omitempty" form:"diameter"`
	Length    *float64 `json:"length_m,omitempty" form:"length"`
	Ohms      *float64 `json:"ohms,omitempty" form:"ohms" doc:"element: new and cold."`
	OhmsLimit *float64 `json:"ohms_limit_percent,omitempty" form:"ohms_limit" doc:"element: how much more than new makes it due."`

	Resolution *float64 `json:"resolution_kg,omitempty" form:"resolution" doc:"scale: its smallest step, kg."`
	Capacity   *float64 `json:"capacity_kg,omitempty" form:"capacity" doc:"scale: kg."`
	Gain       *float64 `json:"gain_percent,omitempty" form:"gain" doc:"scale: the maker's give or take as a share of the reading."`

	Couple string `json:"couple,omitempty" form:"couple" enum:"K,N,S,R,B,J" doc:"probe: type of the thermocouple (IEC 60584-1)."`
}

// NewKit is a piece of kit as a program writes it.
type NewKit struct {
	Kind KitKind `json:"kind" form:"kind"`
	KitFacts
}

// KitItem is a piece of kit as it is written down, with its lines.
type KitItem struct {
	ID      int64     `json:"id"`
	Key     string    `json:"key"`
	Retired bool      `json:"retired"`
	Cracked bool      `json:"cracked" doc:"A crack was found in the crucible."`
	On      int64     `json:"fitted_to,omitempty" doc:"Number of the furnace it is in."`
	Lines   []KitLine `json:"lines" nullable:"false"`
	NewKit
}

// KitItemOf tells a piece of kit.
func KitItemOf(it kit.Item, lines []kit.Line, exponent int) KitItem {
	told := KitItem{
		ID: it.ID, Key: it.Key, Retired: it.Retired, Cracked: it.Cracked, On: it.On, Lines: []KitLine{},
		NewKit: NewKit{KitKind(it.Kind), KitFacts{
			Name: it.Name, Note: it.Note, Letter: it.Letter, Heating: it.Heating, Switching: it.Switching, Brick: it.Brick,
			Volts: maybe(it.Volts, quantity.Voltage.Volts), Circuit: maybe(it.Circuit, quantity.Current.Amperes), Power: maybe(it.Power, quantity.Power.Watts),
			Wide: maybe(it.Wide, millimetres), Deep: maybe(it.Deep, millimetres), High: maybe(it.High, millimetres),
			Material: string(it.Material), Brim: maybe(it.Brim, quantity.Volume.Litres), Rated: maybe(it.Rated, kilograms), RatedIn: string(it.RatedIn),
			Fill: maybe(it.Fill, percent), Mass: maybe(it.Mass, kilograms), Wall: maybe(it.Wall, millimetres),
			Cost: maybe(it.Cost, money(exponent)), ExpectedHeats: maybe(it.ExpectedHeats, func(n int) int64 { return int64(n) }),
			Wire: it.Wire, Diameter: maybe(it.Diameter, millimetres), Length: maybe(it.Length, quantity.Length.Metres),
			Ohms: maybe(it.Ohms, quantity.Resistance.Ohms), OhmsLimit: maybe(it.OhmsLimit, percent), Couple: it.Couple,
		}},
	}
	if it.Resolution > 0 {
		told.Resolution = new(it.Resolution.Kilograms())
	}
	if it.Capacity > 0 {
		told.Capacity = new(it.Capacity.Kilograms())
	}
	if it.Gain > 0 {
		told.Gain = new(percent(it.Gain))
	}
	for _, l := range lines {
		told.Lines = append(told.Lines, kitLineOf(l))
	}
	return told
}

// NewKitLine is what happened to a piece of kit, as a program writes it. Each
// kind of line has its own parts; others are left unread.
type NewKitLine struct {
	Kind    KitLineKind `json:"kind" form:"kind"`
	At      *time.Time  `json:"at,omitempty" form:"at" doc:"When it happened; now when it is left out."`
	Furnace *int64      `json:"furnace,omitempty" form:"furnace" doc:"fitted: where to."`
	Ohms    *float64    `json:"ohms,omitempty" form:"ohms"`
	Volts   *float64    `json:"volts,omitempty" form:"volts"`
	Amps    *float64    `json:"amps,omitempty" form:"amps"`
	Watts   *float64    `json:"watts,omitempty" form:"watts"`
	Temp    *float64    `json:"temp_c,omitempty" form:"temp" unit:" °C" doc:"Of the piece when it was read, or what a thermocouple showed, °C."`
	Lead    *float64    `json:"lead_ohms,omitempty" form:"lead" doc:"read: of the leads alone, which is in ohms."`
	Step    *float64    `json:"step_ohms,omitempty" form:"step" doc:"read: the smallest step that the ohmmeter shows."`
	Mass    *float64    `json:"mass_kg,omitempty" form:"mass" doc:"inspected: a crucible empty and dry, or what a scale showed, kg."`
	Wall    *float64    `json:"wall_mm,omitempty" form:"wall" doc:"inspected: a crucible's wall, mm."`
	Cracked bool        `json:"cracked,omitempty" form:"cracked" doc:"inspected: a crack was found."`
	Ring    string      `json:"ring,omitempty" form:"ring" enum:"clear,dull" doc:"inspected: how a crucible rings when it is tapped."`
	Glaze   string      `json:"glaze,omitempty" form:"glaze" enum:"whole,thin,gone"`

	KnownMass   *float64 `json:"known_mass_kg,omitempty" form:"known_mass" doc:"inspected: what lay on the scale, kg."`
	KnownTemp   *float64 `json:"known_temp_c,omitempty" form:"known_temp" unit:" °C" doc:"inspected: by a second thermocouple or a freezing point, °C."`
	Energy      *float64 `json:"energy_kwh,omitempty" form:"energy" unit:" kWh" doc:"inspected: what the furnace's meter counted, kWh."`
	KnownEnergy *float64 `json:"known_energy_kwh,omitempty" form:"known_energy" unit:" kWh" doc:"inspected: what a second meter counted, kWh."`

	Cause string `json:"cause,omitempty" form:"cause" doc:"retired: why, one of those on the form."`
	Note  string `json:"note,omitempty" form:"note" maxLength:"2000"`
}

// KitLine is one thing that happened to a piece of kit.
type KitLine struct {
	ID     int64     `json:"id"`
	Key    string    `json:"key"`
	Noted  time.Time `json:"noted"`
	By     int64     `json:"by"`
	Struck *Struck   `json:"struck"`
	NewKitLine
}

func kitLineOf(l kit.Line) KitLine {
	told := KitLine{
		ID: l.ID, Key: l.Key, Noted: moment(l.Noted), By: l.By,
		NewKitLine: NewKitLine{
			Kind: KitLineKind(l.Kind), At: new(moment(l.At)), Furnace: number(l.Furnace), Cracked: l.Cracked, Ring: l.Ring, Glaze: l.Glaze, Cause: l.Cause, Note: l.Note,
			Ohms: maybe(l.Ohms, quantity.Resistance.Ohms), Volts: maybe(l.Volts, quantity.Voltage.Volts), Amps: maybe(l.Amps, quantity.Current.Amperes), Watts: maybe(l.Watts, quantity.Power.Watts),
			Temp: maybe(l.Temp, quantity.Temperature.Celsius), Lead: maybe(l.Lead, quantity.Resistance.Ohms), Step: maybe(l.Step, quantity.Resistance.Ohms),
			Mass: maybe(l.Mass, kilograms), Wall: maybe(l.Wall, millimetres), KnownMass: maybe(l.KnownMass, kilograms), KnownTemp: maybe(l.KnownTemp, quantity.Temperature.Celsius),
			Energy: maybe(l.Energy, quantity.Energy.KilowattHours), KnownEnergy: maybe(l.KnownEnergy, quantity.Energy.KilowattHours),
		},
	}
	if l.Strike != nil {
		told.Struck = &Struck{moment(l.Strike.At), l.Strike.By, l.Strike.Reason}
	}
	return told
}
