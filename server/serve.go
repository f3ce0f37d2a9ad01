package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"drosswise/store"
)

// settings are what a running server can be told.
type settings struct {
	addr    string
	data    string
	origin  string // public address when behind a proxy, such as https://melts.example.org
	proxies int    // how many proxies of ours add to X-Forwarded-For
	copies  string // folder of the copies, "" for one in the data, none for none
	https   httpsSettings
	log     slog.Level
}

// serve runs the logbook until the context ends.
func serve(ctx context.Context, c console, args []string) error {
	var s settings
	fs := c.flags("serve", "serve the logbook.\nEach flag is also an environment variable, DROSSWISE_ADDR for -addr and so on.")
	fs.StringVar(&s.addr, "addr", c.or("DROSSWISE_ADDR", "127.0.0.1:8372"), "address to listen on")
	fs.StringVar(&s.data, "data", c.or("DROSSWISE_DATA", "data"), "folder of the data")
	fs.StringVar(&s.origin, "origin", c.env("DROSSWISE_ORIGIN"), "public address when behind a proxy, such as https://melts.example.org")
	fs.StringVar(&s.copies, "copies", c.env("DROSSWISE_COPIES"), "`folder` for a copy of the shop each night; copies in the folder of the data unless said, none for none")
	fs.IntVar(&s.proxies, "proxies", 0, "how many proxies in front add to X-Forwarded-For")
	if err := s.log.UnmarshalText([]byte(c.or("DROSSWISE_LOG", "info"))); err != nil {
		return fmt.Errorf("DROSSWISE_LOG: %w", err)
	}
	fs.TextVar(&s.log, "log", s.log, "least `level` that is logged: debug (each request too), info, warn or error")
	s.https.flags(fs, c)
	if err := parse(fs, args); err != nil {
		return err
	}
	if err := s.https.check(); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(c.err, &slog.HandlerOptions{Level: s.log}))
	release, err := hold(ctx, s.data)
	if err != nil {
		return err
	}
	defer release()
	st, err := open(ctx, s.data)
	if err != nil {
		return err
	}
	defer st.Close()
	a, err := newApp(st, log, s)
	if err != nil {
		return err
	}
	defer a.end()
	a.ending = ctx.Done()
	defer a.keepCopies(ctx)()
	ln, err := net.Listen("tcp", s.addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", s.addr, err)
	}
	home := "http://" + ln.Addr().String()
	if s.origin != "" {
		home = s.origin
	}
	if err := a.greet(ctx, c, home); err != nil {
		return err
	}
	if !s.https.wanted() {
		return listen(ctx, ln, a, log)
	}
	secure, err := a.startHTTPS(ctx, c)
	if err != nil {
		return errors.Join(err, ln.Close())
	}
	return listenAll(ctx, a, log, ln, secure)
}

// hold keeps the folder of the data for this server alone.
func hold(ctx context.Context, dir string) (release func() error, err error) {
	release, err = store.Hold(ctx, dir)
	if errors.Is(err, store.ErrInUse) {
		return nil, fmt.Errorf("the data in %s are being served already. Stop that server first, or give this one another folder with -data", dir)
	}
	return release, err
}

// open opens the store and words the failures a person can do something about.
func open(ctx context.Context, dir string) (*store.Store, error) {
	st, err := store.Open(ctx, dir, time.Now)
	if errors.Is(err, store.ErrNewer) {
		return nil, fmt.Errorf("the data in %s were written by a newer version of Drosswise. Run that version, or restore an older backup (%w)", dir, err)
	}
	return st, err
}

// listenAll serves on all of them. When one cannot go on, none does.
func listenAll(ctx context.Context, h http.Handler, log *slog.Logger, all ...net.Listener) (err error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	ends := make(chan error)
	for _, ln := range all {
		go func() { ends <- listen(ctx, ln, h, log) }()
	}
	for range all {
		err = errors.Join(err, <-ends)
		stop()
	}
	return err
}

// listen serves until the context ends, then lets what is under way finish.
func listen(ctx context.Context, ln net.Listener, h http.Handler, log *slog.Logger) error {
	srv := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       20 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	done := make(chan error, 1)
	go func() {
		<-ctx.Done()
		last, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
		defer cancel()
		done <- srv.Shutdown(last)
	}()
	if err := srv.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return <-done
}
