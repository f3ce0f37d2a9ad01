// Package cert makes and keeps what HTTPS needs: a certificate authority of
// the shop's own with a certificate for the machine it runs on, or the files of
// a certificate that somebody else has made.
package cert

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"net"
	"slices"
	"strings"
	"time"
)

const (
	authorityYears = 10
	// Apple's devices take no more than 825 days from an authority of one's own
	// and 398 from a public one (support.apple.com/103769 and /102028): we stay
	// below both.
	serverLasts = 397 * 24 * time.Hour
	// renewBefore is how long before its end a certificate is made anew.
	renewBefore = 30 * 24 * time.Hour
	// slack lets a device in whose clock is behind.
	slack = time.Hour
)

// pair is a certificate with its key.
type pair struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// localRanges are the addresses that no public site has and a shop may get from
// its router: RFC 1918, RFC 4193, and the machine's own. The authority may
// vouch for all of them and not only for today's, or phones would have to trust
// a new one whenever the router gives out another address.
var localRanges = ranges("127.0.0.0/8", "::1/128", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7")

func ranges(all ...string) []*net.IPNet {
	var nets []*net.IPNet
	for _, s := range all {
		_, n, err := net.ParseCIDR(s)
		if err != nil {
			panic("cert: " + err.Error())
		}
		nets = append(nets, n)
	}
	return nets
}

// makeAuthority makes an authority that may vouch for these names, these
// addresses and localRanges, and for nothing else on devices that hold an
// authority to its limits (RFC 5280, 4.2.1.10). Those are: Chromium's browsers
// since version 112 (policy EnforceLocalAnchorConstraintsEnabled, which lost
// its off switch in 126), Apple's since they read them (trustd/nameconstraints.c
// in Apple's published Security sources compares names and addresses), and Go.
// RFC 5280 leaves it open whether limits of a trusted root count, so older
// Android browsers may not hold it to them; the page that asks for trust says
// so.
func makeAuthority(of string, where sites, now time.Time) (pair, error) {
	permitted := slices.Clone(localRanges)
	for _, ip := range where.ips {
		if !within(permitted, ip) {
			bits := 8 * len(ip)
			permitted = append(permitted, &net.IPNet{IP: ip, Mask: net.CIDRMask(bits, bits)})
		}
	}
	return sign(&x509.Certificate{
		Subject:                     pkix.Name{CommonName: commonName(of, now)},
		NotBefore:                   now.Add(-slack),
		NotAfter:                    now.AddDate(authorityYears, 0, 0),
		IsCA:                        true,
		BasicConstraintsValid:       true,
		MaxPathLenZero:              true,
		KeyUsage:                    x509.KeyUsageCertSign,
		PermittedDNSDomains:         where.names,
		PermittedIPRanges:           permitted,
		PermittedDNSDomainsCritical: true,
	}, nil)
}

// commonName is what phones list the authority by; X.520 allows 64 letters.
func commonName(of string, now time.Time) string {
	date := now.Format(" 2006-01-02")
	letters := []rune("Drosswise " + strings.TrimPrefix(of, "Drosswise "))
	return strings.TrimSpace(string(letters[:min(len(letters), 64-len(date))])) + date
}

// makeServer makes the certificate of the machine.
func makeServer(by pair, where sites, now time.Time) (pair, error) {
	from := now.Add(-slack)
	until := from.Add(serverLasts)
	if until.After(by.cert.NotAfter) {
		until = by.cert.NotAfter
	}
	return sign(&x509.Certificate{
		Subject:               pkix.Name{CommonName: "Drosswise"},
		NotBefore:             from,
		NotAfter:              until,
		BasicConstraintsValid: true,
		KeyUsage:              x509.KeyUsageDigitalSignature,
		ExtKeyUsage:           []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:              where.names,
		IPAddresses:           where.ips,
	}, &by)
}

// sign makes a key, and the certificate for it by an authority, or by itself
// when there is none.
func sign(what *x509.Certificate, by *pair) (pair, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return pair{}, fmt.Errorf("make a key: %w", err)
	}
	if by == nil {
		by = &pair{what, key}
	}
	der, err := x509.CreateCertificate(rand.Reader, what, by.cert, &key.PublicKey, by.key)
	if err != nil {
		return pair{}, fmt.Errorf("make a certificate: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	return pair{cert, key}, err
}
