package main

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/store"
)

// TestLinesInRandomFaults logs lines on two phones at once through a line that
// fails in every way there is, to a program that is killed and started again.
// In the end every line is there once, and the figures are those of the same
// lines sent in peace. DROSSWISE_OUTBOX=full makes it 1,000 lines.
func TestLinesInRandomFaults(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program and takes some seconds")
	}
	each, killEvery := 35, 10
	if os.Getenv("DROSSWISE_OUTBOX") == "full" {
		each, killEvery = 500, 40
	}
	phones := []*tab{browse(t, ""), browse(t, "")} // says so where there is no browser
	c := &crashed{t: t, dir: t.TempDir(), random: rand.New(rand.NewPCG(2026, 5))}
	c.build()
	c.begin()
	c.settle()
	c.code = c.phone.start("")
	bad := newBadLine(t, c)
	for n, b := range phones {
		b.home = bad.URL
		if n == 1 {
			b.home = inHouse(bad.URL) // as in a house: without a service worker
		}
		b.signIn()
		b.open("/melts/" + string(c.code))
		b.ready()
	}
	bad.begin()
	plans := []*plan{newPlan(1, each), newPlan(2, each)}
	for n := range each {
		for i, b := range phones {
			b.log(plans[i].lines[n])
			if c.random.IntN(25) == 0 && i == 0 { // with the worker also where the line is down
				b.again()
			}
		}
		if n%killEvery == killEvery-1 {
			require.NoError(t, c.running.Process.Kill())
			c.running.Wait()
			c.kills++
			time.Sleep(time.Duration(c.random.IntN(300)) * time.Millisecond)
			c.begin()
			bad.to(c.phone.home)
		}
	}
	bad.end()
	for _, b := range phones {
		b.network(true)
		ask[bool](b, "(Outbox.hurry(), true)")
		for began := time.Now(); b.kept() > 0; time.Sleep(200 * time.Millisecond) {
			require.Less(t, time.Since(began), 2*time.Minute, "%d are left", b.kept())
		}
	}
	t.Logf("%d lines by two phones, %d kills, %s", 2*each, c.kills, bad.tally())
	require.NoError(t, c.running.Process.Signal(os.Interrupt))
	require.NoError(t, c.running.Wait())

	var sent []planned
	for _, p := range plans {
		sent = append(sent, p.lines...)
	}
	got := readLedger(t, c.data())
	want := inPeace(t, sent)
	assert.Equal(t, want.lines, got.lines, "none lost, none twice")
	assert.Equal(t, want.figures, got.figures, "the same figures")
	for kind, n := range bad.counts() {
		assert.Positive(t, n, "no %s happened", kind)
	}
}

// planned is a line as it is typed into its form.
type planned struct {
	kind   string
	fields [][2]string
	strike bool // and struck right after
}

// plan is what one phone logs: charges, temperatures, skims and pours, with some
// struck again. Each note is another, so that lines can be told apart.
type plan struct{ lines []planned }

func newPlan(phone uint64, n int) *plan {
	r := rand.New(rand.NewPCG(phone, 8))
	p := &plan{}
	for i := range n {
		l := planned{kind: "charge", strike: r.IntN(8) == 0}
		mass := [2]string{"mass", fmt.Sprintf("0.%03d", 1+r.IntN(9))}
		switch k := r.IntN(10); {
		case i == 0 || k < 5:
			l.fields = [][2]string{{"source", "source-1"}, {"scale", "2"}, mass}
			l.strike = l.strike && i > 0
		case k < 7:
			l.kind, l.fields = "temperature", [][2]string{{"temp", fmt.Sprint(660 + r.IntN(90))}, {"which", "metal"}}
		case k < 9:
			l.kind, l.fields = "skim", [][2]string{{"scale", "2"}, {"mass", "0.001"}}
		default:
			l.kind, l.fields = "stamp", nil
		}
		l.fields = append(l.fields, [2]string{"note", fmt.Sprintf("phone %d, line %04d", phone, i)})
		p.lines = append(p.lines, l)
	}
	return p
}

// log opens the form of a line in the page, fills it in and sends it, all by
// the page's own script, and waits until the line is kept or stored.
func (b *tab) log(l planned) {
	b.t.Helper()
	script := fmt.Sprintf(`(async (kind, fields, strike) => {
		const until = async (what) => {
			for (const began = Date.now(); !what(); await new Promise((done) => setTimeout(done, 5))) if (Date.now() - began > 15000) throw new Error("waited for " + what);
		};
		const calm = () => document.getElementById("main").ariaBusy !== "true" && !document.querySelector(".writing");
		await until(() => document.readyState === "complete" && document.querySelector("[data-forms]") && calm());
		const link = document.createElement("a");
		link.href = document.querySelector("[data-melt]").dataset.melt.replace(/^/, "/melts/") + "/add/" + kind;
		document.body.append(link);
		link.click();
		link.remove();
		await until(() => document.querySelector(".writing form"));
		const form = document.querySelector(".writing form");
		for (const [name, value] of fields) {
			const input = form.elements[name];
			if (input[0]?.type === "radio") [...input].find((i) => i.value === value).checked = true;
			else (input instanceof RadioNodeList ? input[0] : input).value = value;
		}
		const key = form.elements.key.value;
		form.requestSubmit();
		await until(calm);
		if (strike) {
			document.querySelector(".strip .flash:not(.unsent) form").requestSubmit();
			await until(() => document.getElementById("main").ariaBusy === "true");
			await until(calm);
		}
		return true;
	})(%q, %s, %t)`, l.kind, mustPairs(l.fields), l.strike)
	ctx, cancel := context.WithTimeout(b.ctx, time.Minute)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, "%v on %s:\n%s", l, b.where(), b.text())
}

func mustPairs(fields [][2]string) string {
	var all []string
	for _, f := range fields {
		all = append(all, fmt.Sprintf("[%q, %q]", f[0], f[1]))
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// again reloads the page, as a phone does that was put away.
func (b *tab) again() {
	b.t.Helper()
	b.loads(chromedp.Reload())
	b.ready()
}

// badLine carries requests to a program, or fails to.
type badLine struct {
	*httptest.Server
	mu     sync.Mutex
	target *url.URL
	random *rand.Rand
	bad    bool
	down   int // so many requests more find no answer
	faults map[string]int
}

func newBadLine(t *testing.T, c *crashed) *badLine {
	l := &badLine{random: rand.New(rand.NewPCG(8, 8)), faults: map[string]int{}}
	l.to(c.phone.home)
	l.Server = httptest.NewServer(l)
	l.Config.ErrorLog = log.New(io.Discard, "", 0)
	t.Cleanup(func() { l.CloseClientConnections(); l.Close() })
	return l
}

func (l *badLine) to(home string) {
	u, err := url.Parse(home)
	if err != nil {
		panic(err)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.target = u
}

func (l *badLine) begin() { l.set(true) }
func (l *badLine) end()   { l.set(false) }

func (l *badLine) set(bad bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.bad, l.down = bad, 0
}

func (l *badLine) counts() map[string]int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.faults
}

func (l *badLine) tally() string { return fmt.Sprint(l.counts()) }

// fault chooses what happens to a request.
func (l *badLine) fault(r *http.Request) string {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.bad || strings.HasPrefix(r.URL.Path, "/static/") || r.URL.Path == "/sw.js" {
		return ""
	}
	what := ""
	switch n := l.random.IntN(40); {
	case l.down > 0:
		l.down--
		return "no way there"
	case n == 0:
		l.down = 2 + l.random.IntN(6)
		what = "no way there"
	case r.Method != http.MethodPost:
		return ""
	case n < 5:
		what = "answer lost"
	case n < 9:
		what = "sent twice"
	case n < 11:
		what = "other answer"
	case n < 13:
		what = "slow"
	}
	if what != "" {
		l.faults[what]++
	}
	return what
}

func (l *badLine) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	what := l.fault(r)
	if what == "no way there" {
		panic(http.ErrAbortHandler)
	}
	if what == "other answer" { // of a gateway that wants a sign-in of its own
		w.Header().Set("Content-Type", "text/html")
		io.WriteString(w, "<html>Welcome to the café. Accept the terms.</html>")
		return
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return
	}
	l.mu.Lock()
	target := l.target
	l.mu.Unlock()
	carry := func(w http.ResponseWriter) {
		again := r.Clone(r.Context())
		again.Body = io.NopCloser(bytes.NewReader(body))
		proxy := httputil.NewSingleHostReverseProxy(target)
		proxy.FlushInterval = -1
		proxy.ErrorLog = log.New(io.Discard, "", 0)
		proxy.ErrorHandler = func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) }
		proxy.ServeHTTP(w, again)
	}
	switch what {
	case "answer lost":
		carry(httptest.NewRecorder())
		panic(http.ErrAbortHandler)
	case "sent twice":
		carry(httptest.NewRecorder())
	case "slow":
		time.Sleep(400 * time.Millisecond)
	}
	carry(w)
}

// ledger is what a folder of data holds of its one melt.
type ledger struct {
	lines   []string
	figures []string
}

// readLedger reads the lines, told apart by their notes, and those figures that
// do not hang on when a line was tapped.
func readLedger(t *testing.T, dir string) (l ledger) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	read := func(query string) (all []string) {
		rows, err := db.Query(query)
		require.NoError(t, err)
		defer rows.Close()
		for rows.Next() {
			var one string
			require.NoError(t, rows.Scan(&one))
			all = append(all, one)
		}
		require.NoError(t, rows.Err())
		return all
	}
	l.lines = read(`SELECT l.note || ' ' || l.kind || ' ' || coalesce((SELECT sum(gross) FROM weighing WHERE line_id = l.id), 0) || ' ' || coalesce(l.temp, '') || ' '
		|| coalesce(l.source_id, '') || ' ' || coalesce((SELECT struck FROM strike WHERE line_id = l.id ORDER BY id DESC LIMIT 1), 0) FROM line l ORDER BY l.note, l.id`)
	st, err := store.Open(t.Context(), dir, time.Now)
	require.NoError(t, err)
	defer st.Close()
	h, lines, err := st.Melt(t.Context(), melt.Code(read("SELECT code FROM melt")[0]))
	require.NoError(t, err)
	sheet, err := st.Sheet(t.Context(), h.ID)
	require.NoError(t, err)
	for _, f := range []struct {
		name string
		x    float64
	}{{"charged, kg", sheet.Charged.X}, {"dross, kg", sheet.Dross.X}, {"charged, mg", float64(melt.Charged(melt.Standing(lines)))}} {
		l.figures = append(l.figures, fmt.Sprintf("%s: %.6f", f.name, f.x))
	}
	return l
}

// inPeace sends the same lines one after another to a program that nothing
// happens to.
func inPeace(t *testing.T, lines []planned) ledger {
	t.Helper()
	c := &crashed{t: t, dir: t.TempDir()}
	c.build()
	c.begin()
	c.settle()
	code := c.phone.start("")
	path := "/melts/" + string(code) + "/lines"
	for n, l := range lines {
		key := fmt.Sprintf("peace-%06d", n)
		form := url.Values{"kind": {l.kind}, "key": {key}}
		for _, f := range l.fields {
			form.Set(f[0], f[1])
		}
		g := c.phone.sends(path, form)
		require.Equal(t, http.StatusOK, g.status, g.body)
		if l.strike {
			require.Equal(t, http.StatusOK, c.phone.sends(path+"/key-"+key+"/strike", url.Values{"key": {key + "-x"}}).status)
		}
	}
	require.NoError(t, c.running.Process.Signal(os.Interrupt))
	require.NoError(t, c.running.Wait())
	return readLedger(t, c.data())
}
