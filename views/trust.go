package views

import (
	"strings"

	"drosswise/foundry/quantity"
)

// Trust leads a phone to HTTPS.
type Trust struct {
	Secure    bool       // this visit is over HTTPS
	Home      string     // where the shop is over HTTPS; "" while it is nowhere
	Authority *Authority // nil where the certificate was made elsewhere
}

// Authority is what a phone is to trust.
type Authority struct {
	Name        string // by which devices list it
	Until       quantity.Moment
	Sites       []string
	Fingerprint string // SHA-256
	Stranger    string // what the visitor calls the machine and the certificate does not; else ""
}

// trustPath leads to the page, and trustFile to what is to be trusted.
const (
	trustPath = "/trust"
	trustFile = "/trust/drosswise-ca.crt"
)

func (p Trust) under() string {
	switch {
	case p.Secure:
		return "You see this page over HTTPS."
	case p.Home == "":
		return "You see this page over plain http, and HTTPS is not on here."
	}
	return "You see this page over plain http: whoever is in the same network can read along."
}

func (a Authority) facts(s quantity.Style) []Fact {
	return []Fact{
		{Term: "Devices list it as", Value: a.Name},
		{Term: "Fingerprint (SHA-256)", Value: a.Fingerprint},
		{Term: "Good for", Value: strings.Join(a.Sites, ", ")},
		{Term: "Until", Value: s.Date(a.Until)},
	}
}

func (a Authority) cautions() Cautions {
	return Cautions{Title: "Before you trust it", List: []Caution{
		{
			Text: "Compare the fingerprint with what the machine printed when Drosswise was started, not with this page alone.",
			Why:  "Over plain http, somebody in the same network could change this page and the file together.",
		},
		{
			Text: "Whoever has the authority's key, which is in the shop's folder on the machine, can pose to this device as every site that the authority may vouch for. Trust it only if you trust whoever keeps that machine.",
			Why:  "It may vouch for the names above and for the addresses that home networks use, and for nothing else. Some browsers, older ones on Android above all, may not mind these limits: there the key would do for any site.",
		},
	}}
}

// device is how one kind of device is made to trust an authority, and to trust
// it no longer. Menus move: the words are those of late 2025, from memory.
type device struct {
	name   string
	steps  []string
	remove string
}

func (a Authority) devices() []device {
	return []device{
		{"iPhone and iPad", []string{
			"Open this page in Safari, tap Download above, and allow it.",
			"Open Settings. Tap Profile Downloaded near the top, or find it under General, VPN & Device Management.",
			"Tap More Details, then the certificate, and compare the fingerprint. Go back and tap Install.",
			"Go to Settings, General, About, Certificate Trust Settings, and switch “" + a.Name + "” on.",
		}, "Settings, General, VPN & Device Management: tap it, then Remove Profile."},
		{"Android", []string{
			"Tap Download above and keep the file.",
			"Open Settings and search for “CA certificate”. It is often under Security, Encryption & credentials, Install a certificate.",
			"Tap Install anyway after the warning, and choose drosswise-ca.crt.",
			"Under Trusted credentials, User, tap it and compare the fingerprint. Android may go on telling you that the network could be monitored: it says so of every authority that was added by hand.",
			"Firefox on Android asks once more: Settings, About Firefox, tap the logo until the debug menu is on, then Settings, Secret Settings, Use third party CA certificates.",
		}, "Settings, search for “Trusted credentials”, User: tap it, then Remove."},
		{"Windows", []string{
			"Download the file and open it. Under Details the thumbprint is SHA-1: for the SHA-256, run certutil -hashfile drosswise-ca.crt SHA256 and compare.",
			"Choose Install Certificate, Current User, then Place all certificates in the following store: Trusted Root Certification Authorities.",
			"Confirm the warning, and restart the browser.",
		}, "Run certmgr.msc; under Trusted Root Certification Authorities, Certificates, delete it."},
		{"Mac", []string{
			"Download the file and open it; Keychain Access puts it into the login keychain.",
			"Double-click it there and compare the fingerprint.",
			"Open Trust, and at Secure Sockets Layer (SSL) choose Always Trust.",
		}, "In Keychain Access, delete it from the login keychain."},
		{"Firefox on a computer", []string{
			"Open Settings, Privacy & Security, Certificates, View Certificates, Authorities, and choose Import.",
			"Take drosswise-ca.crt, look at it with View and compare the fingerprint.",
			"Tick “Trust this CA to identify websites”, and nothing else.",
		}, "In the same list, choose it, then Delete or Distrust."},
	}
}
