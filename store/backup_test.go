package store_test

import (
	"bytes"
	"context"
	"database/sql"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

func TestBackupWhileInUseAndRestore(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	signin, err := s.SignIn(ctx, s.melter.ID, "phone")
	require.NoError(t, err)
	link, _, err := s.Invite(ctx, s.owner.ID, "owner")
	require.NoError(t, err)
	to := filepath.Join(t.TempDir(), "shop?of #1.backup") // a name that an address would cut short

	done := make(chan struct{})
	go func() { // somebody saves all the while
		defer close(done)
		for i := range 50 {
			p := settled
			p.Ambient += 1
			p.Comma, p.Ready = i%2 == 0, true
			s.SetShop(context.Background(), s.owner.ID, p)
		}
	}()
	require.NoError(t, store.Backup(ctx, s.dir, to))
	<-done
	assert.ErrorIs(t, store.Backup(ctx, s.dir, to), fs.ErrExist, "never overwrites")
	names, err := os.ReadDir(filepath.Dir(to))
	require.NoError(t, err)
	assert.Len(t, names, 1, "a backup is one file")

	held, err := store.Inspect(ctx, to)
	require.NoError(t, err)
	assert.Equal(t, settled.Name, held.Shop)
	dir := filepath.Join(t.TempDir(), "new")
	kept, err := store.Restore(ctx, to, dir, false, time.Now())
	require.NoError(t, err)
	assert.Empty(t, kept)
	back, err := store.Open(ctx, dir, s.clock.now)
	require.NoError(t, err)
	defer back.Close()
	all, err := back.People(ctx)
	require.NoError(t, err)
	assert.Len(t, all, 2)
	_, _, err = back.Who(ctx, signin)
	assert.ErrorIs(t, err, store.ErrNotFound, "everybody signs in again")
	_, err = back.Invitation(ctx, link)
	assert.ErrorIs(t, err, store.ErrNotFound)
}

func TestBackupNeedsADatabase(t *testing.T) {
	dir := t.TempDir()
	to := filepath.Join(dir, "backup")
	assert.ErrorIs(t, store.Backup(t.Context(), dir, to), fs.ErrNotExist)
	names, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, names, "nothing was made")
}

func TestRestoreOverAShop(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	to := filepath.Join(t.TempDir(), "backup")
	require.NoError(t, store.Backup(ctx, s.dir, to))
	now := time.Date(2026, 11, 3, 14, 46, 5, 0, time.UTC)

	_, err := store.Restore(ctx, to, s.dir, false, now)
	assert.ErrorIs(t, err, store.ErrOccupied)
	_, err = store.Restore(ctx, to, s.dir, true, now)
	assert.ErrorIs(t, err, store.ErrInUse, "the shop is running")
	require.NoError(t, s.SetTheme(ctx, s.owner.ID, "dark"), "and keeps running")

	require.NoError(t, s.Close())
	kept, err := store.Restore(ctx, to, s.dir, true, now)
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(s.dir, store.FileName+".replaced-20261103-144605"), kept)
	theme := func(dir string) string {
		st, err := store.Open(ctx, dir, s.clock.now)
		require.NoError(t, err)
		defer st.Close()
		p, err := st.Person(ctx, s.owner.ID)
		require.NoError(t, err)
		return p.Theme
	}
	assert.Empty(t, theme(s.dir), "as it was at the backup")
	old := t.TempDir()
	require.NoError(t, os.Rename(kept, filepath.Join(old, store.FileName)))
	assert.Equal(t, "dark", theme(old), "what was replaced is whole")

	for _, end := range []string{"", "-2", "-3"} {
		kept, err := store.Restore(ctx, to, s.dir, true, now)
		require.NoError(t, err, "several times in one second")
		assert.Equal(t, filepath.Join(s.dir, store.FileName+".replaced-20261103-144605"+end), kept)
	}
}

// A log left behind by another database must not be played into this one.
func TestRestoreBesideAStrayLog(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	to := filepath.Join(t.TempDir(), "backup")
	require.NoError(t, store.Backup(ctx, s.dir, to))
	log, err := os.ReadFile(filepath.Join(s.dir, store.FileName+"-wal"))
	require.NoError(t, err)
	require.NotEmpty(t, log)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, store.FileName+"-wal"), log, 0o600))
	_, err = store.Restore(ctx, to, dir, false, time.Now())
	require.NoError(t, err)
	_, err = os.Stat(filepath.Join(dir, store.FileName+"-wal"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

func TestRestoreRefusesWhatIsNoBackup(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	good := filepath.Join(t.TempDir(), "backup")
	require.NoError(t, store.Backup(ctx, s.dir, good))
	whole, err := os.ReadFile(good)
	require.NoError(t, err)

	torn := append([]byte(nil), whole...)
	for i := len(torn) / 2; i < len(torn)/2+3000; i++ {
		torn[i] ^= 0xa5
	}
	other := filepath.Join(t.TempDir(), "other.db")
	db, err := sql.Open("sqlite", "file:"+other)
	require.NoError(t, err)
	_, err = db.Exec("CREATE TABLE shop (name TEXT)")
	require.NoError(t, err)
	require.NoError(t, db.Close())
	foreign, err := os.ReadFile(other)
	require.NoError(t, err)

	for name, file := range map[string]struct {
		content []byte
		why     error
	}{
		"text":                   {[]byte("not a database, but long enough to have a look at: " + string(make([]byte, 4096))), store.ErrNotBackup},
		"database of other make": {foreign, store.ErrNotBackup},
		"torn":                   {torn, store.ErrDamaged},
		"short":                  {whole[:len(whole)/2], store.ErrDamaged},
		"shorter by one page":    {whole[:len(whole)-4096], store.ErrDamaged},
		"shorter than a header":  {whole[:40], store.ErrDamaged},
		"empty":                  {nil, store.ErrDamaged},
	} {
		t.Run(name, func(t *testing.T) {
			from := filepath.Join(t.TempDir(), "backup")
			require.NoError(t, os.WriteFile(from, file.content, 0o600))
			_, err := store.Inspect(ctx, from)
			assert.ErrorIs(t, err, file.why)
			dir := t.TempDir()
			place := filepath.Join(dir, store.FileName)
			require.NoError(t, os.WriteFile(place, whole, 0o600))
			_, err = store.Restore(ctx, from, dir, true, time.Now())
			assert.ErrorIs(t, err, file.why)
			names, err := os.ReadDir(dir)
			require.NoError(t, err)
			assert.Len(t, names, 1, "nothing is left behind")
			there, err := os.ReadFile(place)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(whole, there), "the old data is untouched")
		})
	}
	t.Run("file of a running shop", func(t *testing.T) {
		_, err := store.Restore(ctx, filepath.Join(s.dir, store.FileName), t.TempDir(), false, time.Now())
		assert.ErrorIs(t, err, store.ErrLive, "its log is not in it")
	})
	t.Run("from a newer version", func(t *testing.T) {
		newer := newPeopled(t)
		require.NoError(t, newer.Close())
		behindItsBack(t, newer.dir, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)")
		_, err := store.Restore(ctx, filepath.Join(newer.dir, store.FileName), t.TempDir(), false, time.Now())
		assert.ErrorIs(t, err, store.ErrNewer)
	})
}

// behindItsBack changes a database behind the store's back.
func behindItsBack(t *testing.T, dir, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	_, err = db.Exec(statement)
	require.NoError(t, err)
	require.NoError(t, db.Close())
}
