package main

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"
)

// timings are how long each of many requests took.
type timings []time.Duration

// at gives the time within which a share of the requests was answered, in ms.
func (t timings) at(share float64) float64 {
	s := slices.Sorted(slices.Values(t))
	return s[min(int(share*float64(len(s))), len(s)-1)].Seconds() * 1000
}

// least is how many requests a percentile is taken of at least.
const least = 300

// measure times one request after another, as many as the benchmark asks for
// and never fewer than least.
func measure(b *testing.B, prepare func() func()) timings {
	t := sample(10, prepare)[:0] // warm
	for b.Loop() {
		t = append(t, sample(1, prepare)...)
	}
	return append(t, sample(least-len(t), prepare)...)
}

// sample times so many runs of something, without what prepares it.
func sample(n int, prepare func() func()) timings {
	var t timings
	for range n {
		run := prepare()
		began := time.Now()
		run()
		t = append(t, time.Since(began))
	}
	return t
}

// asked prepares requests to a handler; last gives the last answer.
func asked(h http.Handler, request func() *http.Request) (prepare func() func(), last func() *httptest.ResponseRecorder) {
	var w *httptest.ResponseRecorder
	prepare = func() func() {
		r := request()
		w = httptest.NewRecorder()
		w.Body = bytes.NewBuffer(make([]byte, 0, 256<<10))
		return func() { h.ServeHTTP(w, r) }
	}
	return prepare, func() *httptest.ResponseRecorder { return w }
}

// fromMemory serves the bytes of an answer and nothing else.
func fromMemory(answer *httptest.ResponseRecorder) http.Handler {
	body := bytes.Clone(answer.Body.Bytes())
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", answer.Header().Get("Content-Type"))
		_, _ = w.Write(body)
	})
}
