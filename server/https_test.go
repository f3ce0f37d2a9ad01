package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/cert"
)

// said collects what a program that is running prints.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(b)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// served is the program running on two ports of this machine.
type served struct {
	t             *testing.T
	data          string
	plain, secure string // addresses
	out           *said
	stop          func()
}

// serveBoth runs the program as a person starts it, on ports that are free.
func serveBoth(t *testing.T, data string, args ...string) *served {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	s := &served{t: t, data: data, out: &said{}}
	ended := make(chan int, 1)
	args = append([]string{"serve", "-data", data, "-addr", "127.0.0.1:0", "-https-addr", "127.0.0.1:0"}, args...)
	go func() {
		ended <- run(ctx, args, func(string) string { return "" }, strings.NewReader(""), s.out, t.Output())
	}()
	s.stop = sync.OnceFunc(func() {
		cancel()
		assert.Zero(t, <-ended)
	})
	t.Cleanup(s.stop)
	find := func(pattern string) string {
		var found []string
		require.Eventually(t, func() bool {
			found = regexp.MustCompile(pattern).FindStringSubmatch(s.out.String())
			return found != nil
		}, patience, 5*time.Millisecond, "%s", s.out)
		return found[1]
	}
	s.plain, s.secure = find(`serves on (http://\S+)\n`), find(`serves on (https://\S+)\n`)
	require.Eventually(t, func() bool { res, err := http.Get(s.plain + "/healthz"); return err == nil && res.Body.Close() == nil }, patience, 5*time.Millisecond)
	return s
}

// browser trusts an authority and keeps cookies.
func (s *served) browser(authority []byte) *http.Client {
	s.t.Helper()
	pool := x509.NewCertPool()
	if authority != nil {
		root, err := x509.ParseCertificate(authority)
		require.NoError(s.t, err)
		pool.AddCert(root)
	}
	jar, err := cookiejar.New(nil)
	require.NoError(s.t, err)
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, ForceAttemptHTTP2: true}
	s.t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{Transport: transport, Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// authority reads the authority's certificate from the folder of the data.
func (s *served) authority() []byte {
	s.t.Helper()
	text, err := os.ReadFile(filepath.Join(s.data, cert.Folder, "authority.pem"))
	require.NoError(s.t, err)
	block, _ := pem.Decode(text)
	require.Equal(s.t, "CERTIFICATE", block.Type)
	return block.Bytes
}

// answer asks with the browser and gives the answer with its text.
func (s *served) answer(b *http.Client, address string, form url.Values) (*http.Response, string) {
	s.t.Helper()
	ask := b.Get
	if form != nil {
		ask = func(address string) (*http.Response, error) { return b.PostForm(address, form) }
	}
	res, err := ask(address)
	require.NoError(s.t, err)
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	require.NoError(s.t, err)
	return res, string(text)
}

func TestBothPortsServeTheShop(t *testing.T) {
	s := serveBoth(t, t.TempDir(), "-https", "-names", "melts.example.org")
	b := s.browser(s.authority())
	_, port, err := net.SplitHostPort(strings.TrimPrefix(s.secure, "https://"))
	require.NoError(t, err)
	for _, home := range []string{s.plain, s.secure, "https://localhost:" + port} {
		res, text := s.answer(b, home+"/healthz", nil)
		assert.Equal(t, "ok", text, home)
		assert.Empty(t, res.Header.Get("Strict-Transport-Security"), "it would lock http out on the same name")
		if res.TLS != nil {
			assert.Equal(t, 2, res.ProtoMajor, home)
		}
	}
	_, err = s.browser(nil).Get(s.secure + "/healthz")
	var untrusted *tls.CertificateVerificationError
	assert.ErrorAs(t, err, &untrusted, "a browser that was not told to trust it")
	assert.Contains(t, s.out.String(), fmt.Sprintf("% X", sha256.Sum256(s.authority())))
	assert.Contains(t, s.out.String(), "melts.example.org")
	assert.Contains(t, s.out.String(), "Only this machine reaches it.")

	_, err = tls.Dial("tcp", strings.TrimPrefix(s.secure, "https://"), &tls.Config{MinVersion: tls.VersionTLS10, MaxVersion: tls.VersionTLS11, InsecureSkipVerify: true})
	assert.ErrorContains(t, err, "protocol version")
	for _, version := range []uint16{tls.VersionTLS12, tls.VersionTLS13} {
		conn, err := tls.Dial("tcp", strings.TrimPrefix(s.secure, "https://"), &tls.Config{MinVersion: version, MaxVersion: version, InsecureSkipVerify: true})
		if assert.NoError(t, err) {
			conn.Close()
		}
	}
}

// A browser keeps cookies by name of the machine and not by port: signing in
// over http and over HTTPS must not get into each other's way.
func TestSignInsOfHTTPAndHTTPS(t *testing.T) {
	s := serveBoth(t, t.TempDir(), "-https")
	b := s.browser(s.authority())
	link := regexp.MustCompile(`/setup/\S+`).FindString(s.out.String())
	res, text := s.answer(b, s.secure+link, setUpForm())
	require.Equal(t, http.StatusSeeOther, res.StatusCode, text)
	require.Len(t, res.Cookies(), 1)
	assert.Equal(t, "__Host-drosswise", res.Cookies()[0].Name)
	assert.True(t, res.Cookies()[0].Secure)
	in := func(home string) bool {
		res, _ := s.answer(b, home+"/account", nil)
		return res.StatusCode == http.StatusOK
	}
	assert.True(t, in(s.secure))
	assert.False(t, in(s.plain), "the cookie does not go over http")
	res, text = s.answer(b, s.plain+"/signin", filledIn("name", "Shed keeper", "password", goodPassword))
	require.Equal(t, http.StatusSeeOther, res.StatusCode, text)
	assert.Equal(t, "drosswise", res.Cookies()[0].Name)
	assert.True(t, in(s.plain))
	assert.True(t, in(s.secure))
	_, text = s.answer(b, s.secure+"/shop/people", filledIn("role", "reader"))
	assert.Contains(t, text, s.secure+"/join/", "links are for where the owner is")
	s.answer(b, s.plain+"/signout", url.Values{})
	assert.False(t, in(s.plain))
	assert.True(t, in(s.secure))

	// From one to the other is from another site's page, as ports differ.
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.secure+"/account/theme", strings.NewReader("theme=dark"))
	require.NoError(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", s.plain)
	refused, err := b.Do(r)
	require.NoError(t, err)
	refused.Body.Close()
	assert.Equal(t, http.StatusForbidden, refused.StatusCode)
}

func TestTheAuthorityOutlivesAStart(t *testing.T) {
	data := t.TempDir()
	s := serveBoth(t, data, "-https")
	first := s.authority()
	s.stop()
	s = serveBoth(t, data, "-https", "-names", "late.example.org")
	assert.Equal(t, first, s.authority())
	assert.Contains(t, s.out.String(), "HTTPS does not work under late.example.org")
	_, text := s.answer(s.browser(first), s.secure+"/healthz", nil)
	assert.Equal(t, "ok", text)

	to := filepath.Join(t.TempDir(), "backup.db")
	require.Zero(t, run(t.Context(), []string{"backup", "-data", data, "-to", to}, func(string) string { return "" }, nil, io.Discard, t.Output()))
	copied, err := os.ReadFile(to)
	require.NoError(t, err)
	key, err := os.ReadFile(filepath.Join(data, cert.Folder, "authority.pem"))
	require.NoError(t, err)
	_, rest := pem.Decode(key)
	block, _ := pem.Decode(rest)
	assert.Equal(t, "PRIVATE KEY", block.Type)
	assert.NotContains(t, string(copied), string(block.Bytes), "a backup is no key to the shop's name")
}

func TestOwnCertificateFiles(t *testing.T) {
	made := serveBoth(t, t.TempDir(), "-https") // for files that go together
	own := filepath.Join(made.data, cert.Folder, "server.pem")
	s := serveBoth(t, t.TempDir(), "-cert", own, "-key", own)
	_, text := s.answer(s.browser(made.authority()), s.secure+"/healthz", nil)
	assert.Equal(t, "ok", text)
	assert.NotContains(t, s.out.String(), "fingerprint")
	assert.NoDirExists(t, filepath.Join(s.data, cert.Folder))
}

func TestFlagsOfHTTPS(t *testing.T) {
	data := t.TempDir()
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"-cert", "x"}, 2, "-cert and -key go together"},
		{[]string{"-key", "x"}, 2, "-cert and -key go together"},
		{[]string{"-https", "-cert", "x", "-key", "x"}, 2, "leave -https out"},
		{[]string{"-names", "shed"}, 2, "-names is for -https"},
		{[]string{"-https-addr", ":1"}, 2, "-https-addr is for"},
		{[]string{"-https", "-names", "two words"}, 1, `-names: "two words" is neither a name`},
		{[]string{"-cert", filepath.Join(data, "none"), "-key", filepath.Join(data, "none")}, 1, "no such file"},
		{[]string{"-https", "-https-addr", "127.0.0.1:99999"}, 1, "cannot listen on 127.0.0.1:99999 for HTTPS"},
	} {
		var errOut bytes.Buffer
		status := run(t.Context(), append([]string{"serve", "-addr", "127.0.0.1:0", "-data", data}, c.args...), func(string) string { return "" }, nil, io.Discard, &errOut)
		assert.Equal(t, c.status, status, c.args)
		assert.Contains(t, errOut.String(), c.says, c.args)
	}
}

// Each flag is an environment variable too.
func TestEnvironmentOfHTTPS(t *testing.T) {
	own := filepath.Join(t.TempDir(), "none")
	for _, c := range []struct {
		env  map[string]string
		says string
	}{
		{map[string]string{"DROSSWISE_CERT": own}, "-cert and -key go together"},
		{map[string]string{"DROSSWISE_KEY": own}, "-cert and -key go together"},
		{map[string]string{"DROSSWISE_CERT": own, "DROSSWISE_KEY": own, "DROSSWISE_HTTPS": "1"}, "leave -https out"},
		{map[string]string{"DROSSWISE_NAMES": "shed"}, "-names is for -https"},
		{map[string]string{"DROSSWISE_HTTPS_ADDR": ":1"}, "-https-addr is for"},
	} {
		var errOut bytes.Buffer
		status := run(t.Context(), []string{"-data", t.TempDir()}, func(name string) string { return c.env[name] }, nil, io.Discard, &errOut)
		assert.Equal(t, 2, status, c.env)
		assert.Contains(t, errOut.String(), c.says, c.env)
	}
}

func TestWhereHTTPSListens(t *testing.T) {
	for plain, want := range map[string]string{"0.0.0.0:8372": "0.0.0.0:8374", ":80": ":8374", "[::1]:8372": "[::1]:8374"} {
		got, err := settings{addr: plain}.httpsAddr()
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	got, err := settings{addr: ":80", https: httpsSettings{addr: ":443"}}.httpsAddr()
	require.NoError(t, err)
	assert.Equal(t, ":443", got)
	_, err = settings{addr: "shed"}.httpsAddr()
	assert.ErrorContains(t, err, "-addr")
}

// A phone is led to trust over http, without signing in.
func TestThePageThatLeadsToTrust(t *testing.T) {
	s := serveBoth(t, t.TempDir(), "-https")
	stranger := s.browser(nil)
	res, text := s.answer(stranger, s.plain+"/trust", nil)
	require.Equal(t, http.StatusOK, res.StatusCode)
	assert.Contains(t, text, "over plain http")
	shown := regexp.MustCompile(`(?:[0-9A-F]{2} ){31}[0-9A-F]{2}`).FindString(text)
	require.NotEmpty(t, shown)
	assert.Contains(t, s.out.String(), shown, "what was printed")
	assert.Contains(t, text, `href="`+s.secure+`"`, "by the address that the phone knows")

	res, file := s.answer(stranger, s.plain+"/trust/drosswise-ca.crt", nil)
	assert.Equal(t, "application/x-x509-ca-cert", res.Header.Get("Content-Type"))
	assert.Equal(t, string(s.authority()), file, "and no key")
	b := s.browser([]byte(file))
	_, text = s.answer(b, s.secure+"/trust", nil)
	assert.Contains(t, text, "You see this page over HTTPS.")

	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.plain+"/trust", nil)
	require.NoError(t, err)
	r.Host = "club.example"
	odd, err := stranger.Do(r)
	require.NoError(t, err)
	defer odd.Body.Close()
	page, err := io.ReadAll(odd.Body)
	require.NoError(t, err)
	assert.Contains(t, string(page), "not good for club.example")
	assert.NotContains(t, string(page), "https://club.example")

	link := regexp.MustCompile(`/setup/\S+`).FindString(s.out.String())
	s.answer(b, s.secure+link, setUpForm())
	for _, path := range []string{"/account", "/shop"} {
		_, text := s.answer(b, s.secure+path, nil)
		assert.Contains(t, text, `href="/trust"`, path)
	}
	_, text = s.answer(stranger, s.plain+"/signin", nil)
	assert.Contains(t, text, `href="/trust"`, "before a password goes over plain http")
	_, text = s.answer(s.browser([]byte(file)), s.secure+"/signin", nil)
	assert.NotContains(t, text, `href="/trust"`)
}

func TestNothingToTrust(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.Contains(t, g.get("/trust").text, "HTTPS is not on here")
	assert.Equal(t, http.StatusNotFound, g.get("/trust/drosswise-ca.crt").StatusCode)
	assert.NotContains(t, g.get("/shop").text, "/trust")
	assert.NotContains(t, g.get("/account").text, "/trust")

	made := serveBoth(t, t.TempDir(), "-https")
	own := filepath.Join(made.data, cert.Folder, "server.pem")
	s := serveBoth(t, t.TempDir(), "-cert", own, "-key", own)
	b := s.browser(made.authority())
	_, text := s.answer(b, s.secure+"/trust", nil)
	assert.Contains(t, text, "made elsewhere")
	res, _ := s.answer(b, s.secure+"/trust/drosswise-ca.crt", nil)
	assert.Equal(t, http.StatusNotFound, res.StatusCode)
}
