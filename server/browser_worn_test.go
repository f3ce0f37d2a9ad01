package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demosElement finds the element that is near its end on Today with its range,
// logs a hot reading of it, and sees the forecast move.
func demosElement(t *testing.T, b *tab) {
	require.Eventually(t, func() bool {
		b.open("/")
		return strings.Contains(b.text(), "E5:")
	}, patience, 100*time.Millisecond)
	assert.Regexp(t, `E5: At \d+ h hot the ohms stood [\d.]+ % over new, between [\d.]+ % and [\d.]+ % \(9 chances in 10\); the shop checks at 10 % over\.`, b.text())

	b.open("/kit")
	b.tap("E5")
	before := ohmsStood(t, b)
	assert.InDelta(t, 9.1, before, 0.3)
	assert.Empty(t, b.violations())
	assert.Empty(t, b.sideways())

	b.tap("Reading")
	b.rests()
	b.press("Volts")
	b.enter("volts", "231")
	b.rests()
	b.press("Amps")
	// Its wire has 4 % more ohms hot (wire table at 1000 °C); 9.8 % over new.
	b.enter("amps", fmt.Sprintf("%.2f", 231/(26.5*1.098*1.04)))
	b.tap("Write it down")
	require.Contains(t, b.text(), "Written.")
	after := ohmsStood(t, b)
	assert.Greater(t, after, before, "the forecast has moved")
	assert.Contains(t, b.text(), "under power; ohms by V/A")
}

var stood = regexp.MustCompile(`the ohms stood ([\d.]+) % over new`)

// ohmsStood reads off the page how far the ohms have risen.
func ohmsStood(t *testing.T, b *tab) float64 {
	t.Helper()
	found := stood.FindStringSubmatch(b.text())
	require.NotNil(t, found, b.text())
	x, err := strconv.ParseFloat(found[1], 64)
	require.NoError(t, err)
	return x
}

// rests waits as long as a finger needs from one field to the next: touches
// that follow one another faster are taken for one gesture, which selects a
// word instead of going to its field.
func (b *tab) rests() { time.Sleep(400 * time.Millisecond) }
