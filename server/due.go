package main

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"drosswise/foundry/kit"
	"drosswise/views"
)

// due gives when each piece of kit in service that is on the list is due for a
// look, the longest waiting first.
func (a *app) due(ctx context.Context, v visit) ([]views.DueKit, error) {
	looks, err := a.store.LastLooks(ctx)
	if err != nil {
		return nil, err
	}
	made, err := a.store.DueRules(ctx)
	if err != nil {
		return nil, err
	}
	rules := map[kit.Kind]kit.Rule{}
	for _, r := range made {
		rules[r.Kind] = r
	}
	items, err := a.store.Kit(ctx)
	if err != nil {
		return nil, err
	}
	var all []views.DueKit
	for _, it := range items {
		if look, ok := looks[it.ID]; ok && !rules[it.Kind].None() {
			all = append(all, views.DueKit{Item: it, Due: rules[it.Kind].Due(look, v.now, v.style)})
		}
	}
	slices.SortStableFunc(all, func(x, y views.DueKit) int { return cmp.Compare(y.Due.Used(), x.Due.Used()) })
	return all, nil
}

// dueByID is when each piece is due, by its id.
func (a *app) dueByID(ctx context.Context, v visit) (map[int64]kit.Due, error) {
	all, err := a.due(ctx, v)
	by := make(map[int64]kit.Due, len(all))
	for _, d := range all {
		by[d.Item.ID] = d.Due
	}
	return by, err
}

func dueRulesPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	rules, err := a.store.DueRules(r.Context())
	if err != nil {
		return err
	}
	values := url.Values{}
	for _, r := range rules {
		put(values, string(r.Kind)+"_heats", r.Heats, strconv.Itoa)
		put(values, string(r.Kind)+"_days", r.Days, strconv.Itoa)
	}
	return a.showDueRules(w, r, v, http.StatusOK, newForm(values, v.style))
}

func (a *app) showDueRules(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	page := views.DueForm{Filled: filled(f)}
	return a.show(w, r, status, page.Page(a.frame(r, v, "When kit is due for a look", "shop")))
}

func setDueRules(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	rules := f.dueRules()
	if !f.ok() {
		return a.showDueRules(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if err := a.store.SetDueRules(r.Context(), v.person.ID, rules); err != nil {
		return err
	}
	a.flash(r, "What is due follows these from now on.")
	return seeOther(w, r, "/shop")
}

// dueRules reads a rule for every kind.
func (f *form) dueRules() []kit.Rule {
	var all []kit.Rule
	for _, k := range kit.Kinds {
		r := kit.Rule{Kind: k, Heats: f.whole(string(k) + "_heats"), Days: f.whole(string(k) + "_days")}
		f.refuse(r.Check())
		all = append(all, r)
	}
	return all
}

// toldDues is what is due, and what will be.
type toldDues struct {
	Rules []toldRule `json:"rules"`
	Kit   []toldDue  `json:"kit" doc:"In service and on the list, the longest waiting first."`
}

func dueJSON(a *app, ctx context.Context, v visit, _ *struct{}) (body toldDues, err error) {
	all, err := a.due(ctx, v)
	if err != nil {
		return body, err
	}
	rules, err := a.store.DueRules(ctx)
	if err != nil {
		return body, err
	}
	body = toldDues{Rules: []toldRule{}, Kit: []toldDue{}}
	for _, r := range rules {
		body.Rules = append(body.Rules, toldRule{r.Kind, r.Heats, r.Days, kit.UsualOf(r.Kind).Look})
	}
	for _, d := range all {
		pace, err := a.store.Pace(ctx, d.Item)
		if err != nil {
			return body, err
		}
		body.Kit = append(body.Kit, tellDue(d, pace, v))
	}
	return body, nil
}

type toldRule struct {
	Kind  kit.Kind `json:"kind"`
	Heats *int     `json:"heats"` // null when it is not by heats
	Days  *int     `json:"days"`  // null when it is not by days; with neither it is off the list
	Look  string   `json:"look"`
}

// toldDue is when a piece of kit is due, for a program.
type toldDue struct {
	ID        int64     `json:"id"`
	Name      string    `json:"name"`
	Kind      kit.Kind  `json:"kind"`
	Due       bool      `json:"due"`
	Looked    time.Time `json:"last_look"`
	By        string    `json:"last_look_by"` // inspected, read or fitted; empty when it only came into the book then
	Heats     int       `json:"heats_since"`
	More      bool      `json:"more_heats,omitempty"` // there were more than that
	Days      int       `json:"days_since"`
	HeatsLeft *int      `json:"heats_left"`
	DaysLeft  *int      `json:"days_left"` // below zero when it is past
	On        string    `json:"expected,omitempty"`
	Says      string    `json:"says"`
}

func tellDue(d views.DueKit, pace kit.Pace, v visit) toldDue {
	told := toldDue{
		ID: d.Item.ID, Name: d.Item.Name, Kind: d.Item.Kind, Due: d.Due.Now(), Looked: d.Due.Last.At.Time().UTC(), By: string(d.Due.Last.By),
		Heats: d.Due.Last.Heats, More: d.Due.Last.More, Days: d.Due.Since, HeatsLeft: d.Due.HeatsLeft, DaysLeft: d.Due.DaysLeft, Says: d.Due.Say(v.style),
	}
	if day, ok := d.Due.On(pace, v.now, v.style); ok {
		told.On = v.style.DateInput(day)
	}
	return told
}
