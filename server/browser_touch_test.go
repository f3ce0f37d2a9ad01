package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// findControl finds what a finger would press by its words: the first that can
// be seen, whose words begin so. It scrolls it into reach and gives the middle
// of it, after making sure that nothing lies over it there.
const findControl = `((words) => {
	const plain = (s) => s.replace(/\s+/g, " ").trim();
	const all = [...document.querySelectorAll("button, a[href], summary, label")];
	const fits = (el) => plain(el.innerText).startsWith(words) && el.checkVisibility({visibilityProperty: true, opacityProperty: true});
	const exact = all.find((el) => fits(el) && plain(el.innerText) === words);
	const el = exact || all.find(fits);
	if (!el) return {Problem: "nothing to press says " + words};
	const middle = () => {
		const r = el.getBoundingClientRect();
		const x = r.left + r.width / 2, y = r.top + r.height / 2;
		const hit = document.elementFromPoint(x, y);
		return {x, y, hit, clear: hit && (el === hit || el.contains(hit) || hit.contains(el))};
	};
	let at = middle();
	if (!at.clear) {
		el.scrollIntoView({block: "center", behavior: "instant"});
		at = middle();
	}
	if (!at.clear) return {Problem: words + " lies under " + (at.hit ? at.hit.outerHTML.slice(0, 120) : "nothing")};
	if (el.disabled) return {Problem: words + " is switched off"};
	return {X: at.x, Y: at.y};
})`

type spot struct {
	X, Y    float64
	Problem string
}

// find gives the middle of a control.
func (b *tab) find(words string) spot {
	b.t.Helper()
	s := ask[spot](b, fmt.Sprintf("%s(%q)", findControl, words))
	require.Empty(b.t, s.Problem, "on %s:\n%s", b.where(), b.text())
	return s
}

// press touches a control that changes the page it is on.
func (b *tab) press(words string) {
	b.t.Helper()
	s := b.find(words)
	b.taps++
	b.do(chromedp.TapXY(s.X, s.Y))
}

// tap touches a control that leads somewhere, and waits for that: for another
// page, or for this one with something else on it.
func (b *tab) tap(words string) {
	b.t.Helper()
	s := b.find(words)
	b.taps++
	const at = "location.href + document.querySelector('.strip')?.innerText"
	from := ask[string](b, "(window.before = true, "+at+")")
	b.do(chromedp.TapXY(s.X, s.Y))
	there := fmt.Sprintf("document.readyState === 'complete' && (!window.before || %s !== %q && !document.querySelector('form[data-sent], [aria-busy=true]'))", at, from)
	for began := time.Now(); !b.sees(there); time.Sleep(20 * time.Millisecond) {
		if time.Since(began) > patience {
			require.Fail(b.t, "it leads nowhere", "%s on %s:\n%s", words, from, b.text())
		}
	}
}

// sees reports whether an expression is true on the page, false while there is
// none.
func (b *tab) sees(js string) bool {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	yes, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+js+")"))
	return err == nil && yes
}

// loads waits until the page that a step leads to is there.
func (b *tab) loads(step chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.WaitEvent(page.LoadEventFired, nil, step))
	require.NoError(b.t, err)
}

// enter types into the field that has the cursor, which must be the named one.
func (b *tab) enter(field, text string) {
	b.t.Helper()
	cursor := func() string { return ask[string](b, "document.activeElement.name || document.activeElement.tagName") }
	for began := time.Now(); cursor() != field && time.Since(began) < 2*time.Second; { // it comes with the first frame
		time.Sleep(20 * time.Millisecond)
	}
	require.Equal(b.t, field, cursor(), "the cursor waits in the field, on %s", b.where())
	b.do(call(input.InsertText, input.InsertTextParams{Text: text}))
}

// choose picks from a list, which a phone shows in a window of its own: two
// taps, one that opens it and one on the choice.
func (b *tab) choose(field, label string) {
	b.t.Helper()
	b.taps += 2
	ok := ask[bool](b, fmt.Sprintf(`((name, label) => {
		const list = document.querySelector("select[name='" + name + "']");
		const option = list && [...list.options].find((o) => o.text === label);
		if (!option) return false;
		list.value = option.value;
		list.dispatchEvent(new Event("change", {bubbles: true}));
		return true;
	})(%q, %q)`, field, label))
	require.True(b.t, ok, "%s has no %s", field, label)
}

// signIn signs the owner in by the page for it.
func (b *tab) signIn() {
	b.t.Helper()
	b.open("/signin")
	b.press("Name")
	b.enter("name", "Workshop")
	b.press("Password")
	b.enter("password", "rims and cranks")
	b.tap("Sign in")
	require.Equal(b.t, "/", b.where())
	b.taps = 0
}

// tapTwice touches a control twice, the second time before anything can have
// come of the first, and waits for the page it leads to. The second touch may
// never be answered: the page it was meant for is going.
func (b *tab) tapTwice(words string) {
	b.t.Helper()
	s, from := b.find(words), b.where()
	b.do(chromedp.TapXY(s.X, s.Y))
	ctx, cancel := context.WithTimeout(b.ctx, 2*time.Second)
	defer cancel()
	_ = chromedp.Do(ctx, chromedp.TapXY(s.X, s.Y))
	b.arrives(func(path string) bool { return path != from })
}

// arrives waits until the address is as it should be, the page has loaded and
// nothing follows.
func (b *tab) arrives(there func(path string) bool) {
	b.t.Helper()
	calm := 0
	require.Eventually(b.t, func() bool {
		ctx, cancel := context.WithTimeout(b.ctx, time.Second)
		defer cancel()
		at, err := chromedp.Run(ctx, chromedp.Evaluate[string]("document.readyState === 'complete' ? location.href : ''"))
		if err != nil || at == "" || !there(strings.TrimPrefix(at, b.home)) {
			calm = 0
			return false
		}
		calm++
		return calm > 3
	}, patience, 100*time.Millisecond)
}

// history goes through the pages that were seen, as the browser's own buttons
// do. A page that is taken back out of the browser's memory does not load
// again, so it waits for the address.
func (b *tab) history(by int) {
	b.t.Helper()
	seen, err := chromedp.Call(b.ctx, page.GetNavigationHistory, cdp.Empty{})
	require.NoError(b.t, err)
	to := seen.Entries[seen.CurrentIndex+int64(by)]
	b.do(call(page.NavigateToHistoryEntry, page.NavigateToHistoryEntryParams{EntryID: to.ID}))
	b.arrives(func(path string) bool { return b.home+path == to.URL })
}
