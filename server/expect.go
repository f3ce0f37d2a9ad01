package main

import (
	"context"

	"drosswise/foundry/melt"
	"drosswise/foundry/sheet"
	"drosswise/views"
)

// expectOf fills in what the charge lets expect, by the last estimate: of a
// running melt what it should give, of a closed one how it compares.
func (a *app) expectOf(ctx context.Context, page *views.Melt) error {
	if page.Sheet.State == melt.Voided {
		return nil
	}
	est, _ := a.yields.latest(ctx)
	if est == nil || !est.Ranked {
		return nil
	}
	if page.Sheet.State == melt.Closed {
		for i := len(est.Melts) - 1; i >= 0; i-- { // the newest are looked at most
			if m := &est.Melts[i]; m.Melt == page.Heading.ID {
				page.Fit, page.Held = m, m.Metal
				return nil
			}
		}
	}
	facts := sheet.Facts{Sources: make(map[int64]sheet.Source, len(page.Names.Sources))}
	for id, p := range page.Names.Sources {
		facts.Sources[id] = sheet.Source{Wet: p.Hazards.Wet}
	}
	var asFound []int64 // deliveries charged before they were sorted
	for _, l := range page.Lines {
		if l.Stands() && l.AsFound && l.Lot != 0 {
			asFound = append(asFound, l.Lot)
		}
	}
	ready, err := a.store.ReadyShares(ctx, asFound)
	if err != nil {
		return err
	}
	facts.Lots = make(map[int64]sheet.Lot, len(ready))
	for id, share := range ready {
		facts.Lots[id] = sheet.Lot{Ready: share}
	}
	m := sheet.Record(page.Heading, page.Lines, facts)
	if page.Sheet.State == melt.Running {
		if x, ok := est.Expect(m); ok {
			page.Expect = &x
		}
		return nil
	}
	if h, ok := est.Hold(m); ok && page.Sheet.Yield.Known() {
		page.Held = &h
	}
	return nil
}
