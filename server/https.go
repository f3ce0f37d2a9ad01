package main

import (
	"context"
	"crypto/tls"
	"flag"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"

	"drosswise/server/cert"
)

// httpsSettings are what a running server can be told of HTTPS.
type httpsSettings struct {
	on    bool   // with a certificate authority of the shop's own
	addr  string // "" is the host of the other address, on httpsPort
	names string // more names and addresses of the machine, separated by commas
	cert  string // files of a certificate made elsewhere and its key
	key   string
}

// httpsPort is not the gallery's, which may run beside a shop.
const httpsPort = "8374"

func (s *httpsSettings) flags(fs *flag.FlagSet, c console) {
	fs.BoolVar(&s.on, "https", c.env("DROSSWISE_HTTPS") == "1", "serve over HTTPS as well, with a certificate authority of the shop's own; phones are led through trusting it on the page /trust")
	fs.StringVar(&s.addr, "https-addr", c.env("DROSSWISE_HTTPS_ADDR"), "address to listen on for HTTPS (default the host of -addr, port "+httpsPort+")")
	fs.StringVar(&s.names, "names", c.env("DROSSWISE_NAMES"), "more names and addresses for the certificate, separated by commas, where the machine does not know them itself")
	fs.StringVar(&s.cert, "cert", c.env("DROSSWISE_CERT"), "serve over HTTPS as well, with the certificate in this file, the chain after it; read again when it changes")
	fs.StringVar(&s.key, "key", c.env("DROSSWISE_KEY"), "file of the key that goes with -cert")
}

// check refuses what cannot be meant.
func (s httpsSettings) check() error {
	switch {
	case (s.cert == "") != (s.key == ""):
		return fmt.Errorf("%w: -cert and -key go together", errUsage)
	case s.on && s.cert != "":
		return fmt.Errorf("%w: with -cert there is a certificate already, so leave -https out", errUsage)
	case s.names != "" && !s.on:
		return fmt.Errorf("%w: -names is for -https", errUsage)
	case s.addr != "" && !s.wanted():
		return fmt.Errorf("%w: -https-addr is for -https or -cert", errUsage)
	}
	return nil
}

func (s httpsSettings) wanted() bool { return s.on || s.cert != "" }

// httpsAddr is where to listen for HTTPS: unless it is said, where the other
// address listens, on another port.
func (s settings) httpsAddr() (string, error) {
	if s.https.addr != "" {
		return s.https.addr, nil
	}
	host, _, err := net.SplitHostPort(s.addr)
	if err != nil {
		return "", fmt.Errorf("-addr %q: %w", s.addr, err)
	}
	return net.JoinHostPort(host, httpsPort), nil
}

// secured is how the shop is served over HTTPS.
type secured struct {
	port string
	shop *cert.Shop // nil where the certificate was made elsewhere
}

// startHTTPS begins to listen for HTTPS and says how to get there.
func (a *app) startHTTPS(ctx context.Context, c console) (net.Listener, error) {
	certificate, shop, err := a.certificate(ctx)
	if err != nil {
		return nil, err
	}
	addr, err := a.settings.httpsAddr()
	if err != nil {
		return nil, err
	}
	ln, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, fmt.Errorf("cannot listen on %s for HTTPS: %w", addr, err)
	}
	host, port, err := net.SplitHostPort(ln.Addr().String())
	if err != nil {
		return nil, err
	}
	a.secure = &secured{port: port, shop: shop}
	fmt.Fprintf(c.out, "Over HTTPS it serves on %s\n", reachable("https://"+ln.Addr().String()))
	if shop != nil {
		a.secure.tell(c)
		go shop.Keep(ctx)
	}
	if net.ParseIP(host).IsLoopback() {
		fmt.Fprint(c.out, "Only this machine reaches it. For phones start it with -addr 0.0.0.0:8372 as well.\n\n")
	}
	config := &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}, GetCertificate: certificate}
	return tls.NewListener(ln, config), nil
}

// certificate gives what answers for the certificate, and the shop's own
// authority if that is asked for.
func (a *app) certificate(ctx context.Context) (func(*tls.ClientHelloInfo) (*tls.Certificate, error), *cert.Shop, error) {
	s := a.settings.https
	if s.on {
		shop, err := a.authority(ctx)
		if err != nil {
			return nil, nil, err
		}
		return shop.Certificate, shop, nil
	}
	files, err := cert.Open(s.cert, s.key, a.log)
	if err != nil {
		return nil, nil, err
	}
	return files.Certificate, nil, nil
}

// authority readies the shop's own authority, which a new one names after the
// shop or, as long as that has no name, after the machine.
func (a *app) authority(ctx context.Context) (*cert.Shop, error) {
	host, err := os.Hostname()
	if err != nil {
		return nil, fmt.Errorf("ask for this machine's name: %w", err)
	}
	of := host
	shop, err := a.store.Shop(ctx)
	if err != nil {
		return nil, err
	}
	if shop.Ready {
		of = shop.Name
	}
	s := &cert.Shop{Dir: filepath.Join(a.settings.data, cert.Folder), Of: of, Host: host, Addresses: cert.Machine, Clock: time.Now, Log: a.log}
	if err := s.Add(strings.Split(a.settings.https.names, ",")); err != nil {
		return nil, fmt.Errorf("-names: %w", err)
	}
	return s, s.Renew()
}

// tell says what phones are to trust, in the one place that nobody on the
// network can have changed.
func (s *secured) tell(c console) {
	fmt.Fprintf(c.out, "for %s\n", strings.Join(s.shop.Sites(), ", "))
	fmt.Fprintf(c.out, "\nA phone has to trust the authority %q once: open the page /trust there.\nIts SHA-256 fingerprint, to compare:\n\n  %s\n\n", s.shop.Name(), s.shop.Fingerprint())
	fmt.Fprintf(c.out, "Its key is in %s and in no backup. Whoever has it can pose as this shop.\n\n", s.shop.Dir)
	if left := s.shop.Left(); len(left) > 0 {
		fmt.Fprintf(c.out, "HTTPS does not work under %s: the authority was made without. To make a new one,\nwhich every phone has to trust again, delete %s and start again.\n\n", strings.Join(left, ", "), s.shop.Dir)
	}
}
