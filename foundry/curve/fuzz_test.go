package curve_test

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"slices"
	"testing"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/require"
)

// FuzzWork holds that a report is made of any readings: with finite figures, all
// that is drawn among the times of the readings and in their order, a sentence for
// each doubt, and the readings as they were.
func FuzzWork(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 10, 0, 1, 0, 0, 200, 0, 1, 255, 255})
	jumps := []byte{0}
	for i := range 300 {
		jumps = binary.BigEndian.AppendUint16(jumps, 60)
		jumps = binary.BigEndian.AppendUint16(jumps, uint16(20_00+i*200))
	}
	f.Add(jumps)
	f.Fuzz(func(t *testing.T, raw []byte) {
		var all []curve.Numbered
		for n, c := range curve.Channels {
			s := curve.Numbered{ID: int64(n + 1), Series: curve.Series{Channel: c, Name: string(c)}}
			at := start
			for rest := raw; len(rest) >= 4; rest = rest[4:] {
				at += 1 + quantity.Moment(binary.BigEndian.Uint16(rest))*100
				value := int64(int16(binary.BigEndian.Uint16(rest[2:])))
				if c == curve.Energy {
					value = max(0, value) * 1000
				}
				s.Samples = append(s.Samples, curve.Sample{At: at, Value: value})
			}
			all = append(all, s)
		}
		before := slices.Clone(all[0].Samples)
		r := curve.Work(all)
		require.Equal(t, before, all[0].Samples)
		_, err := json.Marshal(r)
		require.NoError(t, err)
		if r.Energy != nil {
			require.False(t, math.IsNaN(r.Energy.Joules) || math.IsNaN(r.Energy.U) || r.Energy.U < 0)
		}
		for _, c := range r.Curves {
			require.LessOrEqual(t, c.Least, c.Most)
			last := r.From - 1
			for _, run := range c.Runs {
				require.NotEmpty(t, run)
				for _, x := range run {
					require.Greater(t, x.At, last)
					require.LessOrEqual(t, x.At, r.To)
					last = x.At
				}
			}
			for _, d := range c.Doubts {
				require.NotEmpty(t, d.Say(style))
			}
		}
		for _, h := range r.Heats {
			for _, p := range h.Plateaus {
				require.Less(t, p.From, p.To)
			}
		}
	})
}
