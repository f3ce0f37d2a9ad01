package cert

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/x509"
	"io/fs"
	"log/slog"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// machine is a machine whose clock and addresses the test sets.
type machine struct {
	dir, host string

	mu        sync.Mutex // of the rest, while a shop keeps itself
	now       time.Time
	addresses []string
}

// then is the machine at another time, with more addresses.
func (m *machine) then(now time.Time, addresses ...string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now, m.addresses = now, append(m.addresses, addresses...)
}

func newMachine(t *testing.T) *machine {
	return &machine{
		dir: filepath.Join(t.TempDir(), Folder), host: "Shed.lan", now: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC),
		addresses: []string{"127.0.0.1", "::1", "192.168.1.20", "fd12::20", "fe80::1%eth0", "203.0.113.9", "2001:db8::9"},
	}
}

// start is a start of the program on the machine.
func (m *machine) start(t *testing.T, names ...string) *Shop {
	t.Helper()
	s := &Shop{
		Dir: m.dir, Of: "Spoke & Crank", Host: m.host, Log: slog.New(slog.NewTextHandler(t.Output(), nil)),
		Clock: func() time.Time {
			m.mu.Lock()
			defer m.mu.Unlock()
			return m.now
		},
		Addresses: func() (ips []netip.Addr, err error) {
			m.mu.Lock()
			defer m.mu.Unlock()
			for _, a := range m.addresses {
				ips = append(ips, netip.MustParseAddr(a))
			}
			return ips, nil
		},
	}
	require.NoError(t, s.Add(names))
	require.NoError(t, s.Renew())
	return s
}

func leaf(t *testing.T, s *Shop) *x509.Certificate {
	t.Helper()
	c, err := s.Certificate(nil)
	require.NoError(t, err)
	return c.Leaf
}

func verify(s *Shop, c *x509.Certificate, host string, at time.Time) error {
	root, err := x509.ParseCertificate(s.Authority())
	if err != nil {
		return err
	}
	pool := x509.NewCertPool()
	pool.AddCert(root)
	_, err = c.Verify(x509.VerifyOptions{Roots: pool, DNSName: host, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}})
	return err
}

func TestEverySiteVerifies(t *testing.T) {
	m := newMachine(t)
	s := m.start(t, "melts.example.org", " 198.51.100.7", "")
	c := leaf(t, s)
	want := []string{"localhost", "shed.lan", "shed", "shed.local", "melts.example.org", "127.0.0.1", "::1", "192.168.1.20", "fd12::20", "198.51.100.7"}
	assert.Equal(t, want, s.Sites(), "and no public or link-local address")
	assert.Empty(t, s.Left())
	for _, host := range want {
		assert.NoError(t, verify(s, c, host, m.now), host)
		assert.True(t, s.Has(host), host)
	}
	for _, host := range []string{"203.0.113.9", "example.org", "shed.example"} {
		assert.Error(t, verify(s, c, host, m.now), host)
		assert.False(t, s.Has(host), host)
	}
	assert.LessOrEqual(t, c.NotAfter.Sub(c.NotBefore), 397*24*time.Hour, "what Apple's devices take")
	assert.Error(t, verify(s, c, "shed.local", c.NotAfter.Add(time.Second)))
	assert.NoError(t, verify(s, c, "shed.local", m.now.Add(-30*time.Minute)), "a phone whose clock is behind")
	assert.Equal(t, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, c.ExtKeyUsage)
	assert.Equal(t, x509.KeyUsageDigitalSignature, c.KeyUsage)
	assert.False(t, c.IsCA)
	assert.Equal(t, elliptic.P256(), c.PublicKey.(*ecdsa.PublicKey).Curve)
}

func TestTheAuthority(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	root, err := x509.ParseCertificate(s.Authority())
	require.NoError(t, err)
	assert.Equal(t, "Drosswise Spoke & Crank 2026-03-02", s.Name())
	assert.Equal(t, time.Date(2036, 3, 2, 9, 0, 0, 0, time.UTC), s.Until())
	assert.True(t, root.IsCA)
	assert.True(t, root.MaxPathLenZero, "it makes no other authorities")
	assert.Equal(t, x509.KeyUsageCertSign, root.KeyUsage)
	assert.Regexp(t, `^([0-9A-F]{2} ){31}[0-9A-F]{2}$`, s.Fingerprint())
	assert.Len(t, []rune(commonName("Thursday evening melting crew of the community bicycle workshop behind the canal", m.now)), 64)
	assert.Equal(t, "Drosswise 2026-03-02", commonName("", m.now))
}

// Whoever has the key cannot pose as sites that are not the shop's, in a
// browser that reads the authority's limits.
func TestTheAuthorityIsLimited(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	by := s.now.Load().authority
	for _, c := range []struct {
		where sites
		host  string
		good  bool
	}{
		{sites{names: []string{"bank.example"}}, "bank.example", false},
		{sites{ips: []net.IP{net.IPv4(203, 0, 113, 9).To4()}}, "203.0.113.9", false},
		{sites{ips: []net.IP{net.ParseIP("2001:db8::9")}}, "2001:db8::9", false},
		{sites{ips: []net.IP{net.IPv4(10, 1, 2, 3).To4()}}, "10.1.2.3", true},
	} {
		made, err := makeServer(by, c.where, m.now)
		require.NoError(t, err)
		err = verify(s, made.cert, c.host, m.now)
		if c.good {
			assert.NoError(t, err, c.host)
		} else {
			assert.ErrorContains(t, err, "permitted", c.host)
		}
	}
}

func TestOnlyItsOwnerReadsTheFiles(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("files have no modes here")
	}
	m := newMachine(t)
	m.start(t)
	for name, mode := range map[string]fs.FileMode{"": fs.ModeDir | 0o700, "authority.pem": 0o600, "server.pem": 0o600} {
		info, err := os.Stat(filepath.Join(m.dir, name))
		require.NoError(t, err)
		assert.Equal(t, mode, info.Mode(), name)
	}
	names, err := os.ReadDir(m.dir)
	require.NoError(t, err)
	assert.Len(t, names, 2, "and nothing is left half made")
}

func TestASecondStartChangesNothing(t *testing.T) {
	m := newMachine(t)
	first := m.start(t)
	m.now = m.now.Add(300 * 24 * time.Hour)
	second := m.start(t)
	assert.Equal(t, first.Authority(), second.Authority())
	assert.Equal(t, leaf(t, first).Raw, leaf(t, second).Raw)
}

func TestRenewedBeforeItsEnd(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	authority, old := s.Authority(), leaf(t, s)
	m.now = old.NotAfter.Add(-renewBefore)
	require.NoError(t, s.Renew())
	assert.Equal(t, old.Raw, leaf(t, s).Raw)
	m.now = m.now.Add(time.Second)
	require.NoError(t, s.Renew())
	assert.NotEqual(t, old.Raw, leaf(t, s).Raw)
	assert.Equal(t, authority, s.Authority(), "phones need not trust anew")
	assert.NoError(t, verify(s, leaf(t, s), "192.168.1.20", old.NotAfter.Add(time.Hour)))
	assert.Equal(t, leaf(t, s).Raw, leaf(t, m.start(t)).Raw, "it is kept")
}

func TestRenewedForAnotherAddress(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	authority, old := s.Authority(), leaf(t, s)
	m.addresses = []string{"127.0.0.1"} // the Wi-Fi is off
	require.NoError(t, s.Renew())
	assert.Equal(t, old.Raw, leaf(t, s).Raw, "it has all that is left")
	m.addresses = []string{"127.0.0.1", "10.4.0.7"}
	require.NoError(t, s.Renew())
	assert.NoError(t, verify(s, leaf(t, s), "10.4.0.7", m.now))
	assert.False(t, s.Has("192.168.1.20"))
	assert.Equal(t, authority, s.Authority())
}

// What the authority was not made for is left out and told, not served in a
// certificate that browsers refuse as a whole.
func TestANameThatCameLater(t *testing.T) {
	m := newMachine(t)
	authority := m.start(t).Authority()
	s := m.start(t, "melts.example.org", "198.51.100.7", "10.9.9.9")
	assert.Equal(t, []string{"melts.example.org", "198.51.100.7"}, s.Left())
	assert.Equal(t, authority, s.Authority())
	assert.NoError(t, verify(s, leaf(t, s), "10.9.9.9", m.now))
	require.NoError(t, os.RemoveAll(m.dir))
	s = m.start(t, "melts.example.org", "198.51.100.7")
	assert.Empty(t, s.Left())
	assert.NotEqual(t, authority, s.Authority())
	assert.ErrorContains(t, s.Add([]string{"two words"}), "neither a name")
}

// No certificate outlives its authority, and a new authority comes in time.
func TestTheAuthorityEnds(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	old, end := s.Authority(), s.Until()
	m.now = end.AddDate(0, 0, -100)
	require.NoError(t, s.Renew())
	assert.Equal(t, old, s.Authority())
	assert.Equal(t, end, leaf(t, s).NotAfter)
	m.now = end.AddDate(0, 0, -20)
	require.NoError(t, s.Renew())
	assert.NotEqual(t, old, s.Authority())
	assert.NoError(t, verify(s, leaf(t, s), "shed.local", end.AddDate(0, 1, 0)))
}

func TestABrokenFileIsNotReplaced(t *testing.T) {
	m := newMachine(t)
	s := m.start(t)
	path := filepath.Join(m.dir, "authority.pem")
	require.NoError(t, os.WriteFile(path, []byte("half"), 0o600))
	assert.ErrorContains(t, s.Renew(), path)
	assert.NoError(t, verify(s, leaf(t, s), "shed.local", m.now), "what is served goes on")
}

func TestABrokenCertificateIsMadeAnew(t *testing.T) {
	m := newMachine(t)
	authority := m.start(t).Authority()
	require.NoError(t, os.WriteFile(filepath.Join(m.dir, "server.pem"), []byte("half"), 0o600))
	s := m.start(t)
	assert.Equal(t, authority, s.Authority())
	assert.NoError(t, verify(s, leaf(t, s), "shed.local", m.now))
}

// A shop that runs notices by itself.
func TestKeptWhileItRuns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := newMachine(t)
		s := m.start(t)
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan struct{})
		go func() { s.Keep(ctx); close(ended) }()
		m.then(m.now, "10.4.0.7")
		time.Sleep(often - time.Second)
		synctest.Wait()
		assert.False(t, s.Has("10.4.0.7"))
		time.Sleep(2 * time.Second)
		synctest.Wait()
		assert.True(t, s.Has("10.4.0.7"))
		old := leaf(t, s)
		m.then(old.NotAfter.AddDate(0, 0, -29))
		time.Sleep(often)
		synctest.Wait()
		assert.True(t, leaf(t, s).NotAfter.After(old.NotAfter))
		stop()
		<-ended
	})
}
