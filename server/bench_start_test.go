package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// BenchmarkStart runs the built program on the large shop and takes the time
// until it first answers, the bytes of a first visit as they cross the wire,
// and the memory it lives in after every page was looked at and after a
// download of everything.
//
//	go test ./server -run xxx -bench Start
func BenchmarkStart(b *testing.B) {
	program := filepath.Join(b.TempDir(), "drosswise")
	out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(b, err, string(out))
	dir := workingCopy(b)
	var pages []largePage
	withLarge(b, dir, func(st *store.Store) { pages = largePages(b, st) })

	b.Run("first_answer", func(b *testing.B) {
		var t timings
		for b.Loop() {
			began := time.Now()
			p := launch(b, program, dir)
			t = append(t, time.Since(began))
			p.stop(b)
		}
		b.ReportMetric(t.at(0.5), "p50-ms")
		b.ReportMetric(t.at(1), "slowest-ms")
		b.ReportMetric(0, "ns/op")
	})
	b.Run("first_visit", func(b *testing.B) {
		for b.Loop() {
			p := launch(b, program, dir)
			b.ReportMetric(float64(p.visit(b, "/signin")), "signin-bytes")
			p.signin(b)
			b.ReportMetric(float64(p.visit(b, "/")), "today-bytes")
			p.stop(b)
		}
		b.ReportMetric(0, "ns/op")
	})
	b.Run("memory", func(b *testing.B) {
		for b.Loop() {
			p := launch(b, program, dir)
			b.ReportMetric(p.memory(b, "VmRSS"), "idle-MiB")
			p.tour(b, pages)
			b.ReportMetric(p.memory(b, "VmRSS"), "tour-MiB")
			b.ReportMetric(p.memory(b, "VmHWM"), "tour-peak-MiB")
			p.get(b, p.home+"/melts.csv")
			p.get(b, p.home+"/lines.csv?source=1&furnace=2")
			b.ReportMetric(p.memory(b, "VmHWM"), "download-peak-MiB")
			p.stop(b)
		}
		b.ReportMetric(0, "ns/op")
	})
}

// program is the built program, running.
type program struct {
	cmd    *exec.Cmd
	home   string
	client *http.Client
	wire   *atomic.Int64 // bytes that came in
}

// launch starts the program and waits until it answers.
func launch(b *testing.B, path, dir string) *program {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	addr := ln.Addr().String()
	require.NoError(b, ln.Close())
	p := &program{cmd: exec.Command(path, "-addr", addr, "-data", dir), home: "http://" + addr, wire: &atomic.Int64{}}
	p.cmd.Env = []string{"PATH=" + os.Getenv("PATH")}
	var said bytes.Buffer
	p.cmd.Stdout, p.cmd.Stderr = &said, &said
	require.NoError(b, p.cmd.Start())
	b.Cleanup(func() { _ = p.cmd.Process.Kill() }) // in case it was not stopped
	jar, err := cookiejar.New(nil)
	require.NoError(b, err)
	p.client = &http.Client{Jar: jar, Timeout: time.Minute, Transport: &http.Transport{
		DisableCompression: true, // asked for by hand, so that the wire is counted
		DialContext: func(ctx context.Context, network, addr string) (net.Conn, error) {
			c, err := (&net.Dialer{}).DialContext(ctx, network, addr)
			return counted{c, p.wire}, err
		},
	}}
	for _, path := range []string{"/healthz", "/signin"} {
		for until := time.Now().Add(20 * time.Second); ; time.Sleep(time.Millisecond) {
			resp, err := p.client.Get(p.home + path)
			if err == nil {
				require.NoError(b, resp.Body.Close())
				if resp.StatusCode == http.StatusOK {
					break
				}
			}
			require.True(b, time.Now().Before(until), "no answer from %s: %v\n%s", path, err, &said)
		}
	}
	return p
}

func (p *program) stop(b *testing.B) {
	p.client.CloseIdleConnections()
	require.NoError(b, p.cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(b, p.cmd.Wait())
}

func (p *program) signin(b *testing.B) {
	resp, err := p.client.PostForm(p.home+"/signin", url.Values{"name": {"Person 1"}, "password": {largePassword}})
	require.NoError(b, err)
	require.NoError(b, resp.Body.Close())
	require.Equal(b, http.StatusOK, resp.StatusCode)
	require.Equal(b, "/", resp.Request.URL.Path)
}

// tour looks at every page three times.
func (p *program) tour(b *testing.B, pages []largePage) {
	p.signin(b)
	for range 3 {
		for _, page := range pages {
			p.get(b, p.home+page.path)
		}
	}
}

func (p *program) get(b *testing.B, address string) []byte {
	r, err := http.NewRequest(http.MethodGet, address, nil)
	require.NoError(b, err)
	r.Header.Set("Accept-Encoding", "gzip")
	resp, err := p.client.Do(r)
	require.NoError(b, err)
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	require.NoError(b, err)
	require.Equal(b, http.StatusOK, resp.StatusCode, address)
	return body
}

var staticAddress = regexp.MustCompile(`"(/static/[^"]+)"`)

// visit looks at a page with everything it asks for, as a browser does that
// has none of it, and gives the bytes that came in.
func (p *program) visit(b *testing.B, path string) int64 {
	resp, err := p.client.Get(p.home + path) // as it reads, to see what it asks for
	require.NoError(b, err)
	page, err := io.ReadAll(resp.Body)
	require.NoError(b, err)
	require.NoError(b, resp.Body.Close())
	found := map[string]bool{}
	for _, m := range staticAddress.FindAllSubmatch(page, -1) {
		found[string(m[1])] = true
	}
	require.NotEmpty(b, found)
	before := p.wire.Load()
	p.get(b, p.home+path)
	for asked := range found {
		p.get(b, p.home+asked)
	}
	return p.wire.Load() - before
}

// memory reads a line of /proc/PID/status in MiB.
func (p *program) memory(b *testing.B, line string) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if os.IsNotExist(err) {
		b.Skip("no /proc here to read memory from")
	}
	require.NoError(b, err)
	for l := range strings.Lines(string(status)) {
		if kib, ok := strings.CutPrefix(l, line+":"); ok {
			n, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(kib), " kB"), 64)
			require.NoError(b, err)
			return n / 1024
		}
	}
	b.Fatalf("no %s in\n%s", line, status)
	return 0
}

type counted struct {
	net.Conn
	in *atomic.Int64
}

func (c counted) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	c.in.Add(int64(n))
	return n, err
}
