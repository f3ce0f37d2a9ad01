package demo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

func (d *shop) mishapsAreThere(t *testing.T) {
	met := map[Mishap]int{}
	for _, m := range d.truth {
		if m.Mishap == "" {
			continue
		}
		met[m.Mishap]++
		lines, s := d.melt(t, m.Code)
		shows := map[Mishap]func() bool{
			Tenfold:   func() bool { return d.tenfold(lines) },
			NoDross:   func() bool { return !s.Dross.Known() && s.Yield.Known() },
			FromPaper: func() bool { return lines[0].Noted.Since(lines[0].At) > 5*24*quantity.Hour },
			NoIngots:  func() bool { return s.State == melt.Closed && !s.Yield.Known() && s.Dross.Known() },
			AsFound:   func() bool { return hasFlag(s, sheet.AsFound) && s.Yield.X < 0.9 },
			Spilled:   func() bool { return math.Abs(s.Spills.X-0.21) < 0.005 },
			WrongBin:  func() bool { return countLines(lines, melt.Charge, true) == 1 },
			Reopened: func() bool {
				return countLines(lines, melt.Reopen, false) == 1 && countLines(lines, melt.Close, false) == 2 && s.Dross.Known()
			},
			VoidBefore: func() bool { return d.voidBefore(t, m.Code) },
			Unnamed:    func() bool { return s.Unnamed == 1 },
			Mistyped:   func() bool { return math.Abs(s.Charged.X-m.Total()-0.3) < 0.003 && m.Slip == 0.3 && s.Yield.X < 0.85 },
			Misread:    func() bool { return countLines(lines, melt.PowerOn, true) == 1 && s.Energy.Known() },
			StillOn:    func() bool { return hasFlag(s, sheet.PowerOpen) },
			NoMeter:    func() bool { return !s.Energy.Known() },
			TypedKWh:   func() bool { return s.EnergyBasis == sheet.ByTyping },
			ForgetAll: func() bool {
				return countLines(lines, melt.AllMolten, false) == 0 && countLines(lines, melt.FirstLiquid, false) == 0
			},
		}[m.Mishap]
		require.NotNil(t, shows, m.Mishap)
		assert.True(t, shows(), "%s: %s", m.Code, m.Mishap)
	}
	planned := map[Mishap]int{}
	for _, m := range mishaps {
		planned[m]++
	}
	assert.Equal(t, planned, met)

	running, err := d.st.RunningMelts(t.Context())
	require.NoError(t, err)
	require.Len(t, running, 1)
	assert.Equal(t, 1842*quantity.Gram, running[0].Charged)
	lines, _ := d.melt(t, running[0].Code)
	assert.Equal(t, 1, countLines(lines, melt.Charge, true), "4120 g for 412 g, struck")
}

// tenfold finds dross that was struck and stands a tenth as heavy.
func (d *shop) tenfold(lines []melt.Line) bool {
	var struck, stands quantity.Mass
	for _, l := range lines {
		switch {
		case l.Kind != melt.Skim || !l.Weighed():
		case l.Stands():
			stands = l.Mass()
		default:
			struck = l.Mass()
		}
	}
	return stands > 0 && struck == 10*stands
}

// voidBefore says whether the code before this one was made void.
func (d *shop) voidBefore(t *testing.T, code melt.Code) bool {
	letter, year, n, _ := code.Parts()
	_, s := d.melt(t, melt.NewCode(letter, year, n-1))
	return s.State == melt.Voided
}

// countLines counts the lines of a kind, those struck or those that stand.
func countLines(lines []melt.Line, k melt.Kind, struck bool) (n int) {
	for _, l := range lines {
		if l.Kind == k && l.Stands() != struck {
			n++
		}
	}
	return n
}

func hasFlag(s sheet.Sheet, code sheet.FlagCode) bool {
	for _, f := range s.Flags {
		if f.Code == code {
			return true
		}
	}
	return false
}
