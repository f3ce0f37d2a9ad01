package drift

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/probe"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

var plainStyle = quantity.Style{}

func TestSayCourse(t *testing.T) {
	_, c, a := drifted(t)
	said := c.Say(plainStyle)
	assert.Contains(t, said, "Time to check: from melt A26-046 on, melts took 0.7 kWh more than melts like them took before, between 0.6 and 0.8 (9 chances in 10), which is 11 % (10 to 13 %).")
	assert.Contains(t, said, "That rests on 15 melts since and 45 before.")
	assert.NotContains(t, said, "No change was noticed")
	a.Close = OneOff
	assert.Contains(t, a.Say(plainStyle, OfEnergy), "closed as a one-off")
	a.Close, a.Later, a.Back = "", 5, 4
	assert.Contains(t, a.Say(plainStyle, OfEnergy), "Of 5 melts after it was noticed, 4 took what was expected: it may have passed.")
	a.Size = nil
	assert.Contains(t, a.Say(plainStyle, OfEnergy), "too few to say by how much")

	melts := shop(60, steadySupply)
	assert.Contains(t, Time(melts, Settings{}).Say(plainStyle), "That does not show that there was none")
	assert.Contains(t, Time(melts, Settings{}).Say(plainStyle), "14.8 minutes a kilogram")
	assert.Contains(t, Time(melts, Settings{}).Say(quantity.Style{MassUnit: quantity.Pounds}), "6.7 minutes a pound")
	assert.Contains(t, Time(melts[:7], Settings{}).Say(plainStyle), "A change can be noticed from 10 melts on; there are 7 to go by.")
	assert.Contains(t, Energy(melts[:4], Settings{}).Say(plainStyle), "cannot be told apart below 6 melts")
	assert.Contains(t, Energy(nil, Settings{}).Say(plainStyle), "No closed melt says its energy")
	assert.Contains(t, Time(nil, Settings{}).Say(plainStyle), "No closed melt says when all was molten")

	*melts[50].Molten -= 1
	alone := Time(melts, Settings{}).Say(plainStyle)
	assert.Contains(t, alone, "melt A26-051: it alone took 60 minutes less than expected, between 56 and 65 (9 chances in 10).")
	assert.Contains(t, alone, "Of 9 melts since, 9 took what was expected.")
}

func TestSayCauses(t *testing.T) {
	melts, c, a := drifted(t)
	for i, ohms := range written(melts, 14, 0.1, 0.8) {
		melts[i].Ohms = ohms
	}
	bad := Scale(ScaleOf{Step: 0.01}, []ScaleCheck{{At: 55, Mass: 10, Reading: 9.5}}, nil)
	list := Causes(melts, c, a, Settings{}, Tools{Scale: &bad})
	said := map[string]string{}
	for _, l := range list {
		said[string(l.Cause)+" "+l.Clue] = l.Say(plainStyle)
	}
	assert.Contains(t, said["element ohms"], "The element's resistance changed along with it: 14.00 Ω over 20 melts before and 14.79 Ω over 15 melts since; the change lies between 0.73 and 0.85 (9 chances in 10, t 22.2).")
	assert.Contains(t, said["scale check"], "the scale read 0.500 kg too little (between 0.495 kg and 0.505 kg, 9 chances in 10), beyond its own ±0.010 kg.")
	assert.Contains(t, said["scale check"], "That alone would look like this change.")
	assert.Contains(t, said["lid lid_open"], "Write down for how many minutes the lid is open.")
	assert.Contains(t, said["supply volts"], "no change that could be told from scatter")
	assert.Equal(t, []Cause{ByScale, Element}, []Cause{list[0].Cause, list[1].Cause}, "500 g off in 10 kg is the surer of the two")
	for _, clue := range clues {
		assert.NotEmpty(t, wordings[clue.name].write, clue.name)
	}
}

func TestSayInstruments(t *testing.T) {
	const day, later = quantity.Moment(20_500 * 86_400_000), quantity.Moment(20_700 * 86_400_000)
	scale := Scale(ScaleOf{0.01, 0.001}, []ScaleCheck{{day, 10, 0.001, 10}, {later, 10, 0.001, 9.96}}, []Used{{1, day + 1}})
	said := scale.Say(plainStyle)
	assert.Contains(t, said, "Time to check it again")
	assert.Contains(t, said, "Since 16 Feb 2026 it has drifted: it reads 0.040 kg less (between 0.033 kg and 0.047 kg, 9 chances in 10).")
	assert.Contains(t, said, "It was last found within its ± on 16 Feb 2026: what was weighed on it in 1 melt since is in doubt.")
	scale = Scale(ScaleOf{0.01, 0.001}, []ScaleCheck{{day, 10, 0.001, 10}, {later, 10, 0.001, 10}}, nil)
	assert.Contains(t, scale.Say(plainStyle), "the scale read true, give or take 0.005 kg (9 chances in 10), within its own ±0.010 kg.")
	assert.Contains(t, scale.Say(plainStyle), "no drift can be told")

	couple := ProbeCheck{At: day, Reading: 715, Second: of(720), Class: probe.Class2}
	assert.Contains(t, Thermocouple(ProbeOf{probe.Class2, 1}, []ProbeCheck{couple}, nil).Say(plainStyle), "this check is too coarse to say")
	assert.Contains(t, Thermocouple(ProbeOf{Step: 1}, []ProbeCheck{couple}, nil).Say(quantity.Style{Fahrenheit: true}), "9.0 °F too little")
	assert.Contains(t, Meter(MeterOf{}, nil, nil).Say(plainStyle), "This meter was never checked.")
}

func TestSayLoss(t *testing.T) {
	w, err := Plane(1, []Layer{{Bricks[0], 0.114}}, 750, 20, Outside{})
	require.NoError(t, err)
	assert.Contains(t, w.Say(plainStyle), "lets about 715 W through, and its outside reaches about 79 °C")
	for measured, want := range map[float64]string{1.4: "Time to check these", 0.75: "agree within", 0.2: "cannot take less"} {
		l, ok := CompareLoss(w.Watts, recovery.Range{Low: measured - 0.1, Middle: measured, High: measured + 0.1})
		require.True(t, ok)
		assert.Contains(t, l.Say(plainStyle), want)
	}
	c, ok := ChartSingles([]float64{0.93, 0.92, 0.94, 0.93, 0.92, 0.93, 0.94, 0.93, 0.80, 0.93, 0.92, 0.93})
	require.True(t, ok)
	assert.Contains(t, c.Say("The yield", func(x float64) string { return plainStyle.Percent(x, 1) }), "One lay outside: time to check it.")
}
