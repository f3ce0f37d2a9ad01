package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/server/api"
	"drosswise/server/copies"
	"drosswise/store"
	"drosswise/views"
)

// noCopies says to -copies that none are made.
const noCopies = "none"

// copiesIn is the folder that -copies names, beside the data unless it says
// otherwise; nil for none.
func (s settings) copiesIn() (dir string, ok bool) {
	switch s.copies {
	case noCopies:
		return "", false
	case "":
		return filepath.Join(s.data, "copies"), true
	}
	return s.copies, true
}

// keepCopies makes copies beside the pages, until it is stopped.
func (a *app) keepCopies(ctx context.Context) (stop func()) {
	dir, ok := a.settings.copiesIn()
	if !ok {
		return func() {}
	}
	a.copies = copies.In(dir, a.settings.data, a.log)
	ctx, cancel := context.WithCancel(ctx)
	ran := make(chan struct{})
	go func() {
		defer close(ran)
		a.copies.Run(ctx, a.shopZone)
	}()
	return func() {
		cancel()
		<-ran
	}
}

// shopZone is the time zone of the shop's days.
func (a *app) shopZone(ctx context.Context) (*time.Location, error) {
	p, err := a.store.Shop(ctx)
	if err != nil {
		return nil, err
	}
	return p.Style().Zone, nil
}

// shopCopies are the copies as pages show them.
func (a *app) shopCopies() views.Copies {
	if a.copies == nil {
		return views.Copies{Off: true}
	}
	c := views.Copies{Dir: a.copies.Dir()}
	if f := a.copies.Failed(); f != nil {
		c.Failure, c.FailedAt = f.Why, quantity.At(f.At)
	}
	all, err := a.copies.List()
	if err != nil {
		c.Failure, c.FailedAt = copies.Why(err), a.store.Now()
		a.log.Warn("copies not listed", "err", err)
	}
	for _, one := range all {
		c.List = append(c.List, views.ShopCopy{Name: one.Name, At: quantity.At(one.At), Bytes: one.Bytes, Short: one.Short, Ahead: one.Ahead(a.store.Now().Time())})
	}
	return c
}

func copiesPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.show(w, r, http.StatusOK, a.shopCopies().Page(a.frame(r, v, "Copies of the shop", "shop")))
}

// makeCopy makes a copy now. A large shop takes longer than a page may.
func makeCopy(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if a.copies == nil {
		return store.ErrNotFound
	}
	ctx := context.WithoutCancel(r.Context()) // a phone that loses the network does not undo it
	if err := longAnswer(w); err != nil {
		return err
	}
	if err := a.copies.Make(ctx, time.Now(), v.style.Zone); err != nil {
		a.log.Error("no copy was made", "err", err)
	} else {
		a.flash(r, "A copy is made, read back and found whole.")
	}
	return seeOther(w, r, "/shop/copies")
}

func listCopies(a *app, ctx context.Context, v visit, _ *struct{}) (api.Copies, error) {
	shown := a.shopCopies()
	if shown.Off {
		return api.Copies{}, store.ErrNotFound
	}
	told := api.Copies{Copies: []api.Copy{}, Failure: shown.Failure}
	if shown.Failure != "" {
		told.FailedAt = new(shown.FailedAt.Time())
	}
	for _, c := range shown.List {
		told.Copies = append(told.Copies, api.Copy{Name: c.Name, At: c.At.Time(), Bytes: c.Bytes, Good: !c.Short && !c.Ahead})
	}
	return told, nil
}

// makeCopyNow makes a copy and tells of all; that none was made is told as the
// failure.
func makeCopyNow(a *app, ctx context.Context, v visit, in *struct{}) (api.Copies, error) {
	if a.copies == nil {
		return api.Copies{}, store.ErrNotFound
	}
	if err := a.copies.Make(context.WithoutCancel(ctx), time.Now(), v.style.Zone); err != nil {
		a.log.Error("no copy was made", "err", err)
	}
	return listCopies(a, ctx, v, in)
}

func copyFile(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if a.copies == nil {
		return store.ErrNotFound
	}
	all, err := a.copies.List()
	if err != nil {
		return err
	}
	name := chi.URLParam(r, "name")
	if !slices.ContainsFunc(all, func(c copies.Copy) bool { return c.Name == name }) {
		return fmt.Errorf("copy %q: %w", name, store.ErrNotFound)
	}
	file, err := os.Open(filepath.Join(a.copies.Dir(), name))
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	if err := longAnswer(w); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/vnd.sqlite3")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	http.ServeContent(w, r, "", info.ModTime(), file)
	return nil
}

// exportZip sends the shop as a folder of CSV. What fails on the way ends the
// answer, so that no half of it is taken for the whole.
func exportZip(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := longAnswer(w); err != nil {
		return err
	}
	// A large shop takes longer than a page may.
	ctx, done := context.WithTimeout(context.WithoutCancel(r.Context()), patientTime)
	defer done()
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="drosswise-`+time.Now().UTC().Format("20060102")+`.zip"`)
	if err := a.store.ExportShop(ctx, w); err != nil {
		a.log.Error("export not sent", "err", err)
		panic(http.ErrAbortHandler)
	}
	return nil
}

// patientTime is how long a large file may take to a phone at the edge of the Wi-Fi.
const patientTime = 30 * time.Minute

func longAnswer(w http.ResponseWriter) error {
	err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(patientTime))
	if errors.Is(err, http.ErrNotSupported) {
		return nil
	}
	return err
}
