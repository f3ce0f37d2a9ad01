package main

import (
	"crypto/sha256"
	"crypto/tls"
	"encoding/base64"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/server/cert"
)

// trustedHost is a name under which browsers trust nothing without HTTPS; the
// browser of these tests finds it on this machine.
const trustedHost = "shed.test"

// trusted is a certificate for that host from an authority as a shop makes one.
// The browser of these tests takes it, as a phone does that was led through
// /trust.
var trusted = sync.OnceValues(func() (*tls.Certificate, error) {
	dir, err := os.MkdirTemp("", "trusted")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	none := func() ([]netip.Addr, error) { return nil, nil }
	s := &cert.Shop{Dir: dir, Of: "Bicycle workshop", Host: trustedHost, Addresses: none, Clock: time.Now, Log: slog.New(slog.DiscardHandler)}
	if err := s.Renew(); err != nil {
		return nil, err
	}
	return s.Certificate(nil)
})

// pin is how a browser is told to take a certificate: the hash of its key.
func pin(c *tls.Certificate) string {
	sum := sha256.Sum256(c.Leaf.RawSubjectPublicKeyInfo)
	return base64.StdEncoding.EncodeToString(sum[:])
}

// gatedHTTPS is a shop over HTTPS with a certificate of its own authority,
// behind a line that can be cut.
func gatedHTTPS(t *testing.T, s http.Handler) *gate {
	certificate, err := trusted()
	require.NoError(t, err)
	g := &gate{}
	g.Server = httptest.NewUnstartedServer(g.pass(s))
	g.TLS = &tls.Config{Certificates: []tls.Certificate{*certificate}}
	g.begin(t, g.StartTLS)
	g.URL = inHouse(g.URL)
	return g
}
