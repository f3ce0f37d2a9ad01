package views

import (
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// ScrapList is all scrap that the shop keeps apart.
type ScrapList struct {
	Rows []ScrapRow // by name
	May  bool
}

// ScrapRow is one source with what came of it.
type ScrapRow struct {
	Source scrap.Source
	Record scrap.Record
}

// estimates are the sources that are in use, or those that are not.
func (p ScrapList) estimates(ended bool, s quantity.Style) []Estimate {
	var all []Estimate
	for _, r := range p.Rows {
		if (r.Source.Ended != nil) == ended {
			all = append(all, r.estimate(s))
		}
	}
	return all
}

// under says how much there is.
func (p ScrapList) under() string {
	if len(p.Rows) == 0 {
		return ""
	}
	return plural(len(p.Rows), "kind kept apart", "kinds kept apart") + "; % is metal recovered of what was charged"
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
		return "not charged yet"
	}
	return s.Mass(r.Record.Charged) + " charged in " + plural(r.Record.Melts, "melt", "melts")
}

// alone says what the yield is from.
func (r ScrapRow) alone(s quantity.Style) string {
	a := r.Record.Alone
	if _, _, ok := a.Yield(); !ok {
		return ""
	}
	return "alone in " + plural(a.Melts, "melt", "melts") + ": " + s.Mass(a.Recovered) + " of " + s.Mass(a.Charged)
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
		paid = s.Price(*p.Paid) + " a kg"
	}
	if p.Fetches != nil {
		fetches = "would fetch " + s.Price(*p.Fetches) + " a kg"
	}
	return strings.Join(nonEmpty(paid, fetches), ", ")
}
