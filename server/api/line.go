package api

import (
	"time"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Parts are what a line of a melt may say. Which of them a kind has, and which
// it must have, is as on its form; parts that a kind does not have are left
// unread.
type Parts struct {
	Source *int64 `json:"source,omitempty" doc:"Number of the scrap charged."`
	Lot    *int64 `json:"lot,omitempty" doc:"Number of its delivery."`
	Pour   *int64 `json:"pour,omitempty" doc:"Number of the pour line whose ingots are charged, in the place of a source."`

	Gross  []float64 `json:"gross_kg,omitempty" form:"mass" nullable:"false" doc:"Readings of the scale, kg. Together they make one mass."`
	Tare   *float64  `json:"tare_kg,omitempty" form:"tare" doc:"The container, in every reading, kg."`
	Scale  *int64    `json:"scale,omitempty" form:"scale" doc:"Number of the scale; without one the mass is by eye."`
	Spread *float64  `json:"spread_kg,omitempty" form:"spread" doc:"The person's own standard uncertainty of the whole mass, kg."`

	Basis     string `json:"basis,omitempty" form:"basis" enum:"found" doc:"found: weighed with steel, plastic, oil or water still on it."`
	Dry       bool   `json:"dry,omitempty" form:"dry" doc:"It was dry."`
	Preheated bool   `json:"preheated,omitempty" form:"preheated"`
	IntoHot   bool   `json:"into_hot,omitempty" form:"into_hot" doc:"Charged into liquid or red-hot metal."`

	Which string   `json:"which,omitempty" form:"which" doc:"One of the kind's choices. temperature: metal, chamber, infrared. addition: cover flux, drossing flux, degasser, silicon, master alloy, other. skim: grey dry, bright, mixed."`
	Mould string   `json:"mould,omitempty" form:"mould" doc:"What was poured into."`
	Count *int64   `json:"count,omitempty" form:"count" doc:"Ingots poured, or points checked."`
	Cost  *float64 `json:"cost,omitempty" form:"cost" doc:"In units of the shop's currency."`

	Meter    *float64 `json:"meter_kwh,omitempty" form:"meter" unit:" kWh" doc:"The meter's face, kWh."`
	Energy   *float64 `json:"energy_kwh,omitempty" form:"energy" unit:" kWh" doc:"Energy of the whole melt, kWh."`
	Temp     *float64 `json:"temp_c,omitempty" form:"temp" unit:" °C" doc:"°C."`
	Probe    *int64   `json:"probe,omitempty" form:"probe" doc:"Number of the thermocouple."`
	Volts    *float64 `json:"volts,omitempty" form:"volts"`
	Amps     *float64 `json:"amps,omitempty" form:"amps"`
	Watts    *float64 `json:"watts,omitempty" form:"watts"`
	Ohms     *float64 `json:"ohms,omitempty" form:"ohms"`
	Crucible *int64   `json:"crucible,omitempty" form:"crucible"`
	Element  *int64   `json:"element,omitempty" form:"element"`
	Note     string   `json:"note,omitempty" form:"note" maxLength:"2000"`
}

// Line is a line of a melt.
type Line struct {
	ID     int64     `json:"id"`
	Key    string    `json:"key" doc:"Made by whoever sent it."`
	Kind   LineKind  `json:"kind"`
	At     time.Time `json:"at" doc:"When it happened."`
	Noted  time.Time `json:"noted" doc:"When the shop got it."`
	By     int64     `json:"by" doc:"Number of the person."`
	Struck *Struck   `json:"struck" doc:"null while the line counts."`
	Mass   *float64  `json:"mass_kg,omitempty" doc:"What the readings and the container come to, kg."`
	Parts
}

// NewLine is a line as a program writes it.
type NewLine struct {
	Kind LineKind   `json:"kind" form:"kind"`
	At   *time.Time `json:"at,omitempty" form:"at" doc:"When it happened; now when it is left out."`
	Sure bool       `json:"sure,omitempty" form:"sure" doc:"Write it although something about it is doubted."`
	Parts
}

// Anew is a line that is written in the place of another.
type Anew struct {
	NewLine
	Reason string `json:"reason,omitempty" form:"reason" maxLength:"2000" doc:"Why."`
}

// LineOf tells a line; amounts of money are in 10^-exponent of the currency.
func LineOf(l melt.Line, exponent int) Line {
	told := Line{
		ID: l.ID, Key: l.Key, Kind: LineKind(l.Kind), At: moment(l.At), Noted: moment(l.Noted), By: l.By,
		Parts: Parts{
			Source: number(l.Source), Lot: number(l.Lot), Pour: number(l.Pour), Scale: number(l.Scale), Spread: maybe(l.Spread, kilograms),
			Dry: l.Dry, Preheated: l.Preheated, IntoHot: l.IntoHot, Which: l.Which, Mould: l.Mould,
			Count: maybe(l.Count, func(n int) int64 { return int64(n) }), Cost: maybe(l.Cost, money(exponent)),
			Meter: maybe(l.Meter, quantity.Energy.KilowattHours), Energy: maybe(l.Energy, quantity.Energy.KilowattHours),
			Temp: maybe(l.Temp, quantity.Temperature.Celsius), Probe: number(l.Probe),
			Volts: maybe(l.Volts, quantity.Voltage.Volts), Amps: maybe(l.Amps, quantity.Current.Amperes),
			Watts: maybe(l.Watts, quantity.Power.Watts), Ohms: maybe(l.Ohms, quantity.Resistance.Ohms),
			Crucible: number(l.Crucible), Element: number(l.Element), Note: l.Note,
		},
	}
	if l.Strike != nil {
		told.Struck = &Struck{moment(l.Strike.At), l.Strike.By, l.Strike.Reason}
	}
	if l.AsFound {
		told.Basis = "found"
	}
	for _, g := range l.Gross {
		told.Gross = append(told.Gross, g.Kilograms())
	}
	if l.Weighed() {
		told.Mass = new(l.Mass().Kilograms())
	}
	if l.Tare != 0 {
		told.Tare = new(l.Tare.Kilograms())
	}
	return told
}

// number is the number of something, nil for none.
func number(id int64) *int64 {
	if id == 0 {
		return nil
	}
	return &id
}
