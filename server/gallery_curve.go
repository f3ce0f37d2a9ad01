package main

import (
	"math"
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
	"drosswise/views"
)

// curveScenes are melts with what loggers read: one sensor, many with doubts and
// long names, one struck, a clock that is off.
func curveScenes() []scene {
	melted := func(all ...curve.Numbered) views.Melt {
		m := galleryMelt(closedLines())
		m.Curves = &views.Curves{Report: curve.Work(all), NewKeys: func() string { return "gallery-series" }}
		for _, s := range all {
			m.Curves.Series = append(m.Curves.Series, views.Series{ID: s.ID, Channel: s.Channel, Name: s.Name, Count: len(s.Samples)})
		}
		return m
	}
	metal := galleryCurve(1, curve.Temperature, "shed:metal", func(minute float64) float64 {
		switch {
		case minute < 40:
			return 20_00 + minute/40*640_32
		case minute < 52:
			return 660_32
		}
		return 660_32 + 80_00*(1-math.Exp((52-minute)/8))
	})
	plug := galleryCurve(2, curve.Power, "shed:plug", func(minute float64) float64 {
		if minute > 58 {
			return 3_000
		}
		return 1_930_000 + 20_000*math.Sin(minute)
	})
	doubted := galleryCurve(3, curve.Temperature, "urn:dev:ow:"+strings.Repeat("10e2073a01080063", 4), func(minute float64) float64 { return 20_00 + 9_00*minute })
	doubted.Samples[50].Value = 1370_00
	doubted.Samples = append(doubted.Samples[:150:150], doubted.Samples[220:]...)
	count := galleryCurve(4, curve.Energy, "shed:meter", func(minute float64) float64 {
		if minute > 30 {
			minute -= 30
		}
		return 110_000 * minute
	})
	many := melted(metal, plug, doubted, count)
	many.Curves.Old = true
	many.Curves.Series[3].Shift = 90 * quantity.Minute
	many.Curves.Series = append(many.Curves.Series, views.Series{ID: 5, Channel: curve.Voltage, Name: "shed:plug", Count: 12345, Struck: &views.Struck{Reason: "another plug", Who: "Workshop", When: "22 Nov 2026 08:12"}})
	early := metal
	early.Samples = nil
	for _, x := range metal.Samples {
		early.Samples = append(early.Samples, curve.Sample{At: x.At - quantity.Moment(3*quantity.Hour), Value: x.Value})
	}
	running := melted(metal)
	running.Lines = runningLines()
	running.Sheet = galleryMelt(runningLines()).Sheet
	return []scene{
		{"curves/one", "A melt with one thermocouple", melted(metal).Page},
		{"curves/many", "A melt with many sensors and doubts", many.Page},
		{"curves/early", "A logger whose clock is behind", melted(early).Page},
		{"curves/running", "Readings of a melt that runs", running.Page},
	}
}

// galleryCurve is readings from 14:12 on, one in twelve seconds for 66
// minutes.
func galleryCurve(id int64, c curve.Channel, name string, of func(minute float64) float64) curve.Numbered {
	s := curve.Numbered{ID: id, Series: curve.Series{Channel: c, Name: name}}
	for i := range 330 {
		s.Samples = append(s.Samples, curve.Sample{At: at(14, 12) + quantity.Moment(i)*12_000, Value: int64(math.Round(of(float64(i) / 5)))})
	}
	return s
}
