package front

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Metrics are what Prometheus asks for, at an address of their own. Routes are
// patterns, and so as many as the program has.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
}

// NewMetrics gathers nothing yet. backup gives when the newest backup was made.
func NewMetrics(version string, ready func() bool, backup func() time.Time) *Metrics {
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "urdir_http_requests_total",
			Help: "Requests answered, by pattern of the address and status."}, []string{"route", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "urdir_http_request_seconds", Help: "Time to answer, by pattern of the address.",
			Buckets: []float64{0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 5}}, []string{"route"}),
	}
	up := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "urdir_database_up", Help: "Whether the database answers."}, func() float64 {
		if ready() {
			return 1
		}
		return 0
	})
	made := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "urdir_backup_newest_timestamp_seconds", Help: "When the newest backup was made; 0: there is none."}, func() float64 {
		if at := backup(); !at.IsZero() {
			return float64(at.Unix())
		}
		return 0
	})
	build := prometheus.NewGauge(prometheus.GaugeOpts{Name: "urdir_build_info", Help: "1; the version is its label.", ConstLabels: prometheus.Labels{"version": version}})
	build.Set(1)
	m.registry.MustRegister(m.requests, m.seconds, up, made, build, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Handler answers Prometheus.
func (m *Metrics) Handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
}

// request counts one request; of nil it does nothing.
func (m *Metrics) request(route string, status int, took time.Duration) {
	if m == nil {
		return
	}
	m.requests.WithLabelValues(route, strconv.Itoa(status)).Inc()
	m.seconds.WithLabelValues(route).Observe(took.Seconds())
}
