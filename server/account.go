package main

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"drosswise/views"
)

func accountPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showAccount(w, r, v, http.StatusOK, newForm(url.Values{}, v.style))
}

func (a *app) showAccount(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	signins, err := a.store.SignIns(r.Context(), v.person.ID)
	if err != nil {
		return err
	}
	page := views.Account{Name: v.person.Name, Role: v.person.Role, Theme: v.person.Theme, Hand: v.person.Hand, Pad: v.person.Pad, Trust: a.secure != nil, Form: f.typed()}
	if page.Calendar, err = a.store.CalendarSince(r.Context(), v.person.ID); err != nil {
		return err
	}
	for _, s := range signins {
		page.SignIns = append(page.SignIns, views.SignedIn{ID: s.ID, Device: s.Device, At: s.At, Seen: s.Seen, Here: s.ID == v.signin})
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Your account", "")))
}

func setTheme(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	theme := f.one("theme", "", "light", "dark", "glare")
	if !f.ok() {
		return errBadForm
	}
	if err := a.store.SetTheme(r.Context(), v.person.ID, theme); err != nil {
		return err
	}
	return seeOther(w, r, "/account")
}

func setThumb(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	hand, pad := f.one("hand", "right", "left"), f.on("pad")
	if !f.ok() {
		return errBadForm
	}
	if err := a.store.SetThumb(r.Context(), v.person.ID, hand, pad); err != nil {
		return err
	}
	return seeOther(w, r, "/account")
}

func setPassword(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	ctx := r.Context()
	password := f.newPassword()
	if !f.ok() {
		return a.showAccount(w, r, v, http.StatusUnprocessableEntity, f)
	}
	// Who found a phone unlocked must not try passwords on it without end.
	if sentence := a.attempts.tooMany(w, r, v.person.Name); sentence != "" {
		f.fault("current", sentence)
		return a.showAccount(w, r, v, http.StatusTooManyRequests, f)
	}
	_, right, err := a.knows(ctx, v.person.Name, f.values.Get("current"))
	if err != nil {
		return err
	}
	if !right {
		f.fault("current", "That is not your present password. Check the capital letters.")
		return a.showAccount(w, r, v, http.StatusUnprocessableEntity, f)
	}
	a.attempts.right(r, v.person.Name)
	hash, err := hashPassword(ctx, password)
	if err != nil {
		return err
	}
	if err := a.store.SetPassword(ctx, v.person.ID, v.person.ID, hash, v.signin); err != nil {
		return err
	}
	if err := a.sessions.RenewToken(ctx); err != nil {
		return err
	}
	a.flash(r, "The password is changed, and you are signed out everywhere else.")
	return seeOther(w, r, "/account")
}

func endSignin(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	id := pathID(chi.URLParam(r, "id"))
	if err := a.store.EndSignIn(r.Context(), v.person.ID, id); err != nil {
		return err
	}
	if id == v.signin {
		return seeOther(w, r, "/signin")
	}
	a.flash(r, "That device is signed out.")
	return seeOther(w, r, "/account")
}
