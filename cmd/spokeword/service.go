package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"spokeword/bot"
	"spokeword/config"
)

// Times of the service.
const (
	// watchEvery is how often the links are looked at.
	watchEvery = time.Second
	// staleAfter is when a service that no longer looks at its links is not
	// well: it hangs.
	staleAfter = 2 * time.Minute
	// linkGivenUp is when a process that can't reach a service ends, so that
	// who started it starts it anew.
	linkGivenUp = 10 * time.Minute
	// closing is how long links and listeners may take to close. Together with
	// serve.drain it stays below what a service manager waits before it kills.
	closing = 3 * time.Second
)

// keeping is the store as the service sees it.
type keeping interface {
	// Ping returns nil if the store can be reached and its tables are current.
	Ping(ctx context.Context) error
	Close() error
}

// listening is a listener with what answers there.
type listening struct {
	net.Listener
	http.Handler
}

// service runs the bot: its links to chat services, its listeners, and their
// end. What is nil or empty it does without.
type service struct {
	adapters  []bot.Adapter
	handler   *bot.Handler
	metrics   *bot.Metrics
	store     keeping
	public    *listening // for services that send to us
	operators *listening // for who runs the bot
	log       *slog.Logger
	now       func() time.Time
	drain     time.Duration
	// started is called when everything runs, for tests; may be nil.
	started func()

	links   []*link
	ticked  atomic.Int64 // when the links were last looked at, in Unix nanoseconds
	leaving atomic.Bool
}

// link is the link of one adapter, and what the watch knows of it.
type link struct {
	bot.Adapter
	down time.Time // since when it is down; zero: it is up
}

// run serves until the context ends, then finishes what is in work. It returns
// early, with an error, if a chat service refuses the bot for good, can't be
// reached for ten minutes, or a listener fails.
func (s *service) run(ctx context.Context) error {
	s.ticked.Store(s.now().UnixNano())
	// Links outlast the context: what is in work is answered over them.
	linked, unlink := context.WithCancel(context.WithoutCancel(ctx))
	defer unlink()
	ended := make(chan error, len(s.adapters)+2)
	var running sync.WaitGroup
	for _, a := range s.adapters {
		s.links = append(s.links, &link{Adapter: a, down: s.now()})
		running.Go(func() {
			err := a.Run(linked)
			if linked.Err() == nil {
				if err == nil {
					err = errors.New("ended by itself")
				}
				ended <- of(a.Name(), err)
			}
		})
	}
	var servers []*http.Server
	for _, l := range []*listening{s.public, s.operators} {
		if l == nil {
			continue
		}
		server := s.server(l.Handler)
		servers = append(servers, server)
		go func() {
			if err := server.Serve(l.Listener); !errors.Is(err, http.ErrServerClosed) {
				ended <- fmt.Errorf("listen at %s: %w", l.Addr(), err)
			}
		}()
	}
	if s.started != nil {
		s.started()
	}
	err := s.watch(ctx, ended)

	s.leaving.Store(true) // first, so that who asks is sent elsewhere
	if err == nil {
		s.log.Info("told to end", "drain", s.drain.String())
	}
	draining, stop := context.WithTimeout(context.WithoutCancel(ctx), s.drain)
	if undone := s.handler.Drain(draining); undone != nil {
		s.log.Warn("ended with answers open", "error", undone)
	}
	stop()
	unlink()
	s.wait(&running)
	shutting, stop := context.WithTimeout(context.WithoutCancel(ctx), closing)
	defer stop()
	for _, server := range servers {
		if server.Shutdown(shutting) != nil {
			server.Close() // what is left of it has had its time
		}
	}
	if s.store != nil {
		if undone := s.store.Close(); undone != nil {
			err = errors.Join(err, fmt.Errorf("close the store: %w", undone))
		}
	}
	return err
}

// of names whose error it is, if it does not say so itself.
func of(name string, err error) error {
	if strings.HasPrefix(err.Error(), name+": ") {
		return err
	}
	return fmt.Errorf("%s: %w", name, err)
}

// wait waits for the links to close, but not for ever.
func (s *service) wait(running *sync.WaitGroup) {
	closed := make(chan struct{})
	go func() {
		running.Wait()
		close(closed)
	}()
	timer := time.NewTimer(closing)
	defer timer.Stop()
	select {
	case <-closed:
	case <-timer.C:
		s.log.Warn("ended with links open")
	}
}

// server returns a server that nobody keeps waiting or fills up.
func (s *service) server(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       10 * time.Second,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
}

// watch looks at the links until the context ends, something else has, or a
// link can't be had for too long.
func (s *service) watch(ctx context.Context, ended <-chan error) error {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case err := <-ended:
			return err
		case <-tick.C:
			s.ticked.Store(s.now().UnixNano())
			for _, l := range s.links {
				if err := s.look(l); err != nil {
					return err
				}
			}
		}
	}
}

// look notes how a link is, and returns an error if it is given up.
func (s *service) look(l *link) error {
	why := l.Ready()
	was, now := l.down.IsZero(), s.now()
	switch {
	case why == nil:
		if !was {
			s.log.Info("link up", "platform", l.Name(), "down", now.Sub(l.down).Round(time.Second).String())
		}
		l.down = time.Time{}
	case was:
		l.down = now
		s.log.Warn("link down", "platform", l.Name(), "error", why)
	}
	s.metrics.Link(l.Name(), why == nil)
	if why != nil && now.Sub(l.down) >= linkGivenUp {
		return fmt.Errorf("%s: no link for %s, so that a fresh start may help: %w", l.Name(), linkGivenUp, why)
	}
	return nil
}

// called reports whether a service sends to us.
func called(s config.Settings) bool {
	return s.Slack.On() && s.Slack.Transport == config.ByHTTP || s.Discord.On() && s.Discord.Transport == config.ByHTTP
}
