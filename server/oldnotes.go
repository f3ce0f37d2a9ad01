package main

import (
	"errors"
	"fmt"
	"net/http"
	"path"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/table"
	"drosswise/store"
	"drosswise/views"
)

const (
	oldNotesPath = "/melts/old"
	oldReason    = "Write a few words on why, so that the record stays honest."
)

// oldLimits is what a file of old notes may hold.
var oldLimits = table.Limits{Bytes: 4 << 20, Rows: 5000, Columns: 60, Cell: 4000}

func oldNotesPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showOldNotes(w, r, v, http.StatusOK, "")
}

func (a *app) showOldNotes(w http.ResponseWriter, r *http.Request, v visit, status int, fault string) error {
	ctx := r.Context()
	page := views.OldNotes{Fault: fault}
	items, err := a.store.Kit(ctx)
	if err != nil {
		return err
	}
	for _, it := range items {
		page.Ready = page.Ready || it.Kind == kit.Furnace
	}
	people, err := a.store.Names(ctx)
	if err != nil {
		return err
	}
	waiting, err := a.store.Uploads(ctx, 0)
	if err != nil {
		return err
	}
	for _, u := range waiting {
		page.Waiting = append(page.Waiting, oldFile(u, people))
	}
	imports, err := a.store.Imports(ctx)
	if err != nil {
		return err
	}
	for _, i := range imports {
		page.Imports = append(page.Imports, oldImport(i, people, v.style))
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Bring in old notes", "melts")))
}

func oldFile(u store.Upload, people map[int64]string) views.OldFile {
	return views.OldFile{Key: u.Key, File: u.File, At: u.At, Who: people[u.By]}
}

func oldImport(i store.Import, people map[int64]string, s quantity.Style) views.OldImport {
	return views.OldImport{ID: i.ID, File: i.File, At: i.At, Who: people[i.By], Melts: i.Melts, Struck: struckShown(i.Struck, people, s)}
}

func struckShown(k *scrap.Strike, people map[int64]string, s quantity.Style) *views.Struck {
	if k == nil {
		return nil
	}
	return &views.Struck{Reason: k.Reason, Who: people[k.By], When: s.DateTime(k.At)}
}

// sendOldNotes takes in a file that can be read as a table; it is matched on a
// page of its own.
func sendOldNotes(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, file, err := a.readFile(w, r, v, "file")
	if err != nil {
		return err
	}
	if file.name == "" && len(file.body) == 0 {
		f.fault("file", "Choose the file first.")
	} else if _, err := table.Read(file.body, 0, oldLimits); err != nil {
		f.fault("file", sentenceOfTable(err))
	}
	if !f.ok() {
		return a.showOldNotes(w, r, v, http.StatusUnprocessableEntity, f.faults["file"])
	}
	key, err := a.store.AddUpload(r.Context(), v.person.ID, 0, fileName(file.name), file.body)
	if err != nil {
		return err
	}
	return seeOther(w, r, oldNotesPath+"/"+key)
}

func sentenceOfTable(err error) string {
	var refused *table.Refusal
	if errors.As(err, &refused) {
		return refused.Sentence
	}
	return "The file cannot be read. Save it as CSV and send that."
}

// fileName is what a browser calls a file, without folders and in a length that
// fits a page.
func fileName(sent string) string {
	f := form{values: map[string][]string{"name": {path.Base(strings.ReplaceAll(sent, `\`, "/"))}}}
	name := []rune(strings.ReplaceAll(f.text("name"), "\n", " "))
	if len(name) == 0 || string(name) == "." || string(name) == "/" {
		return "Without a name"
	}
	return string(name[:min(len(name), 120)])
}

func oldImportPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showOldImport(w, r, v, http.StatusOK, nil)
}

func (a *app) showOldImport(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	ctx := r.Context()
	i, melts, err := a.store.ImportOf(ctx, pathID(chi.URLParam(r, "id")))
	if err != nil {
		return err
	}
	people, err := a.store.Names(ctx)
	if err != nil {
		return err
	}
	page := views.OldImported{OldImport: oldImport(i, people, v.style), Melts: importedMelts(melts)}
	if f != nil {
		page.Typed = views.Typed{Values: f.values, Faults: f.faults}
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Old notes: "+i.File, "melts")))
}

func importedMelts(all []store.ImportedMelt) []views.ImportedMelt {
	shown := make([]views.ImportedMelt, len(all))
	for i, m := range all {
		shown[i] = views.ImportedMelt{Row: m.Row, Code: string(m.Code), At: m.At, Void: m.State == melt.Voided}
	}
	return shown
}

// strikeOldImport makes all melts of an import void.
func strikeOldImport(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	id := pathID(chi.URLParam(r, "id"))
	reason := f.note("reason")
	if reason == "" {
		f.fault("reason", oldReason)
	}
	if !f.ok() {
		return a.showOldImport(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if err := a.store.StrikeImport(r.Context(), v.person.ID, id, reason); err != nil {
		return err
	}
	a.flash(r, "Struck. Its melts are void, and the rows can come in again.")
	return seeOther(w, r, fmt.Sprintf("%s/imports/%d", oldNotesPath, id))
}
