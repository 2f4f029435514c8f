package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"spokeword/bot"
)

// pages returns what operators see: figures, whether the process lives, and
// whether it can do its work. No page shows a secret, or who asked what.
func (s *service) pages(version string) http.Handler {
	built := prometheus.NewGauge(prometheus.GaugeOpts{Name: "spokeword_build_info", Help: "Always 1; the label tells the version.",
		ConstLabels: prometheus.Labels{"version": version}})
	built.Set(1)
	s.metrics.Registry.MustRegister(built, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(s.metrics.Registry, promhttp.HandlerOpts{}))
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) {
		page(w, []check{s.alive()})
	})
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, r *http.Request) {
		page(w, s.able(r.Context()))
	})
	return mux
}

// alive checks that the service still looks at its links.
func (s *service) alive() check {
	c := check{name: "watch", ok: "looks at the links"}
	if ago := s.now().Sub(time.Unix(0, s.ticked.Load())); ago > staleAfter {
		c.err = fmt.Errorf("last looked at the links %s ago: want %s at most", ago.Round(time.Second), staleAfter)
	}
	return c
}

// pingFor is how long the store may take to say that it is there.
const pingFor = 2 * time.Second

// able checks that the service can do its work.
func (s *service) able(ctx context.Context) []check {
	var all []check
	if s.leaving.Load() {
		all = append(all, check{name: "service", err: errors.New("is ending: takes nothing new")})
	}
	if s.store != nil {
		ctx, stop := context.WithTimeout(ctx, pingFor)
		all = append(all, check{"store", "reachable, tables current", s.store.Ping(ctx)})
		stop()
	}
	for _, l := range s.links {
		all = append(all, check{l.Name(), "link up", l.Ready()})
	}
	return all
}

// page writes a line for each check, and answers 503 if one failed.
func page(w http.ResponseWriter, checks []check) {
	var b strings.Builder
	status := http.StatusOK
	for _, c := range checks {
		if c.err != nil {
			status = http.StatusServiceUnavailable
		}
		b.WriteString(c.line())
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	// Who does not listen to the end need not be told.
	_, _ = w.Write([]byte(bot.Redacted(b.String())))
}
