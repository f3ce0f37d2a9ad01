package main

import (
	"context"
	"time"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/life"
	"drosswise/foundry/wear"
	"drosswise/server/ageing"
	"drosswise/server/api"
)

// toldKit is a piece of kit for a program, with what the records say of how it
// wears; what does not go with its kind is left out.
type toldKit struct {
	ID      int64             `json:"id"`
	Kind    kit.Kind          `json:"kind"`
	Name    string            `json:"name"`
	Retired bool              `json:"retired"`
	Cracked bool              `json:"cracked"`
	On      int64             `json:"fitted_to,omitempty"`
	Heats   int               `json:"heats"`
	Hours   float64           `json:"hours_hot"`
	Charged float64           `json:"kg_charged"`
	Element *wear.Life        `json:"ohms,omitempty"`
	Furnace *toldCourse       `json:"course,omitempty"`
	Checks  *drift.Instrument `json:"checks,omitempty"`
	Outlook *toldLife         `json:"outlook,omitempty"`
	Says    []string          `json:"says"`
}

type toldCourse struct {
	Energy drift.Course   `json:"energy"`
	Time   drift.Course   `json:"time_to_molten"`
	Open   *drift.Alarm   `json:"open_alarm"`
	Causes []drift.Likely `json:"causes,omitempty"`
	Wall   *drift.Wall    `json:"wall,omitempty"`
	Loss   *drift.Loss    `json:"loss,omitempty"`
	Served []toldStay     `json:"served"` // element sets and crucibles, the oldest first
}

// toldStay is how long a piece of kit served in a furnace.
type toldStay struct {
	Kit   int64     `json:"kit"`
	From  time.Time `json:"from"` // its first melt there
	To    time.Time `json:"to"`   // its last
	Heats int       `json:"heats"`
	Hours float64   `json:"hours_hot"`
}

func toldStays(list []ageing.Stay) []toldStay {
	all := []toldStay{}
	for _, s := range list {
		all = append(all, toldStay{s.Item, s.From.Time().UTC(), s.To.Time().UTC(), s.Heats, s.Hours})
	}
	return all
}

type toldLife struct {
	life.Outlook
	Cost   *life.Cost  `json:"cost_per_heat,omitempty"`
	Weight *life.Trend `json:"weight,omitempty"`
	Wall   *life.Trend `json:"wall,omitempty"`
}

// toldKits is all kit, or one piece of it.
type toldKits struct {
	At        time.Time    `json:"at"`
	Old       bool         `json:"old"` // a newer one is being made
	Kit       []toldKit    `json:"kit"`
	Crucibles *life.Life   `json:"crucibles"`
	Sets      *life.Life   `json:"element_sets"`
	Facts     *api.KitItem `json:"facts,omitempty" doc:"Of the one piece that was asked for."`
}

func kitsJSON(a *app, ctx context.Context, v visit, _ *struct{}) (toldKits, error) {
	items, err := a.store.Kit(ctx)
	if err != nil {
		return toldKits{}, err
	}
	return a.tellKit(ctx, v, items)
}

func kitJSON(a *app, ctx context.Context, v visit, in *api.Numbered) (body toldKits, err error) {
	it, lines, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return body, err
	}
	if body, err = a.tellKit(ctx, v, []kit.Item{it}); err == nil {
		body.Facts = new(api.KitItemOf(it, lines, v.style.Exponent()))
	}
	return body, err
}

func (a *app) tellKit(ctx context.Context, v visit, items []kit.Item) (body toldKits, err error) {
	book, old := a.ages.latest(ctx)
	if book == nil {
		return body, errNotYet
	}
	wears, err := a.store.Wears(ctx)
	if err != nil {
		return body, err
	}
	body = toldKits{At: book.At.Time().UTC(), Old: old, Kit: []toldKit{}, Crucibles: book.Crucibles.Life, Sets: book.Sets.Life}
	for _, it := range items {
		used := wears[it.ID]
		one := toldKit{
			ID: it.ID, Kind: it.Kind, Name: it.Name, Retired: it.Retired, Cracked: it.Cracked, On: it.On,
			Heats: used.Heats, Hours: used.Hot.Hours(), Charged: used.Charged.Kilograms(), Says: []string{},
		}
		if l, ok := book.Elements[it.ID]; ok {
			one.Element = &l
			one.Says = append(one.Says, l.Say(v.style))
		}
		if f, ok := book.Furnaces[it.ID]; ok {
			alarm, _ := f.Open()
			one.Furnace = &toldCourse{f.Energy, f.Time, alarm, f.Causes, f.Wall, f.Loss, toldStays(f.Stays)}
			one.Says = append(one.Says, f.Energy.Say(v.style), f.Time.Say(v.style))
		}
		if in, ok := book.Tools[it.ID]; ok {
			one.Checks = &in
			one.Says = append(one.Says, in.Say(v.style))
		}
		lives, of := book.Crucibles, life.Crucible
		if it.Kind == kit.Element {
			lives, of = book.Sets, life.ElementSet
		}
		if p := lives.Each[it.ID]; p.Outlook != nil {
			one.Outlook = &toldLife{*p.Outlook, p.Cost, p.Weight, p.Wall}
			one.Says = append(one.Says, p.Outlook.Say(v.style, of))
		}
		body.Kit = append(body.Kit, one)
	}
	return body, nil
}
