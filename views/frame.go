// Package views is the face of the shop: pages and the parts they are made of.
// A part is a plain struct of what is seen, in the order of seeing, with a
// View method; fields and buttons are functions, because one Field is shown in
// several ways. Views know only what they are handed: they ask no store, read
// no clock and hold no rule of the trade.
package views

import (
	"strconv"
	"time"

	"drosswise/foundry/quantity"
)

// Frame is what every page has round its content.
type Frame struct {
	Title string // of the page, without the shop
	Shop  string
	Who   string // name of the person signed in, "" when signed out
	Role  string // in words, such as "melter"
	Tag   string // names the person to the script, which keeps their lines by it; "" when signed out
	Theme string // light, dark or glare; anything else follows the device
	Left  bool   // the left thumb logs: the dock is mirrored for it
	Pad   bool   // digits are typed on the pages' own pad where there is touch
	Nav   string // the current part of the shop: today, melts, scrap, kit, findings or shop
	Style quantity.Style
	Flash string // one sentence on what was just done
	Undo  *Undo
	Dock  *Dock // thumb dock of a running melt
	Now   quantity.Moment
	Lang  string // BCP 47; English when empty
	Sheet string // a style sheet that only this page needs, such as label.css

	Posted bool // the page answers something that was sent, which was not taken
}

// Undo takes back what was just done, in one tap.
type Undo struct {
	Action string // address the form is posted to
	Label  string // such as "Undo"
	Key    string // key of the strike that the tap makes
}

// Link leads somewhere in the shop.
type Link struct{ Text, Href string }

// places are the parts of the shop, in the order of the navigation.
var places = []struct{ key, word, href string }{
	{"today", "Today", "/"},
	{"melts", "Melts", "/melts"},
	{"scrap", "Scrap", "/scrap"},
	{"kit", "Kit", "/kit"},
	{"findings", "Findings", "/findings"},
	{"shop", "Set-up", "/shop"},
}

// account is where a person sees who they are signed in as.
const account = "/account"

func (f Frame) lang() string {
	if f.Lang == "" {
		return "en"
	}
	return f.Lang
}

func (f Frame) title() string {
	switch {
	case f.Title == "":
		return f.Shop
	case f.Shop == "":
		return f.Title
	default:
		return f.Title + " · " + f.Shop
	}
}

// theme is the theme chosen, or "" to follow the device.
func (f Frame) theme() string {
	switch f.Theme {
	case "light", "dark", "glare":
		return f.Theme
	default:
		return ""
	}
}

// scheme tells the browser how to draw its own parts: fields, bars, pickers.
func (f Frame) scheme() string {
	switch f.theme() {
	case "dark":
		return "dark"
	case "light", "glare":
		return "light"
	default:
		return "light dark"
	}
}

// ground is the colour of the browser's own bars: the --sheet of app.css.
func (f Frame) ground() string {
	switch f.theme() {
	case "dark":
		return darkSheet
	case "glare":
		return "#ffffff"
	default:
		return lightSheet
	}
}

const (
	lightSheet = "#fffefa"
	darkSheet  = "#1d1a16"
)

func milliseconds(m quantity.Moment) string { return strconv.FormatInt(int64(m), 10) }

func isoTime(m quantity.Moment) string { return m.Time().Format(time.RFC3339) }
