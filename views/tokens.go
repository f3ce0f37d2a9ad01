package views

import (
	"drosswise/foundry/quantity"
)

const tokensPath = "/account/tokens"

// Tokens is what a person sees of the tokens of their programs, and the form
// that makes one.
type Tokens struct {
	Tokens []Token
	Form   Typed
}

// Token is one that works.
type Token struct {
	ID          int64
	Name        string
	Scope       string
	At, Expires quantity.Moment
	Used        *quantity.Moment // nil before the first time
}

// scopes are what a token may reach, narrowest first.
var scopes = []Option{
	{Value: "readings", Label: "Send readings", Hint: "For a logger or a meter. It sees nothing."},
	{Value: "read", Label: "Look at everything", Hint: "It changes nothing, and gets no copy of the whole shop."},
	{Value: "log", Label: "Log", Hint: "What a melter may do, if you may."},
	{Value: "all", Label: "All that you may do", Hint: "Take it only if you must."},
}

func (p Tokens) name() Field {
	return p.Form.field("name", "What it is for", "Such as: logger in the shed.")
}

func (p Tokens) scope() Field { return p.Form.choose("scope", "What it may do", "", scopes...) }

func (p Tokens) days() Field {
	return p.Form.choose("days", "How long it works", "",
		Option{Value: "30", Label: "30 days"}, Option{Value: "90", Label: "90 days"}, Option{Value: "365", Label: "A year"}, Option{Value: "1826", Label: "Five years"})
}

func (p Tokens) faults() []Fault { return Faults(p.name(), p.scope(), p.days()) }

func (p Tokens) ledger(s quantity.Style) Ledger {
	var l Ledger
	for _, k := range p.Tokens {
		l.Rows = append(l.Rows, Row{
			Time: dayAndMonth(s.Date(k.At)), Verb: k.Name, Text: scopeLabel(k.Scope) + ".", Note: k.says(s),
			Tap: []Action{{Label: "End it", Href: tokensPath + "/" + idText(k.ID) + "/end", Post: true}},
		})
	}
	return l
}

func scopeLabel(scope string) string {
	for _, o := range scopes {
		if o.Value == scope {
			return o.Label
		}
	}
	return scope
}

func (k Token) says(s quantity.Style) string {
	works := " It works until " + s.Date(k.Expires) + "."
	if k.Used == nil {
		return "Not used yet." + works
	}
	return "Last used about " + s.DateTime(*k.Used) + "." + works
}

// TokenGiven shows a token once, to the person it is of.
type TokenGiven struct{ Name, Text string }

func (p TokenGiven) field() Field { return Field{Name: "token", Label: "The token", Value: p.Text} }
