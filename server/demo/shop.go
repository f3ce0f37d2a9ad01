package demo

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

// The demo's people, by what they do and no names: places in People.
const (
	Workshop = iota
	EveningCrew
	SaturdayCrew
	Visitor
)

// People are those who can sign in, each with Password.
var People = [...]struct{ Name, Role string }{
	Workshop: {"Workshop", "owner"}, EveningCrew: {"Evening crew", "melter"}, SaturdayCrew: {"Saturday crew", "melter"}, Visitor: {"Visitor", "reader"},
}

// settings are those of the demo shop.
func settings() store.Shop {
	return store.Shop{Name: "Bicycle workshop (demo)", Zone: "Europe/Dublin", MassUnit: "kg", Currency: "EUR", Ambient: 14 * quantity.Celsius, Ready: true}
}

// open sets the shop up, two days before its first melt, and has what comes on
// a fixed date come.
func (d *run) open() {
	day := func(y int, m time.Month, day, hour int) quantity.Moment {
		return quantity.At(time.Date(y, m, day, hour, 0, 0, 0, d.zone))
	}
	at := day(2024, time.November, 21, 17)
	d.step(at, (*writer).hire)
	d.price(day(2024, time.October, 1, 0), at+1, 245_000, tariff.Band{FromMinute: 23 * 60, ToMinute: 6 * 60, Price: 149_000})
	d.price(day(2025, time.October, 1, 0), day(2025, time.September, 24, 18), 257_300,
		tariff.Band{FromMinute: 23 * 60, ToMinute: 6 * 60, Price: 151_000}, tariff.Band{FromMinute: 17 * 60, ToMinute: 19 * 60, Price: 338_000})
	for i := range Ingots {
		p := Scrap[i].Source
		p.Key = d.key()
		d.step(at+2, func(w *writer) error { return w.addSource(p) })
	}
	d.furnish(at + 3)
	d.keepUp(day)
	d.hear(day)
}

func (d *run) price(from, noted quantity.Moment, price quantity.Price, bands ...tariff.Band) {
	p := store.Tariff{Key: d.key(), Tariff: tariff.Tariff{From: from, Price: price, Bands: bands}}
	d.step(noted, func(w *writer) error { return w.st.AddTariff(w.ctx, w.people[Workshop], p) })
}

// hear writes down what yards pay and ingots cost, as it was heard: invented
// prices, in the ratios to one another that the trade knows.
func (d *run) hear(day func(int, time.Month, int, int) quantity.Moment) {
	quote := func(at quantity.Moment, of scrap.Goods, metal int, price quantity.Price, note string) {
		q := scrap.Quote{Key: d.key(), Of: of, At: at, Price: price, Note: note}
		d.step(at+minutes(30), func(w *writer) error {
			if of == scrap.Unmelted {
				q.Source = w.sources[Scrap[metal].Name]
			}
			return w.st.AddQuote(w.ctx, w.people[Workshop], q)
		})
	}
	quote(day(2025, time.February, 12, 12), scrap.IngotsSold, 0, 1_250_000, "Unknown alloy, clean.")
	quote(day(2025, time.February, 12, 12), scrap.IngotsBought, 0, 2_700_000, "Casting alloy, by the 25 kg.")
	quote(day(2026, time.March, 4, 12), scrap.IngotsSold, 0, 1_300_000, "Unknown alloy, clean.")
	quote(day(2026, time.September, 16, 12), scrap.IngotsBought, 0, 2_850_000, "Casting alloy, by the 25 kg.")
	quote(day(2026, time.September, 16, 12), scrap.Unmelted, Cans, 600_000, "Pressed and dry.")
	quote(day(2026, time.September, 16, 12), scrap.Unmelted, Rims, 750_000, "Without spokes.")
}

// furnish adds the kit that is there from the start.
func (d *run) furnish(at quantity.Moment) {
	d.addKit(at, kit.Item{Kind: kit.Furnace, Name: yardFurnace.name, Letter: yardFurnace.letter, Heating: "wire", Switching: "controlled", Volts: new(230 * quantity.Volt), Circuit: new(13 * quantity.Ampere),
		Power: new(yardFurnace.power), Brick: "insulating fire brick, group 23 (1260 °C)", Wall: new(114 * quantity.Millimetre),
		Wide: new(230 * quantity.Millimetre), Deep: new(230 * quantity.Millimetre), High: new(300 * quantity.Millimetre),
		Note: "Fire brick in a steel shell, coil in grooves. Own circuit, wired and tested by an electrician."})
	for _, s := range []scale{kitchenScale, platformScale} {
		d.addKit(at, kit.Item{Kind: kit.Scale, Name: s.name, Resolution: s.step, Capacity: s.capacity})
	}
	d.addKit(at, kit.Item{Kind: kit.Probe, Name: probes[0], Couple: "K", Note: "Sheathed, 6 mm."})
	d.kitLine(at+1, Workshop, probes[0], kit.Line{Kind: kit.Fitted}, yardFurnace.name)
	d.addPot(pots[0], at+2)
	d.fitCoil(rand.New(rand.NewPCG(seed, 2)), at+minutes(5))
}

// keepUp is what else comes on a fixed date: the second thermocouple and
// furnace, repairs, a look at a scale.
func (d *run) keepUp(day func(int, time.Month, int, int) quantity.Moment) {
	changed := probeChanged(d.zone)
	d.kitLine(changed-minutes(20), Workshop, probes[0], kit.Line{Kind: kit.Retired, Cause: kit.Worn, Note: "Beside a new one in the same metal it read about 8 °C too low."})
	d.addKit(changed-minutes(10), kit.Item{Kind: kit.Probe, Name: probes[1], Couple: "K", Note: "Sheathed, 6 mm."})
	d.kitLine(changed-minutes(5), Workshop, probes[1], kit.Line{Kind: kit.Fitted}, yardFurnace.name)

	bought := quantity.At(benchBought(d.zone))
	d.addKit(bought, kit.Item{Kind: kit.Furnace, Name: benchFurnace.name, Letter: benchFurnace.letter, Heating: "wire", Volts: new(230 * quantity.Volt), Circuit: new(13 * quantity.Ampere),
		Power: new(benchFurnace.power), Note: "Second-hand, for small castings. On a plug meter."})
	d.addKit(bought+1, kit.Item{Kind: kit.Crucible, Name: "B1", Material: heat.Graphite, Brim: new(420 * quantity.Millilitre), Mass: new(460 * quantity.Gram), Wall: new(8 * quantity.Millimetre),
		Cost: new(quantity.Money(2200)), ExpectedHeats: new(60)})
	d.addKit(bought+2, kit.Item{Kind: kit.Element, Name: "BE1", Ohms: new(ohmmeterShows(benchOhms)), Note: "Came with the furnace; its wire is not known."})
	d.kitLine(bought+3, Workshop, "BE1", kit.Line{Kind: kit.Fitted, Note: "As it came."}, benchFurnace.name)

	d.kitLine(day(2025, time.April, 12, 9), Workshop, yardFurnace.name, kit.Line{Kind: kit.Inspected, Note: "Heat marks on the plug. Replaced by an electrician, cable tested."})
	d.kitLine(day(2025, time.September, 3, 17), Workshop, yardFurnace.name, kit.Line{Kind: kit.Repaired, Note: "Two broken groove bricks changed, cold and unplugged, with mask and damp cloth."})
	d.kitLine(day(2026, time.May, 6, 17), Workshop, yardFurnace.name, kit.Line{Kind: kit.Inspected, Note: "Contactor clean, earth and residual-current device tested by the electrician."})
	d.kitLine(day(2025, time.January, 8, 17), Workshop, kitchenScale.name, kit.Line{Kind: kit.Inspected, KnownMass: new(quantity.Kilogram), Mass: new(quantity.Kilogram), Note: "Check weight."})
	d.kitLine(day(2026, time.January, 7, 17), Workshop, platformScale.name, kit.Line{Kind: kit.Inspected, KnownMass: new(10 * quantity.Kilogram), Mass: new(10_005 * quantity.Gram), Note: "Check weight."})
}

// deliver has some of a scrap come, the day before it is needed.
func (d *run) deliver(metal int, before quantity.Moment) *bin {
	m := Scrap[metal]
	r := rand.New(rand.NewPCG(seed, uint64(100_000+1000*metal+len(d.bins[metal]))))
	kg := m.lot * (0.75 + 0.5*r.Float64())
	l := scrap.Lot{Key: d.key(), At: before - minutes(22*60+120*r.Float64())}
	l.AsCharged = new(platformScale.shows(r, kg))
	found := kg
	if m.steel > 0 {
		steel := kg * m.steel * (0.6 + 0.8*r.Float64())
		l.Steel, found = new(platformScale.shows(r, steel)), found+steel
	}
	if m.plastic > 0 {
		plastic := kg * m.plastic * (0.6 + 0.8*r.Float64())
		l.Plastic, found = new(platformScale.shows(r, plastic)), found+plastic
	}
	if metal != Sprues && metal != Offcuts {
		l.AsFound = new(platformScale.shows(r, found*(1.01+0.03*r.Float64())))
	}
	if metal == Offcuts {
		l.Paid = new(*m.Paid + quantity.Price(r.IntN(5)-1)*50_000)
	}
	d.step(l.At+minutes(15), func(w *writer) error { return w.deliver(m.Name, l) })
	return &bin{key: l.Key, left: kg}
}
