package main

import (
	"slices"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// course makes up the lines of a melt: what every melt has first, then what
// some have, so many in all; in the order of time. A running one has not been
// poured.
func (f *filler) course(shop largeShop, h melt.Heading, share float64, lines int, running bool) []melt.Line {
	after := func(minutes int) quantity.Moment {
		return h.At + quantity.Moment(quantity.Span(minutes)*quantity.Minute)
	}
	scale := shop.scales[f.r.IntN(len(shop.scales))]
	weighed := func(l melt.Line, readings ...quantity.Mass) melt.Line {
		l.Scale, l.Gross = scale, readings
		return l
	}
	first, in1, out1 := f.charge(shop, share, after(5))
	second, in2, out2 := f.charge(shop, share, after(70))
	first.Scale, second.Scale = scale, scale
	third, in3, out3 := f.charge(shop, share, after(95))
	third.Scale = scale
	must := 9 // what stands first in the list below
	if running {
		must = 6
	}
	in, out := in1, out1
	if lines > must {
		in, out = in+in2, out+out2
	}
	if lines > must+2 {
		in, out = in+in3, out+out3
	}
	from := f.meters[h.Furnace]
	f.meters[h.Furnace] += quantity.Energy(in.Kilograms() * (1.2 + 0.6*f.r.Float64()) * float64(quantity.KilowattHour))
	pour := weighed(melt.Line{Kind: melt.Pour, At: after(192), Count: new(4 + f.r.IntN(8)), Mould: []string{"small bar", "muffin tin", "long bar"}[f.r.IntN(3)]}, out)

	all := []melt.Line{
		first,
		{Kind: melt.PowerOn, At: after(10), Meter: new(from)},
		{Kind: melt.AllMolten, At: after(150 + f.r.IntN(30))},
		{Kind: melt.Temperature, At: after(182), Temp: new(quantity.Temperature(68_000 + f.r.IntN(8_000))), Which: melt.InMetal, Probe: h.Probe},
		weighed(melt.Line{Kind: melt.Skim, At: after(186), Which: "grey dry"}, max((in-out)/2, quantity.Gram)),
		{Kind: melt.Checked, At: after(0), Count: new(10)},
	}
	if !running {
		last := melt.Line{Kind: melt.Close, At: after(320)}
		if f.r.IntN(200) == 0 {
			last.Kind, last.Note = melt.Void, "not melted after all"
		}
		all = slices.Concat([]melt.Line{pour, {Kind: melt.Isolated, At: after(194), Meter: new(f.meters[h.Furnace])}, last}, all)
	}
	all = append(all, second)
	if len(all) < lines {
		all = append(all, f.extras(shop, h, third, pour, after, weighed)...)
	}
	all = all[:min(lines, len(all))]
	slices.SortStableFunc(all, func(a, b melt.Line) int { return int(a.At - b.At) })
	return all
}

// extras are lines that some melts have.
func (f *filler) extras(shop largeShop, h melt.Heading, third, pour melt.Line, after func(int) quantity.Moment, weighed func(melt.Line, ...quantity.Mass) melt.Line) []melt.Line {
	notes := []string{"Bridged over the coil, pushed under with the long rod.", "Slow today, lid seal worn.", "Painted ends left out.", "Smoke at first, oily pieces.", "Two passes of drossing flux."}
	slip := pour
	slip.At, slip.Strike = after(191), &melt.Strike{At: after(193), By: shop.people[1], Reason: "wrong scale"}
	some := []melt.Line{
		{Kind: melt.Note, At: after(120), Note: notes[f.r.IntN(len(notes))]},
		{Kind: melt.Addition, At: after(178), Which: "drossing flux", Cost: new(quantity.Money(10))},
		weighed(melt.Line{Kind: melt.Spill, At: after(300)}, 60*quantity.Gram),
		weighed(melt.Line{Kind: melt.Steel, At: after(188)}, 90*quantity.Gram),
		weighed(melt.Line{Kind: melt.HeelOut, At: after(302)}, 300*quantity.Gram),
		{Kind: melt.Stamp, At: after(110)},
		slip,
	}
	f.r.Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
	return append([]melt.Line{some[0], third}, some[1:]...)
}

// charge makes up a charge and says what of it comes out again. Most have two
// readings of the scale, and name the delivery they came from; now and then
// ingots of an earlier pour go in.
func (f *filler) charge(shop largeShop, share float64, at quantity.Moment) (l melt.Line, in, out quantity.Mass) {
	l = melt.Line{Kind: melt.Charge, At: at, Dry: true}
	readings := 1 + f.r.IntN(2)
	for range readings {
		l.Gross = append(l.Gross, (quantity.Mass(600+f.r.IntN(900)) * quantity.Gram))
	}
	if f.r.IntN(4) == 0 {
		l.Tare = 250 * quantity.Gram
	}
	in = l.Mass()
	if len(f.pours) > 0 && f.r.IntN(30) == 0 {
		l.Pour = f.pours[f.r.IntN(len(f.pours))]
		return l, in, in - in/100
	}
	// Squared, so that some scrap is melted far more often than other.
	which := int(f.r.Float64() * f.r.Float64() * largeSources)
	l.Source = shop.scrap[which]
	if f.r.IntN(5) > 0 {
		l.Lot = lotAt(which, share)
	}
	recovery := map[scrap.Form]float64{scrap.Can: 0.80, scrap.Swarf: 0.78, scrap.Foil: 0.6}[scrap.Forms[which%len(scrap.Forms)].Form]
	if recovery == 0 {
		recovery = 0.94
	}
	return l, in, quantity.Mass(float64(in) * (recovery + 0.02*f.r.NormFloat64()))
}
