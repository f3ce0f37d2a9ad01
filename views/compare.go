package views

import (
	"math"
	"strconv"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
)

// Compare sets two sources side by side.
type Compare struct {
	Sources []scrap.Source // by name
	A, B    int64          // 0 while not chosen
	Told    Yields
	Result  *recovery.Comparison // nil when nothing can be compared
	Metal   *MetalPrice          // what a kilo of metal is worth; nil when nobody said
	Power   *quantity.Price      // of a kilowatt-hour now
	Cheaper *float64             // chance that metal of A costs less scrap money
}

// MetalPrice is what metal is taken to be worth, and why.
type MetalPrice struct {
	Price quantity.Price
	Basis string // such as "ingots on 3 Mar 2026"
}

func (p Compare) field(name, label string, chosen int64) Field {
	f := Field{Name: name, Label: label, Required: true}
	for _, s := range p.Sources {
		f.Options = append(f.Options, Option{Value: strconv.FormatInt(s.ID, 10), Label: s.Name, Selected: s.ID == chosen})
	}
	return f
}

func (p Compare) a() string { return p.Told.Name(p.A) }
func (p Compare) b() string { return p.Told.Name(p.B) }

// waiting says why there is no result, "" when there is one or none was asked for.
func (p Compare) waiting() string {
	switch {
	case p.Result != nil || p.A == 0 || p.B == 0:
		return ""
	case p.A == p.B:
		return "Choose two that are not the same."
	case p.Told.Estimates == nil:
		return p.Told.says(quantity.Style{})
	case p.Told.of(p.A) == nil || p.Told.of(p.B) == nil:
		return "One of them is newer than the last estimate. Load the page again in a moment."
	}
	return "These two cannot be compared."
}

// verdict says in a sentence what can be said of the two.
func (p Compare) verdict(s quantity.Style) Advice {
	r := p.Result
	more := func(a, b string, sure float64, by recovery.Range) Advice {
		return Advice{Lead: "More metal comes from " + a + " than from " + b + ":", Text: chance(sure, s) + " sure, and " + widely(by, s) + " more."}
	}
	switch r.Verdict {
	case recovery.GivesMore:
		return more(p.a(), p.b(), r.MoreMetal, r.Difference)
	case recovery.GivesLess:
		d := r.Difference
		return more(p.b(), p.a(), 1-r.MoreMetal, recovery.Range{Low: -d.High, Middle: -d.Middle, High: -d.Low})
	case recovery.NoDifference:
		return Advice{Lead: "No difference seen.", Text: "They give the same within " + points(recovery.Alike, s) + ", nine chances in ten."}
	}
	if !p.Told.Ranked {
		return Advice{Lead: "Too close to call.", Text: "There are fewer than three melts: nothing can be told apart yet."}
	}
	return Advice{Lead: "Too close to call.", Text: "The difference may go either way: " + widely(r.Difference, s) + ". " + p.experiment(s)}
}

// widely is a difference with its range.
func widely(r recovery.Range, s quantity.Style) string {
	return points(r.Middle, s) + " (" + reach(r, s) + ")"
}

// experiment is the melt that would tell most of the one that is known worse.
func (p Compare) experiment(s quantity.Style) string {
	a, b := p.Told.of(p.A), p.Told.of(p.B)
	if a == nil || b == nil {
		return ""
	}
	worse := a
	if b.Metal.Width() > a.Metal.Width() {
		worse = b
	}
	text := p.Told.alone(worse.Source, s)
	if text == "" {
		return ""
	}
	return "Of the two " + p.Told.Name(worse.Source) + " is known worse. " + text
}

func (p Compare) figures(s quantity.Style) []Figure {
	return []Figure{
		{Value: likely(p.Result.MoreMetal, s), Unit: "%", Sentence: "chance of more metal from " + p.a() + " than from " + p.b()},
		{Value: likely(p.Result.LessDross, s), Unit: "%", Sentence: "chance of less dross from " + p.a() + " than from " + p.b()},
	}
}

// likely is a chance in percent as a large figure; nothing is ever quite sure.
func likely(p float64, s quantity.Style) string {
	return strings.NewReplacer("over ", ">\u2009", "under ", "<\u2009", " %", "").Replace(chance(p, s))
}

// table sets the two beside one another.
func (p Compare) table(s quantity.Style) Table {
	t := Table{Caption: "The two beside one another, with 90 % ranges", Columns: []Column{{Title: "Scrap"}, {Title: "Metal", Number: true}, {Title: "Dross", Number: true}}}
	for _, id := range []int64{p.A, p.B} {
		e := p.Told.of(id)
		if e == nil {
			continue
		}
		sub := plural(e.Melts, "melt", "melts")
		if e.Melts == 0 {
			sub = "never charged: only what is believed"
		}
		t.Rows = append(t.Rows, []Cell{{Text: p.Told.Name(id), Sub: sub, Href: sourceHref(id)}, {Text: blurred(e.Metal.Range, s)}, {Text: blurred(e.Dross.Range, s)}})
	}
	d, o := p.Result.Difference, p.Result.Dross
	t.Rows = append(t.Rows, []Cell{{Text: "Difference, in points"}, {Text: reach(d, s)}, {Text: reach(o, s)}})
	return t
}

// worth says what ten points are worth, and what the difference is.
func (p Compare) worth(s quantity.Style) []Fact {
	if p.Metal == nil {
		return nil
	}
	power := 0.0
	if p.Power != nil {
		power = p.Power.Units()
	}
	symbol, mass := s.PriceMass()
	money, kWh := recovery.TenPoints(p.Metal.Price.Units(), power)
	facts := []Fact{{Term: "Ten points of recovery", Value: amountOf(money*mass, s), Note: "per " + symbol + " charged, with metal at " + s.MassPrice(p.Metal.Price) + ": " + p.Metal.Basis}}
	switch {
	case p.Power == nil:
		facts = append(facts, Fact{Term: "In electricity", Value: "not known", Note: "no price of electricity holds today; an owner adds one under Set-up"})
	case math.IsNaN(kWh):
		facts = append(facts, Fact{Term: "In electricity", Value: "costs nothing today"})
	default:
		facts = append(facts, Fact{Term: "In electricity", Value: s.Number(kWh*mass, 2) + " kWh", Note: "at today's " + s.Price(*p.Power)})
	}
	d, ten := p.Result.Difference, 10*mass*p.Metal.Price.Units()
	facts = append(facts, Fact{Term: p.a() + " instead of " + p.b(), Value: amountOf(d.Low*ten, s) + " to " + amountOf(d.High*ten, s), Note: "more metal per 10 " + symbol + " charged, in money; below zero is less"})
	if p.Cheaper != nil {
		facts = append(facts, Fact{Term: "Metal of " + p.a() + " costs less scrap money", Value: chance(*p.Cheaper, s), Note: "chance, at what is paid for the two"})
	}
	return facts
}
