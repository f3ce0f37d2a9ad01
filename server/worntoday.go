package main

import (
	"context"
	"fmt"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/wear"
	"drosswise/server/ageing"
	"drosswise/views"
)

// soon is how many melts ahead an element's end is put before people, so that
// a spare can be ordered: judgement.
const soon = 10

// wornToDo is what is time to check of the kit in use, by how it wears.
func (a *app) wornToDo(ctx context.Context, n views.Names, v visit) []views.ToDo {
	book, _ := a.ages.latest(ctx)
	if book == nil {
		return nil
	}
	var all []views.ToDo
	for _, it := range n.SortedKit() {
		if it.Retired {
			continue
		}
		if text := wornSays(book, it, v); text != "" {
			all = append(all, views.ToDo{Lead: it.Name + ":", Text: text, Link: views.Link{Text: "Look at it", Href: kitPath(it.ID)}})
		}
	}
	return all
}

// wornSays is why a piece of kit is time to check, "" when nothing says so.
func wornSays(book *ageing.Book, it kit.Item, v visit) string {
	switch it.Kind {
	case kit.Element:
		if l, ok := book.Elements[it.ID]; ok && it.On != 0 {
			return elementSays(l, v)
		}
	case kit.Crucible:
		if it.Cracked {
			return "a crack was found. Retire it: it can let go when it is full."
		}
		if o := book.Crucibles.Each[it.ID].Outlook; o != nil && o.Check && o.Age > 0 {
			return fmt.Sprintf("time to check it. The chance that it does %s heats more is %s.", v.style.Number(o.Next, 0), v.style.Percent(*o.Chance, 0))
		}
	case kit.Furnace:
		if alarm, kind := book.Furnaces[it.ID].Open(); alarm != nil {
			return alarm.Say(v.style, kind)
		}
	}
	if in, ok := book.Tools[it.ID]; ok && in.Checks[len(in.Checks)-1].Verdict == drift.Beyond {
		return in.Say(v.style)
	}
	return ""
}

// elementSays tells of an element set that is near its end.
func elementSays(l wear.Life, v visit) string {
	near := l.Melts != nil && l.Melts.Early != nil && *l.Melts.Early <= soon && l.Code == wear.Foreseen
	if l.Code == wear.Past || near {
		return l.Say(v.style)
	}
	return ""
}
