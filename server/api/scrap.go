package api

import (
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// SourceFacts are what is written down of a kind of scrap.
type SourceFacts struct {
	Name      string   `json:"name" form:"name" minLength:"1" maxLength:"80"`
	Form      Form     `json:"form" form:"form"`
	Coating   Coating  `json:"coating,omitempty" form:"coating"`
	Alloy     string   `json:"alloy,omitempty" form:"alloy"`
	Sure      Sure     `json:"sure,omitempty" form:"sure"`
	Paid      *float64 `json:"paid_per_kg,omitempty" form:"paid" doc:"In units of the currency; 0 is free, absent is not said."`
	Fetches   *float64 `json:"fetches_per_kg,omitempty" form:"fetches" doc:"What it would bring unmelted, in units of the currency."`
	Hollow    bool     `json:"hollow,omitempty" form:"hollow" doc:"Closed hollows that can burst."`
	Wet       bool     `json:"wet,omitempty" form:"wet" doc:"May hold water."`
	Magnesium bool     `json:"magnesium,omitempty" form:"magnesium" doc:"May be magnesium."`
	ZincLead  bool     `json:"zinc_lead,omitempty" form:"zinc_lead" doc:"May hold zinc or lead."`
	Batteries bool     `json:"batteries,omitempty" form:"batteries" doc:"May hold batteries."`
	Ended     bool     `json:"ended,omitempty" form:"ended" doc:"No longer offered when charging."`
	Note      string   `json:"note,omitempty" form:"note" maxLength:"2000"`
}

// Source is a kind of scrap as it is written down.
type Source struct {
	ID int64 `json:"id"`
	SourceFacts
}

// SourceOf tells a source.
func SourceOf(p scrap.Source) Source {
	return Source{p.ID, SourceFacts{
		Name: p.Name, Form: Form(p.Form), Coating: Coating(p.Coating), Alloy: p.Alloy, Sure: Sure(p.Sure),
		Paid: maybe(p.Paid, quantity.Price.Units), Fetches: maybe(p.Fetches, quantity.Price.Units),
		Hollow: p.Hazards.Hollow, Wet: p.Hazards.Wet, Magnesium: p.Hazards.Magnesium, ZincLead: p.Hazards.ZincLead, Batteries: p.Hazards.Batteries,
		Ended: p.Ended != nil, Note: p.Note,
	}}
}

// NewLot is a delivery of scrap as a program writes it.
type NewLot struct {
	At        *time.Time `json:"at,omitempty" form:"at" doc:"When it came; now when it is left out."`
	AsFound   *float64   `json:"as_found_kg,omitempty" form:"as_found" doc:"As it came, kg."`
	AsCharged *float64   `json:"as_charged_kg,omitempty" form:"as_charged" doc:"Sorted, stripped and dried, kg."`
	Steel     *float64   `json:"steel_kg,omitempty" form:"steel"`
	Plastic   *float64   `json:"plastic_kg,omitempty" form:"plastic"`
	Paid      *float64   `json:"paid_per_kg,omitempty" form:"paid" doc:"For a kg as found, in units of the currency; absent is the source's price."`
	Note      string     `json:"note,omitempty" form:"note" maxLength:"2000"`
}

// Lot is a delivery of scrap.
type Lot struct {
	ID      int64   `json:"id"`
	Key     string  `json:"key"`
	By      int64   `json:"by"`
	Struck  *Struck `json:"struck"`
	Charged float64 `json:"charged_kg" doc:"Taken out of it by charges so far, kg."`
	NewLot
}

// LotOf tells a delivery.
func LotOf(l scrap.Lot) Lot {
	told := Lot{
		ID: l.ID, Key: l.Key, By: l.By, Charged: l.Charged.Kilograms(),
		NewLot: NewLot{
			At: new(moment(l.At)), AsFound: maybe(l.AsFound, kilograms), AsCharged: maybe(l.AsCharged, kilograms),
			Steel: maybe(l.Steel, kilograms), Plastic: maybe(l.Plastic, kilograms), Paid: maybe(l.Paid, quantity.Price.Units), Note: l.Note,
		},
	}
	if l.Strike != nil {
		told.Struck = &Struck{moment(l.Strike.At), l.Strike.By, l.Strike.Reason}
	}
	return told
}

// NewQuote is a price that a program writes down.
type NewQuote struct {
	Price float64 `json:"price_per_kg" form:"price" doc:"In units of the currency."`
	Day   string  `json:"day,omitempty" form:"day" format:"date" doc:"On which it held; today when it is left out."`
	Note  string  `json:"note,omitempty" form:"note" maxLength:"2000"`
}

// NewShopQuote is a price of what the shop has one price for.
type NewShopQuote struct {
	Of Goods `json:"of" form:"of" doc:"ingots, bought or dross."`
	NewQuote
}

// Quote is a price that was heard, paid or got on a day.
type Quote struct {
	ID     int64     `json:"id"`
	Key    string    `json:"key"`
	Of     Goods     `json:"of"`
	Source int64     `json:"source,omitempty"`
	At     time.Time `json:"at"`
	Price  float64   `json:"price_per_kg" doc:"In units of the currency."`
	By     int64     `json:"by"`
	Note   string    `json:"note,omitempty"`
	Struck *Struck   `json:"struck"`
}

// QuoteOf tells a price.
func QuoteOf(q scrap.Quote) Quote {
	told := Quote{ID: q.ID, Key: q.Key, Of: Goods(q.Of), Source: q.Source, At: moment(q.At), Price: q.Price.Units(), By: q.By, Note: q.Note}
	if q.Strike != nil {
		told.Struck = &Struck{moment(q.Strike.At), q.Strike.By, q.Strike.Reason}
	}
	return told
}

// Belief is what the shop thinks a source gives, in the stead of what its form
// and coating suggest. A share goes with its spread; without both the form and
// coating hold.
type Belief struct {
	Metal   *float64 `json:"metal_percent,omitempty" form:"metal" doc:"Metal out of 100 charged."`
	MetalSD *float64 `json:"metal_sd_percent,omitempty" form:"metal_sd" doc:"Give or take, as a standard deviation."`
	Dross   *float64 `json:"dross_percent,omitempty" form:"dross"`
	DrossSD *float64 `json:"dross_sd_percent,omitempty" form:"dross_sd"`
}
