package store

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

// history makes a workshop's past at random from a seed: melts with their
// lines, corrections, and changes of all that figures lean on. Much of it is
// refused; what was refused must leave no trace.
type history struct {
	*workshop
	*rand.Rand
	t     testing.TB
	melts []melt.Heading
	taken map[string]int // how often each thing went through
}

func newHistory(t testing.TB, w *workshop, seed uint64) *history {
	return &history{workshop: w, Rand: rand.New(rand.NewPCG(seed, 1)), t: t, taken: map[string]int{}}
}

// run does that many things.
func (h *history) run(n int) {
	ctx := context.Background()
	for range n {
		h.pass(time.Duration(h.IntN(90)) * time.Minute)
		if len(h.melts) == 0 || h.IntN(20) == 0 {
			h.begin(ctx)
			continue
		}
		name, err := h.step(ctx)
		var refused melt.Refusals
		switch {
		case err == nil:
			h.taken[name]++
		case !errors.As(err, &refused) && !errors.Is(err, ErrConflict):
			require.NoError(h.t, err, name)
		}
	}
}

func (h *history) step(ctx context.Context) (string, error) {
	m := h.melts[max(0, len(h.melts)-1-h.IntN(4))]
	_, lines, err := h.Melt(ctx, m.Code)
	require.NoError(h.t, err)
	at := 0
	if len(lines) > 0 {
		at = h.IntN(len(lines))
	}
	switch n := h.IntN(100); {
	case n < 55 || len(lines) == 0:
		l := h.draw(m)
		return "add " + string(l.Kind), h.Add(ctx, h.by, m.Code, l, h.IntN(3) > 0)
	case n < 65:
		return "strike", h.Strike(ctx, h.by, m.Code, lines[at].ID, Mark{Key: h.key(), Struck: true})
	case n < 73:
		return "lift", h.Strike(ctx, h.by, m.Code, lines[at].ID, Mark{Key: h.key()})
	case n < 80:
		l := h.draw(m)
		l.Kind = lines[at].Kind
		return "replace", h.Replace(ctx, h.by, m.Code, lines[at].ID, l, "", true)
	case n < 83:
		return "same again", h.Add(ctx, h.by, m.Code, lines[at], true)
	}
	return h.around(ctx)
}

// around changes something beside the melts.
func (h *history) around(ctx context.Context) (string, error) {
	switch h.IntN(8) {
	case 0:
		kits := [][]int64{h.furnaces, h.crucibles, h.elements, h.scales}
		it, _, _, err := h.KitItem(ctx, pick(h, pick(h, kits)))
		require.NoError(h.t, err)
		it.Mass, it.Cost, it.ExpectedHeats = h.mass(), maybe(h, quantity.Money(h.IntN(9_000))), maybe(h, 1+h.IntN(200))
		if it.Kind == kit.Scale {
			it.Resolution, it.Gain = quantity.Mass(1+h.IntN(50))*quantity.Gram, int64(h.IntN(5_000))
		}
		return "change kit", h.ChangeKit(ctx, h.by, it)
	case 1:
		p, err := h.Source(ctx, pick(h, h.sources))
		require.NoError(h.t, err)
		p.Name = pick(h, []string{"Wheels", "Rims", "Cans", "Crank arms", "Frames", "Profile"})
		p.Alloy = pick(h, []string{"", "A356.0", "6063", "unknown"})
		p.Paid, p.Fetches = maybe(h, quantity.Price(h.IntN(3)*400_000)), maybe(h, quantity.Price(h.IntN(900_000)))
		return "change source", h.ChangeSource(ctx, h.by, p)
	case 2:
		from := h.Now() - quantity.Moment(h.IntN(5*24*60))*minute
		price := Tariff{Key: h.key(), Tariff: tariff.Tariff{From: from, Price: quantity.Price(h.IntN(400_000))}}
		if h.IntN(2) == 0 {
			price.Bands = []tariff.Band{{FromMinute: 22 * 60, ToMinute: 6 * 60, Price: 90_000}}
		}
		return "add tariff", h.AddTariff(ctx, h.by, price)
	case 3:
		all, err := h.Tariffs(ctx)
		require.NoError(h.t, err)
		if len(all) == 0 {
			return "no tariff", nil
		}
		return "strike tariff", h.StrikeTariff(ctx, h.by, pick(h, all).ID)
	case 4:
		p, err := h.Shop(ctx)
		require.NoError(h.t, err)
		p.Zone = pick(h, []string{"UTC", "Pacific/Auckland", "America/Los_Angeles"})
		p.Currency = pick(h, []string{"EUR", "JPY"})
		p.Ambient = quantity.Temperature(h.IntN(40)) * quantity.Celsius
		return "set shop", h.SetShop(ctx, h.by, p)
	case 5:
		i := h.IntN(len(h.lots))
		return "strike lot", h.StrikeLot(ctx, h.by, h.sources[i], h.lots[i], Mark{Key: h.key(), Struck: h.IntN(2) == 0})
	case 6:
		return "kit line", h.AddKitLine(ctx, h.by, kit.Line{Key: h.key(), Item: pick(h, h.elements), Kind: kit.Fitted, At: h.Now(), Furnace: pick(h, h.furnaces)})
	}
	h.reopen(h.t)
	return "restart", nil
}

func (h *history) begin(ctx context.Context) {
	heading := melt.Heading{Key: h.key(), At: h.Now() - quantity.Moment(h.IntN(40*24*60))*minute, Furnace: pick(h, h.furnaces),
		Target: melt.Ingots, Warm: h.IntN(4) == 0, Ambient: maybe(h, 15*quantity.Celsius)}
	if h.IntN(5) > 0 {
		heading.Crucible, heading.Element = pick(h, h.crucibles), pick(h, h.elements)
	}
	m, err := h.Start(ctx, h.by, heading, "")
	require.NoError(h.t, err)
	h.melts = append(h.melts, m)
}

// draw makes a line of the melt, more often one that fits than not.
func (h *history) draw(m melt.Heading) melt.Line {
	specs := melt.Specs()
	spec := specs[h.IntN(len(specs))]
	if h.IntN(2) == 0 {
		spec, _ = melt.SpecOf(pick(h, []melt.Kind{melt.Charge, melt.Pour, melt.Skim, melt.PowerOn, melt.Isolated, melt.Meter, melt.Reopen}))
	}
	l := h.line(m, spec.Kind, h.IntN(600)-60)
	l.Which = ""
	if len(spec.Choices) > 0 {
		l.Which = pick(h, spec.Choices).Value
	}
	for _, part := range spec.Parts {
		if spec.Requires(part) || h.IntN(3) > 0 {
			h.fill(m, &l, part)
		}
	}
	if spec.Kind != melt.Charge && h.IntN(8) == 0 {
		l.Source = pick(h, h.sources) // means nothing on such a line
	}
	return l
}

func (h *history) fill(m melt.Heading, l *melt.Line, part melt.Part) {
	switch part {
	case melt.PartSource:
		i := h.IntN(len(h.sources))
		l.Source = h.sources[i]
		if h.IntN(2) == 0 {
			l.Lot = h.lots[i]
		}
		if pours := h.pours(m); len(pours) > 0 && h.IntN(5) == 0 {
			l.Source, l.Lot, l.Pour = 0, 0, pick(h, pours)
		}
	case melt.PartMass:
		l.Tare = quantity.Mass(h.IntN(2)) * 300 * quantity.Gram
		for range 1 + h.IntN(3) {
			l.Gross = append(l.Gross, l.Tare+*h.mass())
		}
		if h.IntN(3) > 0 {
			l.Scale = pick(h, h.scales)
		}
		l.Spread = maybe(h, 20*quantity.Gram)
	case melt.PartBasis:
		l.AsFound = h.IntN(2) == 0
	case melt.PartCount:
		l.Count = new(h.IntN(12))
	case melt.PartMould:
		l.Mould = pick(h, []string{"Muffin tin", "Loaf tin"})
	case melt.PartCost:
		l.Cost = new(quantity.Money(h.IntN(500)))
	case melt.PartMeter:
		l.Meter = new(1_000*kWh + quantity.Energy(l.At-quantity.At(opening)+100*24*60*minute)/1_000)
	case melt.PartEnergy:
		l.Energy = new(quantity.Energy(h.IntN(20)) * kWh)
	case melt.PartTemp:
		l.Temp = new(quantity.Temperature(600+h.IntN(200)) * quantity.Celsius)
	case melt.PartElectric:
		l.Volts, l.Amps = new(230*quantity.Volt), maybe(h, 10*quantity.Ampere)
	case melt.PartKit:
		l.Crucible, l.Element = pick(h, h.crucibles), pick(h, h.elements)
	case melt.PartNote:
		l.Note = pick(h, []string{"skin on top", "lid left open", "Ötzi's été", "dross dry"})
	}
}

func (h *history) mass() *quantity.Mass { return new(quantity.Mass(1+h.IntN(3_000)) * quantity.Gram) }

// pours are those of other melts.
func (h *history) pours(m melt.Heading) []int64 {
	all, err := h.RecentPours(context.Background(), 5)
	require.NoError(h.t, err)
	var ids []int64
	for _, p := range all {
		if p.Code != m.Code {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

func pick[T any](h *history, all []T) T { return all[h.IntN(len(all))] }

// maybe says something two times out of three.
func maybe[T any](h *history, v T) *T {
	if h.IntN(3) == 0 {
		return nil
	}
	return &v
}
