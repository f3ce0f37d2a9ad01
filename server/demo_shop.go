package main

import (
	"math/rand/v2"
	"time"

	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
	"drosswise/store"
)

// The demo's people, by what they do and no names.
const (
	demoWorkshop = iota
	demoEvening
	demoSaturday
	demoVisitor
)

var demoPeople = [...]struct{ name, role string }{
	demoWorkshop: {"Workshop", "owner"}, demoEvening: {"Evening crew", "melter"}, demoSaturday: {"Saturday crew", "melter"}, demoVisitor: {"Visitor", "reader"},
}

// demoSettings are those of the demo shop.
func demoSettings() store.Shop {
	return store.Shop{Name: "Bicycle workshop (demo)", Zone: "Europe/Dublin", MassUnit: "kg", Currency: "EUR", Ambient: 14 * quantity.Celsius, Ready: true}
}

// open sets the shop up, two days before its first melt, and has what comes on
// a fixed date come.
func (d *demoRun) open() {
	day := func(y int, m time.Month, day, hour int) quantity.Moment {
		return quantity.At(time.Date(y, m, day, hour, 0, 0, 0, d.zone))
	}
	at := day(2024, time.November, 21, 17)
	d.step(at, (*demoWriter).hire)
	d.price(day(2024, time.October, 1, 0), at+1, 245_000, tariff.Band{FromMinute: 23 * 60, ToMinute: 6 * 60, Price: 149_000})
	d.price(day(2025, time.October, 1, 0), day(2025, time.September, 24, 18), 257_300,
		tariff.Band{FromMinute: 23 * 60, ToMinute: 6 * 60, Price: 151_000}, tariff.Band{FromMinute: 17 * 60, ToMinute: 19 * 60, Price: 338_000})
	for i := range demoIngots {
		p := demoScrap[i].Source
		p.Key = d.key()
		d.step(at+2, func(w *demoWriter) error { return w.addSource(p) })
	}
	d.furnish(at + 3)
	d.keepUp(day)
}

func (d *demoRun) price(from, noted quantity.Moment, price quantity.Price, bands ...tariff.Band) {
	p := store.Tariff{Key: d.key(), Tariff: tariff.Tariff{From: from, Price: price, Bands: bands}}
	d.step(noted, func(w *demoWriter) error { return w.st.AddTariff(w.ctx, w.people[demoWorkshop], p) })
}

// furnish adds the kit that is there from the start.
func (d *demoRun) furnish(at quantity.Moment) {
	d.addKit(at, kit.Item{Kind: kit.Furnace, Name: demoYard.name, Letter: demoYard.letter, Heating: "wire", Volts: new(230 * quantity.Volt), Circuit: new(13 * quantity.Ampere),
		Power: new(demoYard.power), Note: "Fire brick in a steel shell, coil in grooves. Own circuit, wired and tested by an electrician."})
	for _, s := range []demoScale{demoKitchen, demoPlatform} {
		d.addKit(at, kit.Item{Kind: kit.Scale, Name: s.name, Resolution: s.step, Capacity: s.capacity})
	}
	d.addKit(at, kit.Item{Kind: kit.Probe, Name: demoProbes[0], Couple: "K", Note: "Sheathed, 6 mm."})
	d.kitLine(at+1, demoWorkshop, demoProbes[0], kit.Line{Kind: kit.Fitted}, demoYard.name)
	d.addPot(demoPots[0], at+2)
	d.fitCoil(rand.New(rand.NewPCG(demoSeed, 2)), at+demoMinutes(5))
}

// keepUp is what else comes on a fixed date: the second thermocouple and
// furnace, repairs, a look at a scale.
func (d *demoRun) keepUp(day func(int, time.Month, int, int) quantity.Moment) {
	changed := demoProbeChanged(d.zone)
	d.kitLine(changed-demoMinutes(20), demoWorkshop, demoProbes[0], kit.Line{Kind: kit.Retired, Note: "Beside a new one in the same metal it read about 8 °C too low. Worn out."})
	d.addKit(changed-demoMinutes(10), kit.Item{Kind: kit.Probe, Name: demoProbes[1], Couple: "K", Note: "Sheathed, 6 mm."})
	d.kitLine(changed-demoMinutes(5), demoWorkshop, demoProbes[1], kit.Line{Kind: kit.Fitted}, demoYard.name)

	bought := quantity.At(demoBenchBought(d.zone))
	d.addKit(bought, kit.Item{Kind: kit.Furnace, Name: demoBench.name, Letter: demoBench.letter, Heating: "wire", Volts: new(230 * quantity.Volt), Circuit: new(13 * quantity.Ampere),
		Power: new(demoBench.power), Note: "Second-hand, for small castings. On a plug meter."})
	d.addKit(bought+1, kit.Item{Kind: kit.Crucible, Name: "B1", Material: heat.Graphite, Brim: new(420 * quantity.Millilitre), Mass: new(460 * quantity.Gram), Wall: new(8 * quantity.Millimetre),
		Cost: new(quantity.Money(2200)), ExpectedHeats: new(60)})
	d.addKit(bought+2, kit.Item{Kind: kit.Element, Name: "BE1", Ohms: new(demoOhms(demoBenchOhms)), Note: "Came with the furnace; its wire is not known."})
	d.kitLine(bought+3, demoWorkshop, "BE1", kit.Line{Kind: kit.Fitted, Note: "As it came."}, demoBench.name)

	d.kitLine(day(2025, time.April, 12, 9), demoWorkshop, demoYard.name, kit.Line{Kind: kit.Inspected, Note: "Heat marks on the plug. Replaced by an electrician, cable tested."})
	d.kitLine(day(2025, time.September, 3, 17), demoWorkshop, demoYard.name, kit.Line{Kind: kit.Repaired, Note: "Two broken groove bricks changed, cold and unplugged, with mask and damp cloth."})
	d.kitLine(day(2026, time.May, 6, 17), demoWorkshop, demoYard.name, kit.Line{Kind: kit.Inspected, Note: "Contactor clean, earth and residual-current device tested by the electrician."})
	d.kitLine(day(2025, time.January, 8, 17), demoWorkshop, demoKitchen.name, kit.Line{Kind: kit.Inspected, Note: "1 kg check weight: 1000 g."})
	d.kitLine(day(2026, time.January, 7, 17), demoWorkshop, demoPlatform.name, kit.Line{Kind: kit.Inspected, Note: "10 kg check weight: 10.005 kg."})
}

// deliver has some of a scrap come, the day before it is needed.
func (d *demoRun) deliver(metal int, before quantity.Moment) *demoBin {
	m := demoScrap[metal]
	r := rand.New(rand.NewPCG(demoSeed, uint64(100_000+1000*metal+len(d.bins[metal]))))
	kg := m.lot * (0.75 + 0.5*r.Float64())
	l := scrap.Lot{Key: d.key(), At: before - demoMinutes(22*60+120*r.Float64())}
	l.AsCharged = new(demoPlatform.shows(r, kg))
	found := kg
	if m.steel > 0 {
		steel := kg * m.steel * (0.6 + 0.8*r.Float64())
		l.Steel, found = new(demoPlatform.shows(r, steel)), found+steel
	}
	if m.plastic > 0 {
		plastic := kg * m.plastic * (0.6 + 0.8*r.Float64())
		l.Plastic, found = new(demoPlatform.shows(r, plastic)), found+plastic
	}
	if metal != demoSprues && metal != demoOffcuts {
		l.AsFound = new(demoPlatform.shows(r, found*(1.01+0.03*r.Float64())))
	}
	if metal == demoOffcuts {
		l.Paid = new(*m.Paid + quantity.Price(r.IntN(5)-1)*50_000)
	}
	d.step(l.At+demoMinutes(15), func(w *demoWriter) error { return w.deliver(m.Name, l) })
	return &demoBin{key: l.Key, left: kg}
}
