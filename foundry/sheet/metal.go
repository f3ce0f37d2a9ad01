package sheet

import (
	"drosswise/foundry/balance"
	"drosswise/foundry/gum"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// metal fills in what became of the charge.
func (s *Sheet) metal(b balance.Balance) {
	var noCharge, noNet, noIngots, noDross []Lack
	net := b.Net()
	if !b.HasCharge {
		noCharge = []Lack{NoCharge}
	} else if net.X <= 0 {
		noNet = []Lack{NoNet}
	}
	if !b.HasIngots || b.UnweighedPour {
		noIngots = []Lack{NoIngots}
	}
	if !b.HasDross || b.UnweighedSkim {
		noDross = []Lack{NoDross}
	}
	s.Charged = known(b.Charged, noCharge...)
	s.Attachments = known(b.Attachments)
	s.HeelIn, s.HeelOut = known(b.HeelIn), known(b.HeelOut)
	s.Ingots = known(b.Ingots, noIngots...)
	s.Rejects, s.Spills = known(b.Rejects), known(b.Spills)
	s.Dross = known(b.Dross, noDross...)
	s.Recovered = known(b.Recovered(), noIngots...)

	of := func(v gum.Value, lack ...[]Lack) Figure {
		var all []Lack
		for _, l := range append([][]Lack{noCharge, noNet}, lack...) {
			all = append(all, l...)
		}
		if len(all) > 0 {
			return lacking(all...)
		}
		return known(v.Over(net))
	}
	s.Yield = of(b.Recovered(), noIngots)
	s.GoodYield = of(b.Good(), noIngots)
	s.Loss = of(net.Minus(b.Recovered()), noIngots)
	s.DrossRate = of(b.Dross, noDross)
	s.Unaccounted = known(b.Unaccounted(), append(append(noCharge, noIngots...), noDross...)...)
}

// times fills in how long things took.
func (s *Sheet) times(h melt.Heading, standing []melt.Line, b balance.Balance) {
	s.Hot, s.TimeMolten, s.Rate = lacking(NoPowerOn), lacking(NoPowerOn), lacking(NoPowerOn)
	on, ok := melt.First(standing, melt.PowerOn)
	if !ok {
		return
	}
	s.Hot = exact(melt.Total(HotTime(standing)).Hours())
	molten, ok := melt.Last(standing, melt.AllMolten)
	if !ok || molten.At <= on.At {
		s.TimeMolten, s.Rate = lacking(NoAllMolten), lacking(NoAllMolten)
		return
	}
	s.TimeMolten = exact(molten.At.Since(on.At).Hours())
	s.Rate = ratio(s.Charged, s.TimeMolten, NoAllMolten)
}

// HotTime gives the stretches with power on. A power-on that was never ended
// is taken to have ended with the melt's last line.
func HotTime(standing []melt.Line) []melt.Stretch {
	var end quantity.Moment
	for _, l := range standing {
		if l.Kind != melt.Close && l.Kind != melt.Reopen && l.Kind != melt.Void {
			end = max(end, l.At)
		}
	}
	on, _ := melt.OnTime(standing, end)
	return on
}
