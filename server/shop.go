package main

import (
	"net/http"
	"net/url"
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

func shopPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showShop(w, r, v, http.StatusOK, newForm(url.Values{"role": {"melter"}}, v.style))
}

// showShop shows the set-up, with the invitation's form as it stands.
func (a *app) showShop(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	ctx := r.Context()
	page := views.Shop{
		Facts: settingFacts(v.shop, v.style), Owner: v.may(owner), Trust: a.secure != nil, Form: f.typed(),
		Cautions: caution.For(caution.BeforeFirstUse, caution.Hazards{}),
	}
	tariffs, err := a.store.Tariffs(ctx)
	if err != nil {
		return err
	}
	for _, t := range tariffs {
		page.Tariffs = append(page.Tariffs, views.Tariff{ID: t.ID, Tariff: t.Tariff})
	}
	items, err := a.store.Kit(ctx)
	if err != nil {
		return err
	}
	for _, it := range items {
		if it.Kind == kit.Scale && !it.Retired {
			page.Scales = append(page.Scales, it)
		}
	}
	if page.Due, err = a.store.DueRules(ctx); err != nil {
		return err
	}
	people, err := a.store.People(ctx)
	if err != nil {
		return err
	}
	for _, p := range people {
		one := views.Person{ID: p.ID, Name: p.Name, Role: p.Role, Since: p.Since, Me: p.ID == v.person.ID}
		if p.Ended != nil {
			page.Gone = append(page.Gone, one)
			continue
		}
		page.People = append(page.People, one)
	}
	if page.Links, err = a.store.OpenLinks(ctx); err != nil {
		return err
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Set-up", "shop")))
}

func settingFacts(p store.Shop, s quantity.Style) []views.Fact {
	return []views.Fact{
		{Term: "Name", Value: p.Name},
		{Term: "Time zone", Value: p.Zone},
		{Term: "Mass in", Value: s.MassSymbol()},
		{Term: "Temperature in", Value: s.TemperatureSymbol()},
		{Term: "Currency", Value: p.Currency},
		{Term: "Numbers", Value: s.Number(7.47, 2)},
		{Term: "Usual temperature of the shed", Value: s.Temperature(p.Ambient)},
	}
}

func editShopPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p := v.shop
	values := url.Values{
		"shop": {p.Name}, "zone": {p.Zone}, "mass_unit": {p.MassUnit}, "temperature": {"C"}, "currency": {p.Currency}, "mark": {"point"},
		// With its unit, so that it stays what it is when the unit is changed.
		"ambient": {v.style.TemperatureInput(p.Ambient) + " " + v.style.TemperatureSymbol()},
		"points":  {p.Points},
	}
	if p.Fahrenheit {
		values.Set("temperature", "F")
	}
	if p.Comma {
		values.Set("mark", "comma")
	}
	return a.showShopForm(w, r, v, http.StatusOK, newForm(values, v.style))
}

func (a *app) showShopForm(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	page := views.ShopForm{Form: f.typed(), Settings: views.Settings{
		Zones: zones, Currencies: currencies, Ambient: true, Doubt: f.faults["currency"] != "" || f.on("sure"),
	}}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Settings", "shop")))
}

func editShop(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	p := f.shop(v.shop)
	f.otherCurrency(p, v.shop)
	if !f.ok() {
		return a.showShopForm(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if err := a.store.SetShop(r.Context(), v.person.ID, p); err != nil {
		return err
	}
	a.flash(r, "The settings are kept.")
	return seeOther(w, r, "/shop")
}

// otherCurrency asks again where the currency changes.
func (f *form) otherCurrency(p, was store.Shop) {
	if p.Currency != was.Currency && p.Currency != "" && !f.on("sure") {
		f.fault("currency", "What was logged in "+was.Currency+" is not converted: its figures would read as "+p.Currency+". Tick below that this is right, or choose "+was.Currency+" again.")
	}
}

// shop reads the settings from their form; what it does not ask stays.
func (f *form) shop(p store.Shop) store.Shop {
	p.Name = f.name("shop", 80, "Give the shop a name.")
	typed := f.text("zone")
	zone, ok := findZone(typed)
	switch {
	case ok:
		p.Zone = zone
	case typed == "":
		f.fault("zone", "Choose the time zone.")
	case typed != p.Zone: // one that is not listed may have been kept before
		f.fault("zone", "There is no such zone, or more than one. Take one from the list, such as Europe/London.")
	}
	p.MassUnit = f.one("mass_unit", "kg", "g", "lb")
	p.Fahrenheit = f.one("temperature", "C", "F") == "F"
	p.Comma = f.one("mark", "point", "comma") == "comma"
	p.Currency = f.currency()
	style := f.style
	style.Fahrenheit = p.Fahrenheit
	if ambient := optional(f, "ambient", style.ReadTemperature); ambient != nil {
		p.Ambient = *ambient
	}
	if p.Ambient < -50*quantity.Celsius || p.Ambient > 60*quantity.Celsius {
		f.fault("ambient", "A shed is between −50 and 60 °C. Check the number and its unit.")
	}
	if f.values.Has("points") {
		p.Points = f.note("points")
	}
	return p
}

func (f *form) currency() string {
	code := strings.ToUpper(f.text("currency"))
	if quantity.IsCurrency(code) {
		return code
	}
	f.fault("currency", "Choose the currency.")
	return ""
}
