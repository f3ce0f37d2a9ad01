package store_test

import (
	"context"
	"database/sql"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// handClock is a clock that stands until it is moved.
type handClock struct {
	mu sync.Mutex
	at time.Time
}

func (c *handClock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *handClock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// peopled is a shop with an owner and a melter.
type peopled struct {
	*store.Store
	dir           string
	clock         *handClock
	owner, melter store.Person
}

const oneDay = 24 * time.Hour

func emptyShop(t *testing.T) peopled {
	t.Helper()
	s := peopled{dir: t.TempDir(), clock: &handClock{at: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}}
	var err error
	s.Store, err = store.Open(t.Context(), s.dir, s.clock.now)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

func newPeopled(t *testing.T) peopled {
	t.Helper()
	s, ctx := emptyShop(t), t.Context()
	link, _, err := s.FirstLink(ctx)
	require.NoError(t, err)
	s.owner, err = s.SetUp(ctx, link, "Shed keeper", "hash of the owner", settled)
	require.NoError(t, err)
	link, _, err = s.Invite(ctx, s.owner.ID, "melter")
	require.NoError(t, err)
	s.melter, err = s.Join(ctx, link, "Tuesday crew", "hash of the melter")
	require.NoError(t, err)
	return s
}

// settled are settings that can be kept.
var settled = store.Shop{Name: "Spoke & Crank", Zone: "Europe/London", MassUnit: "kg", Currency: "GBP", Ambient: 1800}

func TestSetUpLinkWorksOnceAndOnlyTheLatest(t *testing.T) {
	s, ctx := emptyShop(t), t.Context()
	early, _, err := s.FirstLink(ctx)
	require.NoError(t, err)
	late, expires, err := s.FirstLink(ctx)
	require.NoError(t, err)
	assert.Equal(t, 7*oneDay, expires.Time().Sub(s.clock.now()))

	_, err = s.SetUp(ctx, early, "Nobody", "h", settled)
	assert.ErrorIs(t, err, store.ErrNotFound, "a new start makes the earlier link void")
	_, err = s.Join(ctx, late, "Nobody", "h")
	assert.ErrorIs(t, err, store.ErrNotFound, "the first link makes no owner without setting the shop up")
	v, err := s.Invitation(ctx, late)
	require.NoError(t, err)
	assert.True(t, v.First)

	owner, err := s.SetUp(ctx, late, "Shed keeper", "h", settled)
	require.NoError(t, err)
	assert.Equal(t, "owner", owner.Role)
	shop, err := s.Shop(ctx)
	require.NoError(t, err)
	assert.True(t, shop.Ready)
	assert.Equal(t, "Spoke & Crank", shop.Name)

	_, err = s.SetUp(ctx, late, "Second", "h", settled)
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, _, err = s.FirstLink(ctx)
	assert.ErrorIs(t, err, store.ErrConflict)
}

func TestLinksExpire(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	link, _, err := s.Invite(ctx, s.owner.ID, "reader")
	require.NoError(t, err)
	s.clock.pass(7*oneDay - time.Minute)
	_, err = s.Invitation(ctx, link)
	assert.NoError(t, err)
	s.clock.pass(time.Minute)
	_, err = s.Join(ctx, link, "Late", "h")
	assert.ErrorIs(t, err, store.ErrNotFound)
}

func TestTokensAreKeptHashed(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	link, _, err := s.Invite(ctx, s.owner.ID, "reader")
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(link), 26, "26 letters of base 32 are 130 bits")
	db, err := sql.Open("sqlite", "file:"+filepath.Join(s.dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("SELECT token_hash FROM invitation")
	require.NoError(t, err)
	defer rows.Close()
	n := 0
	for rows.Next() {
		var hash string
		require.NoError(t, rows.Scan(&hash))
		assert.Len(t, hash, 64)
		assert.NotContains(t, strings.ToUpper(hash), link)
		n++
	}
	assert.Equal(t, 3, n)
}

func TestNamesAreUnique(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	link, _, err := s.Invite(ctx, s.owner.ID, "reader")
	require.NoError(t, err)
	_, err = s.Join(ctx, link, "tuesday CREW", "h")
	assert.ErrorIs(t, err, store.ErrConflict)
	_, err = s.Join(ctx, link, "Ölofen", "h")
	require.NoError(t, err, "a refused name leaves the link as it was")

	link, _, err = s.Invite(ctx, s.owner.ID, "reader")
	require.NoError(t, err)
	_, err = s.Join(ctx, link, "öLOFEN", "h")
	assert.ErrorIs(t, err, store.ErrConflict, "letters beyond ASCII have cases too")
	require.NoError(t, s.EndPerson(ctx, s.owner.ID, s.melter.ID))
	_, err = s.Join(ctx, link, "Tuesday crew", "h")
	assert.ErrorIs(t, err, store.ErrConflict, "what an ended account wrote keeps its name")
}

func TestLastOwnerStays(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	assert.ErrorIs(t, s.EndPerson(ctx, s.owner.ID, s.owner.ID), store.ErrLastOwner)
	assert.ErrorIs(t, s.SetRole(ctx, s.owner.ID, s.owner.ID, "melter"), store.ErrLastOwner)
	require.NoError(t, s.SetRole(ctx, s.owner.ID, s.melter.ID, "owner"))
	require.NoError(t, s.SetRole(ctx, s.melter.ID, s.owner.ID, "reader"))
	assert.ErrorIs(t, s.EndPerson(ctx, s.melter.ID, s.melter.ID), store.ErrLastOwner)
	p, err := s.Person(ctx, s.owner.ID)
	require.NoError(t, err)
	assert.Equal(t, "reader", p.Role)
	assert.ErrorIs(t, s.SetRole(ctx, s.melter.ID, 99, "reader"), store.ErrNotFound)
}

// Two owners who end one another at the same time leave one.
func TestLastOwnerStaysUnderRace(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	require.NoError(t, s.SetRole(ctx, s.owner.ID, s.melter.ID, "owner"))
	var group sync.WaitGroup
	for _, id := range []int64{s.owner.ID, s.melter.ID} {
		group.Go(func() { s.EndPerson(context.Background(), id, id) })
	}
	group.Wait()
	all, err := s.People(ctx)
	require.NoError(t, err)
	standing := 0
	for _, p := range all {
		if p.Ended == nil {
			standing++
		}
	}
	assert.Equal(t, 1, standing)
}

func TestEndingAnAccount(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	phone, err := s.SignIn(ctx, s.melter.ID, "Firefox on Android")
	require.NoError(t, err)
	reset, _, err := s.ResetLink(ctx, s.owner.ID, s.melter.ID)
	require.NoError(t, err)
	require.NoError(t, s.EndPerson(ctx, s.owner.ID, s.melter.ID))
	require.NoError(t, s.EndPerson(ctx, s.owner.ID, s.melter.ID), "twice is once")

	_, _, err = s.Who(ctx, phone)
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.SignIn(ctx, s.melter.ID, "Firefox on Android")
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.Reset(ctx, reset, "h")
	assert.ErrorIs(t, err, store.ErrNotFound, "an earlier link does not bring the account back")

	reset, _, err = s.ResetLink(ctx, s.owner.ID, s.melter.ID)
	require.NoError(t, err)
	back, err := s.Reset(ctx, reset, "new hash")
	require.NoError(t, err)
	assert.Nil(t, back.Ended)
	assert.Equal(t, "melter", back.Role)
	_, _, err = s.Who(ctx, phone)
	assert.ErrorIs(t, err, store.ErrNotFound, "coming back does not revive sign-ins")
	_, err = s.SignIn(ctx, s.melter.ID, "Firefox on Android")
	assert.NoError(t, err)
}

func TestLinksOfAnOwnerEndWithTheRole(t *testing.T) {
	for name, stop := range map[string]func(s peopled, second int64) error{
		"ended":   func(s peopled, second int64) error { return s.EndPerson(t.Context(), s.owner.ID, second) },
		"demoted": func(s peopled, second int64) error { return s.SetRole(t.Context(), s.owner.ID, second, "melter") },
	} {
		t.Run(name, func(t *testing.T) {
			s, ctx := newPeopled(t), t.Context()
			require.NoError(t, s.SetRole(ctx, s.owner.ID, s.melter.ID, "owner"))
			link, _, err := s.Invite(ctx, s.melter.ID, "owner")
			require.NoError(t, err)
			kept, _, err := s.Invite(ctx, s.owner.ID, "reader")
			require.NoError(t, err)
			require.NoError(t, stop(s, s.melter.ID))
			_, err = s.Join(ctx, link, "Back door", "h")
			assert.ErrorIs(t, err, store.ErrNotFound)
			_, err = s.Join(ctx, kept, "Front door", "h")
			assert.NoError(t, err)
		})
	}
}

func TestLinksAreForWhatTheyAreFor(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	join, _, err := s.Invite(ctx, s.owner.ID, "owner")
	require.NoError(t, err)
	reset, _, err := s.ResetLink(ctx, s.owner.ID, s.melter.ID)
	require.NoError(t, err)
	_, err = s.Reset(ctx, join, "h")
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.SetUp(ctx, join, "Second owner", "h", store.Shop{Name: "Taken over", Zone: "UTC", MassUnit: "kg", Currency: "EUR"})
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.Join(ctx, reset, "Somebody", "h")
	assert.ErrorIs(t, err, store.ErrNotFound)
	n, err := s.OpenLinks(ctx)
	require.NoError(t, err)
	assert.Equal(t, 2, n, "what was refused used nothing up")
	require.NoError(t, s.EndLinks(ctx))
	_, err = s.Join(ctx, join, "Somebody", "h")
	assert.ErrorIs(t, err, store.ErrNotFound)
}

func TestSignInsAreSeenHourlyAndEnd(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	id, err := s.SignIn(ctx, s.melter.ID, "Safari on iPhone")
	require.NoError(t, err)
	seen := func() time.Time {
		t.Helper()
		all, err := s.SignIns(ctx, s.melter.ID)
		require.NoError(t, err)
		require.Len(t, all, 1)
		return all[0].Seen.Time()
	}
	start := s.clock.now()
	s.clock.pass(59 * time.Minute)
	who, due, err := s.Who(ctx, id)
	require.NoError(t, err)
	assert.Equal(t, s.melter.Name, who.Name)
	assert.False(t, due, "within the hour nothing is written")
	require.NoError(t, s.Seen(ctx, id))
	assert.Equal(t, start, seen())
	s.clock.pass(time.Minute)
	_, due, err = s.Who(ctx, id)
	require.NoError(t, err)
	assert.True(t, due)
	require.NoError(t, s.Seen(ctx, id))
	assert.Equal(t, start.Add(time.Hour), seen())

	assert.ErrorIs(t, s.EndSignIn(ctx, s.owner.ID, id), store.ErrNotFound, "somebody else's")
	require.NoError(t, s.EndSignIn(ctx, s.melter.ID, id))
	_, _, err = s.Who(ctx, id)
	assert.ErrorIs(t, err, store.ErrNotFound)
}

func TestSignInsRunOut(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	id, err := s.SignIn(ctx, s.melter.ID, "phone")
	require.NoError(t, err)
	s.clock.pass(store.SignInIdle)
	_, _, err = s.Who(ctx, id)
	assert.ErrorIs(t, err, store.ErrNotFound, "30 days without a visit")

	id, err = s.SignIn(ctx, s.melter.ID, "phone")
	require.NoError(t, err)
	for range 8 {
		s.clock.pass(10 * oneDay)
		_, _, err = s.Who(ctx, id)
		require.NoError(t, err)
		require.NoError(t, s.Seen(ctx, id))
	}
	s.clock.pass(10 * oneDay)
	_, _, err = s.Who(ctx, id)
	assert.ErrorIs(t, err, store.ErrNotFound, "90 days, however often it was used")
}

func TestSetPasswordEndsOtherSignIns(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	here, err := s.SignIn(ctx, s.melter.ID, "here")
	require.NoError(t, err)
	there, err := s.SignIn(ctx, s.melter.ID, "there")
	require.NoError(t, err)
	reset, _, err := s.ResetLink(ctx, s.owner.ID, s.melter.ID)
	require.NoError(t, err)
	require.NoError(t, s.SetPassword(ctx, s.melter.ID, s.melter.ID, "another hash", here))
	_, _, err = s.Who(ctx, here)
	assert.NoError(t, err)
	_, _, err = s.Who(ctx, there)
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.Reset(ctx, reset, "h")
	assert.ErrorIs(t, err, store.ErrNotFound)
	_, hash, err := s.PersonNamed(ctx, "TUESDAY crew")
	require.NoError(t, err)
	assert.Equal(t, "another hash", hash)
}

func TestSessions(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	k := s.Sessions()
	// scs tells the expiry by the machine's clock, which is not the shop's here.
	require.NoError(t, k.CommitCtx(ctx, "token", []byte("one"), time.Now().Add(time.Hour)))
	require.NoError(t, k.CommitCtx(ctx, "token", []byte("two"), time.Now().Add(time.Hour)))
	content, found, err := k.FindCtx(ctx, "token")
	require.NoError(t, err)
	assert.True(t, found)
	assert.Equal(t, "two", string(content))
	s.clock.pass(time.Hour)
	_, found, err = k.FindCtx(ctx, "token")
	require.NoError(t, err)
	assert.False(t, found, "expired")

	require.NoError(t, k.CommitCtx(ctx, "token", []byte("three"), time.Now().Add(time.Hour)))
	require.NoError(t, k.DeleteCtx(ctx, "token"))
	_, found, err = k.Find("token")
	require.NoError(t, err)
	assert.False(t, found)
}

// What was done to people is kept with who did it; a password never is.
func TestChangesAreKept(t *testing.T) {
	s, ctx := newPeopled(t), t.Context()
	require.NoError(t, s.SetRole(ctx, s.owner.ID, s.melter.ID, "reader"))
	require.NoError(t, s.EndPerson(ctx, s.owner.ID, s.melter.ID))
	require.NoError(t, s.SetPassword(ctx, s.owner.ID, s.owner.ID, "secret hash", 0))
	db, err := sql.Open("sqlite", "file:"+filepath.Join(s.dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	var by, n int64
	require.NoError(t, db.QueryRow("SELECT count(*), max(person_id) FROM change WHERE thing = 'person' AND thing_id = ?", s.melter.ID).Scan(&n, &by))
	assert.Equal(t, int64(2), n)
	assert.Equal(t, s.owner.ID, by)
	require.NoError(t, db.QueryRow("SELECT count(*) FROM change WHERE was LIKE '%hash%' OR became LIKE '%hash%'").Scan(&n))
	assert.Zero(t, n)
}
