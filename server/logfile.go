package main

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"drosswise/foundry/table"
	"drosswise/store"
	"drosswise/views"
)

// logLimits is what a logger's file may hold.
var logLimits = table.Limits{Bytes: 8 << 20, Rows: 100_000, Columns: 60, Cell: 400}

// logStep is how many readings are stored in one step: others who write wait for
// no more.
const logStep = 20_000

func logFilesPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showLogFiles(w, r, v, http.StatusOK, "")
}

func (a *app) showLogFiles(w http.ResponseWriter, r *http.Request, v visit, status int, fault string) error {
	ctx := r.Context()
	h, err := a.store.Heading(ctx, codeOf(r))
	if err != nil {
		return err
	}
	people, err := a.store.Names(ctx)
	if err != nil {
		return err
	}
	waiting, err := a.store.Uploads(ctx, h.ID)
	if err != nil {
		return err
	}
	page := views.LogFiles{Melt: views.Melt{Heading: h}, Fault: fault}
	for _, u := range waiting {
		page.Waiting = append(page.Waiting, oldFile(u, people))
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Readings of melt "+string(h.Code), "melts")))
}

// sendLogFile takes in a file that can be read as a table; it is matched on a
// page of its own.
func sendLogFile(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	h, err := a.store.Heading(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	f, file, err := a.readFile(w, r, v, "file")
	if err != nil {
		return err
	}
	if file.name == "" && len(file.body) == 0 {
		f.fault("file", "Choose the file first.")
	} else if _, err := table.Read(file.body, 0, logLimits); err != nil {
		f.fault("file", sentenceOfTable(err))
	}
	if !f.ok() {
		return a.showLogFiles(w, r, v, http.StatusUnprocessableEntity, f.faults["file"])
	}
	key, err := a.store.AddUpload(r.Context(), v.person.ID, h.ID, fileName(file.name), file.body)
	if err != nil {
		return err
	}
	return seeOther(w, r, "/melts/"+string(h.Code)+"/readings/"+key)
}

func logMatchPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page, err := a.logMatch(r, v, nil)
	if err != nil {
		return err
	}
	return a.showLogMatch(w, r, v, http.StatusOK, page)
}

func (a *app) showLogMatch(w http.ResponseWriter, r *http.Request, v visit, status int, page views.LogMatch) error {
	return a.show(w, r, status, page.Page(a.frame(r, v, "Readings: "+page.File.File, "melts")))
}

// matchLogFile keeps how the columns were matched and, if that was asked, stores
// the readings.
func matchLogFile(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	page, err := a.logMatch(r, v, f)
	if err != nil {
		return err
	}
	delimiter := ""
	if page.Delimiter != 0 {
		delimiter = page.Delimiter.String()
	}
	if f.ok() {
		if err := a.store.MatchUpload(ctx, v.person.ID, page.File.Key, delimiter, page.Match); err != nil {
			return err
		}
	}
	take := f.values.Get("do") == "take"
	switch {
	case !f.ok() || take && (len(page.Wrong) > 0 || page.Draft.Readings() == 0):
		return a.showLogMatch(w, r, v, http.StatusUnprocessableEntity, page)
	case !take:
		return seeOther(w, r, "/melts/"+string(page.Melt.Heading.Code)+"/readings/"+page.File.Key)
	}
	taken, err := a.storeLog(ctx, v, page)
	if err != nil {
		return err
	}
	a.flash(r, takenSentence(taken))
	return seeOther(w, r, "/melts/"+string(page.Melt.Heading.Code))
}

// storeLog stores the readings of a draft, some at a time. If it ends before the
// last, what is stored stays, and sending again stores the rest.
func (a *app) storeLog(ctx context.Context, v visit, page views.LogMatch) (taken store.Taken, err error) {
	h := page.Melt.Heading
	all, err := a.store.MeltSeries(ctx, h.ID)
	if err != nil {
		return taken, err
	}
	had := 0
	for _, s := range all {
		had += s.Samples
	}
	if had+page.Draft.Readings() > store.MostReadings {
		return taken, store.ErrFull
	}
	if err := a.store.RememberLogMatch(ctx, v.person.ID, page.Table.Columns, page.Match); err != nil {
		return taken, err
	}
	for _, s := range page.Draft.Series {
		for some := range slices.Chunk(s.Samples, logStep) {
			one := s
			one.Samples = some
			t, err := a.store.AddReadings(ctx, v.person.ID, h.Code, store.Sending{Series: []store.Sent{{Series: one, Shift: -page.Match.Ahead}}}, v.now)
			if err != nil {
				return taken, err
			}
			taken.New, taken.Had, taken.Other = taken.New+t.New, taken.Had+t.Had, taken.Other+t.Other
		}
	}
	if taken.New > 0 {
		_, err = a.store.MakeCurve(ctx, h.ID)
	}
	return taken, err
}

func takenSentence(t store.Taken) string {
	say := fmt.Sprintf("%d readings stored.", t.New)
	if t.Had > 0 {
		say += fmt.Sprintf(" %d were there already.", t.Had)
	}
	if t.Other > 0 {
		say += fmt.Sprintf(" %d have another value there already, which stays: if that was wrong, strike the sensor's readings below and store these again.", t.Other)
	}
	return say
}
