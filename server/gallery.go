package main

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"time"

	"github.com/a-h/templ"

	"drosswise/foundry/quantity"
	"drosswise/static"
	"drosswise/views"
)

// scene is a page or a part with made-up data, at an address of its own.
type scene struct {
	path  string // such as "melt/running"
	shows string
	page  func(f views.Frame) templ.Component
}

// galleryNow is when the gallery is: it never changes, and so neither do the
// pictures taken of it.
var galleryNow = quantity.At(time.Date(2026, 11, 21, 14, 46, 0, 0, time.UTC))

// gallery serves every page with made-up data. It has no store, so nothing of
// a real shop can be reached through it, nor it through a real shop.
func gallery(ctx context.Context, c console, args []string) error {
	fs := c.flags("gallery", "serve every page and part with made-up data, for work on the look.\nAdd ?theme=dark, light or glare to an address, and ?comma=1, ?lb=1, ?left=1 or ?keyboard=1.")
	addr := fs.String("addr", c.or("DROSSWISE_ADDR", "127.0.0.1:8373"), "address to listen on")
	if err := parse(fs, args); err != nil {
		return err
	}
	ln, err := net.Listen("tcp", *addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", *addr, err)
	}
	fmt.Fprintf(c.out, "The gallery is at http://%s\n", ln.Addr())
	return listen(ctx, ln, galleryHandler(), slog.New(slog.NewTextHandler(c.err, nil)))
}

func galleryHandler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/static/", static.Handler())
	mux.HandleFunc("GET /manifest.webmanifest", static.Manifest)
	mux.HandleFunc("GET /photos/{id}/thumb.jpg", galleryPicture)
	scenes := allScenes()
	for _, s := range scenes {
		mux.Handle("GET /"+s.path, sceneHandler(s))
	}
	mux.Handle("GET /{$}", sceneHandler(scene{shows: "The gallery", page: func(f views.Frame) templ.Component { return galleryIndex(scenes).Page(f) }}))
	return headers(mux)
}

func allScenes() []scene {
	var all []scene
	for _, some := range [][]scene{meltScenes(), lineScenes(), listScenes(), formScenes(), scrapScenes(), yieldScenes(), findingsScenes(), kitScenes(), wornScenes(), photoScenes(), oldNotesScenes(), peopleScenes(), labelScenes(), copiesScenes(), yearScenes(), curveScenes(), logFileScenes()} {
		all = append(all, some...)
	}
	return all
}

func galleryIndex(scenes []scene) views.Gallery {
	var g views.Gallery
	for _, s := range scenes {
		g.Scenes = append(g.Scenes, views.Link{Text: s.path + ": " + s.shows, Href: "/" + s.path})
	}
	return g
}

func sceneHandler(s scene) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		q := r.URL.Query()
		f := views.Frame{
			Title: s.shows, Shop: "Bicycle workshop", Who: "Workshop", Role: "owner", Nav: partOf(s.path), Theme: q.Get("theme"), Left: q.Has("left"), Pad: !q.Has("keyboard"), Now: galleryNow,
			Style: quantity.Style{Currency: "EUR", Zone: time.UTC, Comma: q.Has("comma")},
		}
		if q.Has("lb") {
			f.Style.MassUnit, f.Style.Fahrenheit = quantity.Pounds, true
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if err := s.page(f).Render(r.Context(), w); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
}

// partOf is the part of the shop that a scene belongs to.
func partOf(path string) string {
	first, _, _ := strings.Cut(path, "/")
	switch first {
	case "today", "scrap", "kit", "findings", "shop":
		return first
	case "source", "lot":
		return "scrap"
	case "tariff", "person", "account", "trust":
		return "shop"
	}
	return "melts"
}
