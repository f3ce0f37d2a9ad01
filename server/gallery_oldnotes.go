package main

import (
	"fmt"
	"strings"

	"github.com/a-h/templ"

	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
	"drosswise/views"
)

const galleryOldHead = "No;Date;Scrap;Charged kg;Ingots kg;Dross g;Energy kWh;Note\n"

// galleryOldMatch is a file as the page matches it, whose first row is in the
// book already.
func galleryOldMatch(name, body string) views.OldMatch {
	t, err := table.Read([]byte(body), 0, oldLimits)
	if err != nil {
		panic(err) // made up above, and a test opens every scene
	}
	v := visit{now: galleryNow}
	p := views.OldMatch{File: views.OldFile{Key: "gallery", File: name, At: galleryNow, Who: "Workshop"}, FormKey: "gallery-old", Table: t, Kit: galleryKit()}
	p.Match = notebook.Guess(t, v.style)
	p.Match.Furnace, p.Match.Scale = 1, 4
	p.Wrong, p.Why = p.Match.Check(t), notebook.Because(t, p.Match, v.style)
	p.Drafts = notebook.Drafts(t, p.Match, oldShop(p.Kit, v))
	p.In = map[string]melt.Code{p.Drafts[0].Key: "A24-001"}
	return p
}

// oldNotesScenes are the pages through which a spreadsheet comes in.
func oldNotesScenes() []scene {
	struck := &views.Struck{Reason: "The masses were in pounds", Who: "Workshop", When: "20 Nov 2026, 18:02"}
	many := views.OldNotes{Ready: true,
		Waiting: []views.OldFile{{Key: "gallery", File: "Melts 2019 to 2024.csv", At: galleryNow, Who: "Workshop"}, {Key: "gallery", File: galleryLongName + ".csv", At: galleryNow, Who: galleryLongName}},
		Imports: []views.OldImport{{ID: 2, File: "Blue notebook.csv", At: galleryNow, Who: "Workshop", Melts: 148}, {ID: 1, File: "Blue notebook.csv", At: galleryNow, Who: "Workshop", Melts: 148, Struck: struck}}}
	refused := views.OldNotes{Ready: true, Fault: "Line 14 of the file: a quotation mark opens here and nothing closes it. Close it or take it out, and send the file again."}

	plain := galleryOldMatch("Blue notebook.csv", galleryOldHead+"1;2024-03-01;Rims;5.25;4.9;310;9.1;dry\n2;2024-03-14;Cans;3;2.4;;;\n3;2024-03-21;Rims;;4.2;;8.4;scale had no battery\n4;2024-03-28;;4.1;3.8;;;\n")
	faulty := galleryOldMatch("Blue notebook.csv", galleryOldHead+"1;2024-03-01;Rims;5.25;4.9;310;9.1;dry\n2;31.2.2024;Cans;3;2.4;;;\n3;2024-03-21;Rims;5;51;;8.4;\n4;2024-03-28;Rims;about 4;3.8;;;\nTotal;;;17.2;;;;\n")
	faulty.Unsure, faulty.Refused = true, "Nothing is brought in yet. Some rows are doubted: look at them below, then say under the columns that they are right, or mend them."
	unmatched := galleryOldMatch("loose sheet.csv", "Wann,Was,Rein,Raus\nMontag,Rims,5,4\nDienstag,Cans,5,4\n")
	unmatched.Match.Columns["Rein"], unmatched.Match.Columns["Raus"] = notebook.Charged, notebook.Charged
	unmatched.Wrong = unmatched.Match.Check(unmatched.Table)
	var b strings.Builder
	b.WriteString(strings.Replace(galleryOldHead, "Note", galleryLongName, 1))
	for i := range 300 {
		fmt.Fprintf(&b, "%d;%d/%d/2024;%s;5.%d;4.%d;about %d;9;%s\n", i, 1+i%12, 1+i%12, long, i%10, i%7, i, strings.Repeat("Wet and cold in the yard. ", 8))
	}
	endless := galleryOldMatch(galleryLongName+".csv", b.String())
	endless.Remembered = true

	brought := views.OldImported{OldImport: many.Imports[0]}
	for i := range 148 {
		brought.Melts = append(brought.Melts, views.ImportedMelt{Row: i + 2, Code: fmt.Sprintf("A24-%03d", i+1), At: galleryNow - quantity.Moment(i)*quantity.Moment(48*quantity.Hour), Void: i == 3})
	}
	back := views.OldImported{OldImport: many.Imports[1], Melts: []views.ImportedMelt{{Row: 2, Code: "A24-001", At: galleryNow, Void: true}}}
	why := brought
	why.Typed = views.Typed{Faults: map[string]string{"reason": "Write a few words on why, so that the record stays honest."}}

	page := func(path, shows string, p interface {
		Page(views.Frame) templ.Component
	}) scene {
		return scene{"old/" + path, shows, func(f views.Frame) templ.Component { return p.Page(f) }}
	}
	return []scene{
		page("unready", "Bring in old notes, no furnace yet", views.OldNotes{}),
		page("empty", "Bring in old notes, nothing yet", views.OldNotes{Ready: true}),
		page("many", "Bring in old notes, files and imports", many),
		page("refused", "Bring in old notes, a file refused", refused),
		page("matched", "Match old notes", plain),
		page("faults", "Match old notes, with faults", faulty),
		page("unmatched", "Match old notes, nothing fits", unmatched),
		page("long", "Match old notes, very long", endless),
		page("brought-in", "Old notes brought in", brought),
		page("brought-in-refused", "Old notes, strike without a reason", why),
		page("struck", "Old notes, struck", back),
	}
}
