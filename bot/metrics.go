package bot

import (
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
)

// Metrics are the figures that operators watch. No label names a person, a
// channel or a workspace.
type Metrics struct {
	Registry *prometheus.Registry

	requests    *prometheus.CounterVec
	ack         *prometheus.HistogramVec
	answer      *prometheus.HistogramVec
	duplicates  *prometheus.CounterVec
	drops       *prometheus.CounterVec
	panics      prometheus.Counter
	link        *prometheus.GaugeVec
	reconnects  *prometheus.CounterVec
	rest        *prometheus.CounterVec
	connections prometheus.Gauge
	refused     *prometheus.CounterVec
}

// NewMetrics returns figures on a registry of their own.
func NewMetrics() *Metrics {
	buckets := []float64{.005, .01, .025, .05, .1, .25, .5, 1, 1.5, 2, 2.5, 3}
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: "spokeword_" + name, Help: help}, labels)
	}
	m := &Metrics{
		Registry: prometheus.NewRegistry(),
		requests: counter("requests_total", "Messages answered, by command and outcome.", "platform", "command", "outcome"),
		ack: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "spokeword_ack_seconds",
			Help: "Time until the service heard from us.", Buckets: buckets}, []string{"platform"}),
		answer: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "spokeword_answer_seconds",
			Help: "Time until the answer was through.", Buckets: buckets}, []string{"platform"}),
		duplicates:  counter("dedupe_hits_total", "Messages that had been met before.", "platform"),
		drops:       counter("dropped_total", "Messages not taken because too many were in work.", "platform"),
		panics:      prometheus.NewCounter(prometheus.CounterOpts{Name: "spokeword_panics_total", Help: "Panics caught."}),
		link:        prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "spokeword_link_up", Help: "Whether messages can arrive."}, []string{"platform"}),
		reconnects:  counter("reconnects_total", "Links opened after the first.", "platform"),
		rest:        counter("rest_responses_total", "Answers of the service to our calls.", "platform", "code"),
		connections: prometheus.NewGauge(prometheus.GaugeOpts{Name: "spokeword_slack_num_connections", Help: "Links the service says are open for the app."}),
		refused:     counter("refused_total", "Requests refused before they were read.", "platform", "reason"),
	}
	m.Registry.MustRegister(m.requests, m.ack, m.answer, m.duplicates, m.drops, m.panics, m.link, m.reconnects, m.rest, m.connections, m.refused)
	return m
}

// Duplicate counts a message that had been met before.
func (m *Metrics) Duplicate(platform string) { m.duplicates.WithLabelValues(platform).Inc() }

// Link notes whether messages of a service can arrive.
func (m *Metrics) Link(platform string, up bool) {
	v := 0.0
	if up {
		v = 1
	}
	m.link.WithLabelValues(platform).Set(v)
}

// Reconnect counts a link opened after the first.
func (m *Metrics) Reconnect(platform string) { m.reconnects.WithLabelValues(platform).Inc() }

// Response counts an answer of the service to one of our calls, by its HTTP
// status; 0 stands for none.
func (m *Metrics) Response(platform string, status int) {
	m.rest.WithLabelValues(platform, strconv.Itoa(status)).Inc()
}

// Connections notes how many links a service says are open for the app.
func (m *Metrics) Connections(n int) { m.connections.Set(float64(n)) }

// Refused counts a request refused before it was read: a forged or stale
// signature, too large a body. Reason is one of a few words of ours.
func (m *Metrics) Refused(platform, reason string) {
	m.refused.WithLabelValues(platform, reason).Inc()
}

func (m *Metrics) dropped(platform string) { m.drops.WithLabelValues(platform).Inc() }
func (m *Metrics) panicked()               { m.panics.Inc() }

func (m *Metrics) acknowledged(platform string, took time.Duration) {
	m.ack.WithLabelValues(platform).Observe(took.Seconds())
}

func (m *Metrics) answered(platform, command, outcome string, took time.Duration) {
	m.requests.WithLabelValues(platform, command, outcome).Inc()
	m.answer.WithLabelValues(platform).Observe(took.Seconds())
}
