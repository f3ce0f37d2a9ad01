package main

import (
	"log/slog"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/demo"
	"drosswise/store"
)

// seenYield is a row of the ranking as it can be read on the page, in percent.
type seenYield struct {
	Name, Value, Note string
	Middle            float64 // where the point of the whisker is, per cent of the rule
	From              string  // the left end of the rule
}

// TestTheDemoOnAPhone signs in to the demo shop on a phone and looks at what its
// records tell.
func TestTheDemoOnAPhone(t *testing.T) {
	dir := t.TempDir()
	hash, err := hashPassword(t.Context(), demo.Password)
	require.NoError(t, err)
	_, err = demo.Make(t.Context(), dir, hash)
	require.NoError(t, err)
	st, err := store.Open(t.Context(), dir, time.Now)
	require.NoError(t, err)
	a, err := newApp(st, slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})), settings{})
	require.NoError(t, err)
	server := httptest.NewServer(a)
	t.Cleanup(func() {
		server.Close()
		a.end()
		assert.NoError(t, st.Close())
	})
	b := browse(t, server.URL)
	b.open("/signin")
	b.press("Name")
	b.enter("name", demo.People[demo.Workshop].Name)
	b.press("Password")
	b.enter("password", demo.Password)
	b.tap("Sign in")
	t.Run("the ranking of its scrap", func(t *testing.T) { demosRanking(t, b) })
	t.Run("an element near its end", func(t *testing.T) { demosElement(t, b) })
}

// demosRanking reads the ranking of the demo shop off the page and holds it
// against the truth that the demo was made from.
func demosRanking(t *testing.T, b *tab) {
	require.Eventually(t, func() bool {
		b.open("/scrap")
		return strings.Contains(b.text(), "Scrap, cleanest first") && !strings.Contains(b.text(), "A newer one is being made")
	}, patience, 100*time.Millisecond)

	rows := ask[[]seenYield](b, `[...document.querySelectorAll(".estimates li")].filter((li) => li.querySelector(".whisker circle")).map((li) => ({
		Name: li.querySelector(".ends b").innerText, Value: li.querySelector(".ends > b:last-child").innerText, Note: li.querySelector(".hint").innerText,
		Middle: parseFloat(li.querySelector("circle").getAttribute("cx")), From: document.querySelector(".scale span").innerText,
	}))`)
	truth := map[string]demo.Metal{}
	for i, p := range demo.Scrap {
		if i != demo.Ingots {
			truth[p.Name] = p
		}
	}
	var order []demo.Metal
	inside := 0
	for _, r := range rows {
		p, ok := truth[r.Name]
		if !ok {
			continue // own ingots are no source of the demo
		}
		order = append(order, p)
		low, high := r.rangeOf(t)
		if low <= 100*p.Yield && 100*p.Yield <= high {
			inside++
		} else {
			t.Logf("%s: %.1f is outside %.1f to %.1f", r.Name, 100*p.Yield, low, high)
		}
		assert.InDelta(t, 100*p.Yield, percentIn(t, r.Value), 2.5, r.Name)
		from := percentIn(t, r.From)
		assert.InDelta(t, percentIn(t, r.Value), from+(100-from)*r.Middle/100, 0.6, "%s: the point lies where its number says", r.Name)
	}
	require.Len(t, order, len(truth), "every scrap is ranked")
	// Nine ranges in ten hold the truth: of eight that at least six do is what
	// chance leaves in 96 shops of a hundred.
	assert.GreaterOrEqual(t, inside, 6)
	for i, p := range order {
		for _, worse := range order[:i] {
			assert.Less(t, p.Yield-worse.Yield, 0.01, "%s stands below %s", p.Name, worse.Name)
		}
	}
	assert.True(t, slices.IsSortedFunc(rows, func(x, y seenYield) int { return int(10 * (percentIn(t, y.Value) - percentIn(t, x.Value))) }), "cleanest first")
	assert.Empty(t, b.violations())
	assert.Empty(t, b.sideways())
}

// rangeOf reads "91.6 to 92.2 % · 69 kg …".
func (r seenYield) rangeOf(t *testing.T) (low, high float64) {
	t.Helper()
	text, _, ok := strings.Cut(r.Note, " ·")
	require.True(t, ok, r.Note)
	left, right, ok := strings.Cut(text, " to ")
	require.True(t, ok, r.Note)
	return percentIn(t, left), percentIn(t, right)
}

func percentIn(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "%")), 64)
	require.NoError(t, err, text)
	return x
}
