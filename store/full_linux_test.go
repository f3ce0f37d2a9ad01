package store_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// fullDisk, when set, makes this test binary a program that has a small disk of
// its own mounted there, in a namespace that ends with it.
const fullDisk = "DROSSWISE_TEST_FULL_DISK"

// A full disk refuses a backup and a restore, and harms neither the older copy
// nor the shop that is there. The disk is a real one as the kernel sees it: a
// tmpfs of a fixed size.
func TestFullDisk(t *testing.T) {
	if dir := os.Getenv(fullDisk); dir != "" {
		require.NoError(t, syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=1m"))
		onFullDisk(t, dir)
		return
	}
	program := exec.Command(os.Args[0], "-test.run=^TestFullDisk$", "-test.v")
	program.Env = append(os.Environ(), fullDisk+"="+t.TempDir())
	program.SysProcAttr = &syscall.SysProcAttr{
		Cloneflags:  syscall.CLONE_NEWUSER | syscall.CLONE_NEWNS,
		UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}},
		GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}},
	}
	out, err := program.CombinedOutput()
	if out := string(out); err != nil && (out == "" || strings.Contains(out, "operation not permitted")) {
		t.Skipf("the kernel lets nobody mount a disk here: %v %s", err, out)
	}
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "--- PASS: TestFullDisk")
}

// onFullDisk has 1 MB, of which the shop that is there leaves less than a copy
// needs.
func onFullDisk(t *testing.T, disk string) {
	s, ctx := newPeopled(t), t.Context()
	first := filepath.Join(t.TempDir(), "first")
	require.NoError(t, store.Backup(ctx, s.dir, first))
	good, err := os.ReadFile(first)
	require.NoError(t, err)
	require.Less(t, len(good), 900<<10, "the shop has outgrown the disk of this test")
	there := filepath.Join(disk, store.FileName)
	require.NoError(t, os.WriteFile(there, good, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(disk, "rest"), make([]byte, 1<<20-len(good)-100<<10), 0o600))
	onlyThat := func() {
		t.Helper()
		names, err := filepath.Glob(filepath.Join(disk, "*"))
		require.NoError(t, err)
		assert.Equal(t, []string{there, filepath.Join(disk, "rest")}, names, "nothing is left behind")
		now, err := os.ReadFile(there)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(good, now), "what was there is untouched")
	}

	assert.ErrorIs(t, store.Backup(ctx, s.dir, filepath.Join(disk, "second")), store.ErrNoRoom)
	onlyThat()
	_, err = store.Restore(ctx, first, disk, true, time.Now())
	assert.ErrorIs(t, err, store.ErrNoRoom)
	onlyThat()

	require.NoError(t, os.Remove(filepath.Join(disk, "rest")))
	kept, err := store.Restore(ctx, first, disk, true, time.Now())
	if len(good) < 500<<10 { // there is room for both now
		require.NoError(t, err)
		assert.FileExists(t, kept)
	}
}
