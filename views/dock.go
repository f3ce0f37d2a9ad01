package views

import (
	"strings"

	"drosswise/foundry/quantity"
)

// Dock holds the actions of a running melt at the thumb: the likeliest one in
// ember, three more beside it, the others behind "More".
type Dock struct {
	Main Action
	Side []Action // three at most
	Low  *Action  // beside "More"
	More []Action
}

// within names what is behind "More", so that nobody opens it in vain.
func (d Dock) within() string {
	labels := make([]string, len(d.More))
	for i, a := range d.More {
		labels[i] = a.Label
	}
	return strings.ToLower(strings.Join(labels, ", "))
}

// Power is the state of the furnace's power with the button that notes its
// change, and the time since.
type Power struct {
	On     bool
	Act    string // what a tap does, such as "Mark isolated"
	State  string // in words, such as "Power on"
	Hint   string // what a tap notes, such as "Tap when isolated, before charging."
	Change Action // Label is not shown
	Since  quantity.Moment
	Now    quantity.Moment
	Style  quantity.Style
	Under  string // below the clock, such as "since power on"; "" for no clock
}

func (p Power) class() string {
	if p.On {
		return "power on"
	}
	return "power"
}

// action is the change as the button says it: what a tap does, then the state
// and the hint.
func (p Power) action() Action {
	a := p.Change
	a.Label, a.Under = p.Act, p.State+". "+p.Hint
	return a
}
