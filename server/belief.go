package main

import (
	"net/http"
	"net/url"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

func beliefPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	beliefs, err := a.store.Beliefs(r.Context())
	if err != nil {
		return err
	}
	return a.showBelief(w, r, v, http.StatusOK, p, newForm(typedBelief(beliefs[p.ID], v.style), v.style))
}

func (a *app) showBelief(w http.ResponseWriter, r *http.Request, v visit, status int, p scrap.Source, f *form) error {
	page := views.BeliefForm{Filled: filled(f), Source: p, Key: newKey()}
	return a.show(w, r, status, page.Page(a.frame(r, v, "What you believe of "+p.Name, "scrap")))
}

func believe(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	key, err := f.key()
	if err != nil {
		return err
	}
	b := store.Belief{Metal: f.belief("metal"), Dross: f.belief("dross")}
	if !f.ok() {
		return a.showBelief(w, r, v, http.StatusUnprocessableEntity, p, f)
	}
	if err := a.store.Believe(r.Context(), v.person.ID, p.ID, key, b); err != nil {
		return err
	}
	if b == (store.Belief{}) {
		a.flash(r, p.Name+" goes by its form and coating again.")
	} else {
		a.flash(r, "Kept. The estimates are being made again with it.")
	}
	return seeOther(w, r, sourcePath(p.ID))
}

// belief reads a share with its spread; both empty is no belief.
func (f *form) belief(name string) *recovery.Belief {
	const part = 1e6 // percentages are read as parts per million
	mean, sd := optional(f, name, f.style.ReadPercent), optional(f, name+"_sd", f.style.ReadPercent)
	if f.text(name) == "" && f.text(name+"_sd") == "" {
		return nil
	}
	if f.text(name) == "" {
		f.fault(name, "Type the share too, or empty both.")
	}
	if f.text(name+"_sd") == "" {
		f.fault(name+"_sd", "Say how sure you are: give or take how many percent.")
	}
	if mean == nil || sd == nil {
		return nil
	}
	b := &recovery.Belief{Mean: float64(*mean) / part, SD: float64(*sd) / part}
	if b.Mean < 0 || b.Mean > 1 {
		f.fault(name, "A share of what is charged is between 0 and 100 %.")
	}
	if b.SD < recovery.Surest || b.SD > recovery.LeastSure {
		f.fault(name+"_sd", "Give or take between 0.1 and 50 %. Nobody is surer, and more says nothing.")
	}
	return b
}

// typedBelief is a belief as it would have been typed.
func typedBelief(b store.Belief, s quantity.Style) url.Values {
	v := url.Values{}
	for name, x := range map[string]*recovery.Belief{"metal": b.Metal, "dross": b.Dross} {
		if x != nil {
			v.Set(name, s.PercentInput(int64(x.Mean*1e6+0.5)))
			v.Set(name+"_sd", s.PercentInput(int64(x.SD*1e6+0.5)))
		}
	}
	return v
}
