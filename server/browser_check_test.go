package main

import (
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// axe is the source of axe-core, see testdata/axe/README.md.
var axe = sync.OnceValues(func() (string, error) {
	f, err := os.Open("../testdata/axe/axe.min.js.gz")
	if err != nil {
		return "", err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return "", err
	}
	source, err := io.ReadAll(z)
	return string(source), err
})

// violations runs axe-core on the page: all of its rules for WCAG 2.2 A and AA
// and its best practices, or only those named, and holds contrast to 7:1 as
// well, the level AAA.
func (b *tab) violations(rules ...string) []string {
	b.t.Helper()
	source, err := axe()
	require.NoError(b.t, err)
	ask[bool](b, "typeof axe === 'object' || (("+"() => {"+source+"\n})(), true)")
	only := "[]"
	if len(rules) > 0 {
		only = `["` + strings.Join(rules, `","`) + `"]`
	}
	return ask[[]string](b, `((only) => {
		const options = {preload: false, resultTypes: ["violations"], rules: {"color-contrast-enhanced": {enabled: true}}};
		if (only.length) options.runOnly = {type: "rule", values: only};
		return axe.run(document, options).then((r) => r.violations.map((v) =>
			v.id + ": " + v.help + " " + v.nodes.map((n) => n.html.slice(0, 160) + " " + n.any.concat(n.all, n.none).map((c) => c.message).join("; ")).slice(0, 3).join(" | ")));
	})(`+only+`)`)
}

// contrast are the rules that colours are held to: the second one speaks only
// of what the first lets pass.
var contrast = []string{"color-contrast", "color-contrast-enhanced"}

// sideways says what makes the page wider than its window.
func (b *tab) sideways() []string {
	b.t.Helper()
	return ask[[]string](b, `(() => {
		const page = document.documentElement, wide = page.clientWidth;
		if (page.scrollWidth <= wide) return [];
		const over = [...document.body.querySelectorAll("*")].filter((el) => el.getBoundingClientRect().right > wide + 1);
		return ["the page is " + page.scrollWidth + " wide in a window of " + wide, ...over.slice(0, 3).map((el) => el.outerHTML.slice(0, 120))];
	})()`)
}

// small lists what is meant to be pressed and is smaller than 48 points, or
// 64 in the dock. What lies over a whole row is as large as the row; words
// inside a sentence are left to the sentence.
func (b *tab) small() []string {
	b.t.Helper()
	return ask[[]string](b, `(() => {
		const found = [];
		for (const el of document.querySelectorAll("button, a[href], summary, input:not([type=hidden]), select, textarea")) {
			if (!el.checkVisibility({visibilityProperty: true})) continue;
			let box = el.closest("label.choice") || el;
			const over = getComputedStyle(el, "::after");
			if (over.content !== "none" && over.position === "absolute") box = el.closest(".row") || el;
			const r = box.getBoundingClientRect();
			if (r.bottom < 0) continue; // the link that is only there for the keyboard
			const least = el.closest(".dock .keys") ? 64 : 48;
			if (r.height < least - 0.5 || r.width < 48 - 0.5) found.push(Math.round(r.width) + " by " + Math.round(r.height) + ": " + el.outerHTML.slice(0, 140));
		}
		return found;
	})()`)
}

// TestTheChecksFindFaults shows the checks a page with a fault of each kind.
func TestTheChecksFindFaults(t *testing.T) {
	page := headers(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprint(w, `<!doctype html><html lang=en><meta name=viewport content="width=device-width"><title>Faulty</title>
			<main><h1>Faulty</h1><img src=/x.png width=600 height=20><label>N <input></label><p><font color=#bbb>pale</font> <font color=#666>grey</font></p><button>x</button>
			<div class=dock><div class=keys><button style="width:50px">y</button></div></div></main><script>console.log(1)</script></html>`)
	}))
	server := httptest.NewServer(page)
	defer server.Close()
	b := browse(t, server.URL)
	b.open("/")
	found := strings.Join(b.violations(), "\n")
	assert.Contains(t, found, "image-alt: ")
	assert.Contains(t, found, "color-contrast: ")
	assert.Contains(t, found, "color-contrast-enhanced: ")
	assert.Len(t, b.violations(contrast...), 2)
	assert.Contains(t, strings.Join(b.sideways(), "\n"), "wide in a window of 390")
	assert.Contains(t, strings.Join(b.small(), "\n"), "<button>x</button>")
	said := strings.Join(b.complained(), "\n")
	assert.Contains(t, said, "Content Security Policy")
	assert.Contains(t, said, "x.png")
}
