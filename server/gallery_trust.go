package main

import (
	"time"

	"github.com/a-h/templ"

	"drosswise/views"
)

// trustScenes are the page that leads a phone to HTTPS, as it is met.
func trustScenes() []scene {
	authority := views.Authority{
		Name: "Drosswise Bicycle workshop 2026-11-02", Until: galleryDay(2036, time.November, 2),
		Sites:       []string{"localhost", "shed", "shed.local", "127.0.0.1", "::1", "192.168.1.20", "fd12:3456:789a:1::20"},
		Fingerprint: "7B 3C 09 E1 52 AF 84 0D 6E 91 2B F7 38 C5 10 9A D4 66 EB 03 7F 58 A2 1C 95 40 BE E7 2D 81 F3 6A",
	}
	stranger := authority
	stranger.Stranger = "the-thursday-evening-melting-crew.example.org"
	const home = "https://shed.local:8374"
	var all []scene
	for _, s := range []struct {
		path, shows string
		page        views.Trust
	}{
		{"trust/http", "HTTPS, not trusted yet", views.Trust{Home: home, Authority: &authority}},
		{"trust/https", "HTTPS, seen over it", views.Trust{Secure: true, Home: home, Authority: &authority}},
		{"trust/stranger", "HTTPS, by a name that the certificate lacks", views.Trust{Home: home, Authority: &stranger}},
		{"trust/elsewhere", "HTTPS with a certificate made elsewhere", views.Trust{Home: home}},
		{"trust/off", "HTTPS, not on", views.Trust{}},
	} {
		all = append(all, scene{s.path, s.shows, func(f views.Frame) templ.Component { return s.page.Page(f) }})
	}
	return all
}
