package views

import (
	"strconv"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// DueKit is a piece of kit and when it is due for a look.
type DueKit struct {
	Item kit.Item
	Due  kit.Due
}

// ToDo says that it is time to check the piece, and leads whoever may write to
// the form in which the look is written down.
func (d DueKit) ToDo(s quantity.Style, may bool) ToDo {
	told := ToDo{
		Lead: "Time to check " + d.Item.Name + ".", Text: d.Due.Say(s) + " " + kit.UsualOf(d.Item.Kind).Look,
		Link: Link{Text: "See " + d.Item.Name, Href: kitHref(d.Item.ID)},
	}
	if may {
		told.Link = Link{Text: lookVerb[kit.WrittenAs(d.Item.Kind)], Href: kitHref(d.Item.ID) + "/add/" + string(kit.WrittenAs(d.Item.Kind))}
	}
	return told
}

var lookVerb = map[kit.LineKind]string{kit.Read: "Write the reading", kit.Inspected: "Write the inspection"}

func (t ToDo) advice() Advice { return Advice{Lead: t.Lead, Text: t.Text, Link: &t.Link} }

// dueShown is how many pieces that are due a page lists before it only counts.
const dueShown = 6

// DueToDo lists what is due, the longest waiting first, and counts the rest.
func DueToDo(all []DueKit, s quantity.Style, may bool) []ToDo {
	var list []ToDo
	rest := 0
	for _, d := range all {
		switch {
		case !d.Due.Now():
		case len(list) < dueShown:
			list = append(list, d.ToDo(s, may))
		default:
			rest++
		}
	}
	if rest > 0 {
		list = append(list, ToDo{
			Lead: "Time to check " + strconv.Itoa(rest) + " more.", Text: "The list of kit says which.", Link: Link{Text: "Kit", Href: "/kit"},
		})
	}
	return list
}

// DueForm is where an owner says after how many heats or days each kind is due.
type DueForm struct {
	Filled
}

// inputs are the fields of one kind.
func (p DueForm) inputs(k kit.Kind) []Input {
	var all []Input
	if kit.CountsHeats(k) {
		all = append(all, p.number(string(k)+"_heats", "Heats", "", ""))
	}
	return append(all, p.number(string(k)+"_days", "Days", "", ""))
}

func (p DueForm) faults() []Fault {
	var all []Fault
	for _, k := range kit.Kinds {
		for _, in := range p.inputs(k) {
			in.Label = k.Name() + ", " + strings.ToLower(in.Label)
			all = append(all, Faults(in.Field)...)
		}
	}
	return all
}

// dueFacts are the rules of the shop, each with what it rests on.
func dueFacts(rules []kit.Rule) []Fact {
	all := make([]Fact, len(rules))
	for i, r := range rules {
		all[i] = Fact{Term: r.Kind.Name(), Value: r.Say(), Note: "the shop's own"}
		if u := kit.UsualOf(r.Kind); r.Say() == u.Say() {
			all[i].Note = u.Rests
		}
	}
	return all
}
