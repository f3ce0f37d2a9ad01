package main

import (
	"context"
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/melt"
	"drosswise/views"
)

// Whose word a point of the check is.
const (
	byRecords = "this shop's own records"
	byShop    = "this shop's own rule"
)

// points are what is read before power on beside the usual points: what the
// records say of the crucible, element and furnace of this melt, and what the
// shop added.
func (a *app) points(ctx context.Context, v visit, h melt.Heading, lines []melt.Line, n views.Names) ([]caution.Caution, error) {
	due, err := a.dueByID(ctx, v)
	if err != nil {
		return nil, err
	}
	book, _ := a.ages.latest(ctx)
	used := melt.KitOf(h, melt.Standing(lines))
	var all []caution.Caution
	for _, id := range []int64{h.Furnace, used.Crucible, used.Element, h.Probe} {
		it, ok := n.Kit[id]
		if !ok {
			continue
		}
		if book != nil {
			if text := wornSays(book, it, v); text != "" {
				all = append(all, caution.Caution{Code: "worn", Text: it.Name + ": " + text, Source: byRecords})
			}
		}
		if d, ok := due[id]; ok && d.Now() {
			all = append(all, caution.Caution{Code: "due", Text: "Time to check " + it.Name + ". " + d.Say(v.style), Source: byRecords})
		}
	}
	for line := range strings.Lines(v.shop.Points) {
		if text := strings.TrimSpace(line); text != "" {
			all = append(all, caution.Caution{Code: "own", Text: text, Source: byShop})
		}
	}
	return all, nil
}
