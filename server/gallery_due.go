package main

import (
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/views"
)

// galleryDue is when the gallery's kit is due: the element not yet, the
// thermocouple by nothing, the rest now.
func galleryDue() map[int64]kit.Due {
	all := map[int64]kit.Due{}
	for id, last := range map[int64]kit.Look{
		1: {At: galleryWhen(70), By: kit.Inspected, Heats: 12},
		2: {At: galleryWhen(40), By: kit.Inspected, Heats: 105, More: true},
		3: {At: galleryWhen(2), By: kit.Read, Heats: 1},
		4: {At: galleryWhen(181)},
		6: {At: galleryWhen(400), By: kit.Inspected, Heats: 9},
	} {
		all[id] = kit.UsualOf(galleryKit()[id].Kind).Due(last, galleryNow, quantity.Style{})
	}
	return all
}

// galleryDues is the same as a list, with more pieces than a page lists.
func galleryDues() []views.DueKit {
	var all []views.DueKit
	for range 3 {
		for _, id := range []int64{2, 6, 1, 4} {
			all = append(all, views.DueKit{Item: galleryKit()[id], Due: galleryDue()[id]})
		}
	}
	return all
}
