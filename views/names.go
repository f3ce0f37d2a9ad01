package views

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
)

// Names are what lines refer to by number.
type Names struct {
	Kit     map[int64]kit.Item
	Sources map[int64]scrap.Source
	People  map[int64]string
	Pours   map[int64]melt.Code // the melt that a pour line belongs to
}

func (n Names) kit(id int64) string {
	if it, ok := n.Kit[id]; ok {
		return it.Name
	}
	return ""
}

func (n Names) source(id int64) string {
	if s, ok := n.Sources[id]; ok {
		return s.Name
	}
	return "unknown scrap"
}

// charged is what a charge line put in.
func (n Names) charged(l melt.Line) string {
	if l.Pour != 0 {
		return "ingots of " + string(n.Pours[l.Pour])
	}
	return n.source(l.Source)
}

// SortedKit gives kit in the order in which it was added.
func (n Names) SortedKit() []kit.Item {
	items := make([]kit.Item, 0, len(n.Kit))
	for _, id := range slices.Sorted(maps.Keys(n.Kit)) {
		items = append(items, n.Kit[id])
	}
	return items
}

// SortedSources gives scrap by name.
func (n Names) SortedSources() []scrap.Source {
	all := slices.Collect(maps.Values(n.Sources))
	slices.SortFunc(all, func(a, b scrap.Source) int {
		return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return all
}
