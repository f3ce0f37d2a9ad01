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
		"foundry":    {"foundry"},
		"store":      {"foundry", "migrations"},
		"views":      {"foundry", "static"},
		"server":     {"foundry", "store", "views", "static"},
		"migrations": nil,
		"static":     nil,
		"testdata":   nil,
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

func roomOf(path string) string {
	room, _, _ := strings.Cut(strings.TrimPrefix(path, "drosswise/"), "/")
	return room
}
