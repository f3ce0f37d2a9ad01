package main

import (
	"net/http"
	"net/url"

	"drosswise/store"
	"drosswise/views"
)

func joinPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	token, link, ok, err := a.linkOf(w, r, v)
	if !ok {
		return err
	}
	if link.First {
		return seeOther(w, r, "/setup/"+token)
	}
	return a.showJoin(w, r, v, http.StatusOK, token, link, newForm(url.Values{}, v.style))
}

func (a *app) showJoin(w http.ResponseWriter, r *http.Request, v visit, status int, token string, link store.Invitation, f *form) error {
	page := views.Join{Token: token, Role: link.Role, Name: link.Person.Name, Form: f.typed()}
	title := "Join"
	if page.Name != "" {
		title = "Set a new password"
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, title, "")))
}

func join(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	token, link, ok, err := a.linkOf(w, r, v)
	if !ok {
		return err
	}
	if link.First {
		return a.deadLink(w, r, v)
	}
	again := func() error {
		return a.showJoin(w, r, v, http.StatusUnprocessableEntity, token, link, f)
	}
	password, name := f.newPassword(), link.Person.Name
	if name == "" {
		name = f.personName()
	}
	if !f.ok() {
		return again()
	}
	hash, err := hashPassword(r.Context(), password)
	if err != nil {
		return err
	}
	var p store.Person
	if link.Person.ID != 0 {
		p, err = a.store.Reset(r.Context(), token, hash)
		if p.ID == v.person.ID { // this sign-in ended with the others
			v.person, v.signin = store.Person{}, 0
		}
	} else {
		p, err = a.store.Join(r.Context(), token, name, hash)
	}
	return a.entered(w, r, v, p, err, again, f)
}
