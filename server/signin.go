package main

import (
	"context"
	"errors"
	"net/http"
	"net/url"

	"drosswise/store"
	"drosswise/views"
)

func signinPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	next := localPath(r.URL.Query().Get("next"))
	if v.signedIn() {
		return seeOther(w, r, next)
	}
	page := views.SignIn{Next: next, Unowned: !v.shop.Ready, Trust: a.couldBeHTTPS(r), Form: newForm(url.Values{}, v.style).typed()}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Sign in", "")))
}

func signin(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	next := localPath(f.values.Get("next"))
	refuse := func(status int, sentence string) error {
		page := views.SignIn{Next: next, Refused: sentence, Trust: a.couldBeHTTPS(r), Form: f.typed()}
		return a.show(w, r, status, page.Page(a.frame(r, v, "Sign in", "")))
	}
	name := f.text("name")
	if sentence := a.attempts.tooMany(w, r, name); sentence != "" {
		return refuse(http.StatusTooManyRequests, sentence)
	}
	p, ok, err := a.knows(r.Context(), name, f.values.Get("password"))
	if err != nil {
		return err
	}
	if !ok {
		return refuse(http.StatusUnprocessableEntity, "Name and password do not go together. Check both, and the capital letters in the password.")
	}
	a.attempts.right(r, name)
	if err := a.letIn(r, v, p); err != nil {
		return err
	}
	return seeOther(w, r, next)
}

// knows reports whether name and password belong to somebody who may come in.
// It takes as long when nobody has the name.
func (a *app) knows(ctx context.Context, name, password string) (store.Person, bool, error) {
	p, stored, err := a.store.PersonNamed(ctx, name)
	in := err == nil && p.Ended == nil
	if errors.Is(err, store.ErrNotFound) {
		stored, err = stranger, nil
	}
	if err != nil {
		return p, false, err
	}
	right, err := checkPassword(ctx, stored, password)
	return p, in && right, err
}

func signout(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if v.signedIn() {
		if err := a.store.EndSignIn(r.Context(), v.person.ID, v.signin); err != nil {
			return err
		}
	}
	if err := a.sessions.Destroy(r.Context()); err != nil {
		return err
	}
	return seeOther(w, r, "/signin")
}
