package views

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

// Label is what is stuck on a thing: words that tell of it without a phone, and
// a code that opens its page.
type Label struct {
	Name    string   // large: a melt's code, the name of kit or scrap
	Lines   []string // the most telling first; what does not fit is cut off
	Path    string   // of its page
	Address string   // the whole address, as the code says it
	Code    string   // path of an SVG drawing, in a square of Side units
	Side    int
}

func (l Label) box() string { return fmt.Sprintf("0 0 %d %[1]d", l.Side) }

// typed is the address as a person types it: browsers take http for granted.
func (l Label) typed() string { return strings.TrimPrefix(l.Address, "http://") }

// MeltLabel is for the ingots of a closed melt.
func MeltLabel(h melt.Heading, lines []melt.Line, sh sheet.Sheet, n Names, s quantity.Style) Label {
	metal := "not weighed"
	if sh.Ingots.Known() {
		metal = s.Mass(kilograms(sh.Ingots.X))
	}
	if n := sh.PouredCount; n > 0 && h.Target == melt.Ingots {
		metal = plural(n, "ingot", "ingots") + ", " + metal
	} else if n > 0 {
		metal = plural(n, "piece", "pieces") + ", " + metal
	}
	return Label{Name: string(h.Code), Lines: []string{metal, AlloysCharged(lines, n), s.Date(h.At) + " · " + n.kit(h.Furnace)}, Path: "/melts/" + string(h.Code)}
}

// AlloysCharged says of which alloys the charge was logged to be, the most of
// it first. Nobody analysed the melt: it is what was written of the scrap.
func AlloysCharged(lines []melt.Line, n Names) string {
	of := map[string]quantity.Mass{}
	var unknown, guessed bool
	for _, l := range melt.Standing(lines) {
		src := n.Sources[l.Source]
		switch {
		case l.Kind != melt.Charge:
		case l.Pour != 0:
			of["ingots of "+string(n.Pours[l.Pour])] += l.Mass()
		case src.Alloy == "":
			unknown = true
		default:
			of[src.Alloy] += l.Mass()
			guessed = guessed || src.Sure != "sure"
		}
	}
	names := slices.SortedFunc(maps.Keys(of), func(a, b string) int { return cmp.Or(cmp.Compare(of[b], of[a]), strings.Compare(a, b)) })
	if len(names) == 0 {
		return "Alloy not known"
	}
	if unknown {
		names = append(names, "scrap not known")
	}
	if guessed {
		return "From " + listed(names) + ", as logged, in part a guess"
	}
	return "From " + listed(names) + ", as logged"
}

// KitLabel is for a crucible or an element set; other kit has its name and kind.
func KitLabel(it kit.Item, s quantity.Style) Label {
	made, fresh := strings.ToLower(kit.NameOf(kit.Materials, string(it.Material))), shown(it.Mass, s.Mass)
	if it.Kind == kit.Element {
		made, fresh = it.Wire, shown(it.Ohms, s.Resistance)
	}
	lines := []string{strings.Join(nonEmpty(it.Kind.Name(), made), ", ")}
	if fresh != "" {
		lines = append(lines, "New: "+fresh)
	}
	return Label{Name: it.Name, Lines: append(lines, "In the book since "+s.Date(it.Created)), Path: kitHref(it.ID)}
}

// SourceLabel is for the bin of a kind of scrap.
func SourceLabel(p scrap.Source, s quantity.Style) Label {
	l := Label{Name: p.Name, Path: sourceHref(p.ID)}
	if words := p.Hazards.Words(); len(words) > 0 {
		l.Lines = append(l.Lines, "Look out: "+strings.Join(words, ", "))
	}
	l.Lines = append(l.Lines, formOf(p), alloyLogged(p), "In the book since "+s.Date(p.Created))
	return l
}

// LotLabel is for a delivery of scrap.
func LotLabel(lot scrap.Lot, p scrap.Source, s quantity.Style) Label {
	l := SourceLabel(p, s)
	l.Lines = slices.DeleteFunc(l.Lines, func(line string) bool { return strings.HasPrefix(line, "In the book") })
	came := "Came " + s.Date(lot.At)
	if m := cmp.Or(lot.AsCharged, lot.AsFound); m != nil {
		came += ", " + s.Mass(*m)
		if lot.AsCharged == nil {
			came += " as found"
		} else {
			came += " sorted and dry"
		}
	}
	l.Lines = append([]string{came}, l.Lines...)
	l.Path += fmt.Sprintf("#lot-%d", lot.ID)
	return l
}

// alloyLogged is the alloy that was written of scrap, and how sure.
func alloyLogged(p scrap.Source) string {
	if p.Alloy == "" {
		return "Alloy not known"
	}
	if p.Sure == "" {
		return "Alloy " + p.Alloy
	}
	return "Alloy " + p.Alloy + ", " + strings.ToLower(p.Sure.Name())
}

// Labels is the page on which labels are chosen, looked at and printed.
type Labels struct {
	Typed
	Groups []LabelGroup
	Stocks []Option
	Stock  string     // how the paper is called in the style sheet
	Sheets [][]*Label // in the order of printing; nil is a place that is used up
	Away   []string   // says of what no label can be made, and why
	Near   bool       // the address on the labels is known to this machine alone
}

// LabelGroup are things of a kind that labels can be for.
type LabelGroup struct {
	Title   string
	Options []Option
}

func (p Labels) labels() int {
	n := 0
	for _, sheet := range p.Sheets {
		for _, l := range sheet {
			if l != nil {
				n++
			}
		}
	}
	return n
}

func (p Labels) title() string {
	if n := p.labels(); n > 0 {
		return plural(n, "label", "labels") + " to print"
	}
	return "Labels"
}

// says tells how to print.
func (p Labels) says() string {
	text := "Print from the browser's menu at 100 %, with no margins and not fitted to the page. Try plain paper first and hold it against the labels."
	if p.Stock == "one" {
		text = "Print from the browser's menu, cut out along the dashes and tape it on."
	}
	if n := len(p.Sheets); n > 1 && p.Stock != "one" && p.Stock != "roll" {
		text = plural(n, "sheet", "sheets") + ". " + text
	}
	if n := p.used(); n > 0 {
		text += " The first " + plural(n, "place stays", "places stay") + " empty."
	}
	return text
}

func (p Labels) used() int {
	n := 0
	for _, l := range p.Sheets[0] {
		if l == nil {
			n++
		}
	}
	return n
}

func (p Labels) fields() []Input {
	optional := func(show func(Field) Input, f Field) Input { f.Required = false; return show(f) }
	text := func(f Field) Input { return Input{TextField, f} }
	number := func(f Field) Input { return Input{ShortNumber, f} }
	return []Input{
		optional(text, p.field("codes", "Codes of other closed melts", "Such as A26-041, A26-039.")),
		optional(func(f Field) Input { f.Options = p.Stocks; return Input{Select, f} }, p.field("stock", "Paper", "")),
		optional(number, p.field("start", "First free label of the first sheet", "1 on a whole sheet. Count along the rows, from the left.")),
		optional(number, p.field("copies", "How many of each", "One for each ingot, or one for the crate.")),
		optional(text, p.field("at", "Address on the labels", "Under which phones open this shop. It is in the code, so a label holds as long as the address does.")),
	}
}

func (g LabelGroup) fields() []Field {
	all := make([]Field, len(g.Options))
	for i, o := range g.Options {
		all[i] = Field{Name: "of", ID: "of-" + o.Value, Label: o.Label, Hint: o.Hint, Value: o.Value, Checked: o.Selected}
	}
	return all
}

func (g LabelGroup) chosen() int {
	n := 0
	for _, o := range g.Options {
		if o.Selected {
			n++
		}
	}
	return n
}

func (g LabelGroup) summary() string {
	if n := g.chosen(); n > 0 {
		return g.Title + ", " + strconv.Itoa(n) + " ticked"
	}
	return g.Title
}

// printLabel leads to the label of one thing.
func printLabel(of string) Link {
	return Link{Text: "Print a label", Href: "/labels?stock=one&of=" + of}
}

func (p Labels) any() bool {
	return slices.ContainsFunc(p.Groups, func(g LabelGroup) bool { return len(g.Options) > 0 })
}
