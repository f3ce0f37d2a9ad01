package static

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
)

//go:generate go run ./draw

// worker is the service worker, told of all files of this version. It stands at
// an address of its own, because it may see only what lies below it.
var worker = func() []byte {
	var all []string
	for _, name := range slices.Sorted(maps.Keys(assets)) {
		if name != "sw.js" {
			all = append(all, assets[name].address)
		}
	}
	return fmt.Appendf(nil, "const FILES = %s;\n%s", mustJSON(all), assets["sw.js"].body)
}()

// manifest is what a phone asks for when the shop is put on its home screen.
var manifest = mustJSON(map[string]any{
	"id": "/", "start_url": "/", "scope": "/", "display": "standalone", "lang": "en",
	"name": "Drosswise", "short_name": "Drosswise", "description": "A logbook for melting scrap aluminium.",
	"background_color": "#fffefa", "theme_color": "#fffefa",
	"icons": []map[string]string{
		{"src": Path("icon.svg"), "type": "image/svg+xml", "sizes": "any"},
		{"src": Path("icon-192.png"), "type": "image/png", "sizes": "192x192"},
		{"src": Path("icon-512.png"), "type": "image/png", "sizes": "512x512"},
		{"src": Path("icon-mask.png"), "type": "image/png", "sizes": "512x512", "purpose": "maskable"},
	},
})

func mustJSON(x any) []byte {
	b, err := json.Marshal(x)
	if err != nil {
		panic("static: " + err.Error())
	}
	return b
}

// Worker serves the service worker, which a browser asks for anew every time.
func Worker(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("Content-Type", kind("sw.js"))
	w.Write(worker)
}

// Manifest serves the web application manifest.
func Manifest(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("Content-Type", "application/manifest+json")
	w.Write(manifest)
}
