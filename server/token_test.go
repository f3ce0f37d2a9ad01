package main

import (
	"context"
	"database/sql"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/store"
)

// machine is a program of somebody's, which has a token and no cookies.
type machine struct {
	*phone
	token string
}

// machine makes a program with a token of a person's.
func (s *shed) machine(t testing.TB, name string, scope store.Scope) *machine {
	t.Helper()
	p, _, err := s.store.PersonNamed(context.Background(), name)
	require.NoError(t, err)
	text, err := s.store.MakeToken(context.Background(), p.ID, "logger in the shed", scope, s.store.Now()+quantity.Moment(30*24*quantity.Hour))
	require.NoError(t, err)
	return &machine{phone: s.phone(t), token: text}
}

// ask sends a request with a body of JSON, "" for none.
func (p *machine) ask(method, path, body string, header ...string) got {
	p.t.Helper()
	header = append([]string{"Authorization", "Bearer " + p.token, "Content-Type", "application/json"}, header...)
	return p.do(method, path, strings.NewReader(body), header...)
}

func TestTokenIsShownOnceAndKeptHashed(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	made := p.send(p.fill("/account/tokens", "/account/tokens", "name", "Logger", "scope", "read", "days", "30"))
	require.Equal(t, http.StatusOK, made.status)
	at := strings.Index(made.body, "drosswise-")
	require.Positive(t, at)
	text := made.body[at : at+len("drosswise-")+26]

	q := &machine{phone: s.phone(t), token: text}
	assert.Equal(t, http.StatusOK, q.ask(get, "/api/v1/due", "").status)
	list := p.open("/account/tokens").body
	assert.NotContains(t, list, text)
	assert.Contains(t, list, "Logger")
	assert.Contains(t, list, "Last used about")

	var kept int
	raw, err := sql.Open("sqlite", "file:"+filepath.Join(s.dir, store.FileName)+"?mode=ro")
	require.NoError(t, err)
	defer raw.Close()
	require.NoError(t, raw.QueryRow("SELECT count(*) FROM token WHERE hash = ? OR name = ?", []byte(text), text).Scan(&kept))
	assert.Zero(t, kept, "the text itself is kept nowhere")

	p.save(p.fill("/account/tokens", "/account/tokens/1/end"))
	refused := q.ask(get, "/api/v1/due", "")
	assert.Equal(t, http.StatusUnauthorized, refused.status)
	assert.Contains(t, refused.header.Get("WWW-Authenticate"), `error="invalid_token"`)
	assert.Equal(t, "application/problem+json", refused.header.Get("Content-Type"))
}

func TestTokenNeedsANameAndAScope(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	refused := p.send(p.fill("/account/tokens", "/account/tokens", "name", "", "scope", "everything"))
	assert.Equal(t, http.StatusUnprocessableEntity, refused.status)
	assert.Contains(t, refused.body, "Say what the token is for")
	assert.Contains(t, refused.body, "Choose one of these.")
}

// TestTokenReachesAsFarAsItsScope asks every address with tokens of every scope:
// what a scope does not reach is refused, whatever the person may do.
func TestTokenReachesAsFarAsItsScope(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	for _, scope := range []store.Scope{store.ScopeReadings, store.ScopeRead, store.ScopeLog, store.ScopeAll} {
		q := s.machine(t, "Workshop", scope)
		for _, rt := range s.routes() {
			if strings.HasSuffix(rt.pattern, "/live") {
				continue
			}
			api := strings.HasPrefix(rt.pattern, "/api/") || rt.pattern == "/metrics"
			reached := false
			switch scope {
			case store.ScopeReadings:
				reached = rt.method == post && rt.pattern == readingsPattern
			case store.ScopeRead:
				reached = rt.method == get && rt.pattern != exportPath && rt.pattern != copyPath && (api || strings.HasSuffix(rt.pattern, ".csv") || strings.HasSuffix(rt.pattern, ".jpg"))
			case store.ScopeLog, store.ScopeAll:
				reached = api || strings.HasSuffix(rt.pattern, ".csv") || strings.HasSuffix(rt.pattern, ".jpg")
			}
			path := strings.NewReplacer("{id}", "999", "{code}", "Z99-999", "{line}", "999", "{lot}", "999", "{token}", "none").Replace(rt.pattern)
			g := q.ask(rt.method, path, "{}")
			told := strings.Contains(g.body, answerTo(errScope).title)
			assert.Equal(t, !reached, told, "%s: %s %s: %d", scope, rt.method, rt.pattern, g.status)
			assert.NotEqual(t, http.StatusInternalServerError, g.status)
		}
		assert.Equal(t, http.StatusNotFound, q.ask(get, "/api/v1/mlets", "").status, "a mistyped address is no matter of scope")
		assert.Equal(t, http.StatusMethodNotAllowed, q.ask(http.MethodDelete, "/api/v1/melts", "").status)
	}
}

// TestTokenDiesWithItsTimeAndItsPerson also holds that a cookie sent beside a
// token adds nothing to it.
func TestTokenDiesWithItsTimeAndItsPerson(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	q := s.machine(t, "Workshop", store.ScopeRead)
	require.Equal(t, http.StatusOK, q.ask(get, "/api/v1/due", "").status)
	s.pass(30*24*time.Hour + time.Second)
	assert.Equal(t, http.StatusUnauthorized, q.ask(get, "/api/v1/due", "").status)

	beside := p.do(get, "/api/v1/due", nil, "Authorization", "Bearer drosswise-nothing")
	assert.Equal(t, http.StatusUnauthorized, beside.status)

	ctx := context.Background()
	link, _, err := s.store.Invite(ctx, 1, "melter")
	require.NoError(t, err)
	second, err := s.store.Join(ctx, link, "Second", "x")
	require.NoError(t, err)
	r := s.machine(t, "Second", store.ScopeAll)
	require.Equal(t, http.StatusOK, r.ask(get, "/api/v1/due", "").status)
	require.NoError(t, s.store.EndPerson(ctx, 1, second.ID))
	assert.Equal(t, http.StatusUnauthorized, r.ask(get, "/api/v1/due", "").status)
}

// TestTokenOfAnotherIsNotEnded asks for the end of somebody else's token.
func TestTokenOfAnotherIsNotEnded(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	q := s.machine(t, "Workshop", store.ScopeRead)
	assert.ErrorIs(t, s.store.EndToken(context.Background(), 999, 1), store.ErrNotFound)
	assert.Equal(t, http.StatusOK, q.ask(get, "/api/v1/due", "").status)
}
