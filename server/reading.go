package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
	"drosswise/foundry/senml"
	"drosswise/store"
)

// What a batch may be.
var batchLimits = senml.Limits{Records: 5000, Name: 200}

const (
	// A clock that is off by less is as good as its network.
	leastOff = 2 * quantity.Second
	// How far into the future a reading may be, for clocks that are not off.
	mostAhead = 5 * quantity.Minute
	// How far from a melt's start its readings may be.
	mostAway = 7 * 24 * quantity.Hour
)

// sorted is a batch by series, and what of it was passed over.
type sorted struct {
	series []store.Sent
	loose  bool // some times hang on when the batch came
	passed int
	says   []string
}

// sortReadings puts the records of a batch into their series. shift is by how
// much their times are moved where they are the logger's own; moved says that
// they are, even if by nothing.
func sortReadings(records []senml.Record, shift quantity.Span, moved bool) sorted {
	var s sorted
	at := map[string]int{}
	add := func(c curve.Channel, r senml.Record, value int64) {
		sent := store.Sent{Loose: r.Now || moved}
		when := r.At
		if !r.Now {
			when += quantity.Moment(shift)
			sent.Shift = shift
		}
		id := fmt.Sprint(c, sent.Loose, r.Now, r.Name)
		i, ok := at[id]
		if !ok {
			i = len(s.series)
			at[id] = i
			sent.Channel, sent.Name = c, r.Name
			s.series = append(s.series, sent)
		}
		s.loose = s.loose || sent.Loose
		s.series[i].Samples = append(s.series[i].Samples, curve.Sample{At: when, Value: value})
	}
	var strange, unfit []string
	for _, r := range records {
		took := false
		if r.Sum != nil && r.Unit == "W" {
			if c, x, _, fits := curve.Read("J", *r.Sum); fits {
				add(c, r, x)
				took = true
			}
		}
		if r.Value != nil {
			c, x, known, fits := curve.Read(r.Unit, *r.Value)
			switch {
			case fits:
				add(c, r, x)
				took = true
			case known:
				unfit = append(unfit, r.Name)
			default:
				strange = append(strange, r.Name)
			}
		} else if !took {
			strange = append(strange, r.Name)
		}
		if !took {
			s.passed++
		}
	}
	if names := few(strange); names != "" {
		s.says = append(s.says, "Passed over, since they are no reading in one of the units "+strings.Join(curve.Units, ", ")+": "+names+".")
	}
	if names := few(unfit); names != "" {
		s.says = append(s.says, "Passed over, since no furnace has such values and the sensor or its unit must be off: "+names+".")
	}
	return s
}

// few names what is in a list, each once and not too many.
func few(all []string) string {
	slices.Sort(all)
	all = slices.Compact(all)
	const most = 5
	if more := len(all) - most; more > 0 {
		return strings.Join(all[:most], ", ") + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(all, ", ")
}

// outside says what is wrong with the times of a batch, "" for nothing.
func (s sorted) outside(now, began quantity.Moment) string {
	for _, sent := range s.series {
		for _, x := range sent.Samples {
			switch {
			case x.At > now+quantity.Moment(mostAhead):
				return fmt.Sprintf("%s has a reading of %s, which is still to come: the logger's clock is ahead. Set it, or send what it shows as clock, or send times relative to now.", sent.Name, x.At.Time().Format(time.RFC3339))
			case x.At < began-quantity.Moment(mostAway) || x.At > began+quantity.Moment(mostAway):
				return fmt.Sprintf("%s has a reading of %s, more than a week from the start of the melt. See whether the code of the melt and the logger's clock are right.", sent.Name, x.At.Time().Format(time.RFC3339))
			}
		}
	}
	return ""
}
