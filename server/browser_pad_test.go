package main

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// padKeys gives the least side of the pad's keys, and what they are called.
const padKeys = `(() => {
	const keys = [...document.querySelectorAll(".number-pad button")].filter((k) => k.checkVisibility());
	const sides = keys.flatMap((k) => { const r = k.getBoundingClientRect(); return [r.width, r.height]; });
	return {Least: Math.min(...sides), Names: keys.map((k) => k.ariaLabel || k.innerText).join(" ")};
})()`

// watchShifts counts layout shifts, also those just after a tap.
const watchShifts = `(window.shifts = 0, new PerformanceObserver((l) => l.getEntries().forEach((e) => { window.shifts += e.value; })).observe({type: "layout-shift", buffered: false}), true)`

// TestThePad weighs by touching the pad's keys: two taps and the digits.
func TestThePad(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, s.server.URL)
	b.signIn()
	b.open("/melts/" + string(code))
	weigh := func(send string, keys ...string) {
		b.tap("Weigh in")
		require.Eventually(t, func() bool { return b.sees(`document.activeElement.inputMode === "none"`) }, patience, 20*time.Millisecond, "the pad is open, the keyboard is not")
		for _, k := range keys {
			b.press(k)
		}
		if ask[string](b, `document.querySelector("[name=source]").value`) == "" {
			b.choose("source", "Wheels")
			b.press("Scale shows")
		}
		b.tap(send)
	}
	b.since("first weighing", 4+1+5, func() { weigh("Weigh in", "2", ".", "1", "5", "0") })
	require.Contains(t, b.text(), "Charged Wheels 2.150 kg. Saved.")
	b.since("weighing", 2+5, func() { weigh("Weigh in", "0", ",", "4", "1", "2") })
	require.Contains(t, b.text(), "Charged Wheels 0.412 kg. Saved.")

	b.tap("Temp")
	b.press("7")
	ask[bool](b, watchShifts)
	keys := ask[struct {
		Least float64
		Names string
	}](b, padKeys)
	assert.GreaterOrEqual(t, keys.Least, 56.0, "the keys are large")
	assert.Equal(t, "1 2 3 Delete 4 5 6 Next 7 8 9 Letters Comma 0 Point Close Write the temperature", keys.Names)
	b.do(call(input.InsertText, input.InsertTextParams{Text: "31"})) // a keyboard that is plugged in
	b.press("\u232b")
	b.press("2")
	assert.Equal(t, "732", ask[string](b, `document.activeElement.value`))
	b.press("Close")
	assert.True(t, b.sees(`document.activeElement.inputMode === "decimal" && document.querySelector(".number-pad").hidden`), "the phone's keyboard is back")
	b.press("Temperature")
	require.Eventually(t, func() bool { return b.sees(`document.activeElement.inputMode === "none"`) }, patience, 20*time.Millisecond, "touched again it opens again")
	time.Sleep(100 * time.Millisecond) // a frame, in which a shift would show
	assert.Zero(t, ask[float64](b, "window.shifts"), "nothing jumps when it opens and closes")
	b.press("In the metal")
	b.tap("Write the temperature")
	require.Contains(t, b.text(), "732 °C")
	assert.Empty(t, b.complained())

	assert.Len(t, s.lines(t, code), 3)
}
