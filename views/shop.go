package views

import (
	"strconv"
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

// Settings are the answers that the set-up and the settings offer.
type Settings struct {
	Zones      []string // IANA names
	Currencies []Option // ISO 4217
	Ambient    bool     // ask for the shed's usual temperature too
	Doubt      bool     // ask whether the other currency is meant
}

func (s Settings) zone(t Typed) Field {
	return t.field("zone", "Time zone", "Type a city in your zone and pick it from the list, such as Europe/London.")
}

func (s Settings) mass(t Typed) Field {
	return t.choose("mass_unit", "Mass in", "", Option{Value: "kg", Label: "kg"}, Option{Value: "g", Label: "g"}, Option{Value: "lb", Label: "lb"})
}

func (s Settings) temperature(t Typed) Field {
	return t.choose("temperature", "Temperature in", "", Option{Value: "C", Label: "°C"}, Option{Value: "F", Label: "°F"})
}

func (s Settings) currency(t Typed) Field {
	return t.choose("currency", "Currency", "What scrap and electricity cost is kept in it.", append([]Option(nil), s.Currencies...)...)
}

func (s Settings) mark(t Typed) Field {
	return t.choose("mark", "Numbers are shown as", "Both marks are understood when you type.",
		Option{Value: "point", Label: "7.47"}, Option{Value: "comma", Label: "7,47"})
}

func (s Settings) ambient(t Typed) Field {
	f := t.field("ambient", "Usual temperature of the shed", "Taken where a melt does not say. The metal is heated from here.")
	f.Required = false
	return f
}

func (s Settings) points(t Typed) Field {
	f := t.field("points", "Points of your own before power on", "One to a line. They are read with the usual ones in the check of each melt, such as: gate shut, dog out.")
	f.Required = false
	return f
}

func (s Settings) faults(t Typed) []Fault {
	all := Faults(s.zone(t), s.mass(t), s.temperature(t), s.currency(t), s.mark(t))
	if s.Ambient {
		all = append(all, Faults(s.ambient(t), s.points(t))...)
	}
	return all
}

// Shop is the set-up of the shop: how it writes numbers, what electricity
// costs, who works in it.
type Shop struct {
	Facts    []Fact
	Tariffs  []Tariff
	Scales   []kit.Item
	Due      []kit.Rule
	People   []Person
	Gone     []Person // whose account has ended
	Links    int      // links that somebody could still use
	Owner    bool     // the visitor may change all this
	Trust    bool     // the shop is there over HTTPS too
	Form     Typed    // of the invitation
	Cautions []caution.Caution
}

// Tariff is a price of electricity from a day on.
type Tariff struct {
	ID int64
	tariff.Tariff
}

// Person is somebody with an account.
type Person struct {
	ID    int64
	Name  string
	Role  string
	Since quantity.Moment
	Me    bool
}

func (p Shop) prices(s quantity.Style) Ledger {
	l := Ledger{Empty: "None yet. Without a price of electricity no melt has a cost."}
	for _, t := range p.Tariffs {
		r := Row{Day: "From " + s.Date(t.From), Verb: s.Price(t.Price), Text: "per kWh", Note: bandsSay(t.Bands, s)}
		if p.Owner {
			r.Tap = []Action{{Label: "Strike", Href: "/shop/tariffs/" + idText(t.ID) + "/strike", Post: true}}
		}
		l.Rows = append(l.Rows, r)
	}
	return l
}

// bandsSay tells the prices by time of day.
func bandsSay(bands []tariff.Band, s quantity.Style) string {
	var parts []string
	for _, b := range bands {
		parts = append(parts, b.String()+" "+s.Price(b.Price))
	}
	return strings.Join(parts, "; ")
}

func (p Shop) scales(s quantity.Style) []Fact {
	var all []Fact
	for _, it := range p.Scales {
		f := Fact{Term: it.Name, Value: "reads to " + s.Mass(it.Resolution)}
		if it.Capacity > 0 {
			f.Note = "up to " + s.Mass(it.Capacity)
		}
		all = append(all, f)
	}
	return all
}

// says is a person's line under the name.
func (p Person) says(s quantity.Style) string {
	text := p.Role + ", since " + s.Date(p.Since)
	if p.Me {
		text += ". That is you."
	}
	return text
}

func roles(t Typed) Field {
	option := func(role, label string) Option {
		says := RoleSays(role)
		return Option{Value: role, Label: label, Hint: strings.ToUpper(says[:1]) + says[1:]}
	}
	return t.choose("role", "Role", "", option("reader", "Reader"), option("melter", "Melter"), option("owner", "Owner"))
}

func linksSay(n int) string {
	if n == 1 {
		return "One link has not been used yet and lets somebody in."
	}
	return strconv.Itoa(n) + " links have not been used yet and let somebody in."
}

// ShopForm is where the settings are changed.
type ShopForm struct {
	Form     Typed
	Settings Settings
}

func (p ShopForm) name() Field { return p.Form.field("shop", "Name of the shop", "") }

func (p ShopForm) faults() []Fault { return append(Faults(p.name()), p.Settings.faults(p.Form)...) }

// TariffForm is where a price of electricity is added.
type TariffForm struct {
	Key   string
	Form  Typed
	Bands int // how many bands there is room for
}

func (p TariffForm) from() Field {
	f := p.Form.field("from", "From", "The first day it holds, until the next one you add. For melts you have had already, take their first day or an earlier one.")
	f.Type = "date"
	return f
}

func (p TariffForm) price(f Frame) Field {
	n := p.Form.field("price", "Price of a kilowatt-hour", "As on the bill, with taxes and without standing charges.")
	n.Unit = f.Style.Currency
	return n
}

// band are the fields of one of the times of day; numbers start at 1.
func (p TariffForm) band(n int, f Frame) (from, to, price Field) {
	name := "band" + strconv.Itoa(n) + "_"
	from, to, price = p.Form.field(name+"from", "From", ""), p.Form.field(name+"to", "Until", ""), p.Form.field(name+"price", "Price", "")
	for _, one := range []*Field{&from, &to, &price} {
		one.Required = false
	}
	price.Unit = f.Style.Currency
	return from, to, price
}

func (p TariffForm) faults(f Frame) []Fault {
	all := Faults(p.from(), p.price(f))
	for n := 1; n <= p.Bands; n++ {
		from, to, price := p.band(n, f)
		of := "Time of day " + strconv.Itoa(n) + ", "
		for _, one := range []*Field{&from, &to, &price} {
			one.Label = of + strings.ToLower(one.Label)
		}
		all = append(all, Faults(from, to, price)...)
	}
	return all
}

// banded reports whether anything was typed into the times of day.
func (p TariffForm) banded(f Frame) bool {
	for n := 1; n <= p.Bands; n++ {
		from, to, price := p.band(n, f)
		if from.Value+from.Error+to.Value+to.Error+price.Value+price.Error != "" {
			return true
		}
	}
	return false
}

// PersonForm is what an owner may do for, and with, somebody's account.
type PersonForm struct {
	Person
	Ended *quantity.Moment
	Form  Typed
}

func (p PersonForm) under(s quantity.Style) string {
	if p.Ended != nil {
		return "Was " + p.Role + " from " + s.Date(p.Since) + " to " + s.Date(*p.Ended) + "."
	}
	return "Is " + p.Role + ", here since " + s.Date(p.Since) + "."
}

// action is an address of the person's.
func (p PersonForm) action(what string) string { return "/shop/people/" + idText(p.ID) + "/" + what }

// Given shows a link once, to whoever made it.
type Given struct {
	Title   string
	Address string
	For     string // one sentence on whom it is for
	Expires quantity.Moment
	Back    Link
}

func (p Given) field() Field {
	return Field{Name: "link", Label: "The link", Value: p.Address}
}

func idText(id int64) string { return strconv.FormatInt(id, 10) }
