package metrics

import (
	"net/http"
	"runtime"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Metrics are the figures of one server. Its methods may be called from many goroutines.
type Metrics struct {
	all      *prometheus.Registry
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
}

// New makes the figures of a program of a version.
func New(version string) *Metrics {
	m := &Metrics{all: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "gelwright_requests_total", Help: "Requests that were answered."},
			[]string{"route", "method", "status"}),
		// From a list of jobs (a millisecond) to the papers of a hall.
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "gelwright_request_seconds", Help: "How long an answer took, s.",
			Buckets: []float64{0.001, 0.005, 0.02, 0.1, 0.5, 2, 10, 60}}, []string{"route", "method"}),
	}
	build := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "gelwright_build_info", Help: "Which build this is; always 1.",
		ConstLabels: prometheus.Labels{"version": version, "go": runtime.Version()}}, func() float64 { return 1 })
	m.all.MustRegister(m.requests, m.seconds, build, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Watch counts an answer; it is a web.Watcher. A request that no route is for has the route "none".
func (m *Metrics) Watch(route, method string, status int, took time.Duration) {
	if route == "" {
		route = "none"
	}
	m.requests.WithLabelValues(route, method, strconv.Itoa(status)).Inc()
	m.seconds.WithLabelValues(route, method).Observe(took.Seconds())
}

// Handler answers with the figures under /metrics and with nothing else.
func (m *Metrics) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.all, promhttp.HandlerOpts{}))
	return mux
}
