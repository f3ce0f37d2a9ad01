package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
	"drosswise/store"
	"drosswise/views"
)

func oldMatchPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page, err := a.oldMatch(r, v, nil)
	if err != nil {
		return err
	}
	return a.showOldMatch(w, r, v, http.StatusOK, page)
}

func (a *app) showOldMatch(w http.ResponseWriter, r *http.Request, v visit, status int, page views.OldMatch) error {
	return a.show(w, r, status, page.Page(a.frame(r, v, "Old notes: "+page.File.File, "melts")))
}

// matchOldNotes keeps how the columns were matched and, if that was asked,
// brings the rows in.
func matchOldNotes(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	page, err := a.oldMatch(r, v, f)
	if err != nil {
		return err
	}
	delimiter := ""
	if page.Delimiter != 0 {
		delimiter = page.Delimiter.String()
	}
	if err := a.store.MatchUpload(r.Context(), v.person.ID, page.File.Key, delimiter, &page.Match); err != nil {
		return err
	}
	if f.values.Get("do") != "take" || page.Recut {
		return seeOther(w, r, oldNotesPath+"/"+page.File.Key)
	}
	return a.bringIn(w, r, v, f, page)
}

// bringIn writes the rows that can be melts.
func (a *app) bringIn(w http.ResponseWriter, r *http.Request, v visit, f *form, page views.OldMatch) error {
	key, err := f.key()
	if err != nil {
		return err
	}
	var i store.Import
	if len(page.Wrong) == 0 {
		if i, err = a.takeIn(r.Context(), v, key, &page, f.on("sure")); err != nil {
			return err
		}
	}
	switch {
	case len(page.Wrong) > 0 || page.Refused != "":
		return a.showOldMatch(w, r, v, http.StatusUnprocessableEntity, page)
	case i.ID == 0:
		a.flash(r, "Every row that can be a melt is in the book already, so nothing was changed.")
		return seeOther(w, r, oldNotesPath+"/"+page.File.Key)
	}
	a.flash(r, fmt.Sprintf("%d old melts are in the book.", i.Melts))
	return seeOther(w, r, fmt.Sprintf("%s/imports/%d", oldNotesPath, i.ID))
}

// takeIn writes the rows of a match that can be melts, all of them or none. Why
// nothing was written is said in page.Refused.
func (a *app) takeIn(ctx context.Context, v visit, key string, page *views.OldMatch, sure bool) (i store.Import, err error) {
	var ready []notebook.Draft
	for _, d := range page.Drafts {
		if len(d.Faults) > 0 {
			continue
		}
		ready = append(ready, d)
		page.Unsure = page.Unsure || len(d.Doubts) > 0 && page.In[d.Key] == "" && !sure
	}
	switch {
	case page.Unsure:
		page.Refused = "Nothing is brought in yet. Some rows are doubted: look at them, then say that they are right, or mend them."
		return i, nil
	case len(ready) == 0:
		page.Refused = "Nothing is brought in: no row can be a melt yet. See what is said of each."
		return i, nil
	}
	i, err = a.store.Import(ctx, v.person.ID, store.OldNotes{Key: key, File: page.File.File, Columns: page.Table.Columns, Match: page.Match, Drafts: ready})
	var row *store.RefusedRow
	if errors.As(err, &row) {
		page.Refused, err = refusedRow(row, v.style)
	}
	return i, err
}

// refusedRow says why a row was refused when it was written: something has
// changed since it was looked at. Another failure stays one.
func refusedRow(row *store.RefusedRow, s quantity.Style) (sentence string, err error) {
	var why melt.Refusals
	say := "Something it names is not there any more. Choose again."
	switch {
	case errors.As(row, &why):
		say = why[0].Say(s)
	case !errors.Is(row, store.ErrNotFound):
		return "", row
	}
	return fmt.Sprintf("Nothing is brought in. Line %d of the file: %s", row.Row, say), nil
}

// oldMatch reads a file that waits and makes drafts of its rows, matched as the
// form says, else as it was matched before, else as it looks.
func (a *app) oldMatch(r *http.Request, v visit, f *form) (page views.OldMatch, err error) {
	ctx := r.Context()
	u, err := a.store.Upload(ctx, chi.URLParam(r, "key"))
	if err != nil {
		return page, err
	}
	if u.Melt != 0 {
		return page, store.ErrNotFound
	}
	people, err := a.store.Names(ctx)
	if err != nil {
		return page, err
	}
	page.File, page.FormKey, page.Delimiter = oldFile(u, people), newKey(), delimiterNamed(u.Delimiter)
	if f != nil {
		page.Delimiter = delimiterNamed(f.values.Get("delimiter"))
	}
	if page.Table, err = table.Read(u.Body, page.Delimiter, oldLimits); err != nil && page.Delimiter != 0 {
		page.Delimiter = 0 // what was chosen makes no table of it
		page.Table, err = table.Read(u.Body, 0, oldLimits)
	}
	if err != nil {
		return page, err
	}
	items, err := a.store.Kit(ctx)
	if err != nil {
		return page, err
	}
	remembered, err := u.Match()
	if err != nil {
		return page, err
	}
	if remembered == nil {
		if remembered, err = a.store.RememberedMatch(ctx, page.Table.Columns); err != nil {
			return page, err
		}
		page.Remembered = remembered != nil
	}
	switch {
	case f != nil && page.Delimiter == delimiterNamed(u.Delimiter):
		page.Match = f.oldMatch(page.Table)
	case f != nil: // other columns than those of the form
		page.Recut = true
		page.Match = f.oldMatch(page.Table)
		page.Match.Columns = notebook.Guess(page.Table, v.style).Columns
	case remembered != nil && fitsTable(*remembered, page.Table):
		page.Match = remembered.For(page.Table)
	default:
		page.Match, page.Remembered = notebook.Guess(page.Table, v.style), false
		if page.Match.Furnace, page.Match.Scale, err = a.likely(ctx, items); err != nil {
			return page, err
		}
	}
	err = a.draft(ctx, v, &page)
	return page, err
}

// draft makes drafts of a table's rows by its match.
func (a *app) draft(ctx context.Context, v visit, page *views.OldMatch) error {
	items, err := a.store.Kit(ctx)
	if err != nil {
		return err
	}
	page.Kit = byID(items)
	page.Wrong = page.Match.Check(page.Table)
	page.Why = notebook.Because(page.Table, page.Match, v.style)
	page.Drafts = notebook.Drafts(page.Table, page.Match, oldShop(page.Kit, v))
	page.In, err = a.store.RowsIn(ctx, page.Drafts)
	return err
}

// fitsTable reports whether a match is of these columns, as it is not when the
// delimiter was changed since.
func fitsTable(m notebook.Match, t table.Table) bool {
	for _, c := range t.Columns {
		if _, ok := m.Columns[c]; !ok {
			return false
		}
	}
	return true
}

// oldShop is what rows of old notes are held against.
func oldShop(items map[int64]kit.Item, v visit) notebook.Shop {
	shop := notebook.Shop{Style: v.style, Now: v.now, Scales: map[int64]melt.Scale{}}
	for _, it := range (views.Names{Kit: items}).SortedKit() {
		named := notebook.Named{ID: it.ID, Name: it.Name, Letter: it.Letter}
		switch it.Kind {
		case kit.Furnace:
			shop.Furnaces = append(shop.Furnaces, named)
		case kit.Crucible:
			shop.Crucibles = append(shop.Crucibles, named)
		case kit.Element:
			shop.Elements = append(shop.Elements, named)
		case kit.Probe:
			shop.Probes = append(shop.Probes, named)
		case kit.Scale:
			shop.Scales[it.ID] = melt.Scale{Name: it.Name, Resolution: it.Resolution, Capacity: it.Capacity, Gain: it.Gain}
		}
	}
	return shop
}

// likely is the kit that old notes are of, to begin with: the furnace of the
// last melt, or the only one, and the only scale; 0 for none.
func (a *app) likely(ctx context.Context, items []kit.Item) (furnace, scale int64, err error) {
	last, err := a.store.LastHeading(ctx)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return 0, 0, err
	}
	if furnace = last.Furnace; furnace == 0 {
		furnace = single(items, kit.Furnace)
	}
	return furnace, single(items, kit.Scale), nil
}

// single is the shop's one piece of a kind, 0 where there are more or none.
func single(items []kit.Item, k kit.Kind) (id int64) {
	for _, it := range items {
		switch {
		case it.Kind != k:
		case id != 0:
			return 0
		default:
			id = it.ID
		}
	}
	return id
}

// oldMatch reads how a table was matched in the form. What the form does not
// know is left out.
func (f *form) oldMatch(t table.Table) notebook.Match {
	m := notebook.Match{Columns: map[string]notebook.Field{}, Fahrenheit: f.values.Get("degrees") == "F",
		Furnace: f.id("furnace"), Crucible: f.id("crucible"), Element: f.id("element"), Probe: f.id("probe"), Scale: f.id("scale")}
	for i, c := range t.Columns {
		spec, _ := notebook.SpecOf(notebook.Field(f.values.Get(views.OldColumn(i))))
		m.Columns[c] = spec.Field
	}
	m.Order, m.Mark = f.howWritten()
	switch f.values.Get("mass") {
	case "g":
		m.Mass = quantity.Grams
	case "lb":
		m.Mass = quantity.Pounds
	}
	return m
}

// howWritten reads which order of dates and which decimal mark were chosen in the
// form, "" where they are to be found out.
func (f *form) howWritten() (order table.Order, mark table.Mark) {
	switch f.values.Get("order") {
	case string(table.DayFirst):
		order = table.DayFirst
	case string(table.MonthFirst):
		order = table.MonthFirst
	case string(table.Serial):
		order = table.Serial
	}
	switch f.values.Get("mark") {
	case "point":
		mark = table.Point
	case "comma":
		mark = table.CommaMark
	}
	return order, mark
}

func delimiterNamed(name string) table.Delimiter {
	for _, d := range []table.Delimiter{table.Comma, table.Semicolon, table.Tab} {
		if d.String() == name {
			return d
		}
	}
	return 0
}
