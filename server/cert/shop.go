package cert

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/netip"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"
)

// Folder is where an authority and its certificate are, inside the folder of
// the data.
const Folder = "https"

// Shop is the shop's own authority and the certificate that it vouches for.
type Shop struct {
	Dir       string                       // the folder of the two
	Of        string                       // what a new authority is named after
	Host      string                       // name of the machine
	Addresses func() ([]netip.Addr, error) // of the machine now
	Clock     func() time.Time
	Log       *slog.Logger

	more sites // by the owner's word
	now  atomic.Pointer[kept]
}

// kept is what is served at a time.
type kept struct {
	authority pair
	server    tls.Certificate
	left      []string // what the authority may not vouch for
}

// Add adds names and addresses under which the machine is reached beside its
// own. It refuses what is neither.
func (s *Shop) Add(names []string) error {
	more, bad := readSites(names)
	if len(bad) > 0 {
		return fmt.Errorf("%q is neither a name like shed.example.org nor an address like 192.168.1.20", bad[0])
	}
	s.more = more
	return nil
}

// Renew makes what is not there, what is near its end and what lacks a name or
// an address that the machine has now. It leaves the rest as it is.
func (s *Shop) Renew() error {
	addresses, err := s.Addresses()
	if err != nil {
		return fmt.Errorf("look for this machine's addresses: %w", err)
	}
	if err := os.MkdirAll(s.Dir, 0o700); err != nil {
		return err
	}
	now, where := s.Clock(), sitesOf(s.Host, addresses).with(s.more)
	by, err := s.authority(where, now)
	if err != nil {
		return err
	}
	where, left := where.allowed(by.cert)
	path := filepath.Join(s.Dir, "server.pem")
	own, err := read(path) // a broken one is no loss
	if err != nil || now.After(own.cert.NotAfter.Add(-renewBefore)) || !where.in(own.cert) || own.cert.CheckSignatureFrom(by.cert) != nil {
		if own, err = makeServer(by, where, now); err != nil {
			return err
		}
		if err := own.write(path); err != nil {
			return fmt.Errorf("keep the certificate: %w", err)
		}
		s.Log.Info("certificate made", "until", own.cert.NotAfter, "names", own.cert.DNSNames, "addresses", own.cert.IPAddresses)
	}
	s.now.Store(&kept{by, tls.Certificate{Certificate: [][]byte{own.cert.Raw}, PrivateKey: own.key, Leaf: own.cert}, left})
	return nil
}

// authority gives the authority, and makes one where there is none or its end
// is near.
func (s *Shop) authority(where sites, now time.Time) (pair, error) {
	path := filepath.Join(s.Dir, "authority.pem")
	by, err := read(path)
	switch {
	case err == nil && now.Before(by.cert.NotAfter.Add(-renewBefore)):
		return by, nil
	case err == nil:
		s.Log.Warn("the certificate authority is at its end: every phone has to trust the new one", "until", by.cert.NotAfter)
	case !errors.Is(err, fs.ErrNotExist):
		return by, fmt.Errorf("%w. Put a copy of the file back, or delete it to have a new authority made, which every phone has to trust again", err)
	}
	if by, err = makeAuthority(s.Of, where, now); err != nil {
		return by, err
	}
	if err := by.write(path); err != nil {
		return by, fmt.Errorf("keep the certificate authority: %w", err)
	}
	return by, nil
}

// often is how often a running shop looks whether its certificate still fits:
// well within a day, since a machine that is carried about gets new addresses.
const often = time.Hour

// Keep renews until the context ends.
func (s *Shop) Keep(ctx context.Context) {
	tick := time.NewTicker(often)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if err := s.Renew(); err != nil {
				s.Log.Error("certificate not renewed", "err", err)
			}
		}
	}
}

// Certificate is for tls.Config.GetCertificate, after the first Renew.
func (s *Shop) Certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	return &s.now.Load().server, nil
}

// Authority is what devices are to trust, in DER, without its key.
func (s *Shop) Authority() []byte { return s.now.Load().authority.cert.Raw }

// Name is what devices list the authority by.
func (s *Shop) Name() string { return s.now.Load().authority.cert.Subject.CommonName }

// Until is when the authority ends.
func (s *Shop) Until() time.Time { return s.now.Load().authority.cert.NotAfter }

// Left are the names and addresses that the authority may not vouch for.
func (s *Shop) Left() []string { return s.now.Load().left }

// Fingerprint is the SHA-256 of the authority as people compare it, byte by
// byte.
func (s *Shop) Fingerprint() string {
	return fmt.Sprintf("% X", sha256.Sum256(s.Authority()))
}

// Sites are the names and addresses that the certificate is for.
func (s *Shop) Sites() []string {
	own := s.now.Load().server.Leaf
	all := append([]string(nil), own.DNSNames...)
	for _, ip := range own.IPAddresses {
		all = append(all, ip.String())
	}
	return all
}

// Has reports whether the certificate is for a name or an address.
func (s *Shop) Has(host string) bool { return s.now.Load().server.Leaf.VerifyHostname(host) == nil }
