package main

import (
	"errors"
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

var roleNames = []string{"reader", "melter", "owner"}

const lastOwner = "This is the last owner, and a shop needs one. Make somebody else an owner first."

// invite makes a link for somebody new. It is shown in the answer itself, and
// kept nowhere that it could be read from later.
func invite(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	role := f.one("role", roleNames...)
	if !f.ok() {
		return a.showShop(w, r, v, http.StatusUnprocessableEntity, f)
	}
	token, expires, err := a.store.Invite(r.Context(), v.person.ID, role)
	if err != nil {
		return err
	}
	return a.give(w, r, v, views.Given{
		Title: "A link for a new " + role, Address: a.home(r) + "/join/" + token, Expires: expires,
		For:  "Whoever opens it makes an account of their own, which " + views.RoleSays(role),
		Back: views.Link{Text: "Set-up", Href: "/shop"},
	})
}

func (a *app) give(w http.ResponseWriter, r *http.Request, v visit, page views.Given) error {
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, page.Title, "shop")))
}

// endLinks withdraws all links that nobody has used.
func endLinks(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := a.store.EndLinks(r.Context()); err != nil {
		return err
	}
	a.flash(r, "Links that were not used no longer work.")
	return seeOther(w, r, "/shop")
}

func personPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showPerson(w, r, v, http.StatusOK, nil)
}

func (a *app) showPerson(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	p, err := a.personOf(r)
	if err != nil {
		return err
	}
	if f == nil {
		f = newForm(url.Values{"role": {p.Role}}, v.style)
	}
	page := views.PersonForm{
		Person: views.Person{ID: p.ID, Name: p.Name, Role: p.Role, Since: p.Since, Me: p.ID == v.person.ID},
		Ended:  p.Ended, Form: f.typed(),
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, p.Name, "shop")))
}

// personOf finds the person whom the address names.
func (a *app) personOf(r *http.Request) (store.Person, error) {
	return a.store.Person(r.Context(), pathID(chi.URLParam(r, "id")))
}

func setRole(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	role := f.one("role", roleNames...)
	p, err := a.personOf(r)
	if err != nil {
		return err
	}
	if f.ok() {
		err = a.store.SetRole(r.Context(), v.person.ID, p.ID, role)
		if errors.Is(err, store.ErrLastOwner) {
			f.fault("role", lastOwner)
		} else if err != nil {
			return err
		}
	}
	if !f.ok() {
		return a.showPerson(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if p.ID == v.person.ID { // an owner no more, perhaps
		return seeOther(w, r, "/shop")
	}
	a.flash(r, p.Name+" is "+role+" now.")
	return seeOther(w, r, "/shop")
}

func endPerson(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.personOf(r)
	if err != nil {
		return err
	}
	err = a.store.EndPerson(r.Context(), v.person.ID, p.ID)
	if errors.Is(err, store.ErrLastOwner) {
		f := newForm(url.Values{"role": {p.Role}}, v.style)
		f.fault("role", lastOwner)
		return a.showPerson(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	a.flash(r, p.Name+" is signed out and has no account any more. You can let them back in below.")
	return seeOther(w, r, "/shop")
}

// resetPerson makes a link with which a person sets a new password, or comes
// back.
func resetPerson(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.personOf(r)
	if err != nil {
		return err
	}
	token, expires, err := a.store.ResetLink(r.Context(), v.person.ID, p.ID)
	if err != nil {
		return err
	}
	return a.give(w, r, v, resetGiven(a.home(r), p, token, expires))
}

func resetGiven(home string, p store.Person, token string, expires quantity.Moment) views.Given {
	return views.Given{
		Title: "A link for " + p.Name, Address: home + "/join/" + token, Expires: expires,
		For:  "With it " + p.Name + " sets a new password.",
		Back: views.Link{Text: "Set-up", Href: "/shop"},
	}
}
