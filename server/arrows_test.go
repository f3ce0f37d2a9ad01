package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestArrows holds the house's arrows: who may know whom.
func TestArrows(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}: {{join .Imports " "}}`, "drosswise/...").CombinedOutput()
	require.NoError(t, err, string(out))
	may := map[string][]string{
		"foundry":       {"foundry"},
		"store":         {"foundry", "migrations"},
		"views":         {"foundry", "static"},
		"server":        {"foundry", "store", "views", "static", "server/demo", "server/ageing", "server/cert", "server/photo", "server/api", "server/copies", "server/label"},
		"server/demo":   {"foundry", "store", "server/photo"},
		"server/ageing": {"foundry", "store"},
		"server/cert":   nil,
		"server/copies": {"store"},
		"server/photo":  nil,
		"server/label":  nil,
		"server/api":    {"foundry"},
		"migrations":    nil,
		"static":        nil,
		"testdata":      nil,
	}
	for line := range strings.Lines(string(out)) {
		from, imports, _ := strings.Cut(strings.TrimSpace(line), ":")
		room := roomOf(from)
		require.Contains(t, may, room, "a package outside the house: %s", from)
		for _, to := range strings.Fields(imports) {
			if strings.HasPrefix(to, "drosswise/") {
				assert.Contains(t, may[room], roomOf(to), "%s imports %s", from, to)
			}
			if room == "foundry" {
				assert.False(t, slices.Contains([]string{"context", "database/sql", "net/http", "os", "io/fs"}, to), "%s imports %s: the trade does no I/O", from, to)
			}
		}
	}
}

// roomOf gives the folder below the house's that a package is in; the demo,
// what reads wear, certificates, what reads photos, what programs are told and labels are rooms of their own,
// which know no pages.
func roomOf(path string) string {
	path = strings.TrimPrefix(path, "drosswise/")
	if slices.Contains([]string{"server/demo", "server/ageing", "server/cert", "server/photo", "server/api", "server/copies", "server/label"}, path) {
		return path
	}
	room, _, _ := strings.Cut(path, "/")
	return room
}
