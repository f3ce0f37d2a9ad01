package views

import (
	"fmt"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Photo is a photo as pages show it: small, and leading to the whole of it.
type Photo struct {
	ID                      int64
	Of                      string // what it is of, such as "the skim of A26-041"
	At                      quantity.Moment
	By                      string
	Note                    string
	Width, Height           int // of the whole, in pixels
	ThumbWidth, ThumbHeight int
	Heats                   *int      // of the piece of kit when it was taken, nil where they are not counted
	Melt                    melt.Code // that it is of, among photos of a piece of kit; "" for its own lines
	Struck                  *Struck
}

func (p Photo) path(more string) string { return fmt.Sprintf("/photos/%d%s", p.ID, more) }

// alt says in words what the photo is.
func (p Photo) alt(s quantity.Style) string {
	text := "Photo of " + p.Of + ", " + s.Date(p.At)
	if p.Note != "" {
		text += ": " + p.Note
	}
	return text
}

// under is what stands below a photo: its day, and the heats by then, or which
// of the heats it is of.
func (p Photo) under(s quantity.Style) string {
	switch {
	case p.Heats == nil:
		return s.Date(p.At)
	case p.Melt != "":
		return fmt.Sprintf("%s · heat %d", s.Date(p.At), *p.Heats)
	}
	return s.Date(p.At) + " · " + plural(*p.Heats, "heat", "heats")
}

// Standing are those of the photos that are not struck.
func Standing(photos []Photo) []Photo {
	var all []Photo
	for _, p := range photos {
		if p.Struck == nil {
			all = append(all, p)
		}
	}
	return all
}

// PhotoPage is the photos of one line, with the form for another.
type PhotoPage struct {
	Back    Link
	Over    string  // where the line belongs: "Melt A26-041"
	Title   string  // what the line says
	Photos  []Photo // struck ones too
	Action  string  // address of this page, where the form is posted to
	Key     string
	Note    string // as typed
	Fault   string // what is wrong with the photo that was sent
	NoteBad string
	May     bool
	NewKeys func() string // a key for each button that writes something
}

// facts of a photo.
func (p PhotoPage) facts(ph Photo, s quantity.Style) []Fact {
	facts := []Fact{{Term: "Taken", Value: s.DateTime(ph.At), Note: "by " + ph.By}}
	if k := ph.Struck; k != nil {
		facts = append(facts, Fact{Term: "Struck", Value: k.When, Note: Struck{Reason: k.Reason, Who: k.Who}.sentence()})
	}
	return facts
}

func (p PhotoPage) fields() []Field {
	return []Field{
		{Name: "photo", Label: "Photo", Required: true, Error: p.Fault, Hint: "JPEG or PNG, up to 12 MB. Where it was taken is not kept."},
		{Name: "note", Label: "What is to be seen", Value: p.Note, Error: p.NoteBad},
	}
}

// mark is the button that strikes a photo or puts it back, and comes back here.
func (p PhotoPage) mark(ph Photo) Action {
	a := strikeOrLift(ph.path(""), ph.Struck != nil, p.NewKeys)
	a.Fields = []Hidden{{"to", p.Action}}
	return a
}

// photoTap leads to the photos of a line, to take one.
func photoTap(line string) Action { return Action{Label: "Photo", Href: line + "/photos"} }

// lineSubjects is what a photo of a melt's line is of, by kind.
var lineSubjects = map[melt.Kind]string{
	melt.HeelIn: "the heel found", melt.Pour: "the pour", melt.Skim: "the skim", melt.Spill: "the spill", melt.Reject: "the rejects",
	melt.HeelOut: "the heel left", melt.Steel: "the steel found", melt.Addition: "an addition", melt.Checked: "the points read",
	melt.Stamp: "a marked time", melt.Note: "a note", melt.AllMolten: "the molten charge", melt.FirstLiquid: "the first liquid",
}

// photographed are the kinds of line whose row in a melt's ledger has a button
// for a photo: there is something to see. The others have it on their own page.
var photographed = map[melt.Kind]bool{
	melt.Charge: true, melt.Skim: true, melt.Pour: true, melt.Spill: true, melt.Reject: true,
	melt.HeelIn: true, melt.HeelOut: true, melt.Steel: true, melt.Stamp: true, melt.Note: true,
}

// PhotoOfLine says what a photo of a line of a melt is of.
func PhotoOfLine(l melt.Line, code melt.Code, n Names) string {
	what := lineSubjects[l.Kind]
	switch {
	case l.Kind == melt.Charge:
		what = "the charge of " + n.charged(l)
	case what == "":
		spec, _ := melt.SpecOf(l.Kind)
		what = "a line (" + strings.ToLower(spec.Done) + ")"
	}
	return what + " of " + string(code)
}

// PhotoOfKit says what a photo of a line about a piece of kit is of.
func PhotoOfKit(it kit.Item, l kit.Line) string {
	spec, _ := kit.SpecOf(l.Kind)
	return it.Name + ", " + strings.ToLower(spec.Done)
}
