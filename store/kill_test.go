package store

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// saverDir, when set, makes this test binary a program that saves lines in the
// workshop of that folder until it is killed.
const (
	saverDir   = "DROSSWISE_TEST_SAVER_DIR"
	saverRound = "DROSSWISE_TEST_SAVER_ROUND"
)

// TestSaver is that program: it prints the key of every line when the store has
// answered that it is saved, and not before.
func TestSaver(t *testing.T) {
	dir := os.Getenv(saverDir)
	if dir == "" {
		t.Skip("only runs as the program that TestKilledAtAnyMoment kills")
	}
	ctx := context.Background()
	s, err := Open(ctx, dir, time.Now)
	require.NoError(t, err)
	h, err := s.LastHeading(ctx)
	require.NoError(t, err)
	for n := 0; ; n++ {
		l := melt.Line{Key: fmt.Sprintf("round-%s-%06d", os.Getenv(saverRound), n), Kind: melt.Note, Note: "saved"}
		if n%2 == 0 {
			l.Kind, l.Note, l.Source, l.Gross = melt.Charge, "", 1, []quantity.Mass{quantity.Gram, 2 * quantity.Gram}
		}
		require.NoError(t, s.Add(ctx, 1, h.Code, l, true))
		fmt.Fprintf(os.Stdout, "saved %s\n", l.Key)
	}
}

// What was answered as saved is there after kill -9 at any moment, once, with
// all its weighings and with the figures that go with it.
func TestKilledAtAnyMoment(t *testing.T) {
	w := newWorkshop(t)
	w.clock.Store(time.Now().UnixMilli())
	h := w.start(t, 0)
	require.NoError(t, w.Close())
	const atLeast = 200
	var answered []string
	rounds := 0
	for ; len(answered) < atLeast || rounds < 6; rounds++ {
		got := killed(t, w.dir, rounds, 5+rand.IntN(60), time.Duration(rand.IntN(2_000))*time.Microsecond)
		require.NotEmpty(t, got)
		answered = append(answered, got...)

		w.open(t)
		stored := map[string]int{}
		for _, key := range texts(t, w.read, "SELECT key FROM line") {
			stored[key]++
		}
		for _, key := range answered {
			require.Equal(t, 1, stored[key], "line %s, answered as saved", key)
		}
		assert.Empty(t, texts(t, w.read, "SELECT id FROM line WHERE kind = 'charge' AND (SELECT count(*) FROM weighing WHERE line_id = line.id) <> 2"))
		// One more may be there: saved, and killed before it could say so.
		assert.LessOrEqual(t, len(stored), len(answered)+rounds+1)
		w.sound(t)
		require.NoError(t, w.Close())
	}
	t.Logf("%d saves answered in %d rounds", len(answered), rounds)

	w.open(t)
	s, err := w.Sheet(context.Background(), h.ID)
	require.NoError(t, err)
	charges := len(texts(t, w.read, "SELECT id FROM line WHERE kind = 'charge'"))
	assert.InDelta(t, float64(charges)*0.003, s.Charged.X, 1e-9)
	before := w.dump(t)
	_, err = w.Rebuild(context.Background())
	require.NoError(t, err)
	w.still(t, before)
}

// killed runs the saver, kills it a while after so many answers, and gives the
// keys of all answers that came out.
func killed(t *testing.T, dir string, round, answers int, while time.Duration) (keys []string) {
	t.Helper()
	c := exec.Command(os.Args[0], "-test.run=^TestSaver$", "-test.v=false")
	c.Env = append(os.Environ(), saverDir+"="+dir, fmt.Sprintf("%s=%d", saverRound, round))
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	var complaint strings.Builder
	c.Stderr = &complaint
	require.NoError(t, c.Start())
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			break // what is cut off in the middle was not answered
		}
		require.NoError(t, err)
		key, ok := strings.CutPrefix(strings.TrimSpace(line), "saved ")
		if !ok {
			require.NoError(t, c.Process.Kill())
			require.Failf(t, "the saver failed", "%s%s", line, complaint.String())
		}
		keys = append(keys, key)
		if len(keys) == answers {
			time.AfterFunc(while, func() { c.Process.Kill() })
		}
	}
	err = c.Wait()
	require.ErrorContains(t, err, "signal: killed", complaint.String())
	return keys
}
