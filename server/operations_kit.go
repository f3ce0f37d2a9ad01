package main

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/server/api"
	"drosswise/store"
)

// kitOperations are what programs do with kit.
var kitOperations = slices.Concat([]offered{
	offer(operation{method: get, path: "/api/v1/kit", id: "list-kit", least: reader, tag: "kit", summary: "All kit, with how it wears."}, kitsJSON),
	offer(operation{method: post, path: "/api/v1/kit", id: "add-kit", least: melter, tag: "kit", summary: "Write down a piece of kit.", status: http.StatusCreated}, addKitItem),
	offer(operation{method: get, path: "/api/v1/kit/{id}", id: "get-kit", least: reader, tag: "kit", summary: "A piece of kit with its lines, and how it wears."}, kitJSON),
	offer(operation{method: http.MethodPut, path: "/api/v1/kit/{id}", id: "change-kit", least: melter, tag: "kit", summary: "Change what is written down of a piece of kit.", more: "What is left out is not said any more. The kind stays."}, changeKitItem),
	offer(operation{method: post, path: "/api/v1/kit/{id}/lines", id: "add-kit-line", least: melter, tag: "kit", summary: "Write down what happened to a piece of kit.", status: http.StatusCreated}, addKitItemLine),
	offer(operation{method: post, path: "/api/v1/kit/{id}/alarms/{code}", id: "close-alarm", least: melter, tag: "kit", summary: "Judge the open alarm of a furnace."}, judgeAlarm),
	offer(operation{method: get, path: "/api/v1/due", id: "get-due", least: reader, tag: "kit", summary: "What kit is due for a look, and by which rules."}, dueJSON),
	offer(operation{method: http.MethodPut, path: "/api/v1/due/rules", id: "set-due-rules", least: owner, tag: "kit", summary: "Say when kit is due for a look.", more: "Kinds that are left out are off the list."}, setRules),
}, strikes(operation{path: "/api/v1/kit/{id}/lines/{line}", id: "kit-line", least: melter, tag: "kit", summary: "a line of a piece of kit"},
	func(a *app, ctx context.Context, v visit, in *struct {
		api.Numbered
		api.Once[api.Marking]
		api.OfLine
	}, strike bool) error {
		m, err := markOf(v, in.Once, strike)
		if err != nil {
			return err
		}
		return a.store.StrikeKitLine(ctx, v.person.ID, in.ID, in.Line, m)
	}))

func (a *app) tellItem(ctx context.Context, v visit, id int64) (api.KitItem, error) {
	it, lines, _, err := a.store.KitItem(ctx, id)
	return api.KitItemOf(it, lines, v.style.Exponent()), err
}

func addKitItem(a *app, ctx context.Context, v visit, in *api.Once[api.NewKit]) (told api.KitItem, err error) {
	f := keyedForm(v, in.Key, in.Body)
	it := f.kit(kit.Item{Kind: kit.Kind(in.Body.Kind)})
	if it.Key, err = f.key(); err != nil {
		return told, err
	}
	if f.ok() {
		it.ID, err = a.store.AddKit(ctx, v.person.ID, it)
		err = a.kitTaken(ctx, err, it, f)
	}
	if err = errors.Join(err, f.wrong(in.Body)); err != nil {
		return told, err
	}
	return a.tellItem(ctx, v, it.ID)
}

func changeKitItem(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	Body api.KitFacts
}) (told api.KitItem, err error) {
	was, _, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return told, err
	}
	f := bodyForm(v, in.Body)
	it := f.kit(was)
	if f.ok() {
		err = a.kitTaken(ctx, a.store.ChangeKit(ctx, v.person.ID, it), it, f)
	}
	if err = errors.Join(err, f.wrong(in.Body)); err != nil {
		return told, err
	}
	return a.tellItem(ctx, v, it.ID)
}

func addKitItemLine(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Once[api.NewKitLine]
}) (told api.KitItem, err error) {
	it, _, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return told, err
	}
	f := keyedForm(v, in.Key, in.Body)
	spec, _ := kit.SpecOf(kit.LineKind(in.Body.Kind))
	if !spec.Applies(it.Kind) {
		f.fault("kind", "A "+it.Kind.Name()+" has no such line.")
		return told, f.wrong(in.Body)
	}
	l := f.kitLine(it, spec, v.now)
	if l.Key, err = f.key(); err != nil {
		return told, err
	}
	if f.ok() {
		err = a.store.AddKitLine(ctx, v.person.ID, l)
		var refused melt.Refusals
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
			err = nil
		case errors.Is(err, store.ErrNotFound) && l.Furnace != 0:
			f.fault("furnace", "That furnace is not there any more. Choose again.")
			err = nil
		}
	}
	if err = errors.Join(err, f.wrong(in.Body)); err != nil {
		return told, err
	}
	return a.tellItem(ctx, v, it.ID)
}

type judgement struct {
	How drift.Close `json:"how" enum:"real_change,one_off" doc:"real_change: a new baseline from the first changed melt on. one_off: those melts are left out."`
}

func judgeAlarm(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Coded
	api.Once[judgement]
}) (done api.Done, err error) {
	it, _, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return done, err
	}
	if it.Kind != kit.Furnace {
		return done, store.ErrNotFound
	}
	key, err := keyedForm(v, in.Key, in.Body).key()
	if err != nil {
		return done, err
	}
	return api.Done{Done: true}, a.store.CloseAlarm(ctx, v.person.ID, it.ID, key, store.AlarmClose{Melt: melt.Code(in.Code), How: string(in.Body.How)})
}

// dueRules are when kinds of kit are due.
type dueRules struct {
	Rules []api.DueRule `json:"rules" nullable:"false" maxItems:"5"`
}

func setRules(a *app, ctx context.Context, v visit, in *struct{ Body dueRules }) (told dueRules, err error) {
	f := bodyForm(v, struct{}{})
	for _, r := range in.Body.Rules {
		put(f.values, string(r.Kind)+"_heats", r.Heats, strconv.Itoa)
		put(f.values, string(r.Kind)+"_days", r.Days, strconv.Itoa)
	}
	rules := f.dueRules()
	if err := f.wrong(struct{}{}); err != nil {
		return told, err
	}
	if err := a.store.SetDueRules(ctx, v.person.ID, rules); err != nil {
		return told, err
	}
	for _, r := range rules {
		told.Rules = append(told.Rules, api.DueRule{Kind: api.KitKind(r.Kind), Heats: r.Heats, Days: r.Days})
	}
	return told, nil
}
