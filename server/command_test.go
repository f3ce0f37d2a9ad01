package main

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// command runs the program with arguments and gives what it says.
func (d *door) command(args ...string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	env := func(name string) string { return map[string]string{"DROSSWISE_DATA": d.dir}[name] }
	status = run(d.t.Context(), args, env, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// The commands work beside the running shop.
func TestUserCommand(t *testing.T) {
	d := newDoor(t, settings{})
	d.pass(time.Since(d.now)) // the command reads the machine's clock
	status, out, _ := d.command("user")
	assert.Equal(t, 0, status)
	assert.Contains(t, out, "Nobody yet.")
	status, out, _ = d.command("user", "-owner")
	assert.Equal(t, 0, status)
	assert.Contains(t, out, "another address or port")
	first := regexp.MustCompile(`/setup/\S+`).FindString(out)
	g := d.guest()
	require.Equal(t, http.StatusSeeOther, g.ask(http.MethodPost, first, setUpForm(), nil).StatusCode)

	status, out, _ = d.command("user")
	assert.Equal(t, 0, status)
	assert.Regexp(t, `Shed keeper +owner +\d+ \w+ \d{4} +1 +\d+ \w+ \d{4} \d\d:\d\d\n`, out)
	status, _, errOut := d.command("user", "-reset", "Nobody")
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "nobody here is called")

	status, out, errOut = d.command("user", "-reset", "shed keeper", "-origin", "http://shed.example")
	assert.Equal(t, 0, status, errOut)
	link := joinLink.FindStringSubmatch(out)
	require.NotNil(t, link, out)
	const changed = "a dozen dry moulds"
	require.Equal(t, http.StatusSeeOther, d.guest().post(link[1], "password", changed, "again", changed).StatusCode)
	assert.False(t, g.in(), "signed out where the old password was used")
	assert.Equal(t, http.StatusSeeOther, g.signsIn("Shed keeper", changed).StatusCode)
	status, _, errOut = d.command("user", "-owner", "-reset", "x")
	assert.Equal(t, 2, status, errOut)
}

func TestTwoDoNotServeOneFolder(t *testing.T) {
	d := newDoor(t, settings{})
	release, err := store.Hold(t.Context(), d.dir)
	require.NoError(t, err)
	status, _, errOut := d.command("serve", "-addr", "127.0.0.1:0")
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "are being served already. Stop that server first")
	require.NoError(t, release())
}

// Each request is in the log of who asks for that.
func TestRequestsAreLogged(t *testing.T) {
	for level, logged := range map[string]bool{"debug": true, "info": false} {
		ctx, stop := context.WithCancel(t.Context())
		out, says := io.Pipe()
		var log bytes.Buffer
		ended := make(chan int)
		go func() {
			env := func(name string) string { return map[string]string{"DROSSWISE_LOG": level}[name] }
			ended <- run(ctx, []string{"-addr", "127.0.0.1:0", "-data", t.TempDir()}, env, strings.NewReader(""), says, &log)
			says.Close()
		}()
		home := ""
		for lines := bufio.NewScanner(out); home == "" && lines.Scan(); {
			home = regexp.MustCompile(`http://127\.0\.0\.1:\d+`).FindString(lines.Text())
		}
		go io.Copy(io.Discard, out)
		res, err := http.Get(home + "/healthz")
		require.NoError(t, err)
		require.NoError(t, res.Body.Close())
		stop()
		require.Equal(t, 0, <-ended, log.String())
		assert.Equal(t, logged, strings.Contains(log.String(), "route=/healthz"), level)
	}
	d := newDoor(t, settings{})
	status, _, errOut := d.command("serve", "-log", "loud")
	assert.Equal(t, 2, status, errOut)
}

func TestCommandsNeedAShop(t *testing.T) {
	d := newDoor(t, settings{})
	empty := t.TempDir()
	for _, args := range [][]string{{"user"}, {"rebuild"}, {"backup", "-to", filepath.Join(empty, "b")}} {
		status, _, errOut := d.command(append(args, "-data", empty)...)
		assert.Equal(t, 1, status, args)
		assert.Contains(t, errOut, "there is no shop in", args)
	}
	names, err := os.ReadDir(empty)
	require.NoError(t, err)
	assert.Empty(t, names, "and make none")
	for _, args := range [][]string{{"backup"}, {"restore"}, {"nonsense"}, {"backup", "-to", "x", "y"}, {"rebuild", "-what"}} {
		status, _, _ := d.command(args...)
		assert.Equal(t, 2, status, args)
	}
	status, _, errOut := d.command("backup", "-h")
	assert.Equal(t, 0, status)
	assert.Contains(t, errOut, "never overwritten")
}

func TestBackupAndRestoreCommands(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	to := filepath.Join(t.TempDir(), "shop.db")
	status, out, errOut := d.command("backup", "-to", to)
	require.Equal(t, 0, status, errOut)
	assert.Contains(t, out, "found whole")
	status, _, errOut = d.command("backup", "-to", to)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "is not overwritten")

	status, _, errOut = d.command("restore", "-from", to)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "With -replace")
	status, _, errOut = d.command("restore", "-from", to, "-replace")
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "is running. Stop it first")
	assert.True(t, g.in(), "and nothing happened to it")

	require.NoError(t, d.store.Close())
	status, out, errOut = d.command("restore", "-from", to, "-replace")
	require.Equal(t, 0, status, errOut)
	assert.Contains(t, out, "is kept as")
	status, out, errOut = d.command("user")
	assert.Equal(t, 0, status, errOut)
	assert.Contains(t, out, "Shed keeper")
	status, out, errOut = d.command("rebuild")
	assert.Equal(t, 0, status, errOut)
	assert.Contains(t, out, "The figures of 0 melts")

	status, out, errOut = d.command("restore", "-from", to, "-check")
	assert.Equal(t, 0, status, errOut)
	assert.Contains(t, out, "is whole")
	assert.Contains(t, out, "with 0 melts, 0 lines and 0 photos")
	status, _, _ = d.command("restore", "-from", to, "-check", "-replace")
	assert.Equal(t, 2, status)

	// A sentence for each thing that a backup may be instead of one.
	whole, err := os.ReadFile(to)
	require.NoError(t, err)
	for says, content := range map[string][]byte{
		"is no backup of a shop":                  []byte("not a backup"),
		"is cut short or damaged":                 whole[:len(whole)/2],
		"was made by a newer version":             newerThan(t, to),
		"there is no file":                        nil,
		"lacks what was saved last. Nothing was ": whole,
	} {
		from := filepath.Join(t.TempDir(), "backup")
		if content != nil {
			require.NoError(t, os.WriteFile(from, content, 0o600))
		}
		if len(content) == len(whole) && strings.HasPrefix(says, "lacks") {
			require.NoError(t, os.WriteFile(from+"-wal", []byte("a log"), 0o600))
		}
		empty := filepath.Join(t.TempDir(), "data")
		status, _, errOut = d.command("restore", "-from", from, "-data", empty)
		assert.Equal(t, 1, status)
		assert.Contains(t, errOut, says)
		assert.Contains(t, errOut, "Nothing was changed")
		assert.NoDirExists(t, empty)
	}
}

// newerThan gives a backup as a newer version would make it.
func newerThan(t *testing.T, backup string) []byte {
	whole, err := os.ReadFile(backup)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "newer")
	require.NoError(t, os.WriteFile(path, whole, 0o600))
	db, err := sql.Open("sqlite", "file:"+path)
	require.NoError(t, err)
	_, err = db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)")
	require.NoError(t, err)
	require.NoError(t, db.Close())
	newer, err := os.ReadFile(path)
	require.NoError(t, err)
	return newer
}
