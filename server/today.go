package main

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/sheet"
	"drosswise/store"
	"drosswise/views"
)

// shown is how many of the last melts today lists, and looks through for what
// was left open.
const shown = 6

func today(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	running, err := a.store.RunningMelts(ctx)
	if err != nil {
		return err
	}
	last, _, err := a.store.Melts(ctx, store.Filter{}, store.Place{}, false, shown)
	if err != nil {
		return err
	}
	page := views.Today{Running: meltRows(running, n), Last: meltRows(last, n), May: v.may(melter), Owner: v.may(owner)}
	for _, r := range append(slices.Clone(running), closedOnly(last)...) {
		todo, err := a.leftOpen(ctx, r)
		if err != nil {
			return err
		}
		page.ToDo = append(page.ToDo, todo...)
	}
	page.ToDo = append(page.ToDo, a.wornToDo(ctx, n, v)...)
	due, err := a.due(ctx, v)
	if err != nil {
		return err
	}
	page.ToDo = append(page.ToDo, views.DueToDo(due, v.style, v.may(melter))...)
	page.ToDo = append(page.ToDo, kitToDo(n)...)
	if v.may(owner) {
		if todo, ok := a.shopCopies().ToDo(v.now, v.style); ok {
			page.ToDo = append(page.ToDo, todo)
		}
	}
	tariffs, err := a.store.Tariffs(ctx)
	if err != nil {
		return err
	}
	page.First = firstSteps(n, len(tariffs) > 0, v)
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Today", "today")))
}

func closedOnly(rows []store.Row) []store.Row {
	return slices.DeleteFunc(slices.Clone(rows), func(r store.Row) bool { return r.State != melt.Closed })
}

// leftOpen finds what a melt still lacks that a person can add.
func (a *app) leftOpen(ctx context.Context, r store.Row) ([]views.ToDo, error) {
	s, err := a.store.Sheet(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	link := views.Link{Text: string(r.Code), Href: "/melts/" + string(r.Code)}
	var all []views.ToDo
	if s.Unnamed > 0 {
		all = append(all, views.ToDo{Lead: "A time was marked.", Text: "Say what it was, while you still know.", Link: link})
	}
	if r.State == melt.Closed && slices.Contains(s.Recovered.Lacks, sheet.NoIngots) {
		all = append(all, views.ToDo{Lead: "Ingots not weighed.", Text: "Without their mass there is no recovery. Reopen the melt and add it to the pour.", Link: link})
	}
	return all, nil
}

// kitToDo finds kit in use whose figures lack something that changes what a
// person may do.
func kitToDo(n views.Names) []views.ToDo {
	var all []views.ToDo
	for _, it := range n.SortedKit() {
		if it.Kind != kit.Crucible || it.Retired {
			continue
		}
		if _, _, ok := it.SafeFill(); !ok {
			all = append(all, views.ToDo{Lead: it.Name + " has no safe fill.", Text: "Add its brim volume, or the maker's rating, and an overfull charge is pointed out.", Link: views.Link{Text: "Add it", Href: fmt.Sprintf("/kit/%d/edit", it.ID)}})
		}
	}
	return all
}

// firstSteps is what a new shop needs before its first melt, in order.
func firstSteps(n views.Names, tariff bool, v visit) []views.Step {
	items := n.SortedKit()
	have := func(k kit.Kind) bool {
		return slices.ContainsFunc(items, func(it kit.Item) bool { return it.Kind == k })
	}
	steps := []views.Step{
		{Done: have(kit.Furnace), Text: "Add the furnace.", Why: "Its letter begins the code that you stamp on the metal.", Href: "/kit/new/furnace"},
		{Done: have(kit.Crucible), Text: "Add the crucible.", Why: "Its volume gives the safe fill; its mass gives the heat it takes.", Href: "/kit/new/crucible"},
		{Done: have(kit.Scale), Text: "Add the scale.", Why: "Its resolution says how far each figure can be trusted.", Href: "/kit/new/scale"},
		{Done: len(n.Sources) > 0, Text: "Add the first scrap.", Why: "Name it by what it is and where it comes from: the name is what the figures will speak of.", Href: "/scrap/new"},
	}
	if v.may(owner) {
		steps = append(steps, views.Step{Done: tariff, Text: "Add the price of electricity.", Why: "Without it no melt has a cost.", Href: "/shop/tariffs/new"})
	}
	return steps
}
