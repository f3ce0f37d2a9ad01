package ageing

import (
	"cmp"
	"slices"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// Stay is how long a piece of kit served in a furnace, by the melts made with
// it.
type Stay struct {
	Item     int64
	From, To quantity.Moment // its first and last melt there
	Heats    int
	Hours    float64 // hot
	Now      bool    // it is in use
}

// stays are the element sets and crucibles of a furnace, the oldest first.
func (r *reader) stays(used []store.Used) []Stay {
	by := map[int64]*Stay{}
	for _, u := range used {
		for _, id := range []int64{u.Element, u.Crucible} {
			if id == 0 {
				continue
			}
			s := by[id]
			if s == nil {
				s = &Stay{Item: id, From: u.Started}
				by[id] = s
			}
			s.To = u.Started
			s.Hours += u.Hot.Hours()
			if u.Heat {
				s.Heats++
			}
		}
	}
	var all []Stay
	for id, s := range by {
		s.Now = !r.item(id).Retired
		all = append(all, *s)
	}
	slices.SortFunc(all, func(a, b Stay) int {
		return cmp.Or(rank(r.item(a.Item).Kind)-rank(r.item(b.Item).Kind), cmp.Compare(a.From, b.From), cmp.Compare(a.Item, b.Item))
	})
	return all
}

// rank puts element sets above crucibles.
func rank(k kit.Kind) int {
	if k == kit.Element {
		return 0
	}
	return 1
}
