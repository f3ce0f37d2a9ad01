package main

import (
	"net"
	"net/http"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// trustPage leads a device through trusting the shop's authority. It is there
// before anybody signs in: passwords had better wait for HTTPS.
func trustPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page := views.Trust{Secure: a.overHTTPS(r)}
	if a.secure != nil {
		page.Home, page.Authority = a.secure.seenFrom(hostOf(r))
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "HTTPS on this device", "")))
}

// trustFile hands out the authority's certificate, never its key. Without a
// Content-Disposition phones take it for what it is and offer to install it.
func trustFile(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if a.secure == nil || a.secure.shop == nil {
		return store.ErrNotFound
	}
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	_, err := w.Write(a.secure.shop.Authority())
	return err
}

// couldBeHTTPS reports whether a visit over plain http could be over HTTPS.
func (a *app) couldBeHTTPS(r *http.Request) bool { return a.secure != nil && !a.overHTTPS(r) }

// hostOf is what the visitor calls the machine: a name or an address.
func hostOf(r *http.Request) string {
	if host, _, err := net.SplitHostPort(r.Host); err == nil {
		return host
	}
	return strings.Trim(r.Host, "[]")
}

// seenFrom gives the address of the shop over HTTPS for who calls the machine
// so, and the authority to trust for it. Where the certificate lacks the name,
// the address has the one that the whole network knows the machine by.
func (s *secured) seenFrom(host string) (home string, authority *views.Authority) {
	if s.shop != nil {
		authority = &views.Authority{Name: s.shop.Name(), Until: quantity.At(s.shop.Until()), Sites: s.shop.Sites(), Fingerprint: s.shop.Fingerprint()}
		if !s.shop.Has(host) {
			authority.Stranger = host
			for _, site := range authority.Sites {
				if strings.HasSuffix(site, ".local") {
					host = site
				}
			}
		}
	}
	return "https://" + net.JoinHostPort(host, s.port), authority
}
