package main

import (
	"time"

	"github.com/a-h/templ"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
	"drosswise/views"
)

// peopleScenes are the pages of people and of the shop itself.
func peopleScenes() []scene {
	all := append(entryScenes(), shopScenes()...)
	return append(append(all, personScenes()...), trustScenes()...)
}

const galleryLongName = "Thursday evening melting crew of the community bicycle workshop behind the canal"

func galleryDay(year int, month time.Month, day int) quantity.Moment {
	return quantity.At(time.Date(year, month, day, 19, 5, 0, 0, time.UTC))
}

// entryScenes are the pages of somebody who is not in yet.
func entryScenes() []scene {
	asked := views.Settings{Zones: zones, Currencies: currencies}
	fresh := views.SetUp{Token: "gallery", Settings: asked, Form: views.Typed{Values: map[string][]string{"mass_unit": {"kg"}, "temperature": {"C"}, "mark": {"point"}}}}
	refused := views.SetUp{Token: "gallery", Settings: asked, Form: views.Typed{
		Values: map[string][]string{"shop": {galleryLongName}, "zone": {"Atlantis"}, "mass_unit": {"lb"}, "temperature": {"F"}, "mark": {"comma"}},
		Faults: map[string]string{"zone": "There is no such zone, or more than one. Take one from the list, such as Europe/London.",
			"name": "Give a name.", "password": "That is too short. Take at least 10 letters or digits.", "currency": "Choose the currency."},
	}}
	out := func(f views.Frame) views.Frame {
		f.Who, f.Role, f.Nav = "", "", ""
		return f
	}
	return []scene{
		{"setup/first", "Set up the shop", func(f views.Frame) templ.Component { return fresh.Page(out(f)) }},
		{"setup/refused", "Set up the shop, refused", func(f views.Frame) templ.Component { return refused.Page(out(f)) }},
		{"join/new", "Join the shop", func(f views.Frame) templ.Component { return views.Join{Token: "gallery", Role: "melter"}.Page(out(f)) }},
		{"join/reset", "Set a new password", func(f views.Frame) templ.Component {
			return views.Join{Token: "gallery", Role: "reader", Name: galleryLongName}.Page(out(f))
		}},
		{"signin/first", "Sign in", func(f views.Frame) templ.Component { return views.SignIn{Next: "/melts"}.Page(out(f)) }},
		{"signin/refused", "Sign in, refused", func(f views.Frame) templ.Component {
			return views.SignIn{Refused: triesSentence, Trust: true}.Page(out(f))
		}},
		{"signin/unowned", "Sign in before there is an owner", func(f views.Frame) templ.Component { return views.SignIn{Unowned: true}.Page(out(f)) }},
		{"problem/unknown", "A fault of ours", func(f views.Frame) templ.Component {
			return views.Problem{Title: unknown.title, Detail: unknown.detail, ID: "k7mx2pqa"}.Page(f)
		}},
		{"problem/signed-out", "Nothing here, signed out", func(f views.Frame) templ.Component {
			return views.Problem{Title: notFound.title, Detail: notFound.detail, SignedOut: true}.Page(out(f))
		}},
	}
}

func shopScenes() []scene {
	facts := []views.Fact{{Term: "Name", Value: "Bicycle workshop"}, {Term: "Time zone", Value: "Europe/London"}, {Term: "Currency", Value: "EUR"}}
	cautions := caution.For(caution.BeforeFirstUse, caution.Hazards{})
	one := []views.Person{{ID: 1, Name: "Workshop", Role: "owner", Since: galleryDay(2024, 11, 2), Me: true}}
	bare := views.Shop{Facts: facts, People: one, Owner: true, Cautions: cautions}
	whole := bare
	whole.Trust = true
	whole.People = append(one, views.Person{ID: 2, Name: galleryLongName, Role: "melter", Since: galleryDay(2025, 3, 9)})
	whole.Gone = []views.Person{{ID: 3, Name: "Winter helpers", Role: "reader", Since: galleryDay(2025, 1, 12)}}
	whole.Links = 2
	whole.Tariffs = []views.Tariff{
		{ID: 2, Tariff: tariff.Tariff{From: galleryDay(2026, 4, 1), Price: 257300, Bands: []tariff.Band{{FromMinute: 23 * 60, ToMinute: 7 * 60, Price: 181000}, {FromMinute: 17 * 60, ToMinute: 20 * 60, Price: 410000}}}},
		{ID: 1, Tariff: tariff.Tariff{From: galleryDay(2024, 11, 1), Price: 240000}},
	}
	for _, u := range kit.UsualRules {
		bare.Due = append(bare.Due, u.Rule)
	}
	whole.Due = []kit.Rule{{Kind: kit.Furnace, Heats: new(20), Days: new(90)}, bare.Due[1], bare.Due[2], {Kind: kit.Scale}, bare.Due[4]}
	looked := whole
	looked.Owner = false
	refused := views.TariffForm{Key: "gallery-tariff", Bands: mostBands, Form: views.Typed{
		Values: map[string][]string{"from": {"2026-04-01"}, "price": {"cheap"}, "band1_from": {"23:00"}, "band1_price": {"0.18"}},
		Faults: map[string]string{"price": "“cheap” is not a number. Type it like 0.2573 or 0,2573.", "band1_to": "Say when this price ends."},
	}}
	settings := views.ShopForm{Settings: views.Settings{Zones: zones, Currencies: currencies, Ambient: true, Doubt: true}, Form: views.Typed{
		Values: map[string][]string{"shop": {galleryLongName}, "zone": {"Europe/London"}, "mass_unit": {"kg"}, "temperature": {"C"}, "mark": {"comma"}, "currency": {"JPY"}, "ambient": {"90 °C"}},
		Faults: map[string]string{"currency": "What was logged in EUR is not converted: its figures would read as JPY. Tick below that this is right, or choose EUR again.",
			"ambient": "A shed is between −50 and 60 °C. Check the number and its unit."},
	}}
	typed := newForm(map[string][]string{"furnace_heats": {"0"}, "crucible_heats": {"5"}, "scale_days": {"half a year"}}, quantity.Style{})
	typed.dueRules()
	wrongDue := views.DueForm{Filled: filled(typed)}
	in := func(f views.Frame) views.Frame {
		f.Nav = "shop"
		return f
	}
	return []scene{
		{"shop/empty", "Set-up of a new shop", func(f views.Frame) templ.Component { return bare.Page(in(f)) }},
		{"shop/many", "Set-up with prices and people", func(f views.Frame) templ.Component { return whole.Page(in(f)) }},
		{"shop/reader", "Set-up as a reader sees it", func(f views.Frame) templ.Component { return looked.Page(in(f)) }},
		{"shop/settings", "Settings, refused", func(f views.Frame) templ.Component { return settings.Page(in(f)) }},
		{"shop/due", "When kit is due", func(f views.Frame) templ.Component { return views.DueForm{}.Page(in(f)) }},
		{"shop/due-refused", "When kit is due, refused", func(f views.Frame) templ.Component { return wrongDue.Page(in(f)) }},
		{"tariff/new", "Add a price of electricity", func(f views.Frame) templ.Component {
			return views.TariffForm{Key: "gallery-tariff", Bands: mostBands}.Page(in(f))
		}},
		{"tariff/refused", "Add a price of electricity, refused", func(f views.Frame) templ.Component { return refused.Page(in(f)) }},
	}
}

func personScenes() []scene {
	crew := views.Person{ID: 2, Name: galleryLongName, Role: "melter", Since: galleryDay(2025, 3, 9)}
	last := views.PersonForm{Person: crew, Form: views.Typed{Values: map[string][]string{"role": {"owner"}}, Faults: map[string]string{"role": lastOwner}}}
	ended := views.PersonForm{Person: crew, Ended: new(galleryDay(2026, 6, 30))}
	account := views.Account{Name: "Workshop", Role: "owner", Theme: "dark", Hand: "left", Pad: true, SignIns: []views.SignedIn{
		{ID: 1, Device: "Firefox on Android", At: galleryDay(2026, 11, 2), Seen: galleryNow, Here: true},
		{ID: 2, Device: "Samsung Internet on Android", At: galleryDay(2026, 9, 14), Seen: galleryDay(2026, 10, 30)},
	}}
	subscribed := account
	subscribed.Trust = true
	subscribed.Calendar = new(galleryDay(2026, 9, 14))
	tokens := views.Tokens{
		Tokens: []views.Token{
			{ID: 3, Name: galleryLongName, Scope: "all", At: galleryDay(2026, 11, 2), Expires: galleryDay(2027, 11, 2)},
			{ID: 2, Name: "Thermometer in the shed", Scope: "readings", At: galleryDay(2026, 10, 1), Expires: galleryDay(2031, 10, 1), Used: new(galleryDay(2026, 11, 3))},
			{ID: 1, Name: "Sheet of figures", Scope: "read", At: galleryDay(2026, 1, 9), Expires: galleryDay(2027, 1, 9), Used: new(galleryDay(2026, 9, 30))},
		},
		Form: views.Typed{Values: map[string][]string{"scope": {"log"}}, Faults: map[string]string{"name": "Say what the token is for, so that you know it again.", "days": "Choose one of these."}},
	}
	wrong := account
	wrong.Form.Faults = map[string]string{"current": "That is not your present password. Check the capital letters."}
	given := views.Given{
		Title: "A link for a new melter", Address: "http://melts.example.org/join/7B3KQ2ZLOCN5XW4TDVGAHM6EYF", Expires: galleryDay(2026, 11, 28),
		For: "Whoever opens it makes an account of their own, which " + views.RoleSays("melter"), Back: views.Link{Text: "Set-up", Href: "/shop/many"},
	}
	return []scene{
		{"person/last-owner", "A person, refused", func(f views.Frame) templ.Component { return last.Page(f) }},
		{"person/ended", "A person whose account has ended", func(f views.Frame) templ.Component { return ended.Page(f) }},
		{"person/link", "A link, shown once", func(f views.Frame) templ.Component { return given.Page(f) }},
		{"account/own", "Your account", func(f views.Frame) templ.Component { return account.Page(f) }},
		{"account/calendar", "Your account with a calendar", func(f views.Frame) templ.Component { return subscribed.Page(f) }},
		{"account/address", "The address of a calendar, shown once", func(f views.Frame) templ.Component {
			return views.CalendarGiven{Address: "http://melts.example.org/due/7B3KQ2ZLOCN5XW4TDVGAHM6EYF.ics"}.Page(f)
		}},
		{"tokens/none", "No tokens for programs", func(f views.Frame) templ.Component {
			return views.Tokens{Form: views.Typed{Values: map[string][]string{"scope": {"readings"}, "days": {"365"}}}}.Page(f)
		}},
		{"tokens/many", "Tokens for programs, one refused", func(f views.Frame) templ.Component { return tokens.Page(f) }},
		{"tokens/given", "A token, shown once", func(f views.Frame) templ.Component {
			return views.TokenGiven{Name: galleryLongName, Text: "drosswise-ABCDEFGHIJKLMNOPQRSTUVWXYZ"}.Page(f)
		}},
		{"account/refused", "Your account, refused", func(f views.Frame) templ.Component { return wrong.Page(f) }},
	}
}
