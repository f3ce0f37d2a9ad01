package main

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/server/demo"
	"drosswise/store"
)

// How many answered saves the server must have been killed among, and how
// often.
const (
	enoughSaves = 200
	enoughKills = 12
)

// TestKilledWhileSaving runs the program itself, saves as fast as it answers,
// and kills it at random moments. What was on its way is sent again with the
// same key after the restart, as a phone does. In the end every answered line
// is there, none twice, the file is whole, and the figures are those of the
// lines.
func TestKilledWhileSaving(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program and takes some seconds")
	}
	seed := uint64(time.Now().UnixNano())
	c := &crashed{t: t, dir: t.TempDir(), random: rand.New(rand.NewPCG(seed, 0)), sent: map[string]quantity.Mass{}, answered: map[string]bool{}}
	t.Logf("seed %d", seed)
	c.build()
	c.begin()
	c.settle()
	for c.count() < enoughSaves || c.kills < enoughKills {
		c.killAmongSaves()
		c.begin()
	}
	c.finish()
	t.Logf("%d answered saves over %d kills, %d of them sent again", len(c.answered), c.kills, c.again)
	c.check()
}

// crashed is a program that is killed, and what was sent to it.
type crashed struct {
	t       *testing.T
	dir     string
	program string
	running *exec.Cmd
	phone   *phone
	random  *rand.Rand
	code    melt.Code
	kills   int
	again   int // sent once more after a restart

	mu       sync.Mutex
	n        int
	sent     map[string]quantity.Mass // by key
	answered map[string]bool
	waiting  []string // sent without an answer
}

func (c *crashed) build() {
	c.program = filepath.Join(c.dir, "drosswise")
	out, err := exec.Command("go", "build", "-o", c.program, ".").CombinedOutput()
	require.NoError(c.t, err, "%s", out)
}

// TestKilledWhileTakingIn kills the program while it takes a shop in: the next
// start leaves nothing of that, and the shop can be taken in.
func TestKilledWhileTakingIn(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program and takes some seconds")
	}
	c := &crashed{t: t, dir: t.TempDir(), phone: &phone{}} // nobody makes an account
	c.build()
	was, zipped, is := filepath.Join(c.dir, "was"), filepath.Join(c.dir, "shop.zip"), c.data()
	_, err := demo.Make(t.Context(), was, "no hash")
	require.NoError(t, err)
	status, _, errOut := commandLine(t, "export", "-data", was, "-to", zipped)
	require.Zero(t, status, errOut)
	left := func() []string {
		all, err := filepath.Glob(filepath.Join(is, "import-*"))
		require.NoError(t, err)
		return all
	}
	taking := exec.Command(c.program, "import", "-from", zipped, "-data", is)
	require.NoError(t, taking.Start())
	require.Eventually(t, func() bool { return len(left()) == 1 }, 10*time.Second, time.Millisecond)
	require.NoError(t, taking.Process.Kill())
	require.Error(t, taking.Wait(), "it was killed before it was done")
	require.Len(t, left(), 1)

	c.begin()
	assert.Empty(t, left(), "gone with the next start")
	require.NoError(t, c.running.Process.Kill())
	require.Error(t, c.running.Wait())
	status, _, errOut = commandLine(t, "import", "-from", zipped, "-data", is)
	assert.Zero(t, status, errOut)
}

func (c *crashed) data() string { return filepath.Join(c.dir, "data") }

// begin starts the program and reads where it serves, and at the first start
// the link for the owner.
func (c *crashed) begin() {
	t := c.t
	c.running = exec.Command(c.program, "-addr", "127.0.0.1:0", "-data", c.data())
	c.running.Stderr = os.Stderr
	out, err := c.running.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.running.Start())
	process := c.running.Process
	t.Cleanup(func() { process.Kill() })
	lines := bufio.NewScanner(out)
	require.True(t, lines.Scan(), "it says where it serves")
	home, ok := strings.CutPrefix(lines.Text(), "Drosswise serves on ")
	require.True(t, ok, lines.Text())
	if c.phone != nil {
		c.phone.home = home
		return
	}
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	c.phone = &phone{t: t, home: home, Client: &http.Client{
		Jar: jar, Timeout: 10 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	for lines.Scan() {
		if _, path, ok := strings.Cut(lines.Text(), home+"/setup/"); ok {
			path = "/setup/" + path
			c.phone.save(c.phone.fill(path, path, "shop", "Bicycle workshop", "name", "Workshop", "password", "rims and cranks", "again", "rims and cranks",
				"zone", "UTC", "currency", "EUR"))
			return
		}
	}
	require.Fail(t, "no link for the owner")
}

func (c *crashed) settle() {
	p := c.phone
	p.save(p.fill("/kit/new/furnace", "/kit", "name", "Yard furnace", "letter", "A"))
	p.save(p.fill("/kit/new/scale", "/kit", "name", "Bench scale", "resolution", "1 g", "capacity", "10 kg"))
	p.save(p.fill("/scrap/new", "/scrap", "name", "Wheels", "form", "casting", "paid", "0.80"))
}

// killAmongSaves starts a melt, lets some phones save lines of it, and kills
// the program at a random moment among them.
func (c *crashed) killAmongSaves() {
	c.resend()
	c.code = c.phone.start("")
	c.phone.log(c.code, melt.PowerOn)
	ended := make(chan struct{})
	var phones sync.WaitGroup
	for range 3 {
		phones.Go(func() {
			for {
				select {
				case <-ended:
					return
				default:
					c.save(c.weighing())
				}
			}
		})
	}
	time.Sleep(time.Duration(1+c.random.IntN(90)) * time.Millisecond)
	require.NoError(c.t, c.running.Process.Kill())
	c.running.Wait()
	c.kills++
	close(ended)
	phones.Wait()
}

// weighing notes down what will be sent, and gives its key.
func (c *crashed) weighing() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.n++
	key := fmt.Sprintf("%s-line-%06d", c.code, c.n)
	c.sent[key] = quantity.Mass(100+c.n) * quantity.Gram
	return key
}

// save sends one weighing. Without an answer it waits to be sent again.
func (c *crashed) save(key string) {
	c.mu.Lock()
	mass := c.sent[key]
	c.mu.Unlock()
	code, _, _ := strings.Cut(key, "-line")
	form := url.Values{"key": {key}, "kind": {"charge"}, "source": {"source-1"}, "scale": {"2"}, "mass": {fmt.Sprintf("%d g", mass/quantity.Gram)}, "note": {"no. " + key}, "sure": {"1"}}
	r, err := http.NewRequest(http.MethodPost, c.phone.home+"/melts/"+code+"/lines", strings.NewReader(form.Encode()))
	if err != nil {
		panic(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	resp, err := c.phone.Do(r)
	c.mu.Lock()
	defer c.mu.Unlock()
	if err != nil {
		if !slices.Contains(c.waiting, key) {
			c.waiting = append(c.waiting, key)
		}
		return
	}
	resp.Body.Close()
	assert.Equal(c.t, http.StatusSeeOther, resp.StatusCode, key)
	c.answered[key] = true
}

// resend sends what has had no answer.
func (c *crashed) resend() {
	waiting := c.waiting
	c.waiting = nil
	for _, key := range waiting {
		c.save(key)
		c.again++
	}
	require.Empty(c.t, c.waiting)
}

func (c *crashed) count() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.answered)
}

// finish sends what is left and ends the program as a person would.
func (c *crashed) finish() {
	c.resend()
	require.NoError(c.t, c.running.Process.Signal(os.Interrupt))
	require.NoError(c.t, c.running.Wait())
}

// check reads the file as the next start would.
func (c *crashed) check() {
	t := c.t
	db, err := sql.Open("sqlite", filepath.Join(c.data(), store.FileName))
	require.NoError(t, err)
	defer db.Close()
	read := func(query string) (all []string) {
		rows, err := db.Query(query)
		require.NoError(t, err, query)
		defer rows.Close()
		columns, err := rows.Columns()
		require.NoError(t, err)
		for rows.Next() {
			row := make([]any, len(columns))
			for i := range row {
				row[i] = new(sql.NullString)
			}
			require.NoError(t, rows.Scan(row...))
			text := ""
			for _, x := range row {
				text += x.(*sql.NullString).String + "\x1f"
			}
			all = append(all, text)
		}
		require.NoError(t, rows.Err())
		return all
	}
	assert.Equal(t, []string{"ok\x1f"}, read("PRAGMA integrity_check"))
	assert.Empty(t, read("PRAGMA foreign_key_check"))

	stored := map[string]int{}
	for _, row := range read("SELECT l.key, sum(w.gross), count(*), l.note FROM line l JOIN weighing w ON w.line_id = l.id WHERE l.kind = 'charge' GROUP BY l.id") {
		f := strings.Split(row, "\x1f")
		stored[f[0]]++
		assert.Equal(t, []string{fmt.Sprint(int64(c.sent[f[0]])), "1", "no. " + f[0]}, f[1:4], "what was sent as %s", f[0])
	}
	assert.Len(t, read("SELECT id FROM line WHERE kind = 'charge'"), len(c.sent), "no half line")
	for key := range c.sent {
		assert.Equal(t, 1, stored[key], key)
	}
	figures := func() (all []string) {
		for _, table := range []string{"figure", "figure_source", "figure_lot", "lot_sum", "tally", "source_sum", "wear"} {
			rows := read("SELECT * FROM " + table)
			slices.Sort(rows)
			all = append(append(all, table), rows...)
		}
		return all
	}
	kept := figures()
	require.Greater(t, len(kept), c.kills)
	out, err := exec.CommandContext(context.Background(), c.program, "rebuild", "-data", c.data()).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Equal(t, kept, figures(), "figures made again from the lines are the same")
}
