package main

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"drosswise/store"
)

// metrics is how the program itself does, for whoever watches over machines.
// No label names a person or anything a person wrote.
type metrics struct {
	registry *prometheus.Registry
	took     *prometheus.HistogramVec
}

// newMetrics counts for an app.
func newMetrics(a *app) *metrics {
	m := &metrics{registry: prometheus.NewRegistry()}
	m.took = prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "drosswise_request_duration_seconds", Help: "How long requests took, by address and status.",
		Buckets: []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 10},
	}, []string{"method", "route", "status"})
	version := "unknown"
	if b, ok := debug.ReadBuildInfo(); ok {
		version = b.Main.Version
	}
	gauge := func(name, help string, value func() float64) prometheus.Collector {
		return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, value)
	}
	m.registry.MustRegister(m.took,
		gauge("drosswise_melts_running", "Melts that are not closed.", func() float64 {
			ctx, cancel := context.WithTimeout(context.Background(), time.Second)
			defer cancel()
			running, err := a.store.RunningMelts(ctx)
			if err != nil {
				a.log.Warn("running melts not counted", "err", err)
			}
			return float64(len(running))
		}),
		gauge("drosswise_database_bytes", "Size of the database with its log.", func() float64 {
			var size int64
			for _, file := range []string{"", "-wal"} {
				if info, err := os.Stat(filepath.Join(a.settings.data, store.FileName+file)); err == nil {
					size += info.Size()
				}
			}
			return float64(size)
		}),
		gauge("drosswise_last_copy_timestamp_seconds", "When the newest good copy of the shop was made; 0 for none.", func() float64 {
			if last, ok := a.shopCopies().Last(); ok {
				return float64(last.At.Time().Unix())
			}
			return 0
		}),
		gauge("drosswise_copy_failed", "1 when the last try to make a copy failed.", func() float64 {
			if a.shopCopies().Failure != "" {
				return 1
			}
			return 0
		}),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "drosswise_build_info", Help: "Always 1; the label is the version.", ConstLabels: prometheus.Labels{"version": version}}, func() float64 { return 1 }),
	)
	return m
}

// saw counts a request.
func (m *metrics) saw(r *http.Request, status int, took time.Duration) {
	route := routeOf(r)
	if route == "" {
		route = "none"
	}
	m.took.WithLabelValues(method(r.Method), route, strconv.Itoa(status)).Observe(took.Seconds())
}

// method keeps strangers from making up labels.
func method(m string) string {
	switch m {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut:
		return m
	}
	return "other"
}

// metricsPage tells the metrics in the OpenMetrics format to who asks for it,
// in that of Prometheus otherwise.
func metricsPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	promhttp.HandlerFor(a.metrics.registry, promhttp.HandlerOpts{EnableOpenMetrics: true, DisableCompression: true}).ServeHTTP(w, r)
	return nil
}
