package views

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// ScrapList is all scrap that the shop keeps apart, cleanest first where there
// are melts enough to tell.
type ScrapList struct {
	Rows   []ScrapRow // by name
	Told   Yields
	Melts  []MeltRow     // the latest, where there are too few to rank scrap by
	ByName bool          // rather than cleanest first
	Form   scrap.Form    // only scrap of this form; "" for all
	Quotes []scrap.Quote // of all goods, the newest first
	May    bool
}

// ScrapRow is one source with what came of it.
type ScrapRow struct {
	Source scrap.Source
	Record scrap.Record
}

func (p ScrapList) title() string {
	if !p.Told.ranked() {
		return "Scrap"
	}
	if p.ByName {
		return "Scrap, by name"
	}
	return "Scrap, cleanest first"
}

// under says what the figures are, and how many melts they come from.
func (p ScrapList) under() string {
	switch {
	case len(p.Rows) == 0:
		return ""
	case p.Told.ranked():
		return "metal recovered per kg charged · 90 % range · " + plural(p.Told.Metal.Melts, "melt", "melts")
	}
	return plural(len(p.Rows), "kind kept apart", "kinds kept apart") + "; % is metal recovered of what was charged"
}

// tooFew says why nothing is ranked, "" when it is.
func (p ScrapList) tooFew() string {
	switch n := p.count(); {
	case p.Told.Estimates == nil || p.Told.Ranked:
		return ""
	case n == 0:
		return "No melt with its metal weighed is closed yet. Close a melt, and its recovery stands here; from three melts on, each scrap is told apart from what it was mixed with."
	case n == 1:
		return "One melt is too few to tell what each scrap gives. From three melts on they are told apart; until then look at the melt's own recovery."
	}
	return "Two melts are too few to tell what each scrap gives. From three melts on they are told apart; until then look at each melt's own recovery."
}

// count is how many closed melts have their metal weighed.
func (p ScrapList) count() int {
	if p.Told.Estimates == nil {
		return 0
	}
	return p.Told.Metal.Melts
}

// shown reports whether the filter lets a source through.
func (p ScrapList) shown(r ScrapRow) bool { return p.Form == "" || r.Source.Form == p.Form }

// estimates are the sources that are in use, or those that are not, as the
// book has them without reading melts together.
func (p ScrapList) estimates(ended bool, s quantity.Style) []Estimate {
	var all []Estimate
	for _, r := range p.Rows {
		if p.shown(r) && (r.Source.Ended != nil) == ended {
			all = append(all, r.estimate(s))
		}
	}
	return all
}

// says tells how old the figures are, where there are any to come.
func (p ScrapList) says(s quantity.Style) string {
	if p.Told.Estimates != nil && !p.Told.Ranked {
		return ""
	}
	return p.Told.says(s)
}

// has reports whether there is scrap of a form.
func (p ScrapList) has(form scrap.Form) bool {
	return slices.ContainsFunc(p.Rows, func(r ScrapRow) bool { return r.Source.Form == form })
}

// ways are the links that leave only scrap of one form, and that sort.
func (p ScrapList) ways() []Link {
	var all []Link
	address := func(byName bool, form scrap.Form) string {
		q := url.Values{}
		if byName {
			q.Set("by", "name")
		}
		if form != "" {
			q.Set("form", string(form))
		}
		if len(q) == 0 {
			return "/scrap"
		}
		return "/scrap?" + q.Encode()
	}
	forms := 0
	for _, f := range scrap.Forms {
		if p.has(f.Form) {
			forms++
		}
	}
	switch {
	case !p.Told.ranked():
	case p.ByName:
		all = append(all, Link{Text: "Cleanest first", Href: address(false, p.Form)})
	default:
		all = append(all, Link{Text: "By name", Href: address(true, p.Form)})
	}
	if p.Form != "" {
		all = append(all, Link{Text: "All forms", Href: address(p.ByName, "")})
	}
	for _, f := range scrap.Forms {
		if forms > 1 && p.has(f.Form) && f.Form != p.Form {
			all = append(all, Link{Text: "Only " + strings.ToLower(f.Name), Href: address(p.ByName, f.Form)})
		}
	}
	return all
}

func (p ScrapList) first() Link {
	if !p.May {
		return Link{}
	}
	return Link{Text: "Add the first scrap", Href: "/scrap/new"}
}

func sourceHref(id int64) string { return fmt.Sprintf("/scrap/%d", id) }

func (r ScrapRow) estimate(s quantity.Style) Estimate {
	e := Estimate{Name: r.Source.Name, Href: sourceHref(r.Source.ID), Value: r.yield(s)}
	e.Note = strings.Join(nonEmpty(formOf(r.Source), r.charged(s), r.alone(s), pricesOf(r.Source, s)), " · ")
	var advice []string
	if words := r.Source.Hazards.Words(); len(words) > 0 {
		advice = append(advice, "Look out: "+strings.Join(words, ", ")+".")
	}
	if told := r.experiment(); told != "" && r.Source.Ended == nil {
		advice = append(advice, told)
	}
	e.Advice = strings.Join(advice, " ")
	return e
}

// formOf is the form with what covers it: "Profile (extrusion), painted".
func formOf(p scrap.Source) string {
	text := p.Form.Name()
	if p.Coating != "" {
		text += ", " + strings.ToLower(p.Coating.Name())
	}
	return text
}

// yield is what the source gives when nothing else is charged.
func (r ScrapRow) yield(s quantity.Style) string {
	value, spread, ok := r.rounded(s)
	switch {
	case !ok:
		return "not known"
	case spread == "":
		return value + " %"
	}
	return value + " ± " + spread + " %"
}

func (r ScrapRow) rounded(s quantity.Style) (value, spread string, ok bool) {
	y, u, ok := r.Record.Alone.Yield()
	if !ok {
		return "", "", false
	}
	value, spread = s.Round(100*y, 100*u, 1)
	return value, spread, true
}

func (r ScrapRow) charged(s quantity.Style) string {
	if r.Record.Melts == 0 {
		return "never charged yet"
	}
	return summed(r.Record.Charged, s) + " charged in " + plural(r.Record.Melts, "melt", "melts")
}

// alone says what the yield is from.
func (r ScrapRow) alone(s quantity.Style) string {
	a := r.Record.Alone
	if _, _, ok := a.Yield(); !ok {
		return ""
	}
	return "alone in " + plural(a.Melts, "melt", "melts") + ": " + summed(a.Recovered, s) + " of " + summed(a.Charged, s)
}

// experiment says how the source's own yield could be known.
func (r ScrapRow) experiment() string {
	switch {
	case r.Record.Alone.Melts > 0:
		return ""
	case r.Record.Melts == 0:
		return "Melt it alone once, and its own yield is known."
	}
	return "Never weighed out alone, so its own yield is not known. Melt it alone once."
}

// pricesOf is what a source costs and would fetch.
func pricesOf(p scrap.Source, s quantity.Style) string {
	var paid, fetches string
	switch {
	case p.Paid == nil:
	case *p.Paid == 0:
		paid = "free"
	default:
		paid = s.MassPrice(*p.Paid)
	}
	if p.Fetches != nil {
		fetches = "would fetch " + s.MassPrice(*p.Fetches)
	}
	return strings.Join(nonEmpty(paid, fetches), ", ")
}
