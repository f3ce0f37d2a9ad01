package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/http"

	ical "github.com/arran4/golang-ical"
	"github.com/go-chi/chi/v5"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/views"
)

// makeCalendar makes the private address of a person's calendar. It is shown in
// the answer itself, and kept nowhere that it could be read from later.
func makeCalendar(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	token, err := a.store.MakeCalendar(r.Context(), v.person.ID)
	if err != nil {
		return err
	}
	page := views.CalendarGiven{Address: a.home(r) + "/due/" + token + ".ics"}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "The address of your calendar", "")))
}

func endCalendar(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := a.store.EndCalendar(r.Context(), v.person.ID); err != nil {
		return err
	}
	a.flash(r, "The address of your calendar no longer works.")
	return seeOther(w, r, "/account")
}

// calendar answers a program that subscribes to what is due (RFC 5545). The
// address alone lets it in.
func calendar(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := a.store.HasCalendar(r.Context(), chi.URLParam(r, "token")); err != nil {
		return err
	}
	all, err := a.due(r.Context(), v)
	if err != nil {
		return err
	}
	cal := newCalendar(v.shop.Name)
	for _, d := range all {
		pace, err := a.store.Pace(r.Context(), d.Item)
		if err != nil {
			return err
		}
		if day, ok := d.Due.On(pace, v.now, v.style); ok {
			addDue(cal, d, day, v, a.home(r))
		}
	}
	if len(cal.Components) == 0 {
		addNothing(cal)
	}
	var b bytes.Buffer
	if err := cal.SerializeTo(&b, ical.WithNewLineWindows); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	if _, err := b.WriteTo(w); err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
	return nil
}

func newCalendar(shop string) *ical.Calendar {
	cal := ical.NewCalendar()
	cal.SetProductId("-//Drosswise//What is due//EN")
	cal.SetMethod(ical.MethodPublish)
	cal.SetCalscale("GREGORIAN")
	cal.SetXWRCalName("Due in " + shop)
	cal.SetRefreshInterval("PT6H") // says VALUE=DURATION itself
	return cal
}

// addDue adds the day on which a piece of kit is due.
func addDue(cal *ical.Calendar, d views.DueKit, day quantity.Moment, v visit, home string) {
	told := d.Due.Say(v.style)
	if !d.Due.Now() {
		told = d.Due.SayNext(v.style)
	}
	on := day.Time().In(v.style.Zone)
	e := cal.AddEvent(dueNumber(d.Item))
	e.SetDtStampTime(v.now.Time())
	e.SetAllDayStartAt(on)
	e.SetAllDayEndAt(on.AddDate(0, 0, 1))
	e.SetSummary("Time to check " + d.Item.Name)
	e.SetDescription(told + "\n" + kit.UsualOf(d.Item.Kind).Look)
	e.SetURL(home + kitPath(d.Item.ID))
	e.SetTimeTransparency(ical.TransparencyTransparent)
}

// dueNumber tells a piece's event from all others anywhere. It stays the same
// whatever address the shop is asked under and whenever it is due, so that the
// day moves in the calendar when it moves here.
func dueNumber(it kit.Item) string {
	sum := sha256.Sum256([]byte("due " + it.Key))
	return hex.EncodeToString(sum[:16])
}

// addNothing adds a time zone that nothing refers to: a calendar has to hold
// something (RFC 5545, 3.6), and some programs refuse one that does not.
func addNothing(cal *ical.Calendar) {
	standard := cal.AddTimezone("Etc/UTC").AddStandard()
	standard.SetProperty(ical.ComponentPropertyDtStart, "19700101T000000")
	standard.SetProperty(ical.ComponentProperty(ical.PropertyTzoffsetfrom), "+0000")
	standard.SetProperty(ical.ComponentProperty(ical.PropertyTzoffsetto), "+0000")
}
