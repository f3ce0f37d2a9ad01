package store

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The SQLite driver is C turned into Go against one version of its C library;
// with another it may fail at run time and not before. Mend a difference with
//
//	go get modernc.org/libc@WANTED
//
// and never with an upgrade of everything.
func TestTheDriverHasItsOwnCLibrary(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("the go command is not here to say which modules were built in")
	}
	var driver, libc struct{ Version, GoMod string }
	for name, into := range map[string]any{"modernc.org/sqlite": &driver, "modernc.org/libc": &libc} {
		out, err := exec.Command("go", "list", "-m", "-json", name).Output()
		require.NoError(t, err, name)
		require.NoError(t, json.Unmarshal(out, into), name)
	}
	needs, err := os.ReadFile(driver.GoMod)
	if errors.Is(err, os.ErrNotExist) || driver.GoMod == "" {
		t.Skip("the driver's own go.mod is not in the module cache")
	}
	require.NoError(t, err)
	wanted := regexp.MustCompile(`(?m)^\s*(?:require\s+)?modernc\.org/libc\s+(\S+)`).FindSubmatch(needs)
	require.NotNil(t, wanted, "%s names no C library", driver.GoMod)
	assert.Equal(t, string(wanted[1]), libc.Version, "driver %s", driver.Version)
}
