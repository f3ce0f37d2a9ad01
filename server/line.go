package main

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/store"
)

func add(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.write(w, r, v, 0)
}

func replace(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	of, err := a.lineOf(r)
	if err != nil {
		return err
	}
	return a.write(w, r, v, of)
}

// lineOf gives the number of the line that the address names: by that number,
// or by its key, which a phone knows before the line is stored.
func (a *app) lineOf(r *http.Request) (int64, error) {
	text := chi.URLParam(r, "line")
	if key, ok := strings.CutPrefix(text, "key-"); ok {
		return a.store.LineWithKey(r.Context(), codeOf(r), key)
	}
	return pathID(text), nil
}

// write writes the line in the form, in the place of another if of names one.
func (a *app) write(w http.ResponseWriter, r *http.Request, v visit, of int64) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	spec, ok := melt.SpecOf(melt.Kind(f.values.Get("kind")))
	if !ok {
		return errBadForm
	}
	key, err := f.key()
	if err != nil {
		return err
	}
	l := f.line(spec)
	l.Key = key
	if of != 0 {
		if err := a.keepMoment(r.Context(), codeOf(r), of, f, &l); err != nil {
			return err
		}
	}
	if f.ok() {
		err := a.save(r.Context(), v, codeOf(r), of, l, f)
		var refused melt.Refusals
		var gone *store.GoneError
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
		case errors.As(err, &gone):
			f.fault(gone.Field, goneSentence)
		case err != nil:
			return err
		default:
			return a.written(w, r, key)
		}
	}
	h, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	if of != 0 && !slices.ContainsFunc(lines, func(l melt.Line) bool { return l.ID == of }) {
		return store.ErrNotFound
	}
	if wantsJSON(r) {
		return a.refused(w, f)
	}
	return a.showLineForm(w, r, v, http.StatusUnprocessableEntity, h, lines, spec, of, f)
}

// keepMoment gives a line the moment of the one whose place it takes, to the
// second, where the form has still the same minute.
func (a *app) keepMoment(ctx context.Context, code melt.Code, of int64, f *form, l *melt.Line) error {
	_, lines, err := a.store.Melt(ctx, code)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == of })
	if i >= 0 && f.text("at_date") == f.style.DateInput(lines[i].At) && f.text("at_clock") == clockOf(lines[i], f.style) {
		l.At = lines[i].At
	}
	return nil
}

// written answers that the line with the key is stored.
func (a *app) written(w http.ResponseWriter, r *http.Request, key string) error {
	if wantsJSON(r) {
		return a.answerJSON(w, map[string]string{"key": key})
	}
	return seeOther(w, r, "/melts/"+string(codeOf(r))+"?done="+key)
}

func (a *app) save(ctx context.Context, v visit, code melt.Code, of int64, l melt.Line, f *form) error {
	if of == 0 {
		return a.store.AddLate(ctx, v.person.ID, code, l, f.tapped(v.now), f.on("sure"))
	}
	reason := f.note("reason")
	if reason == "" {
		reason = "written anew"
	}
	return a.store.Replace(ctx, v.person.ID, code, of, l, reason, f.on("sure"))
}
