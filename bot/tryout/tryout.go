// Package tryout is a page on which anybody can try the bot as it is in the
// chat services, without an account: it stands in front of the two stand-ins
// of package slackfake and discordfake, to which the bot is linked as it would
// be to the services.
//
// The page is our own: it shows what was said, to whom, and what can be
// pressed, and does not look like either service's client.
package tryout

import (
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"net"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"spokeword/bot/discordfake"
	"spokeword/bot/slackfake"
)

// The services of the page.
const (
	slackName   = "slack"
	discordName = "discord"
)

// entry is one thing that is seen.
type entry struct {
	Number  int      `json:"number"`
	Service string   `json:"service"`
	You     bool     `json:"you"`
	Private bool     `json:"private"`
	Parts   []part   `json:"parts"`
	Buttons []string `json:"buttons,omitempty"`
	Form    *form    `json:"form,omitempty"`

	press  func(ctx context.Context, button int) error
	submit func(ctx context.Context, values map[string]string) error
}

// part is a piece of what is seen: lines, small lines, lines of one width, or
// a table.
type part struct {
	Kind string     `json:"kind"` // text, small, code or table
	Text string     `json:"text,omitempty"`
	Rows [][]string `json:"rows,omitempty"`
}

// form is a form that opened.
type form struct {
	Title  string  `json:"title"`
	Inputs []input `json:"inputs"`
}

type input struct {
	ID    string `json:"id"`
	Label string `json:"label"`
	Hint  string `json:"hint"`
}

// Page is the page and what is behind it.
type Page struct {
	slack   *slackfake.Server
	discord *discordfake.Server
	command string
	mux     *http.ServeMux

	mu      sync.Mutex
	entries []*entry
	last    int
	changed chan struct{}
}

// mostEntries are kept; the oldest go.
const mostEntries = 500

//go:embed page.html
var page []byte

// New returns a page in front of the stand-ins; command is the bot's slash
// command.
func New(slack *slackfake.Server, discord *discordfake.Server, command string) *Page {
	p := &Page{slack: slack, discord: discord, command: command, mux: http.NewServeMux(), changed: make(chan struct{})}
	p.mux.HandleFunc("GET /{$}", p.show)
	p.mux.HandleFunc("GET /entries", p.since)
	p.mux.HandleFunc("GET /commands", p.commands)
	p.mux.HandleFunc("POST /say", p.say)
	p.mux.HandleFunc("POST /fill", p.fill)
	p.mux.HandleFunc("POST /type", p.typing)
	p.mux.HandleFunc("POST /press", p.press)
	p.mux.HandleFunc("POST /submit", p.submit)
	return p
}

// ServeHTTP serves the page to a browser on this machine.
func (p *Page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	// A page elsewhere must not speak for whoever sits here.
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = r.Host
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		http.Error(w, "want an address of this machine", http.StatusForbidden)
		return
	}
	if site := r.Header.Get("Sec-Fetch-Site"); r.Method == http.MethodPost && site != "" && site != "same-origin" {
		http.Error(w, "want a request of the page itself", http.StatusForbidden)
		return
	}
	p.mux.ServeHTTP(w, r)
}

// Run shows what the bot says until the context ends.
func (p *Page) Run(ctx context.Context) error {
	var wg sync.WaitGroup
	var failed error
	wg.Go(func() { failed = p.fromSlack(ctx) })
	err := p.fromDiscord(ctx)
	wg.Wait()
	if ctx.Err() != nil {
		return nil
	}
	return errors.Join(failed, err)
}

func (p *Page) add(e *entry) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.last++
	e.Number = p.last
	p.entries = append(p.entries, e)
	if over := len(p.entries) - mostEntries; over > 0 {
		p.entries = slices.Delete(p.entries, 0, over)
	}
	close(p.changed)
	p.changed = make(chan struct{})
}

func (p *Page) find(number int) (*entry, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, e := range p.entries {
		if e.Number == number {
			return e, true
		}
	}
	return nil, false
}

func (p *Page) show(w http.ResponseWriter, _ *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; connect-src 'self'; img-src 'self'")
	h.Set("X-Content-Type-Options", "nosniff")
	_, _ = w.Write(page) // a browser that has gone misses nothing
}

// poll is how long a browser is kept waiting for something new.
const poll = 20 * time.Second

// since answers with the entries after a number, when there are some.
func (p *Page) since(w http.ResponseWriter, r *http.Request) {
	after, err := strconv.Atoi(r.URL.Query().Get("after"))
	if err != nil {
		http.Error(w, "want a number", http.StatusBadRequest)
		return
	}
	timer := time.NewTimer(poll)
	defer timer.Stop()
	for {
		p.mu.Lock()
		news := []*entry{}
		for _, e := range p.entries {
			if e.Number > after {
				news = append(news, e)
			}
		}
		changed := p.changed
		p.mu.Unlock()
		if len(news) > 0 {
			answer(w, news)
			return
		}
		select {
		case <-changed:
		case <-timer.C:
			answer(w, news)
			return
		case <-r.Context().Done():
			return
		}
	}
}

func answer(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(v) // a browser that has gone misses nothing
}

// most is how large a request of the page may be.
const most = 1 << 20

// decoded reads a request of the page, or answers that it can't.
func decoded[T any](w http.ResponseWriter, r *http.Request) (v T, ok bool) {
	if err := json.NewDecoder(http.MaxBytesReader(w, r.Body, most)).Decode(&v); err != nil {
		http.Error(w, "want a request of the page", http.StatusBadRequest)
		return v, false
	}
	return v, true
}

// done answers a request of the page: with nothing, or with what went wrong.
func (p *Page) done(w http.ResponseWriter, service string, err error) {
	if err != nil {
		p.add(&entry{Service: service, Private: true, Parts: []part{{Kind: "small", Text: "The service shows: the app did not answer. (" + err.Error() + ")"}}})
	}
	w.WriteHeader(http.StatusNoContent)
}

type saying struct {
	Service string `json:"service"`
	How     string `json:"how"` // command, mention or direct
	Text    string `json:"text"`
}

// say sends what was typed.
func (p *Page) say(w http.ResponseWriter, r *http.Request) {
	s, ok := decoded[saying](w, r)
	if !ok {
		return
	}
	switch s.Service {
	case slackName:
		p.done(w, slackName, p.saySlack(r.Context(), s))
	case discordName:
		p.add(&entry{Service: discordName, You: true, Private: true, Parts: []part{{Kind: "text", Text: "/ask " + s.Text}}})
		p.done(w, discordName, p.sayDiscord(r.Context(), "ask", map[string]string{"text": s.Text}))
	default:
		http.Error(w, "want slack or discord", http.StatusBadRequest)
	}
}

type pressing struct {
	Number int `json:"number"`
	Button int `json:"button"`
}

// press presses a button.
func (p *Page) press(w http.ResponseWriter, r *http.Request) {
	in, ok := decoded[pressing](w, r)
	if !ok {
		return
	}
	e, ok := p.find(in.Number)
	if !ok || in.Button < 0 || in.Button >= len(e.Buttons) || e.press == nil {
		http.Error(w, "want a button that is there", http.StatusNotFound)
		return
	}
	p.add(&entry{Service: e.Service, You: true, Private: true, Parts: []part{{Kind: "small", Text: "pressed: " + e.Buttons[in.Button]}}})
	p.done(w, e.Service, e.press(r.Context(), in.Button))
}

type sending struct {
	Number int               `json:"number"`
	Values map[string]string `json:"values"`
}

// submit sends a form.
func (p *Page) submit(w http.ResponseWriter, r *http.Request) {
	in, ok := decoded[sending](w, r)
	if !ok {
		return
	}
	e, ok := p.find(in.Number)
	if !ok || e.submit == nil {
		http.Error(w, "want a form that is open", http.StatusNotFound)
		return
	}
	var filled []string
	for _, i := range e.Form.Inputs {
		filled = append(filled, in.Values[i.ID])
	}
	p.add(&entry{Service: e.Service, You: true, Private: true, Parts: []part{{Kind: "small", Text: "sent: " + strings.Join(filled, ", ")}}})
	p.done(w, e.Service, e.submit(r.Context(), in.Values))
}

// fenced cuts a text at its fences into lines and lines of one width.
func fenced(kind, text string) []part {
	var parts []part
	for i, piece := range strings.Split(text, "```") {
		k := kind
		if i%2 == 1 {
			k = "code"
		}
		if piece = strings.Trim(piece, "\n"); piece != "" {
			parts = append(parts, part{Kind: k, Text: piece})
		}
	}
	return parts
}
