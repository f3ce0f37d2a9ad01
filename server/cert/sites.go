package cert

import (
	"crypto/x509"
	"net"
	"net/netip"
	"regexp"
	"slices"
	"strings"
)

// sites are the names and addresses of a machine; addresses are 4 or 16 bytes
// long.
type sites struct {
	names []string
	ips   []net.IP
}

// label is what may stand between the dots of a name (RFC 1123, 2.1).
var label = regexp.MustCompile(`^[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?$`)

func isName(s string) bool {
	for _, l := range strings.Split(s, ".") {
		if !label.MatchString(l) {
			return false
		}
	}
	return len(s) <= 253
}

// readSites tells names and addresses apart, and gives back what is neither.
func readSites(all []string) (s sites, bad []string) {
	for _, one := range all {
		one = strings.ToLower(strings.TrimSpace(one))
		ip, err := netip.ParseAddr(one)
		switch {
		case one == "":
		case err == nil:
			s.ips = append(s.ips, ip.Unmap().AsSlice())
		case isName(one):
			s.names = append(s.names, one)
		default:
			bad = append(bad, one)
		}
	}
	return s, bad
}

// sitesOf is what a machine may be called in its own network: its name, the
// same as multicast DNS knows it (RFC 6762), and the private ones of its
// addresses. Public addresses are left to certificates of public authorities.
func sitesOf(host string, addresses []netip.Addr) sites {
	s := sites{names: []string{"localhost"}, ips: []net.IP{net.IPv4(127, 0, 0, 1).To4(), net.IPv6loopback}}
	host = strings.TrimSuffix(strings.ToLower(host), ".")
	first, _, _ := strings.Cut(host, ".")
	for _, name := range []string{host, first, first + ".local"} {
		if isName(name) && !slices.Contains(s.names, name) {
			s.names = append(s.names, name)
		}
	}
	for _, ip := range addresses {
		if ip = ip.Unmap().WithZone(""); ip.IsPrivate() {
			s.ips = append(s.ips, ip.AsSlice())
		}
	}
	return s
}

func (s sites) with(more sites) sites {
	all := sites{slices.Clone(s.names), slices.Clone(s.ips)}
	for _, n := range more.names {
		if !slices.Contains(all.names, n) {
			all.names = append(all.names, n)
		}
	}
	for _, ip := range more.ips {
		if !slices.ContainsFunc(all.ips, ip.Equal) {
			all.ips = append(all.ips, ip)
		}
	}
	return all
}

// allowed keeps what an authority may vouch for, and names the rest.
func (s sites) allowed(by *x509.Certificate) (ok sites, rest []string) {
	for _, n := range s.names {
		if slices.ContainsFunc(by.PermittedDNSDomains, func(of string) bool { return n == of || strings.HasSuffix(n, "."+of) }) {
			ok.names = append(ok.names, n)
		} else {
			rest = append(rest, n)
		}
	}
	for _, ip := range s.ips {
		if within(by.PermittedIPRanges, ip) {
			ok.ips = append(ok.ips, ip)
		} else {
			rest = append(rest, ip.String())
		}
	}
	return ok, rest
}

func within(ranges []*net.IPNet, ip net.IP) bool {
	return slices.ContainsFunc(ranges, func(n *net.IPNet) bool { return n.Contains(ip) })
}

// in reports whether a certificate has all of the sites.
func (s sites) in(c *x509.Certificate) bool {
	for _, n := range s.names {
		if !slices.Contains(c.DNSNames, n) {
			return false
		}
	}
	for _, ip := range s.ips {
		if !slices.ContainsFunc(c.IPAddresses, ip.Equal) {
			return false
		}
	}
	return true
}

// Machine gives the addresses of the machine's network interfaces.
func Machine() ([]netip.Addr, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var ips []netip.Addr
	for _, a := range all {
		if p, err := netip.ParsePrefix(a.String()); err == nil {
			ips = append(ips, p.Addr())
		}
	}
	return ips, nil
}
