package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/demo"
	"drosswise/store"
)

// TestDemo makes the demo shop by the command. What is in the shop is tested
// where it is made.
func TestDemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	status, out, errOut := demoCommand(t.Context(), dir)
	require.Zero(t, status, errOut)

	t.Run("says where to go", func(t *testing.T) {
		for _, word := range []string{dir, "serve -data", "http://127.0.0.1:8372", "Workshop", demo.Password, "invented", "everybody knows this password"} {
			assert.Contains(t, out, word)
		}
		assert.Empty(t, errOut)
	})
	t.Run("is never written over", func(t *testing.T) {
		file := filepath.Join(dir, store.FileName)
		before, err := os.ReadFile(file)
		require.NoError(t, err)
		status, out, errOut := demoCommand(t.Context(), dir)
		assert.Equal(t, 1, status)
		assert.Empty(t, out)
		assert.Contains(t, errOut, "choose another folder with -data")
		after, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(before, after), "the shop was changed")
	})
	t.Run("people can sign in", func(t *testing.T) {
		st, err := store.Open(t.Context(), dir, time.Now)
		require.NoError(t, err)
		defer st.Close()
		for _, p := range demo.People {
			_, hash, err := st.PersonNamed(t.Context(), p.Name)
			require.NoError(t, err)
			ok, err := checkPassword(t.Context(), hash, demo.Password)
			require.NoError(t, err)
			assert.True(t, ok, p.Name)
		}
	})
}

func demoCommand(ctx context.Context, dir string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	status = run(ctx, []string{"demo", "-data", dir}, func(string) string { return "" }, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}
