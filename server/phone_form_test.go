package main

import (
	"iter"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// filledForm is a form of a page with what stands in its fields.
type filledForm struct {
	action string
	values url.Values
}

// typed fills in fields: name and text by turns. The form that it was called
// on stays as it was.
func (f filledForm) typed(pairs ...string) filledForm {
	filled := url.Values{}
	for name, values := range f.values {
		filled[name] = slices.Clone(values)
	}
	for i := 0; i < len(pairs); i += 2 {
		filled.Set(pairs[i], pairs[i+1])
	}
	return filledForm{f.action, filled}
}

// form finds the form that a page sends to an address, with what a browser
// would send of it as it stands: the first when there are several.
func (g got) form(t testing.TB, action string) filledForm {
	t.Helper()
	for f := range g.forms(action) {
		return f
	}
	require.FailNow(t, "no such form", "to %s on %s:\n%s", action, g.path, g.text())
	return filledForm{}
}

// forms are those of a page that are sent to an address, or all of them.
func (g got) forms(action string) iter.Seq[filledForm] {
	return func(yield func(filledForm) bool) {
		for n := range g.nodes(atom.Form) {
			f := filledForm{attr(n, "action"), url.Values{}}
			for in := range n.Descendants() {
				addControl(f.values, in)
			}
			if (action == "" || f.action == action) && !yield(f) {
				return
			}
		}
	}
}

// addControl adds what a field of a form sends.
func addControl(values url.Values, n *html.Node) {
	name := attr(n, "name")
	if name == "" {
		return
	}
	switch n.DataAtom {
	case atom.Textarea:
		values.Add(name, rawText(n))
	case atom.Select:
		values.Add(name, chosen(n))
	case atom.Input:
		switch attr(n, "type") {
		case "radio", "checkbox":
			if has(n, "checked") {
				values.Add(name, attr(n, "value"))
			}
		default:
			values.Add(name, attr(n, "value"))
		}
	}
}

// chosen is the option of a list that is chosen: the first when none is
// marked.
func chosen(list *html.Node) string {
	value, any := "", false
	for o := range list.Descendants() {
		if o.DataAtom != atom.Option || any && !has(o, "selected") {
			continue
		}
		value, any = attr(o, "value"), true
	}
	return value
}

// option gives the value of the choice in a form's list that reads so.
func (g got) option(t testing.TB, name, label string) string {
	t.Helper()
	for n := range g.nodes(atom.Option) {
		list := n.Parent
		if list.DataAtom == atom.Optgroup {
			list = list.Parent
		}
		if attr(list, "name") == name && textOf(n) == label {
			return attr(n, "value")
		}
	}
	require.FailNow(t, "no such choice", "%s: %s", name, label)
	return ""
}

// nodes are the elements of a kind on a page.
func (g got) nodes(kind atom.Atom) iter.Seq[*html.Node] {
	return func(yield func(*html.Node) bool) {
		doc, err := html.Parse(strings.NewReader(g.body))
		if err != nil {
			return
		}
		for n := range doc.Descendants() {
			if n.DataAtom == kind && !yield(n) {
				return
			}
		}
	}
}

// text is what a page says.
func (g got) text() string {
	for n := range g.nodes(atom.Body) {
		return textOf(n)
	}
	return ""
}

// faults are what a page says is wrong: above the form and beside fields.
func (g got) faults() string {
	var all []string
	for n := range g.elements("faults", "error") {
		all = append(all, textOf(n))
	}
	return strings.Join(all, " / ")
}

// elements are those that have one of the classes.
func (g got) elements(classes ...string) iter.Seq[*html.Node] {
	return func(yield func(*html.Node) bool) {
		doc, err := html.Parse(strings.NewReader(g.body))
		if err != nil {
			return
		}
		for n := range doc.Descendants() {
			class := strings.Fields(attr(n, "class"))
			if slices.ContainsFunc(classes, func(c string) bool { return slices.Contains(class, c) }) && !yield(n) {
				return
			}
		}
	}
}

// facts are the terms of a page with the value it gives for each, without the
// words under it.
func (g got) facts() map[string]string {
	all := map[string]string{}
	for n := range g.nodes(atom.Dt) {
		for dd := n.NextSibling; dd != nil; dd = dd.NextSibling {
			if dd.DataAtom == atom.Dd {
				all[textOf(n)] = ownText(dd)
				break
			}
		}
	}
	return all
}

// textOf is the text inside an element, with single plain spaces.
func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		} else if d.Type == html.ElementNode && d.DataAtom != atom.B && d.DataAtom != atom.Span {
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// rawText is the text inside an element as it stands.
func rawText(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// ownText is the text of an element without what is inside others in it.
func ownText(n *html.Node) string {
	var b strings.Builder
	for c := range n.ChildNodes() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}
