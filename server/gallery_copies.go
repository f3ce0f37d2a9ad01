package main

import (
	"errors"
	"time"

	"github.com/a-h/templ"

	"drosswise/foundry/quantity"
	"drosswise/server/copies"
	"drosswise/views"
)

// copiesScenes are the copies of a shop as an owner meets them.
func copiesScenes() []scene {
	made := func(most int, newest quantity.Moment) (all []views.ShopCopy) {
		for i := range most {
			at := newest - quantity.Moment(i)*quantity.Moment(24*quantity.Hour)
			all = append(all, views.ShopCopy{Name: "drosswise-20261121-020001.db", At: at, Bytes: 48_200_000 - int64(i)*310_000})
		}
		return all
	}
	odd := made(4, galleryDay(2026, time.November, 21))
	odd[0].Ahead, odd[1].Short = true, true
	fresh, old := galleryDay(2026, time.November, 21), galleryDay(2026, time.October, 30)
	var all []scene
	for _, s := range []struct {
		path, shows string
		page        views.Copies
	}{
		{"copies/none", "Copies, none yet", views.Copies{Dir: "data/copies"}},
		{"copies/fresh", "Copies, all well", views.Copies{Dir: "data/copies", List: made(23, fresh)}},
		{"copies/old", "Copies, old", views.Copies{Dir: "data/copies", List: made(3, old)}},
		{"copies/odd", "Copies, one cut short and one by a wrong clock", views.Copies{Dir: "data/copies", List: odd}},
		{"copies/uncounted", "Copies, none that counts", views.Copies{Dir: "data/copies", List: odd[:2]}},
		{"copies/failing", "Copies, failing, in a folder with a long name", views.Copies{
			Dir: "/media/the-stick-on-the-nail-beside-the-door-of-the-melting-shed/drosswise-copies", List: made(1, old), Failure: copies.Why(errors.New("why")), FailedAt: fresh,
		}},
		{"copies/off", "Copies, off", views.Copies{Off: true}},
	} {
		all = append(all, scene{s.path, s.shows, func(f views.Frame) templ.Component { return s.page.Page(f) }})
	}
	return all
}
