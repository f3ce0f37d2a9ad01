// Package static holds the style sheet, the script and the mark of the pages,
// built into the binary. Each is served under an address that carries the
// checksum of its content, so that a browser may keep it for good and never
// shows a page in yesterday's dress.
package static

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"regexp"
	"slices"
	"time"
)

//go:embed app.css label.css app.js outbox.js photo.js notice.js live.js melt.js pad.js kept.js sw.js icon.svg icon-180.png icon-192.png icon-512.png icon-mask.png
var files embed.FS

// asset is one file as it is served.
type asset struct {
	address string
	kind    string // Content-Type
	body    []byte
}

// comments are what of a script only a person reads, and what sets lines in:
// phones are not sent them.
var comments = regexp.MustCompile(`(?m)^\t+(//.*)?|^//.*| // .*$`)

// Script is the file that holds the script of the pages: all of scripts in one,
// since over poor Wi-Fi each file more is a wait more.
const Script = "page.js"

// scripts are what Script is made of. Each may use those before it.
var scripts = []string{"app.js", "outbox.js", "photo.js", "notice.js", "live.js", "melt.js", "pad.js", "kept.js"}

// assets by name; filled once, from what is built in.
var assets = load()

func load() map[string]asset {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic("static: " + err.Error())
	}
	all := make(map[string]asset, len(entries))
	add := func(name string, body []byte) {
		sum := sha256.Sum256(body)
		all[name] = asset{address: "/static/" + hex.EncodeToString(sum[:6]) + "/" + name, kind: kind(name), body: body}
	}
	var script []byte
	for _, name := range scripts {
		script = append(script, read(name)...)
	}
	add(Script, script)
	for _, e := range entries {
		if !slices.Contains(scripts, e.Name()) {
			add(e.Name(), read(e.Name()))
		}
	}
	return all
}

// read gives a file that is built in as phones are sent it.
func read(name string) []byte {
	body, err := files.ReadFile(name)
	if err != nil {
		panic("static: " + err.Error())
	}
	if path.Ext(name) == ".js" {
		return comments.ReplaceAll(body, nil)
	}
	return body
}

// kind is set here and not by package mime, whose answer changes with the
// tables of the machine it runs on.
func kind(name string) string {
	switch path.Ext(name) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	case ".png":
		return "image/png"
	default:
		panic("static: no content type for " + name)
	}
}

// Path is the address of a file: /static/<12 hex digits of its SHA-256>/<name>.
// It panics on a name that is not built in, because a page that asks for one
// cannot ever have worked.
func Path(name string) string {
	a, ok := assets[name]
	if !ok {
		panic("static: no file " + name)
	}
	return a.address
}

// Handler serves the files under the addresses that Path gives, and nothing
// else; it expects the whole path of the request, with /static/ in front.
func Handler() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a, ok := assets[path.Base(r.URL.Path)]
		if !ok || a.address != r.URL.Path {
			http.NotFound(w, r)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "method not allowed", http.StatusMethodNotAllowed)
			return
		}
		w.Header().Set("Content-Type", a.kind)
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.body))
	})
}
