package views

import (
	"fmt"
	"strconv"
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// KitList is all kit of the shop.
type KitList struct {
	Items []kit.Item // in the order in which they were added
	Wears map[int64]kit.Wear
	Due   map[int64]kit.Due // of what is in service and on the list
	May   bool
}

func kitHref(id int64) string { return fmt.Sprintf("/kit/%d", id) }

// kindFor says what a kind of kit is in the book for.
var kindFor = map[kit.Kind]string{
	kit.Furnace:  "Every melt names its furnace; its letter begins the code stamped on the metal.",
	kit.Crucible: "Its volume or rating gives the safe fill, its mass the heat it takes up.",
	kit.Element:  "Its ohms, read now and then, show how it ages.",
	kit.Scale:    "Its resolution says how far each weighing can be trusted.",
	kit.Probe:    "It says where a temperature came from.",
}

// oneMore is what the button that adds one of a kind says.
func oneMore(k kit.Kind) string {
	article := "a "
	if k == kit.Element {
		article = "an "
	}
	return "Add " + article + strings.ToLower(k.Name())
}

// of lists the kit of a kind that is in service.
func (p KitList) of(k kit.Kind, s quantity.Style) Table {
	t := Table{Caption: k.Plural(), Columns: []Column{{Title: k.Name()}, {Title: "Heats", Number: true}}, Empty: "None yet. " + kindFor[k]}
	if getsHot(k) {
		t.Columns = append(t.Columns, Column{Title: "Hot", Number: true})
	}
	for _, it := range p.Items {
		if it.Kind == k && !it.Retired {
			t.Rows = append(t.Rows, p.row(it, s, p.sub(it, s)))
		}
	}
	return t
}

// retired lists all kit that is out of service.
func (p KitList) retired(s quantity.Style) Table {
	t := Table{Caption: "Retired", Columns: []Column{{Title: "Retired"}, {Title: "Heats", Number: true}, {Title: "Hot", Number: true}}}
	for _, k := range kit.Kinds {
		for _, it := range p.Items {
			if it.Kind == k && it.Retired {
				row := p.row(it, s, k.Name())
				if !getsHot(k) {
					row = append(row, Cell{Text: "–"})
				}
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// getsHot reports whether a kind is in the heat of the melts it is used in.
func getsHot(k kit.Kind) bool { return k != kit.Scale }

// lists reports whether the melts of a kind can be listed.
func lists(k kit.Kind) bool { return k == kit.Furnace || k == kit.Crucible || k == kit.Element }

func (p KitList) row(it kit.Item, s quantity.Style, sub string) []Cell {
	w := p.Wears[it.ID]
	cells := []Cell{{Text: it.Name, Sub: sub, Href: kitHref(it.ID)}, {Text: strconv.Itoa(w.Heats)}}
	if getsHot(it.Kind) {
		cells = append(cells, Cell{Text: s.Number(w.Hot.Hours(), 0) + " h"})
	}
	return cells
}

// sub is the small line under a name.
func (p KitList) sub(it kit.Item, s quantity.Style) string {
	var words []string
	if p.Due[it.ID].Now() {
		words = append(words, "time to check")
	}
	if it.On != 0 {
		for _, other := range p.Items {
			if other.ID == it.On {
				words = append(words, "fitted in "+other.Name)
			}
		}
	}
	switch it.Kind {
	case kit.Furnace:
		words = append(words, "letter "+it.Letter)
	case kit.Crucible:
		if fill, ok := safeFill(it, s); ok {
			words = append(words, "safe fill "+fill)
		} else {
			words = append(words, "safe fill not known")
		}
	case kit.Element:
		if it.On == 0 {
			words = append(words, "not fitted")
		}
	case kit.Scale:
		words = append(words, "shows steps of "+s.Mass(it.Resolution))
	case kit.Probe:
		words = append(words, nonEmpty(kit.NameOf(kit.Couples, it.Couple))...)
	}
	if w := p.Wears[it.ID]; w.Charged > 0 {
		words = append(words, summed(w.Charged, s)+" charged")
	}
	return strings.Join(words, " · ")
}

// safeFill is a crucible's safe fill as it is shown.
func safeFill(it kit.Item, s quantity.Style) (string, bool) {
	fill, _, ok := it.SafeFill()
	return fillShown(fill, s), ok
}

// fillShown is a safe fill with the digits that it has.
func fillShown(fill quantity.Mass, s quantity.Style) string { return s.MassTo(fill, 10*quantity.Gram) }

// start is what an empty shop adds first.
func (p KitList) start() Link {
	if !p.May {
		return Link{}
	}
	return Link{Text: "Add the furnace", Href: "/kit/new/furnace"}
}

// KitForm is the form in which a piece of kit is described.
type KitForm struct {
	Filled
	Kind        kit.Kind
	ID          int64 // 0 for a new one
	Name        string
	Key         string
	LetterFixed string   // a furnace's letter that melts carry already, "" while it may change
	Wires       []Option // heating alloys
	Bricks      []Option // of furnace walls
}

func (p KitForm) title() string {
	if p.ID == 0 {
		return "New " + strings.ToLower(p.Kind.Name())
	}
	return "Change " + p.Name
}

func (p KitForm) action() string {
	if p.ID == 0 {
		return "/kit"
	}
	return kitHref(p.ID)
}

func (p KitForm) back() Link {
	if p.ID == 0 {
		return Link{Text: "Kit", Href: "/kit"}
	}
	return Link{Text: "Back", Href: kitHref(p.ID)}
}

// whole is what is wrong and has no field to stand beside.
func (p KitForm) whole() []string {
	if p.LetterFixed != "" {
		return nonEmpty(p.Faults["kind"], p.Faults["letter"])
	}
	return nonEmpty(p.Faults["kind"])
}

// cautions are those of a furnace or crucible that is about to be used first.
func (p KitForm) cautions() Cautions {
	if p.ID != 0 {
		return Cautions{}
	}
	var list []caution.Caution
	for _, c := range caution.For(caution.BeforeFirstUse, caution.Hazards{}) {
		if temper := c.Code == "first-temper"; p.Kind == kit.Furnace && !temper || p.Kind == kit.Crucible && temper {
			list = append(list, c)
		}
	}
	return Cautions{Title: caution.BeforeFirstUse.String(), List: CautionList(list)}
}

func (p KitForm) inputs(s quantity.Style) []Input {
	named := p.text("name", "Name", "As you call it in the shop, such as "+nameLike[p.Kind]+".").must()
	all := append([]Input{named}, p.own(s)...)
	return append(all, p.words("note", "Notes", noteHint[p.Kind]))
}

var nameLike = map[kit.Kind]string{
	kit.Furnace: "Yard furnace", kit.Crucible: "Crucible C3", kit.Element: "Element E5", kit.Scale: "Bench scale", kit.Probe: "Probe P1",
}

var noteHint = map[kit.Kind]string{
	kit.Crucible: "The maker's instruction for the first heat belongs here: makers differ.",
	kit.Scale:    "The check weight and what it showed.",
}

// own are the fields that only this kind has.
func (p KitForm) own(s quantity.Style) []Input {
	switch p.Kind {
	case kit.Furnace:
		return p.furnace()
	case kit.Crucible:
		return p.crucible(s)
	case kit.Element:
		return p.element(s)
	case kit.Scale:
		return []Input{
			p.number("resolution", "Smallest step it shows", s.MassSymbol(), "The last digit moves in steps of this. Write another unit behind it if you like: 1 g.").must(),
			p.number("capacity", "The most it weighs", s.MassSymbol(), ""),
			p.number("gain", "Maker's ± of what is shown", "%", "Only if the maker says so, such as 0.1. Empty: the step alone counts."),
		}
	}
	return []Input{p.radio("couple", "Type", "By the letter on its plug or in its papers.", choices(kit.Couples))}
}

func (p KitForm) furnace() []Input {
	letter := p.text("letter", "Letter", "One letter, A to Z, no other furnace has. It begins the code of each melt and stays once a melt carries it.").must()
	var all []Input
	if p.LetterFixed == "" {
		all = append(all, letter)
	}
	return append(all,
		p.pick("heating", "How it heats", "", choices(kit.Heatings)),
		p.pick("switching", "How its power is switched", "At full power whenever it is on, its energy over time tells the ohms of its element without a reading.", choices(kit.Switchings)),
		p.number("volts", "Supply", "V", "What the meter shows at the plug, or the nominal voltage."),
		p.number("circuit", "Circuit rated for", "A", "What the breaker or fuse says."),
		p.number("power", "Power", "W", "At full power, by its plate. kW may be written behind it."),
		p.pick("brick", "Brick of its walls", "With its thickness and the size inside, what the walls lose is reckoned and held against what is measured.", p.Bricks),
		p.number("wall", "Thickness of the brick", "mm", ""),
		p.number("wide", "Inside: wide", "mm", ""),
		p.number("deep", "Inside: deep", "mm", ""),
		p.number("high", "Inside: high", "mm", ""),
	)
}

func (p KitForm) crucible(s quantity.Style) []Input {
	return []Input{
		p.pick("material", "Made of", "", choices(kit.Materials)),
		p.number("brim", "Volume to the brim", "L", "It gives the safe fill."),
		p.number("water", "or the water it holds", s.MassSymbol(), "Its mass full to the brim with water at room temperature, less its mass empty. Only a cold crucible that may be wetted; dry it again as its maker says."),
		p.number("rated", "Maker's rating", s.MassSymbol(), "The number on it is often kilograms of another metal."),
		p.pick("rated_in", "Rating given in", "", choices(kit.RatedIn)),
		p.number("fill", "Share that may be filled", "%", "Empty: "+s.Percent(kit.DefaultFill, 0)+", common practice, no source."),
		p.number("mass", "Mass, new and dry", s.MassSymbol(), "It gives the heat the crucible takes up."),
		p.number("wall", "Wall, new", "mm", ""),
		p.number("cost", "What it cost", s.Currency, ""),
		p.number("expected_heats", "Melts you expect of it", "", "Your own guess, to share its cost among melts."),
	}
}

func (p KitForm) element(s quantity.Style) []Input {
	return []Input{
		p.pick("wire", "Wire", "", p.Wires),
		p.number("diameter", "Wire thickness", "mm", ""),
		p.number("length", "Wire length", "m", "Stretched out, of the whole set."),
		p.number("ohms", "Ohms, new and cold", "Ω", "Measured with the plug out, over the whole set."),
		p.number("ohms_limit", "Due when its ohms have risen by", "%", "Empty: 10 %. Published limits disagree, from 5 to 18 %."),
		p.number("cost", "What it cost", s.Currency, ""),
		p.number("expected_heats", "Melts you expect of it", "", "Your own guess, to share its cost among melts."),
	}
}

func choices(list []kit.Choice) []Option {
	all := make([]Option, len(list))
	for i, c := range list {
		all[i] = Option{Value: c.Value, Label: c.Name}
	}
	return all
}
