package cert

import (
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFilesAreReadAgain(t *testing.T) {
	m := newMachine(t)
	by := m.start(t).now.Load().authority
	dir := t.TempDir()
	certFile, keyFile := filepath.Join(dir, "fullchain.pem"), filepath.Join(dir, "privkey.pem")
	renewed := time.Now()
	// put replaces one of the files by that of a pair; each time it is later.
	put := func(p pair, path string) {
		t.Helper()
		require.NoError(t, p.write(path)) // holds both; what is not asked for is passed over
		renewed = renewed.Add(time.Minute)
		require.NoError(t, os.Chtimes(path, renewed, renewed))
	}
	made := func(name string) pair {
		t.Helper()
		p, err := makeServer(by, sites{names: []string{name}}, m.now)
		require.NoError(t, err)
		return p
	}
	log := slog.New(slog.NewTextHandler(t.Output(), nil))
	_, err := Open(certFile, keyFile, log)
	assert.ErrorIs(t, err, os.ErrNotExist)

	first, second := made("first.example"), made("second.example")
	put(first, certFile)
	put(second, keyFile)
	_, err = Open(certFile, keyFile, log)
	assert.ErrorContains(t, err, "are no certificate with its key", "of another pair")
	put(first, keyFile)
	f, err := Open(certFile, keyFile, log)
	require.NoError(t, err)
	served := func() []string {
		t.Helper()
		c, err := f.Certificate(nil)
		require.NoError(t, err)
		return c.Leaf.DNSNames
	}
	assert.Equal(t, []string{"first.example"}, served())
	put(second, certFile)
	assert.Equal(t, []string{"first.example"}, served(), "while only one is new")
	put(second, keyFile)
	assert.Equal(t, []string{"second.example"}, served())
	require.NoError(t, os.Remove(certFile))
	assert.Equal(t, []string{"second.example"}, served())
}
