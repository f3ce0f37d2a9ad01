package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"drosswise/foundry/melt"
)

// What was charged last is offered first, in the melts after it too: a thumb
// must not look for it among fifty names. Which of them it is, is chosen.
func TestWhatWasChargedLastIsOfferedFirst(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	offered := func(code melt.Code) (all []string) {
		form := p.open("/melts/" + string(code) + "/add/charge")
		for n := range form.nodes(atom.Select) {
			if attr(n, "name") != "source" {
				continue
			}
			for o := range n.Descendants() {
				switch {
				case o.DataAtom == atom.Optgroup:
					all = append(all, attr(o, "label")+":")
				case o.DataAtom == atom.Option && o.Type == html.ElementNode:
					all = append(all, textOf(o))
				}
			}
		}
		return all
	}
	first := p.start("14:00")
	assert.Equal(t, []string{"Choose one", "Other scrap:", "Profile", "Wheels"}, offered(first))
	form := p.open("/melts/" + string(first) + "/add/charge")
	p.log(first, melt.Charge, "mass", "1.2", "source", form.option(t, "source", "Wheels"))
	next := p.start("14:05")
	assert.Equal(t, []string{"Choose one", "Charged last:", "Wheels", "Other scrap:", "Profile"}, offered(next))
	assert.Equal(t, "Choose one", offered(next)[0], "nothing slips into the place of what is charged")
	assert.NotContains(t, offered(first), "Choose one", "in the same melt it is chosen")
	p.log(next, melt.Charge, "mass", "1.2", "source", form.option(t, "source", "Profile"))
	assert.Equal(t, []string{"Choose one", "Charged last:", "Profile", "Wheels"}, offered(p.start("14:10")), "the last one first")
}

func TestWhereItWasReadLastIsChosen(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	which := func() string { return p.line(code, melt.Temperature).values.Get("which") }
	assert.Empty(t, which(), "nobody said yet")
	p.log(code, melt.Temperature, "temp", "690", "which", "metal")
	assert.Equal(t, "metal", which())
}
