package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"

	"github.com/go-chi/chi/v5"

	"drosswise/store"
	"drosswise/views"
)

// greet says where the shop is served and, as long as nobody owns it, where
// its owner's account is made.
func (a *app) greet(ctx context.Context, c console, home string) error {
	home = reachable(home)
	fmt.Fprintf(c.out, "Drosswise serves on %s\n", home)
	token, expires, err := a.store.FirstLink(ctx)
	if errors.Is(err, store.ErrConflict) {
		return nil
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "\nThe shop has no owner yet. Make the owner's account here (works once, until %s,\nor until the next start):\n\n  %s/setup/%s\n\n",
		expires.Time().Format("2 Jan 2006 15:04 MST"), home, token)
	return nil
}

// reachable puts this machine in the place of "every address it has", which
// no browser can go to.
func reachable(home string) string {
	u, err := url.Parse(home)
	if err != nil {
		return home
	}
	if ip, err := netip.ParseAddr(u.Hostname()); err == nil && ip.IsUnspecified() {
		u.Host = net.JoinHostPort("localhost", u.Port())
	}
	return u.String()
}

// home is the address under which the visitor sees the shop.
func (a *app) home(r *http.Request) string {
	switch {
	case a.settings.origin != "":
		u, err := url.Parse(a.settings.origin)
		if err == nil {
			return u.Scheme + "://" + u.Host
		}
	case r.TLS != nil:
		return "https://" + r.Host
	}
	return "http://" + r.Host
}

// linkOf reads what the link in the address is for. A link that no longer
// works is answered here.
func (a *app) linkOf(w http.ResponseWriter, r *http.Request, v visit) (token string, link store.Invitation, ok bool, err error) {
	token = chi.URLParam(r, "token")
	link, err = a.store.Invitation(r.Context(), token)
	if errors.Is(err, store.ErrNotFound) {
		return token, link, false, a.deadLink(w, r, v)
	}
	return token, link, err == nil, err
}

func (a *app) deadLink(w http.ResponseWriter, r *http.Request, v visit) error {
	page := views.Problem{
		Title:     "This link does not work",
		Detail:    "It was used already, has run out after seven days, or a newer one has taken its place. If you have an account, sign in. If not, ask an owner of the shop for a new link; before the first owner there is, start Drosswise again and take the link it prints.",
		SignedOut: !v.signedIn(),
	}
	return a.show(w, r, http.StatusNotFound, page.Page(a.frame(r, v, page.Title, "")))
}

func setupPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	token, link, ok, err := a.linkOf(w, r, v)
	if !ok {
		return err
	}
	if !link.First {
		return seeOther(w, r, "/join/"+token)
	}
	f := newForm(url.Values{"mass_unit": {"kg"}, "temperature": {"C"}, "mark": {"point"}}, v.style)
	return a.showSetup(w, r, v, http.StatusOK, token, f)
}

func (a *app) showSetup(w http.ResponseWriter, r *http.Request, v visit, status int, token string, f *form) error {
	page := views.SetUp{Token: token, Form: f.typed(), Settings: views.Settings{Zones: zones, Currencies: currencies}}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Set up the shop", "")))
}

func setup(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	token, link, ok, err := a.linkOf(w, r, v)
	if !ok {
		return err
	}
	if !link.First {
		return a.deadLink(w, r, v)
	}
	name, password, shop := f.personName(), f.newPassword(), f.shop(v.shop)
	if !f.ok() {
		return a.showSetup(w, r, v, http.StatusUnprocessableEntity, token, f)
	}
	hash, err := hashPassword(r.Context(), password)
	if err != nil {
		return err
	}
	p, err := a.store.SetUp(r.Context(), token, name, hash, shop)
	return a.entered(w, r, v, p, err, func() error {
		return a.showSetup(w, r, v, http.StatusUnprocessableEntity, token, f)
	}, f)
}

// entered ends the use of a link: the person is in, or the name is taken, or
// somebody was faster.
func (a *app) entered(w http.ResponseWriter, r *http.Request, v visit, p store.Person, err error, again func() error, f *form) error {
	switch {
	case errors.Is(err, store.ErrConflict):
		f.fault("name", "Somebody has that name already. Take another one.")
		return again()
	case errors.Is(err, store.ErrNotFound):
		return a.deadLink(w, r, v)
	case err != nil:
		return err
	}
	if err := a.letIn(r, v, p); err != nil {
		return err
	}
	return seeOther(w, r, "/")
}

func (f *form) personName() string { return f.name("name", 80, "Give a name.") }

// typed is the form as its page shows it again.
func (f *form) typed() views.Typed { return views.Typed{Values: f.values, Faults: f.faults} }
